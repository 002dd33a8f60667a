//! A set-up with its parameters in SI units, checked.

use crate::quantity::{self, Parsed, parse_quantity, parse_unit, show};
use crate::spelling;

use super::description::{
    ColumnDescription, ParameterDescription, ParameterKind, SetupDescription, Work,
};
use super::profile;
use super::scale::{AxisScale, ColumnScale, factor_in};
use super::{Answers, Pace, SetupError, SetupSpec, description_of, kinds};

/// The most values in a list parameter.
pub(super) const LONGEST_LIST: usize = 256;

/// The value of a parameter, in SI units.
#[derive(Debug, Clone, PartialEq)]
pub enum ParameterValue {
    /// One number.
    Number(f64),
    /// Several.
    List(Vec<f64>),
    /// A named current profile.
    Profile(&'static str),
    /// A current profile given by its samples from left to right.
    Samples(Vec<f64>),
    /// One of a few names.
    Choice(&'static str),
}

/// A device with values for all its parameters. Each value is in its range; whether they fit together is
/// checked when the set-up is read ([`Setup::from_spec`]) or run.
#[derive(Debug, Clone)]
pub struct Setup {
    description: &'static SetupDescription,
    values: Vec<ParameterValue>,
    /// Who answers for a slow set-up; none where it is computed on the spot.
    answers: Option<&'static dyn Answers>,
}

impl PartialEq for Setup {
    fn eq(&self, other: &Self) -> bool {
        self.description.kind == other.description.kind && self.values == other.values
    }
}

impl Setup {
    /// The set-up of that kind, every parameter at its default.
    ///
    /// # Errors
    /// When there is no such kind.
    pub fn new(kind: &str) -> Result<Self, SetupError> {
        let description = description_of(kind).ok_or_else(|| SetupError::UnknownKind {
            kind: kind.to_string(),
            mend: spelling::mend(kind, kinds()),
        })?;
        let mut setup = Self {
            description,
            values: vec![ParameterValue::Number(0.0); description.parameters.len()],
            answers: None,
        };
        for parameter in description.parameters {
            setup.set(parameter.name, parameter.default)?;
        }
        Ok(setup)
    }

    /// The set-up as written; parameters that are not given take their defaults.
    ///
    /// # Errors
    /// For an unknown kind or parameter, a value that cannot be read, of the wrong unit or out of range,
    /// and values that do not fit together.
    pub fn from_spec(spec: &SetupSpec) -> Result<Self, SetupError> {
        let mut setup = Self::new(&spec.kind)?;
        for (name, text) in spec.parameters.iter() {
            setup.set(name, text)?;
        }
        setup.check()?;
        Ok(setup)
    }

    /// The same device, for whose traces somebody else answers if it is a slow one; none brings
    /// the computation back here.
    #[must_use]
    pub fn answered_by(mut self, answers: Option<&'static dyn Answers>) -> Self {
        self.answers = answers;
        self
    }

    /// Who answers for this set-up, if it is a slow one and somebody does.
    pub(super) fn answers(&self) -> Option<&'static dyn Answers> {
        self.answers
            .filter(|_| self.description.pace() != Pace::AtOnce)
    }

    /// What kind of set-up this is.
    #[must_use]
    pub fn description(&self) -> &'static SetupDescription {
        self.description
    }

    /// Every parameter with its value in SI units, in the order of the description.
    pub fn parameters(
        &self,
    ) -> impl Iterator<Item = (&'static ParameterDescription, &ParameterValue)> {
        self.description.parameters.iter().zip(&self.values)
    }

    /// Whether the parameters fit together.
    ///
    /// # Errors
    /// [`SetupError::Conflict`] with what is wrong and how to mend it.
    pub fn check(&self) -> Result<(), SetupError> {
        match (self.description.physics.conflict)(self) {
            None => Ok(()),
            Some(words) => Err(SetupError::Conflict(words)),
        }
    }

    fn place(&self, name: &str) -> Result<(usize, &'static ParameterDescription), SetupError> {
        self.description
            .parameters
            .iter()
            .enumerate()
            .find(|(_, parameter)| parameter.name == name)
            .ok_or_else(|| SetupError::UnknownParameter {
                kind: self.description.kind,
                name: name.to_string(),
                mend: spelling::mend(
                    name,
                    self.description.parameters.iter().map(|known| known.name),
                ),
            })
    }

