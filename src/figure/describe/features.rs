//! What a computed curve shows: extremes, zeros, jumps and symmetry.

use super::super::axis::Axis;
use super::super::series::Series;

/// An extremum must stand out by this share of the curve's range.
const PROMINENCE: f64 = 0.02;

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
