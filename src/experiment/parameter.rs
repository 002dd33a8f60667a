//! The value of one parameter: read from text with its unit, from a number in SI units, and held to its range.

use crate::quantity::{self, Parsed, parse_quantity, parse_unit, show};
use crate::spelling;

use super::SetupError;
use super::description::{ParameterDescription, ParameterKind};
use super::profile;
use super::scale::factor_in;

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

/// The value that a text gives a parameter, e.g. `10 um` a width.
///
/// # Errors
/// When it cannot be read, has another unit than the parameter's kind, or is out of range.
pub(super) fn from_text(
    parameter: &ParameterDescription,
    text: &str,
) -> Result<ParameterValue, SetupError> {
    Ok(match parameter.kind {
        ParameterKind::Quantity => {
            ParameterValue::Number(in_range(parameter, read(parameter, text, None)?)?)
        }
        ParameterKind::Whole => {
            ParameterValue::Number(whole(parameter, read(parameter, text, None)?)?)
        }
        ParameterKind::Quantities => list(parameter, text)?,
        ParameterKind::Profile => profile::read(parameter, text)?,
        ParameterKind::Choice(names) => choice(parameter, names, text)?,
    })
}

/// The value that a number in SI units gives a parameter.
///
/// # Errors
/// For a parameter that is not a number, and a number out of range.
pub(super) fn from_si(
    parameter: &ParameterDescription,
    value: f64,
) -> Result<ParameterValue, SetupError> {
    let value = match parameter.kind {
        ParameterKind::Quantity | ParameterKind::Quantities => in_range(parameter, value)?,
        ParameterKind::Whole => whole(parameter, value)?,
        ParameterKind::Profile | ParameterKind::Choice(_) => {
            return Err(SetupError::NotANumber {
                name: parameter.name.to_string(),
            });
        }
    };
    Ok(ParameterValue::Number(value))
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
