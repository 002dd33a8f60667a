//! What a curve shows, read by rules rather than by a distance: jumps, extrema, spacing, depth,
//! sign, heights, symmetry. Drawn and computed curves go through the same rules.
//!
//! Thresholds follow synthetic hands (no study of real ones is known): an extremum must stand out
//! by a share of the curve's own range *and* by a share of the axis, so that a trembling flat
//! line has none.

use super::jumps::{Step, find_jumps};
use super::resample::{EvenCurve, PLACES};
use crate::numerics::order::sort_short_by;

/// An extremum must stand out by this share of the axis at least.
pub(super) const LEAST_PROMINENCE: f64 = 0.05;
/// Extrema nearer to an end than this many places are not read.
const MARGIN: usize = PLACES * 3 / 100;
/// Half of the smoothing window (2 % of the axis).
const HALF_WINDOW: usize = 4;
/// Values below minus this share of the greatest magnitude count as negative.
const NEGATIVE: f64 = 0.07;

/// A turning point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extremum {
    /// Where.
    pub x: f64,
    /// Its value, as a share of the axis.
    pub y: f64,
    /// Whether it is a maximum.
    pub maximum: bool,
}

/// A step of the curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Jump {
    /// Where.
    pub x: f64,
    /// Value just before, as a share of the axis.
    pub before: f64,
    /// Value just after.
    pub after: f64,
}

/// What a curve shows. Values are shares of the axis' extent; places are in the axis' unit.
#[derive(Debug, Clone, PartialEq)]
pub struct Features {
    /// Least value.
    pub lowest: f64,
    /// Greatest value.
    pub highest: f64,
    /// Steps, from left to right.
    pub jumps: Vec<Jump>,
    /// Turning points from left to right, ends left out.
    pub extrema: Vec<Extremum>,
    /// Distance from zero to the nearest minimum on either side (mean of both sides).
    pub first_minimum: Option<f64>,
    /// Median distance from one minimum to the next on the same side of zero.
    pub spacing: Option<f64>,
    /// Median height of the minima as a share of the greatest value.
    pub depth: Option<f64>,
    /// Share of the places where the curve is clearly negative.
    pub negative: f64,
    /// Greatest other maximum as a share of the one nearest zero.
    pub side_ratio: Option<f64>,
    /// Least other maximum as a share of the one nearest zero.
    pub last_ratio: Option<f64>,
    /// What the curve does at zero, if zero is on the axis.
    pub origin: Origin,
    /// Share of the range that is gained in jumps, when all of them lead the same way and the
    /// curve climbs (or falls) from end to end: one for flat treads, less for slanting ones.
    pub stairs: Option<f64>,
    /// Mean difference between left and right as a share of the range, when the axis has both.
    pub asymmetry: Option<f64>,
    /// Share of the axis over which the curve is above half of its greatest value: the width of a
    /// curve that is one arch.
    pub breadth: f64,
}

/// What a curve does at x = 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// It has a maximum there (or starts falling from a height, at the left end of the axis).
    Maximum,
    /// It has a minimum there.
    Minimum,
    /// It passes through zero and rises.
    Rises,
    /// It passes through zero and falls.
    Falls,
    /// Nothing that can be read.
    Unclear,
}

impl Features {
    /// Difference of greatest and least value.
    #[must_use]
    pub fn swing(&self) -> f64 {
        self.highest - self.lowest
    }

    /// Greatest magnitude.
    #[must_use]
    pub fn magnitude(&self) -> f64 {
        self.highest.abs().max(self.lowest.abs())
    }

    /// The minima, or the maxima.
    pub fn turning(&self, maximum: bool) -> impl Iterator<Item = &Extremum> {
        self.extrema
            .iter()
            .filter(move |extremum| extremum.maximum == maximum)
    }
}

