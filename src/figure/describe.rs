//! A chart in words, for readers who do not see it: from features of the computed curves, never
//! from a list of points. Of a reader's sketch only its extent is said; judging it is not a
//! drawing's business.

use super::axis::Axis;
use super::chart::Chart;
use super::series::Series;
use super::theme::Role;
use super::ticks::number;
use crate::decimal::power;
use crate::numerics::elementary;
use crate::numerics::order::sort_short_by;

mod features;

pub use super::table::{DataTable, MOST_ROWS, csv};
pub use features::{Features, features};

/// A minimum below this share of the greatest magnitude is called zero: a sampled cusp misses it
/// by as much.
const ZERO: f64 = 0.015;

/// A number with three significant figures, as a reader reads it off.
///
/// ```
/// use coldfringe::figure::describe::figures;
/// assert_eq!(figures(0.9994), "0.999");
/// assert_eq!(figures(0.9996), "1.00");
/// ```
#[must_use]
pub fn figures(value: f64) -> String {
    let size = value.abs();
    if !value.is_finite() {
        return "no value".to_owned();
    }
    if size < 1e-9 {
        return "0".to_owned();
    }
    // That of the number when it has been rounded.
    let decade = elementary::log10(size * 1.0005).floor();
    if (-4.0..6.0).contains(&decade) {
        number(value, (2.0 - decade).clamp(0.0, 6.0) as usize)
    } else {
        power(value, 2).replace('-', "\u{2212}")
    }
}

/// A number with its unit.
fn with_unit(value: f64, axis: &Axis) -> String {
    let text = figures(value);
    if axis.unit().is_empty() {
        text
    } else {
        format!("{text} {}", axis.unit())
    }
}

/// A place along an axis or a distance there, to a few thousandths of the axis: a sampled curve
/// knows no better.
fn place(value: f64, axis: &Axis) -> String {
    let decimals = 2.0 - elementary::log10(axis.to() - axis.from()).floor();
    number(value, decimals.clamp(0.0, 12.0) as usize)
}

/// The same with its unit.
fn place_with_unit(value: f64, axis: &Axis) -> String {
    if axis.unit().is_empty() {
        place(value, axis)
    } else {
        format!("{} {}", place(value, axis), axis.unit())
    }
}

/// How far the places are apart, in words.
fn spacing(places: &[f64], axis: &Axis) -> Option<String> {
    let mut gaps: Vec<f64> = places.windows(2).map(|pair| pair[1] - pair[0]).collect();
    sort_short_by(&mut gaps, f64::total_cmp);
    let (least, most) = (*gaps.first()?, *gaps.last()?);
    let middle = gaps[gaps.len() / 2];
    if most - least < 0.04 * most {
        Some(format!("{} apart", place_with_unit(middle, axis)))
    } else {
        Some(format!(
            "from {} to {} apart, most often {}",
            place(least, axis),
            place_with_unit(most, axis),
            place(middle, axis)
        ))
    }
}

/// A count and a noun.
fn counted(count: usize, one: &str, more: &str) -> String {
    match count {
        0 => format!("no {more}"),
        1 => format!("one {one}"),
        _ => format!("{count} {more}"),
    }
}

/// One curve in words.
#[must_use]
pub fn curve(series: &Series, x: &Axis, y: &Axis) -> String {
    let name = if series.name.is_empty() {
        y.label()
    } else {
        &series.name
    };
    let Some(found) = features(series, x) else {
        return format!("{name}: nothing is drawn.");
    };
    let (highest, lowest) = (found.highest, found.lowest);
    if series.role == Role::Sketch {
        return format!(
            "{name}: between {} and {}.",
            figures(lowest.1),
            with_unit(highest.1, y)
        );
    }
    if series.role == Role::Recorded {
        // To read it is the reader's part; the table has every point.
        return format!(
            "{name}: {} points with noise, between {} and {}.",
            series.points.len(),
            figures(lowest.1),
            with_unit(highest.1, y)
        );
    }
    let magnitude = highest.1.abs().max(lowest.1.abs());
    if highest.1 - lowest.1 <= 1e-6 * magnitude {
        return format!("{name}: {} everywhere.", with_unit(highest.1, y));
    }
    let mut parts = vec![format!(
        "largest {} at {}",
        with_unit(highest.1, y),
        place_with_unit(highest.0, x)
    )];
    if lowest.1 < -ZERO * magnitude {
        parts.push(format!(
            "least {} at {}",
            figures(lowest.1),
            place(lowest.0, x)
        ));
    }
    if !found.minima.is_empty() {
        let zeros = found
            .minima
            .iter()
            .filter(|place| place.1.abs() < ZERO * magnitude)
            .count();
        let count = found.minima.len();
        let kind = if zeros == count {
            format!(
                "{}, where it reaches zero",
                counted(count, "minimum", "minima")
            )
        } else if zeros == 0 {
            let least = found
                .minima
                .iter()
                .map(|at| at.1)
                .fold(f64::INFINITY, f64::min);
            let most = found
                .minima
                .iter()
                .map(|at| at.1)
                .fold(f64::NEG_INFINITY, f64::max);
            let depth = if most - least < 0.02 * magnitude {
                with_unit(least, y)
            } else {
                format!("{} to {}", figures(least), with_unit(most, y))
            };
            format!("{} at {depth}", counted(count, "minimum", "minima"))
        } else {
            format!(
                "{}, {zeros} of them at zero",
                counted(count, "minimum", "minima")
            )
        };
        parts.push(kind);
        let places: Vec<f64> = found.minima.iter().map(|at| at.0).collect();
        if let Some(apart) = spacing(&places, x) {
            parts.push(format!("the minima are {apart}"));
        }
    }
    let side = found
        .maxima
        .iter()
        .filter(|at| at.1 < 0.95 * highest.1)
        .map(|at| at.1)
        .fold(f64::NEG_INFINITY, f64::max);
    if side > 0.0 && highest.1 > 0.0 {
        parts.push(format!(
            "the largest of the lower maxima is {}",
            with_unit(side, y)
        ));
    }
    if !found.crossings.is_empty() {
        parts.push(format!(
            "{} through zero",
            counted(found.crossings.len(), "passage", "passages")
        ));
    }
    if !found.jumps.is_empty() {
        let apart = spacing(&found.jumps, x).map_or_else(String::new, |words| format!(", {words}"));
        parts.push(format!(
            "{}{apart}",
            counted(found.jumps.len(), "jump", "jumps")
        ));
    }
    match found.mirrored {
        Some(true) => parts.push("left and right are alike".to_owned()),
        Some(false) => parts.push("left and right are alike with opposite sign".to_owned()),
        None => {}
    }
    format!("{name}: {}.", parts.join("; "))
}

/// A whole chart in words: its axes, then each named curve.
#[must_use]
pub fn chart(chart: &Chart) -> String {
    let (x, y) = (&chart.x, &chart.y);
    let mut text = format!(
        "{} from {} to {}, against {} from {} to {}.",
        y.label(),
        figures(y.from()),
        with_unit(y.to(), y),
        x.label(),
        figures(x.from()),
        with_unit(x.to(), x)
    );
    for series in &chart.series {
        if !series.name.is_empty() || chart.series.len() == 1 {
            text.push(' ');
            text.push_str(&curve(series, x, y));
        }
    }
    text
}
