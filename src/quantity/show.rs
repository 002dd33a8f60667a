//! A value said back to the reader: `2.07 fWb`.

use super::symbols::{raised, shown_unit};
use crate::decimal::fixed;
use crate::numerics::elementary::{log10, pow};

const STEPS: &[(i32, &str)] = &[
    (-21, "z"),
    (-18, "a"),
    (-15, "f"),
    (-12, "p"),
    (-9, "n"),
    (-6, "µ"),
    (-3, "m"),
    (0, ""),
    (3, "k"),
    (6, "M"),
    (9, "G"),
    (12, "T"),
];

/// A value in SI base units with an engineering prefix and so many significant figures, as it is
/// shown to people. [`parse_quantity`](super::parse_quantity) reads it again.
///
/// `unit_si` is the unit without prefix as the command prints it: `Wb`, `A`, `m^2`, `Phi0`,
/// `Phi0/sqrt(Hz)`, or empty for a pure number. The prefix goes to the first symbol (squared with
/// it: `181 nm`, `1.81 µm²`). Pure numbers, flux quanta between a thousandth and ten thousand, and
/// what no prefix reaches have none. A pure number that is whole has no digits behind the point.
///
/// ```
/// use coldfringe::quantity::show;
/// assert_eq!(show(2.067_833_8e-15, "Wb", 3), "2.07 fWb");
/// assert_eq!(show(1.81e-12, "m^2", 3), "1.81 µm²");
/// assert_eq!(show(0.5, "Phi0", 2), "0.50 Φ₀");
/// assert_eq!(show(1.04e-31, "J/Hz", 3), "1.04·10⁻³¹ J/Hz");
/// assert_eq!(show(33.0, "", 4), "33");
/// ```
#[must_use]
pub fn show(si: f64, unit_si: &str, figures: u32) -> String {
    let figures = figures.clamp(1, 17);
    let words = shown_unit(unit_si);
    if !si.is_finite() {
        return "no number".to_string();
    }
    if words.is_empty() {
        return printed(counted(si, figures));
    }
    if si.abs() <= 0.0 {
        return format!("0 {words}");
    }
    let size = si.abs();
    let quanta = unit_si.starts_with("Phi0");
    if quanta && (1e-3..1e4).contains(&size) {
        return format!("{} {words}", digits(si, figures));
    }
    // The exponent of the first symbol is the exponent of its prefix.
    let squared = unit_si.starts_with("m^2") || unit_si.starts_with("V^2");
    let power = if squared { 2 } else { 1 };
    // Rounding first: 999.7 with three figures is 1.00 of the next prefix.
    let rounded = round_to(size, figures);
    let reached = STEPS
        .iter()
        .rev()
        .find(|(exponent, _)| rounded >= pow(10.0, f64::from(exponent * power)) * (1.0 - 1e-12));
    let (exponent, prefix) = reached.copied().unwrap_or((0, ""));
    let scaled = si / pow(10.0, f64::from(exponent * power));
    format!("{} {prefix}{words}", digits(scaled, figures))
}

/// A number with so many significant figures as it is shown to people; powers of ten only where
/// plain digits would mislead.
#[must_use]
pub fn digits(value: f64, figures: u32) -> String {
    printed(significant(value, figures))
}

/// A number with so many significant figures as it is typed on a keyboard: `-1.04e-31`. A whole
/// one has no digits behind the point.
#[must_use]
pub fn typed(value: f64, figures: u32) -> String {
    match counted(value, figures) {
        (digits, Some(power)) => format!("{digits}e{power}"),
        (digits, None) => digits,
    }
}

/// Digits, and the power of ten that they are to be multiplied by.
type Written = (String, Option<i32>);

/// In print: a true minus sign, and the power of ten written out.
fn printed((digits, power): Written) -> String {
    let digits = digits.replace('-', "\u{2212}");
    match power {
        Some(power) => {
            let small = raised(power < 0, &power.unsigned_abs().to_string());
            format!("{digits}·10{small}")
        }
        None => digits,
    }
}

/// What is counted is whole: 33 fringes, not 33.00.
fn counted(value: f64, figures: u32) -> Written {
    let has_room = value.abs() < pow(10.0, f64::from(figures));
    if has_room && (value - value.round()).abs() <= 0.0 {
        (fixed(value.round() + 0.0, 0), None)
    } else {
        significant(value, figures)
    }
}

fn round_to(size: f64, figures: u32) -> f64 {
    let step = pow(
        10.0,
        log10(size).floor() - f64::from(figures.saturating_sub(1)),
    );
    if step > 0.0 {
        (size / step).round() * step
    } else {
        size
    }
}

fn significant(value: f64, figures: u32) -> Written {
    if value.abs() <= 0.0 {
        return ("0".to_string(), None);
    }
    let rounded = round_to(value.abs(), figures);
    let magnitude = log10(rounded * (1.0 + 1e-14)).floor();
    if !(-4.0..7.0).contains(&magnitude) {
        let mantissa = value / pow(10.0, magnitude);
        let places = figures.saturating_sub(1) as usize;
        return (fixed(mantissa, places), Some(magnitude as i32));
    }
    let mut places = 0;
    let mut have = magnitude + 1.0;
    while have < f64::from(figures) {
        places += 1;
        have += 1.0;
    }
    let step = if have > f64::from(figures) {
        pow(10.0, have - f64::from(figures))
    } else {
        1.0
    };
    let value = if step > 1.0 {
        (value / step).round() * step
    } else {
        value
    };
    (fixed(value, places), None)
}
