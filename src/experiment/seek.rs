//! Quantities sought: a reading, the parameter that gives a reading, a count, a value at a place.

use super::description::Work;
use super::parameter::in_own_unit;
use super::{ExperimentError, Setup, SetupError, Sought, readings, run};
use crate::numerics::elementary::{exp, log};
use crate::numerics::order::within;
use crate::numerics::root;
use crate::quantity::{parse_quantity, scaled, show};
use crate::spelling;

/// The value of what is sought, in SI units (flux in flux quanta, counts and ratios as pure numbers).
///
/// # Errors
/// When a name is not known, a unit is of the wrong kind, the device has no such reading, or no value
/// of the parameter gives what is wanted.
pub fn seek(setup: &Setup, sought: &Sought) -> Result<f64, ExperimentError> {
    setup.check()?;
    if let Some(answers) = setup.answers() {
        return answers.seek(setup, sought);
    }
    match sought {
        Sought::Reading { reading } => value_of(setup, reading),
        Sought::Solve {
            parameter,
            reading,
            equals,
        } => solve(setup, parameter, reading, equals),
        Sought::Count { span, reading } => {
            let unit = unit_of(setup, reading)?;
            let span = in_unit("the span", unit, span)?;
            Ok(span / value_of(setup, reading)?)
        }
        Sought::Parameter { parameter } => {
            sought_unit(setup, sought)?;
            setup
                .get_si(parameter)
                .ok_or_else(|| ExperimentError::NoReading(parameter.clone()))
        }
        Sought::At { column, at } => {
            let x = read_place(setup, at)?;
            let trace = run(setup, &[x])?;
            trace
                .column(column)
                .and_then(|column| column.values.first().copied())
                .ok_or_else(|| {
                    ExperimentError::Setup(SetupError::UnknownColumn {
                        kind: setup.description().kind,
                        column: column.clone(),
                        mend: spelling::mend(
                            column,
                            setup.description().columns.iter().map(|known| known.name),
                        ),
                    })
                })
        }
    }
}

/// The SI unit of what is sought; empty for a pure number.
///
/// # Errors
/// When a name is not known.
pub fn sought_unit(setup: &Setup, sought: &Sought) -> Result<&'static str, ExperimentError> {
    match sought {
        Sought::Reading { reading } => unit_of(setup, reading),
        Sought::Count { reading, .. } => unit_of(setup, reading).map(|_| ""),
        Sought::Solve { parameter, .. } | Sought::Parameter { parameter } => setup
            .description()
            .parameter(parameter)
            .map(|known| known.unit)
            .ok_or_else(|| {
                ExperimentError::Setup(SetupError::UnknownParameter {
                    kind: setup.description().kind,
                    name: parameter.clone(),
                    mend: spelling::mend(
                        parameter,
                        setup
                            .description()
                            .parameters
                            .iter()
                            .map(|known| known.name),
                    ),
                })
            }),
        Sought::At { column, .. } => setup
            .description()
            .column(column)
            .map(|known| known.unit)
            .ok_or_else(|| {
                ExperimentError::Setup(SetupError::UnknownColumn {
                    kind: setup.description().kind,
                    column: column.clone(),
                    mend: spelling::mend(
                        column,
                        setup.description().columns.iter().map(|known| known.name),
                    ),
                })
            }),
    }
}

/// A place on the set-up's x axis as written with its unit, in the SI unit of x. For a set-up swept in
/// field or in the current that makes it, flux quanta are taken as flux through its first flux axis (the
/// junction, or the loop).
///
/// # Errors
/// When the text cannot be read or is neither.
pub fn read_place(setup: &Setup, text: &str) -> Result<f64, ExperimentError> {
    let described = setup.x();
    let parsed = parse_quantity(text).map_err(|error| SetupError::Quantity {
        name: described.name.to_string(),
        error,
    })?;
    if described.unit != "Phi0"
        && let Some(unit) = &parsed.unit
        && let Some(quanta) = super::scale::factor_in(unit, "Phi0")?
        && let Some(axis) = setup.axes().iter().find(|axis| axis.unit == "Phi0")
    {
        return Ok(scaled(parsed.value, quanta) * axis.si_per_unit);
    }
    let example = match described.unit {
        "T" => "0.5 mT",
        "A" => "5 mA",
        "m" => "2 um",
        _ => "0.5 Phi0",
    };
    Ok(in_own_unit(
        described.name,
        described.unit,
        example,
        text,
        &parsed,
        None,
    )?)
}