    fn put(&mut self, place: usize, value: ParameterValue) {
        if let Some(slot) = self.values.get_mut(place) {
            *slot = value;
        }
    }

    /// Sets a parameter from text with its unit, e.g. `width` to `10 um`. Lists are parted by `;`, or by
    /// a comma and a space; a unit at the end holds for all before it that have none.
    ///
    /// # Errors
    /// For an unknown parameter, and a value that cannot be read, of the wrong unit or out of range. The
    /// set-up is then as it was.
    pub fn set(&mut self, name: &str, text: &str) -> Result<(), SetupError> {
        let (place, parameter) = self.place(name)?;
        let value = match parameter.kind {
            ParameterKind::Quantity => {
                ParameterValue::Number(in_range(parameter, read(parameter, text, None)?)?)
            }
            ParameterKind::Whole => {
                ParameterValue::Number(whole(parameter, read(parameter, text, None)?)?)
            }
            ParameterKind::Quantities => list(parameter, text)?,
            ParameterKind::Profile => profile::read(parameter, text)?,
            ParameterKind::Choice(names) => choice(parameter, names, text)?,
        };
        self.put(place, value);
        Ok(())
    }

    /// Sets a parameter that is one number, in SI units.
    ///
    /// # Errors
    /// For an unknown parameter, one that is not a number, and a value out of range.
    pub fn set_si(&mut self, name: &str, value: f64) -> Result<(), SetupError> {
        let (place, parameter) = self.place(name)?;
        let value = match parameter.kind {
            ParameterKind::Quantity | ParameterKind::Quantities => in_range(parameter, value)?,
            ParameterKind::Whole => whole(parameter, value)?,
            ParameterKind::Profile | ParameterKind::Choice(_) => {
                return Err(SetupError::NotANumber {
                    name: name.to_string(),
                });
            }
        };
        self.put(place, ParameterValue::Number(value));
        Ok(())
    }

    /// Sets a current profile to densities in equal strips, from the left edge to the right. Only their ratios count.
    ///
    /// # Errors
    /// For an unknown parameter, one that is no profile, fewer than two strips or too many, and densities that are
    /// negative, out of all reason or all nothing.
    pub fn set_densities(&mut self, name: &str, densities: &[f64]) -> Result<(), SetupError> {
        let (place, parameter) = self.place(name)?;
        if parameter.kind != ParameterKind::Profile {
            return Err(SetupError::NotAProfile {
                name: name.to_string(),
            });
        }
        let value = profile::of_densities(parameter, densities.to_vec())?;
        self.put(place, value);
        Ok(())
    }

    /// The density in the middle of each of `count` equal strips, from the left edge to the right, as shares of the
    /// largest of them. None for a parameter that is no current profile.
    #[must_use]
    pub fn density_shares(&self, name: &str, count: usize) -> Option<Vec<f64>> {
        let value = self.value(name)?;
        matches!(
            value,
            ParameterValue::Profile(_) | ParameterValue::Samples(_)
        )
        .then(|| profile::shares(value, self.get_si("edge-fraction").unwrap_or(0.0), count))
    }

    /// A parameter that is one number, in SI units.
    #[must_use]
    pub fn get_si(&self, name: &str) -> Option<f64> {
        match self.value(name)? {
            ParameterValue::Number(value) => Some(*value),
            _ => None,
        }
    }

    /// A parameter that is one number, in a unit given by name; an empty one for a pure number.
    ///
    /// # Errors
    /// For a parameter that is not one number, and a unit of another kind than its own.
    pub fn get_in(&self, name: &str, unit: &str) -> Result<f64, SetupError> {
        let (place, parameter) = self.place(name)?;
        let Some(ParameterValue::Number(value)) = self.at(place) else {
            return Err(SetupError::NotANumber {
                name: name.to_string(),
            });
        };
        if unit.is_empty() {
            return Ok(*value);
        }
        let bad = |mend: String| SetupError::BadScale {
            column: name.to_string(),
            scale: unit.to_string(),
            mend,
        };
        let parsed = parse_unit(unit).map_err(|error| bad(error.to_string()))?;
        // Flux is kept in quanta, so the way goes through the parameter's own unit.
        match factor_in(&parsed, parameter.unit)? {
            Some(factor) => Ok(quantity::express(
                *value,
                &quantity::Unit { factor, ..parsed },
            )),
            None => Err(bad(format!("give a unit such as \"{}\"", parameter.unit))),
        }
    }