/// Reads a curve. `prominence` is the share of the curve's range by which an extremum must stand
/// out: 0.12 as a rule, 0.07 where side lobes of a fifth matter.
#[must_use]
pub fn features(curve: &EvenCurve, prominence: f64) -> Features {
    let steps = find_jumps(curve);
    let smooth = smoothed(curve, &steps);
    let (lowest, highest) = smooth.range();
    let swing = highest - lowest;
    let magnitude = highest.abs().max(lowest.abs());
    let extrema = turning_points(&smooth, (prominence * swing).max(LEAST_PROMINENCE));
    let minima: Vec<Extremum> = extrema
        .iter()
        .filter(|extremum| !extremum.maximum)
        .copied()
        .collect();
    let near_zero = 0.04 * (curve.to - curve.from);
    let spacing = {
        let mut steps: Vec<f64> = minima
            .iter()
            .zip(minima.iter().skip(1))
            .filter(|(left, right)| left.x >= -near_zero || right.x <= near_zero)
            .map(|(left, right)| right.x - left.x)
            .collect();
        median(&mut steps)
    };
    let depth = {
        let mut heights: Vec<f64> = minima.iter().map(|minimum| minimum.y).collect();
        median(&mut heights)
            .filter(|_| highest > LEAST_PROMINENCE)
            .map(|height| height / highest)
    };
    let negative = smooth
        .values
        .iter()
        .filter(|&&value| value < -NEGATIVE * magnitude && value < -0.5 * LEAST_PROMINENCE)
        .count() as f64
        / PLACES as f64;
    let (side_ratio, last_ratio) = side_heights(&smooth, &extrema, near_zero);
    Features {
        lowest,
        highest,
        jumps: steps
            .iter()
            .map(|step| Jump {
                x: f64::midpoint(curve.x(step.from), curve.x(step.to)),
                before: curve.at(step.from),
                after: curve.at(step.to),
            })
            .collect(),
        first_minimum: first_minimum(&minima, near_zero),
        spacing,
        depth,
        negative,
        side_ratio,
        last_ratio,
        origin: at_origin(&smooth, &extrema, near_zero),
        stairs: stairs(&smooth, &steps, swing),
        asymmetry: asymmetry(&smooth, swing),
        breadth: smooth
            .values
            .iter()
            .filter(|&&value| value > 0.5 * highest)
            .count() as f64
            / PLACES as f64,
        extrema,
    }
}

/// Moving mean over 2 % of the axis; it does not reach across a step.
fn smoothed(curve: &EvenCurve, steps: &[Step]) -> EvenCurve {
    let values = (0..PLACES)
        .map(|place| {
            // The same reach to both sides, so that a slope is not bent at the ends.
            let mut reach = HALF_WINDOW.min(place).min(PLACES - 1 - place);
            for step in steps {
                if place <= step.from {
                    reach = reach.min(step.from - place);
                } else if place >= step.to {
                    reach = reach.min(place - step.to);
                } else {
                    reach = 0;
                }
            }
            let window = curve.values.iter().skip(place - reach).take(2 * reach + 1);
            window.sum::<f64>() / (2 * reach + 1) as f64
        })
        .collect();
    EvenCurve {
        from: curve.from,
        to: curve.to,
        values,
    }
}

/// Turning points that stand out by `threshold`, found by the zig-zag rule, each placed at the
/// middle of the stretch in which the curve stays within a fifth of the threshold.
fn turning_points(curve: &EvenCurve, threshold: f64) -> Vec<Extremum> {
    let mut found: Vec<(usize, bool)> = Vec::new();
    let (mut high, mut low) = (0, 0);
    let mut rising = None;
    for place in 0..PLACES {
        let value = curve.at(place);
        if value > curve.at(high) {
            high = place;
        }
        if value < curve.at(low) {
            low = place;
        }
        if rising != Some(false) && value < curve.at(high) - threshold {
            found.push((high, true));
            rising = Some(false);
            low = place;
        } else if rising != Some(true) && value > curve.at(low) + threshold {
            found.push((low, false));
            rising = Some(true);
            high = place;
        }
    }
    found
        .into_iter()
        .map(|(place, maximum)| (plateau(curve, place, threshold / 5.0), place, maximum))
        .filter(|&(middle, place, _)| {
            (MARGIN..PLACES - MARGIN).contains(&(middle.round() as usize))
                && (MARGIN..PLACES - MARGIN).contains(&place)
        })
        .map(|(middle, place, maximum)| Extremum {
            x: curve.from + (curve.to - curve.from) * middle / (PLACES - 1) as f64,
            y: curve.at(place),
            maximum,
        })
        .collect()
}

/// Middle of the stretch round a place in which the curve stays near its value there.
fn plateau(curve: &EvenCurve, place: usize, near: f64) -> f64 {
    let level = curve.at(place);
    let close = |other: &usize| (curve.at(*other) - level).abs() <= near;
    let left = (0..place).rev().take_while(close).last().unwrap_or(place);
    let right = (place..PLACES).take_while(close).last().unwrap_or(place);
    (left + right) as f64 / 2.0
}

fn first_minimum(minima: &[Extremum], near_zero: f64) -> Option<f64> {
    let nearest = |side: f64| {
        minima
            .iter()
            .map(|minimum| minimum.x * side)
            .filter(|&x| x > -near_zero)
            .min_by(f64::total_cmp)
    };
    match (nearest(1.0), nearest(-1.0)) {
        (Some(right), Some(left)) => Some(f64::midpoint(right, left).max(0.0)),
        (right, left) => right.or(left).map(|x| x.max(0.0)),
    }
}

