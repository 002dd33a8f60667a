//! Junctions side by side around holes, without screening: phasors adding. Each junction is a
//! phasor with its critical current as length; between neighbours it turns by 2 pi for each flux
//! quantum in the hole between them. The critical current is the length of the sum.
//!
//! Sources: derivation from current conservation and a single-valued phase; for two junctions, see
//! A. Barone and G. Paternò, "Physics and Applications of the Josephson Effect" (1982), chapter 12
//! (from memory).

use crate::numerics::elementary::{cos_pi, sin_cos, sin_pi, sinc};

use core::f64::consts::PI;

/// Critical current of two junctions with critical currents `left` and `right`, with `f` flux
/// quanta in the loop: `| left e^(i pi f) + right e^(-i pi f) |`, in the unit of the two.
#[must_use]
pub fn pair(left: f64, right: f64, f: f64) -> f64 {
    // Sum of the squares of (left + right) cos and (left - right) sin keeps accuracy at the minima.
    let together = (left + right) * cos_pi(f);
    let apart = (left - right) * sin_pi(f);
    (together * together + apart * apart).sqrt()
}

/// The same with junctions of finite width: every junction has its own pattern, `|sinc|` of the
/// flux `in_junction` through it.
#[must_use]
pub fn wide_pair(left: f64, right: f64, in_loop: f64, in_junction: f64) -> f64 {
    pair(left, right, in_loop) * sinc(in_junction).abs()
}

/// Phasors of a row of junctions: real and imaginary part of each, in the unit of `currents`, which holds each
/// junction's critical current from left to right. `fluxes` are the flux quanta in the holes between them, one fewer.
/// The phases are counted from the middle of the row, so that the phasors stay symmetric for a symmetric row.
#[must_use]
pub fn row(currents: &[f64], fluxes: &[f64]) -> Vec<(f64, f64)> {
    let half: f64 = 0.5 * fluxes.iter().sum::<f64>();
    let mut turned = -half;
    let mut fluxes = fluxes.iter();
    currents
        .iter()
        .map(|current| {
            // Whole turns are taken off first, so that far fields keep their accuracy.
            let (sine, cosine) = sin_cos(2.0 * PI * (turned - turned.round()));
            turned += fluxes.next().copied().unwrap_or(0.0);
            (current * cosine, current * sine)
        })
        .collect()
}

/// Critical current of a row of narrow junctions, in the unit of `currents`.
#[must_use]
pub fn row_critical_current(currents: &[f64], fluxes: &[f64]) -> f64 {
    let (real, imaginary) = row(currents, fluxes)
        .iter()
        .fold((0.0, 0.0), |sum, phasor| {
            (sum.0 + phasor.0, sum.1 + phasor.1)
        });
    f64::sqrt(real * real + imaginary * imaginary)
}

/// The same with junctions of finite width, `in_junction` flux quanta through each.
#[must_use]
pub fn wide_row_critical_current(currents: &[f64], fluxes: &[f64], in_junction: f64) -> f64 {
    row_critical_current(currents, fluxes) * sinc(in_junction).abs()
}

/// Mean over all fields of the square of a row's critical current, narrow junctions, as a share of the square of its
/// maximum. By Parseval's theorem the cross terms vanish, however the holes are made: 1/N for N equal junctions.
#[must_use]
pub fn row_mean_square(currents: &[f64]) -> f64 {
    let sum: f64 = currents.iter().sum();
    let squares: f64 = currents.iter().map(|current| current * current).sum();
    squares / (sum * sum)
}