fn unit_of(setup: &Setup, reading: &str) -> Result<&'static str, ExperimentError> {
    setup
        .description()
        .reading(reading)
        .map(|known| known.unit)
        .ok_or_else(|| ExperimentError::UnknownReading {
            kind: setup.description().kind,
            reading: reading.to_string(),
            mend: spelling::mend(
                reading,
                setup.description().readings.iter().map(|known| known.name),
            ),
        })
}

fn value_of(setup: &Setup, reading: &str) -> Result<f64, ExperimentError> {
    unit_of(setup, reading)?;
    if let Work::InSlices { known, .. } = setup.description().physics.work
        && let Some(found) = known(setup).iter().find(|known| known.name == reading)
    {
        return Ok(found.value);
    }
    readings(setup)?
        .iter()
        .find(|found| found.name == reading)
        .map(|found| found.value)
        .ok_or_else(|| ExperimentError::NoReading(reading.to_string()))
}

pub(super) fn in_unit(name: &str, unit: &'static str, text: &str) -> Result<f64, ExperimentError> {
    let parsed = parse_quantity(text).map_err(|error| SetupError::Quantity {
        name: name.to_string(),
        error,
    })?;
    let example = if unit.is_empty() {
        "0.5".to_string()
    } else {
        format!("1 {unit}")
    };
    Ok(in_own_unit(name, unit, &example, text, &parsed, None)?)
}

/// The parameter at which the reading takes the wanted value: the parameter's range is looked through in
/// equal ratios (equal steps where it starts at zero), nearest to the present value first.
fn solve(
    setup: &Setup,
    parameter: &str,
    reading: &str,
    equals: &str,
) -> Result<f64, ExperimentError> {
    const STEPS: u32 = 240;
    let wanted = in_unit(reading, unit_of(setup, reading)?, equals)?;
    let described =
        setup
            .description()
            .parameter(parameter)
            .ok_or_else(|| SetupError::UnknownParameter {
                kind: setup.description().kind,
                name: parameter.to_string(),
                mend: spelling::mend(
                    parameter,
                    setup
                        .description()
                        .parameters
                        .iter()
                        .map(|known| known.name),
                ),
            })?;
    let mut moved = setup.clone();
    moved.set_si(parameter, described.from)?;
    let ratios = described.from > 0.0;
    let (from, to) = if ratios {
        (log(described.from), log(described.to))
    } else {
        (described.from, described.to)
    };
    let place = |t: f64| if ratios { exp(t) } else { t };
    let mut off = |t: f64| {
        let value = within(place(t), described.from, described.to);
        match moved.set_si(parameter, value) {
            Ok(()) => value_of(&moved, reading).map_or(f64::NAN, |found| found - wanted),
            Err(_) => f64::NAN,
        }
    };
    let width = (to - from) / f64::from(STEPS);
    let present = setup.get_si(parameter).unwrap_or(described.from);
    let present = if ratios { log(present) } else { present };
    let mut best: Option<f64> = None;
    let mut before = off(from);
    for k in 1..=STEPS {
        let right = from + width * f64::from(k);
        let here = off(right);
        let crosses = before.is_finite()
            && here.is_finite()
            && ((before > 0.0) != (here > 0.0) || before.abs() <= 0.0 || here.abs() <= 0.0);
        if crosses && let Some(found) = root::brent(&mut off, right - width, right, 1e-15) {
            // A jump of the reading also changes sign; there the value is not met.
            let met = off(found).abs() <= 1e-6 * wanted.abs().max(f64::MIN_POSITIVE);
            let nearer = best.is_none_or(|old| (found - present).abs() < (old - present).abs());
            if met && nearer {
                best = Some(found);
            }
        }
        before = here;
    }
    best.map(place).ok_or_else(|| ExperimentError::NoSolution {
        parameter: parameter.to_string(),
        from: show(described.from, described.unit, 3),
        to: show(described.to, described.unit, 3),
        reading: reading.to_string(),
        wanted: equals.trim().to_string(),
    })
}
