//! Physical quantities as people write them: `2,07 fWb`, `33µA`, `1.2e-6 Φ0/√Hz`, `3×10⁻⁶ A`.
//!
//! No general parser reads all of these without some wrong answer (T for tera, G for giga, infinity
//! for a number), so this one is small and ours. It takes time in proportion to the text, and
//! refuses what it is not sure of: a comma that may be a decimal comma or may part thousands is
//! asked about, never guessed.
//!
//! [`parse_quantity`] reads number and unit, [`parse_unit`] a unit alone; [`show()`] writes a value and
//! [`shown_unit`] a unit the way they are said back to the reader.

mod expression;
mod number;
mod show;
mod symbols;
mod unit;

use crate::numerics::elementary::log10;

pub use expression::parse_unit;
pub use show::{digits, show, typed};
pub use symbols::shown_unit;
pub use unit::{Dimension, Unit};

/// The longest text looked at, in characters.
pub const LONGEST: usize = 120;

/// A quantity as read.
#[derive(Debug, Clone, PartialEq)]
pub struct Parsed {
    /// The number as typed, before its unit.
    pub value: f64,
    /// The unit, when one was written.
    pub unit: Option<Unit>,
    /// The value in SI base units (the number itself when there was no unit).
    pub si: f64,
    /// How many significant figures were typed: `2.070` has four, `0.05` one.
    pub significant_figures: u32,
}

/// Why a text could not be read as a quantity. Each says what is wrong and how to mend it.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum QuantityError {
    /// Nothing was written.
    #[error("nothing was written; give a number with its unit, such as \"10 uA\"")]
    Empty,
    /// Too much was written.
    #[error("the text is longer than {LONGEST} characters; give one number with its unit")]
    TooLong,
    /// There is no number at the start.
    #[error("\"{0}\" does not start with a number; write one such as \"2.07\" or \"2.07e-15\"")]
    NoNumber(String),
    /// A comma that may mean two things.
    #[error(
        "\"{0}\" can be read in two ways; write \"{1}\" with a decimal point, or \"{2}\" without a comma"
    )]
    Ambiguous(String, String, String),
    /// Commas and points that do not make one number.
    #[error(
        "\"{0}\" mixes commas and points; write one decimal point and nothing between thousands"
    )]
    Mixed(String),
    /// An exponent without digits.
    #[error("\"{0}\" has no digits in its exponent; write it such as \"3e-6\" or \"3×10^-6\"")]
    Exponent(String),
    /// Infinity, or not a number, or too large.
    #[error("\"{0}\" is not a finite number; the largest that can be used is about 1.8e308")]
    NotFinite(String),
    /// Smaller than any number that can be held.
    #[error(
        "\"{0}\" is too small to be told from zero; the smallest that can be used is about 1e-307"
    )]
    TooSmall(String),
    /// A unit that is not known.
    #[error("the unit \"{0}\" is not known; {1}")]
    UnknownUnit(String, String),
    /// A unit expression that cannot be read.
    #[error("the unit \"{0}\" cannot be read: {1}")]
    BadUnit(String, String),
}

/// Reads a number with or without a unit.
///
/// Accepted: decimal point or comma, signs `-` `−` `+`, exponents `e-6` `×10^-6` `·10⁻⁶` `*10^-6`,
/// plain, hard and thin spaces, the unit attached or not. Units: see [`parse_unit`].
///
/// # Errors
/// [`QuantityError`] says what cannot be read, and what to write instead.
pub fn parse_quantity(text: &str) -> Result<Parsed, QuantityError> {
    let plain = number::plain(text)?;
    let (number, rest) = number::split(&plain)?;
    let rest = rest.trim();
    let unit = if rest.is_empty() {
        None
    } else {
        Some(parse_unit(rest)?)
    };
    let si = unit
        .as_ref()
        .map_or(number.value, |unit| scaled(number.value, unit.factor));
    if !si.is_finite() {
        return Err(QuantityError::NotFinite(plain));
    }
    if number.value.abs() > 0.0 && si.abs() < f64::MIN_POSITIVE {
        return Err(QuantityError::TooSmall(plain));
    }
    Ok(Parsed {
        value: number.value,
        unit,
        si,
        significant_figures: number.significant_figures,
    })
}

/// A value in SI base units expressed in `unit`.
#[must_use]
pub fn express(si: f64, unit: &Unit) -> f64 {
    match power_of_ten(unit.factor) {
        Some(power) => times_ten(si, -power),
        None => si / unit.factor,
    }
}

/// A value times the size of its unit. Multiplying by 1e-6 rounds twice and turns 100 uA into
/// 9.999999999999999e-5 A; dividing by the exact million rounds once.
pub(crate) fn scaled(value: f64, factor: f64) -> f64 {
    match power_of_ten(factor) {
        Some(power) => times_ten(value, power),
        None => value * factor,
    }
}

/// The exponent of a factor that is a power of ten but for rounding; powers up to 22 only, which are exact.
fn power_of_ten(factor: f64) -> Option<i32> {
    let power = log10(factor).round();
    let exact = power.abs() <= 22.0 && (times_ten(1.0, power as i32) / factor - 1.0).abs() < 1e-14;
    exact.then_some(power as i32)
}

fn times_ten(value: f64, power: i32) -> f64 {
    let mut ten = 1.0;
    for _ in 0..power.unsigned_abs() {
        ten *= 10.0;
    }
    if power < 0 { value / ten } else { value * ten }
}