    /// The value of a parameter.
    #[must_use]
    pub fn value(&self, name: &str) -> Option<&ParameterValue> {
        self.parameters()
            .find(|(parameter, _)| parameter.name == name)
            .map(|(_, value)| value)
    }

    /// What is swept: the description's own x, or the other that the parameter `sweep` names.
    #[must_use]
    pub fn x(&self) -> &'static ColumnDescription {
        let own = &self.description.x;
        let Some(ParameterValue::Choice(chosen)) = self.value("sweep") else {
            return own;
        };
        let mut others = self.description.other_x.iter();
        others.find(|other| other.name == *chosen).unwrap_or(own)
    }

    /// A number by its place in the description; for the set-ups' own physics.
    pub(super) fn number(&self, place: usize) -> f64 {
        match self.values.get(place) {
            Some(ParameterValue::Number(value)) => *value,
            Some(ParameterValue::List(values)) => values.first().copied().unwrap_or(f64::NAN),
            _ => f64::NAN,
        }
    }

    /// A value by its place in the description.
    pub(super) fn at(&self, place: usize) -> Option<&ParameterValue> {
        self.values.get(place)
    }

    /// The scales that x can be shown on, the set-up's own first.
    #[must_use]
    pub fn axes(&self) -> Vec<AxisScale> {
        (self.description.physics.axes)(self)
    }

    /// The scale of that name for x.
    #[must_use]
    pub fn axis(&self, name: &str) -> Option<AxisScale> {
        self.axes().into_iter().find(|axis| axis.name == name)
    }

    /// From where to where x is swept when nothing else is asked, in the SI unit of x.
    #[must_use]
    pub fn default_window(&self) -> (f64, f64) {
        (self.description.physics.window)(self)
    }

    /// The scale on which a column is shown: `relative` (a share of the largest critical current, or of
    /// the largest circulating current) or a unit such as `uA`.
    ///
    /// # Errors
    /// For an unknown column, and a unit of the wrong kind.
    pub fn column_scale(&self, column: &str, scale: &str) -> Result<ColumnScale, SetupError> {
        let described =
            self.description
                .column(column)
                .ok_or_else(|| SetupError::UnknownColumn {
                    kind: self.description.kind,
                    column: column.to_string(),
                    mend: spelling::mend(column, self.description.columns.iter().map(|c| c.name)),
                })?;
        let bad = |mend: String| SetupError::BadScale {
            column: column.to_string(),
            scale: scale.to_string(),
            mend,
        };
        if scale == "relative" {
            // A circulating current is largest just before the jump; beside the critical current it
            // would be lost.
            let largest = match column {
                "circulating-current" => "circulating-current-before-jump",
                "circulating-current-simple" => "circulating-current-before-jump-simple",
                "circulating-current-rising" | "circulating-current-falling" => {
                    "circulating-current-largest"
                }
                _ => "maximum",
            };
            let Work::AtOnce { readings, .. } = self.description.physics.work else {
                return Err(bad(format!(
                    "its largest value is only known once the curve is computed: give a unit such as \"{}\"",
                    described.unit
                )));
            };
            let maximum = readings(self)
                .iter()
                .find(|reading| reading.name == largest && reading.unit == described.unit)
                .map(|reading| reading.value)
                .ok_or_else(|| bad(format!("give a unit such as \"{}\"", described.unit)))?;
            return Ok(ColumnScale {
                label: format!("{} / largest", described.words),
                unit: String::new(),
                si_per_unit: maximum,
            });
        }
        let unit = parse_unit(scale).map_err(|error| bad(error.to_string()))?;
        let factor = factor_in(&unit, described.unit)?
            .ok_or_else(|| bad(format!("give a unit such as \"{}\"", described.unit)))?;
        Ok(ColumnScale {
            label: described.words.to_string(),
            unit: unit.symbol,
            si_per_unit: factor,
        })
    }
}

/// Reads a quantity for a parameter, in the parameter's own unit. A missing unit is that of `other`.
fn read(
    parameter: &ParameterDescription,
    text: &str,
    other: Option<&quantity::Unit>,
) -> Result<f64, SetupError> {
    let parsed = parse_quantity(text).map_err(|error| SetupError::Quantity {
        name: parameter.name.to_string(),
        error,
    })?;
    in_own_unit(
        parameter.name,
        parameter.unit,
        parameter.default,
        text,
        &parsed,
        other,
    )
}

