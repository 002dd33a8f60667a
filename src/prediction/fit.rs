//! The second opinion: how well can a candidate curve, stretched as hands stretch, be laid over
//! the drawn one? Least squares over x-scale and y-scale, with a small penalty for stretching.

use super::pictures::Freedom;
use super::resample::{EvenCurve, PLACES};

/// Every so many places of the drawn curve are compared.
const STRIDE: usize = 2;
/// Steps of the x-scale and of the y-scale.
const STEPS: (usize, usize) = (23, 13);
/// A drawn value may belong to any place this near (in compared places): hands are not that exact.
const REACH: usize = 2;
/// Price of stretching along x, for each unit of the logarithm of the scale.
const STRETCH_PRICE: f64 = 0.06;
/// Price of stretching along y.
const HEIGHT_PRICE: f64 = 0.02;

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
    for (x_scale, x_price) in scales(freedom.x, STEPS.0, STRETCH_PRICE) {
        let values: Vec<f64> = places
            .iter()
            .map(|(x, _)| candidate.curve.at_x(x / x_scale))
            .collect();
        let bands: Vec<(f64, f64)> = (0..values.len())
            .map(|index| {
                let from = index.saturating_sub(REACH);
                values
                    .iter()
                    .skip(from)
                    .take(index + REACH - from + 1)
                    .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), &value| {
                        (low.min(value), high.max(value))
                    })
            })
            .collect();
        for (y_scale, y_price) in scales(freedom.y, STEPS.1, HEIGHT_PRICE) {
            let mut sum = 0.0;
            for ((_, y), (low, high)) in places.iter().zip(&bands) {
                let low = (low * y_scale).clamp(ends.0, ends.1);
                let high = (high * y_scale).clamp(ends.0, ends.1);
                let off = (low - y).max(y - high).max(0.0);
                sum += off * off;
            }
            let residual = (sum / places.len() as f64).sqrt() / swing;
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

/// Scales from one end to the other in equal ratios, each with its price. One itself is always
/// among them.
fn scales(range: (f64, f64), steps: usize, price: f64) -> Vec<(f64, f64)> {
    use crate::numerics::elementary::{exp, log};
    let (low, high) = (log(range.0), log(range.1));
    // Where the belief fixes no scale, no scale is dear.
    let free = range.1 > 2.0;
    let price = if free { price / 4.0 } else { price };
    let mut all: Vec<(f64, f64)> = (0..steps)
        .map(|step| low + (high - low) * step as f64 / (steps - 1) as f64)
        .map(|logarithm| (exp(logarithm), price * logarithm.abs()))
        .collect();
    all.push((1.0, 0.0));
    all
}