/// Greatest and least of the other maxima against the one nearest to zero.
fn side_heights(
    curve: &EvenCurve,
    extrema: &[Extremum],
    near_zero: f64,
) -> (Option<f64>, Option<f64>) {
    let at_edge = curve.from.abs() <= near_zero;
    let maxima: Vec<&Extremum> = extrema.iter().filter(|extremum| extremum.maximum).collect();
    let centre = if at_edge {
        // At the left end no turning point is read; the curve's own start stands for it.
        curve.at(0)
    } else {
        match maxima.iter().min_by(|a, b| a.x.abs().total_cmp(&b.x.abs())) {
            Some(maximum) => maximum.y,
            None => return (None, None),
        }
    };
    if centre < 2.0 * LEAST_PROMINENCE {
        return (None, None);
    }
    let mut others: Vec<f64> = maxima.iter().map(|maximum| maximum.y / centre).collect();
    sort_short_by(&mut others, f64::total_cmp);
    if !at_edge {
        // The central one is among them; take out one value equal to one.
        if let Some(place) = others.iter().position(|ratio| (ratio - 1.0).abs() < 1e-12) {
            others.remove(place);
        }
    }
    (others.last().copied(), others.first().copied())
}

fn at_origin(curve: &EvenCurve, extrema: &[Extremum], near_zero: f64) -> Origin {
    if curve.from > near_zero || curve.to < -near_zero {
        return Origin::Unclear;
    }
    let reach = 0.1 * (curve.to - curve.from);
    let here = curve.at_x(0.0);
    let right = mean(curve, 0.3 * reach, reach);
    let inside = curve.from < -reach && curve.to > reach;
    if !inside {
        let rise = if curve.from.abs() <= near_zero {
            right - here
        } else {
            here - mean(curve, -reach, -0.3 * reach)
        };
        let low_start = here.abs() < 0.12;
        return match (low_start, rise > 0.03, rise < -0.03) {
            (true, true, _) => Origin::Rises,
            (true, _, true) => Origin::Falls,
            (false, _, true) => Origin::Maximum,
            _ => Origin::Unclear,
        };
    }
    let left = mean(curve, -reach, -0.3 * reach);
    let rise = right - left;
    if here.abs() < 0.12 && rise.abs() > 0.06 && left * right < 0.0 {
        return if rise > 0.0 {
            Origin::Rises
        } else {
            Origin::Falls
        };
    }
    match extrema
        .iter()
        .filter(|extremum| extremum.x.abs() < 1.5 * near_zero)
        .min_by(|a, b| a.x.abs().total_cmp(&b.x.abs()))
    {
        Some(extremum) if extremum.maximum => Origin::Maximum,
        Some(_) => Origin::Minimum,
        None => Origin::Unclear,
    }
}

fn stairs(curve: &EvenCurve, steps: &[Step], swing: f64) -> Option<f64> {
    let climb = curve.at(PLACES - 1) - curve.at(0);
    if steps.is_empty() || climb.abs() < 0.7 * swing {
        return None;
    }
    let risers = steps
        .iter()
        .map(|step| (curve.at(step.to) - curve.at(step.from)) * climb.signum());
    risers
        .clone()
        .all(|riser| riser > 0.0)
        .then(|| risers.sum::<f64>() / swing)
}

fn mean(curve: &EvenCurve, from: f64, to: f64) -> f64 {
    (0..=8)
        .map(|step| curve.at_x(from + (to - from) * f64::from(step) / 8.0))
        .sum::<f64>()
        / 9.0
}

fn asymmetry(curve: &EvenCurve, swing: f64) -> Option<f64> {
    let uneven = (curve.from + curve.to).abs() / (curve.to - curve.from);
    if uneven > 1e-6 || swing < LEAST_PROMINENCE {
        return None;
    }
    let total: f64 = curve
        .values
        .iter()
        .zip(curve.values.iter().rev())
        .map(|(left, right)| (left - right).abs())
        .sum();
    Some(total / PLACES as f64 / swing)
}

fn median(values: &mut [f64]) -> Option<f64> {
    sort_short_by(values, f64::total_cmp);
    let middle = values.len() / 2;
    let upper = values.get(middle).copied()?;
    if values.len() % 2 == 1 {
        Some(upper)
    } else {
        values
            .get(middle - 1)
            .map(|lower| f64::midpoint(*lower, upper))
    }
}