/// A parsed quantity in the unit `base`, which is one of the set-ups' own.
pub(super) fn in_own_unit(
    name: &str,
    base: &'static str,
    example: &str,
    text: &str,
    parsed: &Parsed,
    other: Option<&quantity::Unit>,
) -> Result<f64, SetupError> {
    let Some(unit) = parsed.unit.as_ref().or(other) else {
        return if base.is_empty() {
            Ok(parsed.value)
        } else {
            Err(SetupError::NoUnit {
                name: name.to_string(),
                text: text.trim().to_string(),
                unit: base,
                example: example.to_string(),
            })
        };
    };
    match factor_in(unit, base)? {
        Some(factor) => Ok(quantity::scaled(parsed.value, factor)),
        None => Err(SetupError::WrongUnit {
            name: name.to_string(),
            text: text.trim().to_string(),
            found: unit
                .dimension
                .words()
                .map_or_else(|| format!("in {}", unit.symbol), str::to_string),
            wanted: wanted(base, example),
        }),
    }
}

fn wanted(base: &str, example: &str) -> String {
    let words = if base.is_empty() {
        Some("a pure number")
    } else {
        parse_unit(base)
            .ok()
            .and_then(|unit| unit.dimension.words())
    };
    format!("{} such as \"{example}\"", words.unwrap_or("a quantity"))
}

fn in_range(parameter: &ParameterDescription, value: f64) -> Result<f64, SetupError> {
    // A hair of slack, so that a range written in one unit can be met in another.
    let slack = 1e-12;
    if value >= parameter.from - slack * parameter.from.abs()
        && value <= parameter.to + slack * parameter.to.abs()
    {
        return Ok(value);
    }
    Err(SetupError::OutOfRange {
        name: parameter.name.to_string(),
        value: show(value, parameter.unit, 4),
        from: show(parameter.from, parameter.unit, 3),
        to: show(parameter.to, parameter.unit, 3),
    })
}

fn whole(parameter: &ParameterDescription, value: f64) -> Result<f64, SetupError> {
    let value = in_range(parameter, value)?;
    if (value - value.round()).abs() > 0.0 {
        return Err(SetupError::NotWhole {
            name: parameter.name.to_string(),
            value: show(value, "", 6),
        });
    }
    Ok(value)
}

/// The pieces of a list: parted by `;`, by line ends, or by a comma that is followed by a space.
pub(super) fn pieces(text: &str) -> Vec<String> {
    let marked = text.replace(", ", ";").replace(['\n', '\r'], ";");
    marked
        .split(';')
        .map(|piece| piece.trim().trim_end_matches(',').to_string())
        .filter(|piece| !piece.is_empty())
        .collect()
}

fn list(parameter: &ParameterDescription, text: &str) -> Result<ParameterValue, SetupError> {
    let pieces = pieces(text);
    if pieces.len() > LONGEST_LIST {
        return Err(SetupError::BadSamples {
            name: parameter.name.to_string(),
            why: format!(
                "{} values are too many; give at most {LONGEST_LIST}",
                pieces.len()
            ),
        });
    }
    let unit = match pieces.last() {
        // An unreadable last one is reported where it is read below.
        Some(last) => parse_quantity(last).ok().and_then(|parsed| parsed.unit),
        None => None,
    };
    if pieces.len() <= 1 {
        return Ok(ParameterValue::Number(in_range(
            parameter,
            read(parameter, text, None)?,
        )?));
    }
    let mut values = Vec::with_capacity(pieces.len());
    for piece in &pieces {
        values.push(in_range(parameter, read(parameter, piece, unit.as_ref())?)?);
    }
    Ok(ParameterValue::List(values))
}

/// One of a few names.
fn choice(
    parameter: &ParameterDescription,
    names: &[&'static str],
    text: &str,
) -> Result<ParameterValue, SetupError> {
    let word = text.trim();
    match names.iter().find(|name| **name == word) {
        Some(name) => Ok(ParameterValue::Choice(name)),
        None => Err(SetupError::UnknownChoice {
            name: parameter.name.to_string(),
            text: word.chars().take(40).collect(),
            mend: spelling::mend(word, names.iter().copied()),
        }),
    }
}
