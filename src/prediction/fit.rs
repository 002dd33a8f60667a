//! The second opinion: how well can a candidate curve, stretched as hands stretch, be laid over
//! the drawn one? Least squares over x-scale and y-scale, with a small penalty for stretching.

use super::pictures::Freedom;
use super::resample::{EvenCurve, PLACES};
use crate::numerics::elementary::{exp, log};
use crate::numerics::order::within;

/// Every so many places of the drawn curve are compared.
const STRIDE: usize = 2;
/// Steps of the x-scale.
const STEPS: usize = 23;
/// The y-scales tried, as shares of the one that least squares without tolerance gives.
const NEARBY: [f64; 3] = [0.93, 1.0, 1.07];
/// A drawn value may belong to any place this near (in compared places): hands are not that exact.
const REACH: usize = 2;
/// Price of stretching along x, for each unit of the logarithm of the scale.
const STRETCH_PRICE: f64 = 0.06;
/// Price of stretching along y.
const HEIGHT_PRICE: f64 = 0.02;

/// Far above what rounding does to a sum, and far below any distance that matters.
const LEEWAY: f64 = 1e-9;

/// How a candidate fits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Fit {
    /// Root mean square distance as a share of `swing`.
    pub(super) residual: f64,
    /// The residual with the price of stretching: what candidates are compared by.
    pub(super) cost: f64,
    /// x-scale of the best fit: above one when the drawn curve is stretched.
    pub(super) x_scale: f64,
    /// y-scale of the best fit.
    pub(super) y_scale: f64,
}

/// A candidate on even places of a stretch wide enough for every x-scale.
#[derive(Debug, Clone)]
pub(super) struct Candidate {
    pub(super) curve: EvenCurve,
    pub(super) freedom: Freedom,
}

/// The range of x that a candidate must be known on, for its freedom.
pub(super) fn needed(from: f64, to: f64, freedom: Freedom) -> (f64, f64) {
    let least = freedom.x.0.min(1.0);
    (from.min(from / least), to.max(to / least))
}

/// Lays a candidate over a drawn curve. `ends` are the foot and the top of the axis in the units
/// of the curves' values: beyond them neither can be drawn. `swing` is what residuals are
/// measured against.
pub(super) fn fit(drawn: &EvenCurve, candidate: &Candidate, ends: (f64, f64), swing: f64) -> Fit {
    let freedom = candidate.freedom;
    let mut best = Fit {
        residual: f64::INFINITY,
        cost: f64::INFINITY,
        x_scale: 1.0,
        y_scale: 1.0,
    };
    let places: Vec<(f64, f64)> = (0..PLACES)
        .step_by(STRIDE)
        .map(|place| (drawn.x(place), drawn.at(place)))
        .collect();
    let count = places.len() as f64;
    // Sum of squared distances beyond what each place's band reaches; given up beyond `most`.
    let distance = |bands: &[(f64, f64)], y_scale: f64, most: f64| -> Option<f64> {
        let mut sum = 0.0;
        for ((_, y), (low, high)) in places.iter().zip(bands) {
            let low = within(low * y_scale, ends.0, ends.1);
            let high = within(high * y_scale, ends.0, ends.1);
            let off = if low > *y {
                low - y
            } else if *y > high {
                y - high
            } else {
                0.0
            };
            sum += off * off;
            if sum > most {
                return None;
            }
        }
        Some(sum)
    };
    let (mut values, mut bands) = (Vec::new(), Vec::new());
    // The candidate as it stands is among those tried: nothing dearer need be followed to its end.
    lay(&places, candidate, 1.0, &mut values, &mut bands);
    let unstretched = distance(&bands, 1.0, f64::INFINITY)
        .map_or(f64::INFINITY, |sum| (sum / count).sqrt() / swing);
    for (x_scale, x_price) in x_scales(freedom.x) {
        lay(&places, candidate, x_scale, &mut values, &mut bands);
        for y_scale in y_scales(&places, &values, freedom.y) {
            let y_price = price(HEIGHT_PRICE, freedom.y) * log(y_scale).abs();
            let room = best.cost.min(unstretched) - x_price - y_price;
            let reach = room.max(0.0) * swing + LEEWAY;
            let most = reach * reach * count;
            let Some(sum) = distance(&bands, y_scale, most) else {
                continue;
            };
            let residual = (sum / count).sqrt() / swing;
            let cost = residual + x_price + y_price;
            if cost < best.cost {
                best = Fit {
                    residual,
                    cost,
                    x_scale,
                    y_scale,
                };
            }
        }
    }
    best
}

/// The candidate's values at the places of the drawn curve, stretched, and the band that each
/// place's neighbours span.
fn lay(
    places: &[(f64, f64)],
    candidate: &Candidate,
    x_scale: f64,
    values: &mut Vec<f64>,
    bands: &mut Vec<(f64, f64)>,
) {
    values.clear();
    values.extend(
        places
            .iter()
            .map(|(x, _)| candidate.curve.at_x(x / x_scale)),
    );
    bands.clear();
    bands.extend((0..values.len()).map(|index| {
        let near = index.saturating_sub(REACH)..(index + REACH + 1).min(values.len());
        values.get(near).unwrap_or_default().iter().fold(
            (f64::INFINITY, f64::NEG_INFINITY),
            |(low, high), &value| {
                (
                    if value < low { value } else { low },
                    if value > high { value } else { high },
                )
            },
        )
    }));
}

/// What stretching costs: where the belief fixes no scale, no scale is dear.
fn price(full: f64, range: (f64, f64)) -> f64 {
    if range.1 > 2.0 { full / 4.0 } else { full }
}

/// Scales from one end to the other in equal ratios, each with its price. One itself is always
/// among them.
fn x_scales(range: (f64, f64)) -> Vec<(f64, f64)> {
    let (low, high) = (log(range.0), log(range.1));
    let price = price(STRETCH_PRICE, range);
    let mut all: Vec<(f64, f64)> = (0..STEPS)
        .map(|step| low + (high - low) * step as f64 / (STEPS - 1) as f64)
        .map(|logarithm| (exp(logarithm), price * logarithm.abs()))
        .collect();
    all.push((1.0, 0.0));
    all
}

/// One, and scales about the one of least squares.
fn y_scales(places: &[(f64, f64)], values: &[f64], range: (f64, f64)) -> [f64; 4] {
    let (mut across, mut own) = (0.0, 0.0);
    for ((_, y), value) in places.iter().zip(values) {
        across += y * value;
        own += value * value;
    }
    let best = if own > 0.0 { across / own } else { 1.0 };
    let [less, same, more] = NEARBY.map(|share| within(share * best, range.0, range.1));
    [1.0, less, same, more]
}
