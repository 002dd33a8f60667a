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

pub use super::table::{DataTable, MOST_ROWS, csv};

/// An extremum must stand out by this share of the curve's range.
const PROMINENCE: f64 = 0.02;

/// A minimum below this share of the greatest magnitude is called zero: a sampled cusp misses it
/// by as much.
const ZERO: f64 = 0.015;

/// What a computed curve shows. Lengths are in the axes' units.
#[derive(Debug, Clone, PartialEq)]
pub struct Features {
    /// The greatest value and where.
    pub highest: (f64, f64),
    /// The least value and where.
    pub lowest: (f64, f64),
    /// Places and values of the minima inside, x rising.
    pub minima: Vec<(f64, f64)>,
    /// Places and values of the maxima inside, x rising.
    pub maxima: Vec<(f64, f64)>,
    /// Places where the curve goes from one sign to the other, jumps not counted.
    pub crossings: Vec<f64>,
    /// Places of the jumps.
    pub jumps: Vec<f64>,
    /// Whether left and right mirror each other about zero (`Some(true)`), do so with opposite
    /// sign (`Some(false)`), or neither.
    pub mirrored: Option<bool>,
}

/// The parts of a curve between gaps and jumps, inside the x axis; and where the jumps are.
fn runs(series: &Series, x: &Axis) -> (Vec<Vec<(f64, f64)>>, Vec<f64>) {
    let mut runs: Vec<Vec<(f64, f64)>> = vec![Vec::new()];
    let mut jumps = Vec::new();
    for &point in &series.points {
        let edge = (x.to() - x.from()) * 1e-9;
        if !(point.0 >= x.from() - edge && point.0 <= x.to() + edge && point.1.is_finite()) {
            runs.push(Vec::new());
            continue;
        }
        let last = runs.last().and_then(|run| run.last()).copied();
        if let Some((at, before)) = last
            && at >= point.0
            && (before - point.1).abs() > 0.0
        {
            jumps.push(point.0);
            runs.push(Vec::new());
        }
        if let Some(run) = runs.last_mut() {
            run.push(point);
        }
    }
    runs.retain(|run| !run.is_empty());
    (runs, jumps)
}

/// Places and values.
type Places = Vec<(f64, f64)>;

/// Minima and maxima of a run that stand out by `least`: the run is followed, and a turn is settled
/// once the curve has come back from it by that much.
fn turns(run: &[(f64, f64)], least: f64) -> (Places, Places) {
    let (mut minima, mut maxima) = (Vec::new(), Vec::new());
    let Some(&first) = run.first() else {
        return (minima, maxima);
    };
    let (mut low, mut high) = (first, first);
    // Until the first clear move neither direction is known; an end is no turning point.
    let mut rising: Option<bool> = None;
    for &point in run {
        if point.1 < low.1 {
            low = point;
        }
        if point.1 > high.1 {
            high = point;
        }
        if rising != Some(false) && high.1 - point.1 > least {
            if rising == Some(true) || high.0 > first.0 {
                maxima.push(high);
            }
            rising = Some(false);
            low = point;
        } else if rising != Some(true) && point.1 - low.1 > least {
            if rising == Some(false) || low.0 > first.0 {
                minima.push(low);
            }
            rising = Some(true);
            high = point;
        }
    }
    (minima, maxima)
}

/// Reads the features of a computed curve; none when it has no point on the axis.
#[must_use]
pub fn features(series: &Series, x: &Axis) -> Option<Features> {
    let (runs, jumps) = runs(series, x);
    let all = || runs.iter().flatten().copied();
    let highest = all().max_by(|a, b| a.1.total_cmp(&b.1))?;
    let lowest = all().min_by(|a, b| a.1.total_cmp(&b.1))?;
    let range = highest.1 - lowest.1;
    let (mut minima, mut maxima, mut crossings) = (Vec::new(), Vec::new(), Vec::new());
    for run in &runs {
        let (low, high) = turns(run, range * PROMINENCE);
        minima.extend(low.into_iter().map(|place| touched(run, place)));
        maxima.extend(high);
        // A point on zero itself takes the sign before it.
        let mut sign = 0.0;
        let mut before = (f64::NAN, 0.0);
        for &point in run {
            let here = if point.1 == 0.0 {
                0.0
            } else {
                point.1.signum()
            };
            if here * sign < 0.0 {
                let share = before.1 / (before.1 - point.1);
                crossings.push(before.0 + share * (point.0 - before.0));
            }
            if here != 0.0 {
                sign = here;
            }
            before = point;
        }
    }
    Some(Features {
        highest,
        lowest,
        minima,
        maxima,
        crossings,
        jumps,
        mirrored: mirrored(series, x, range),
    })
}

/// A minimum, set to zero where the curve is a cusp on zero that the samples straddle: then its
/// value is at most half the step to the farther neighbour.
fn touched(run: &[(f64, f64)], place: (f64, f64)) -> (f64, f64) {
    let step = run
        .windows(3)
        .find(|three| three[1].0.to_bits() == place.0.to_bits())
        .map_or(0.0, |three| {
            (three[0].1 - three[1].1).max(three[2].1 - three[1].1)
        });
    if place.1 > 0.0 && place.1 <= 0.55 * step {
        (place.0, 0.0)
    } else {
        place
    }
}

/// See [`Features::mirrored`].
fn mirrored(series: &Series, x: &Axis, range: f64) -> Option<bool> {
    let reach = x.to().min(-x.from());
    if reach <= 0.0 || range <= 0.0 {
        return None;
    }
    let (mut even, mut odd, mut count) = (0.0, 0.0, 0.0);
    for step in 1..60 {
        let at = reach * (f64::from(step) + 0.37) / 60.5;
        if let (Some(right), Some(left)) = (series.at(at), series.at(-at)) {
            even += (right - left).abs();
            odd += (right + left).abs();
            count += 1.0;
        }
    }
    let close = |total: f64| count > 20.0 && total / count < 0.01 * range;
    if close(even) {
        Some(true)
    } else if close(odd) {
        Some(false)
    } else {
        None
    }
}

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
