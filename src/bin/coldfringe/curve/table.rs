//! A trace as comma-separated values and as JSON.

use coldfringe::experiment::{Column, Folded, Method, ParameterValue, Setup, Trace};
use serde::{Serialize, Serializer};

/// How many of a set-up's columns the usual table has. The rest say more about each point (how it was computed, how
/// far it can be trusted, what a sweep back would give) and come when all are asked for.
fn usual(kind: &str) -> usize {
    match kind {
        "screened-loop" => 5,
        "current-voltage" => 1,
        "voltage-flux" => 4,
        _ => usize::MAX,
    }
}

/// Comma-separated values: one header line `name[unit]`, then one line for each x, every number with
/// the fewest digits that give it back exactly. With `all` there are also the further columns and, where there is
/// a choice of methods, a last column `method` that names the one behind each point.
pub(super) fn csv(kind: &str, trace: &Trace, all: bool) -> String {
    let count = if all { usize::MAX } else { usual(kind) };
    let columns: Vec<&Column> = std::iter::once(&trace.x)
        .chain(trace.columns.iter().take(count))
        .collect();
    let methods: &[Method] = if all { &trace.methods } else { &[] };
    let header: Vec<String> = columns
        .iter()
        .map(|column| format!("{}[{}]", column.name, column.unit))
        .collect();
    let mut text = header.join(",");
    if !methods.is_empty() {
        text.push_str(",method");
    }
    text.push('\n');
    for row in 0..trace.x.values.len() {
        for (place, column) in columns.iter().enumerate() {
            if place > 0 {
                text.push(',');
            }
            if let Some(value) = column.values.get(row) {
                text.push_str(&number(*value));
            }
        }
        if let Some(method) = methods.get(row) {
            text.push(',');
            text.push_str(method.name());
        }
        text.push('\n');
    }
    text
}

/// The shortest digits that give the number back, with an exponent where that is shorter to read. What is no
/// number, such as the flux noise where the voltage does not answer to flux, is left empty.
fn number(value: f64) -> String {
    if value.is_nan() {
        return String::new();
    }
    // Minus nothing reads oddly and compares equal.
    let value = if value.abs() <= 0.0 { 0.0 } else { value };
    if value.abs() <= 0.0 || (1e-4..1e16).contains(&value.abs()) {
        format!("{value}")
    } else {
        format!("{value:e}")
    }
}

/// JSON: the set-up with every parameter used, the columns, the readings and the warnings.
pub(super) fn json(setup: &Setup, trace: &Trace, all: bool) -> anyhow::Result<String> {
    let count = if all {
        usize::MAX
    } else {
        usual(setup.description().kind)
    };
    let document = Document {
        setup: setup.description().kind,
        parameters: Ordered(
            setup
                .parameters()
                .map(|(parameter, value)| {
                    let unit = parameter.unit;
                    let value = match value {
                        ParameterValue::Number(value) => Value::Number(*value),
                        ParameterValue::List(values) | ParameterValue::Samples(values) => {
                            Value::List(values)
                        }
                        ParameterValue::Profile(name) | ParameterValue::Choice(name) => {
                            Value::Name(name)
                        }
                    };
                    (parameter.name, Sized { value, unit })
                })
                .collect(),
        ),
        columns: std::iter::once(&trace.x)
            .chain(trace.columns.iter().take(count))
            .map(|column| Values {
                name: column.name,
                unit: column.unit,
                values: &column.values,
            })
            .collect(),
        folded: Ordered(
            trace
                .folded
                .iter()
                .map(|folded| (folded.name, curve(folded)))
                .collect(),
        ),
        methods: trace.methods.iter().map(|method| method.name()).collect(),
        readings: Ordered(
            trace
                .readings
                .iter()
                .map(|reading| {
                    let sized = Sized {
                        value: Value::Number(reading.value),
                        unit: reading.unit,
                    };
                    (reading.name, sized)
                })
                .collect(),
        ),
        warnings: &trace.warnings,
    };
    let mut text = serde_json::to_string_pretty(&document)?;
    text.push('\n');
    Ok(text)
}

fn curve(folded: &Folded) -> Curve {
    let branches = folded.branches.iter();
    Curve {
        unit: folded.unit,
        branches: branches
            .map(|branch| Piece {
                stable: branch.stable,
                x: branch.points.iter().map(|point| point.0).collect(),
                values: branch.points.iter().map(|point| point.1).collect(),
            })
            .collect(),
    }
}

#[derive(Serialize)]
struct Document<'a> {
    setup: &'static str,
    parameters: Ordered<Sized<'a>>,
    columns: Vec<Values<'a>>,
    #[serde(flatten)]
    folded: Ordered<Curve>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    methods: Vec<&'static str>,
    readings: Ordered<Sized<'a>>,
    warnings: &'a [String],
}

#[derive(Serialize)]
struct Values<'a> {
    name: &'static str,
    unit: &'static str,
    values: &'a [f64],
}

/// A curve that is no function of x, branch by branch.
#[derive(Serialize)]
struct Curve {
    unit: &'static str,
    branches: Vec<Piece>,
}

#[derive(Serialize)]
struct Piece {
    stable: bool,
    x: Vec<f64>,
    values: Vec<f64>,
}

#[derive(Serialize)]
struct Sized<'a> {
    value: Value<'a>,
    unit: &'static str,
}

#[derive(Serialize)]
#[serde(untagged)]
enum Value<'a> {
    Number(f64),
    List(&'a [f64]),
    Name(&'static str),
}

/// A JSON object that keeps its order.
struct Ordered<T>(Vec<(&'static str, T)>);

impl<T: Serialize> Serialize for Ordered<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|(name, value)| (name, value)))
    }
}
