//! From a pattern back to a profile: what current density across a junction gives the critical current that
//! was measured against flux.
//!
//! Only the size of the Fourier transform is measured, so the way back is open only for a density that is the same
//! from both edges. Its transform is real: it changes sign at every simple zero, and the sign is put back by turning
//! over every other lobe; then a cosine transform gives the density,
//!
//! ```text
//! j(x) = 2 integral from 0 to F of S(f) cos(2 pi f x) df
//! ```
//!
//! with x in widths of the junction and f the flux through it in flux quanta. The scan ends at F, so detail finer than
//! `1/(2 F)` of the width is lost, and steps ring. A density and its mirror image have the same pattern; one that is
//! neither its own mirror image nor close to it gives minima that do not reach zero, and is not found this way: that is
//! measured and said. Source: R. C. Dynes and T. A. Fulton, Phys. Rev. B 3, 3015 (1971) (from memory).

use crate::numerics::elementary::cos;

use core::f64::consts::TAU;

/// A minimum that stays above this share of the maximum is taken as not reaching zero. Symmetric profiles scanned with
/// eight points to a flux quantum or more come out below it.
pub const LIFTED: f64 = 0.01;

/// A profile won back from a pattern.
#[derive(Debug, Clone, PartialEq)]
pub struct Reconstruction {
    step: f64,
    /// The pattern with its signs, from no flux upwards.
    signed: Vec<f64>,
    turned: usize,
    lifted: f64,
}

impl Reconstruction {
    /// From critical currents at flux 0, `step`, 2 `step`, … (flux quanta through the junction, `step` at most a half).
    /// None for fewer than five values or a step that is no such number.
    #[must_use]
    pub fn new(step: f64, pattern: &[f64]) -> Option<Self> {
        let usable = step > 0.0
            && step <= 0.5
            && pattern.len() >= 5
            && pattern.iter().all(|value| value.is_finite());
        if !usable {
            return None;
        }
        let largest = pattern.iter().copied().fold(f64::MIN_POSITIVE, f64::max);
        let (mut turned, mut lifted, mut sign) = (0, 0.0_f64, 1.0);
        let mut signed: Vec<f64> = pattern.iter().map(|value| value.abs()).collect();
        for place in 1..pattern.len() - 1 {
            let (before, here, after) = (
                pattern[place - 1].abs(),
                pattern[place].abs(),
                pattern[place + 1].abs(),
            );
            let mut own = sign;
            if here < before && here <= after {
                lifted = f64::max(lifted, rest(pattern, place) / largest);
                if let Some(from) = turning(pattern, place) {
                    sign = -sign;
                    turned += 1;
                    if from == place {
                        own = sign;
                    }
                }
            }
            signed[place] = own * here;
        }
        if let Some(last) = signed.last_mut() {
            *last *= sign;
        }
        if end_turns(&signed) {
            turned += 1;
            if let Some(last) = signed.last_mut() {
                *last = -*last;
            }
        }
        Some(Self {
            step,
            signed,
            turned,
            lifted,
        })
    }

    /// The pattern with its signs put back.
    #[must_use]
    pub fn signed(&self) -> &[f64] {
        &self.signed
    }

    /// How many zeros the sign was turned at.
    #[must_use]
    pub fn turned(&self) -> usize {
        self.turned
    }

    /// How far the highest of the minima stays from zero, as a share of the maximum. Well above nothing
    /// ([`LIFTED`]), it tells of a density that is not the same from both edges.
    #[must_use]
    pub fn lifted(&self) -> f64 {
        self.lifted
    }

    /// The finest detail that the scan can show, in widths of the junction: `1/(2 F)`.
    #[must_use]
    pub fn resolution(&self) -> f64 {
        0.5 / (self.step * (self.signed.len() - 1) as f64)
    }

    /// The density at `x` (in widths from the middle), in the unit of the pattern for each width. Its integral over one
    /// period, `1/step` widths, is the pattern at zero flux exactly.
    #[must_use]
    pub fn density(&self, x: f64) -> f64 {
        // Trapezoids: half of the first and of the last value. Clenshaw's recurrence sums the cosines.
        let twice = 2.0 * cos(TAU * (self.step * x - (self.step * x).round()));
        let last = self.signed.len() - 1;
        let (mut one, mut two) = (0.0, 0.0);
        for (place, value) in self.signed.iter().enumerate().skip(1).rev() {
            let weight = if place == last { 1.0 } else { 2.0 };
            (one, two) = (weight * value + twice * one - two, one);
        }
        let zero = self.signed.first().copied().unwrap_or(0.0);
        self.step * (zero + 0.5 * twice * one - two)
    }
}

/// Where the sign turns at a dip: at `place` or at the next value; none where the pattern only touches zero. The choice
/// that makes the signed values run most smoothly, by their third differences.
fn turning(pattern: &[f64], place: usize) -> Option<usize> {
    let from = place.saturating_sub(3);
    let to = (place + 4).min(pattern.len());
    let rough = |turn: usize| {
        let value = |k: usize| {
            let size = pattern[k].abs();
            if k >= turn { -size } else { size }
        };
        (from..to.saturating_sub(3))
            .map(|k| {
                let third = value(k + 3) - 3.0 * value(k + 2) + 3.0 * value(k + 1) - value(k);
                third * third
            })
            .sum::<f64>()
    };
    let none = rough(usize::MAX);
    let (here, next) = (rough(place), rough(place + 1));
    if none <= here.min(next) {
        None
    } else if here < next {
        Some(place)
    } else {
        Some(place + 1)
    }
}

/// Whether the sign turns just before the last value, where no dip can be seen: a cubic through the four values before,
/// their signs put back, runs on to the other side.
fn end_turns(signed: &[f64]) -> bool {
    let [.., one, two, three, four, last] = signed else {
        return false;
    };
    let runs_on = 4.0 * (four + two) - 6.0 * three - one;
    last.abs() < four.abs() && runs_on * last < 0.0
}

/// How far a dip stays from zero between the points: the square of the pattern is smooth, zeros or not, so a
/// polynomial through it at nine points (fewer in a shorter scan) tells where its least value lies. Five are too few for
/// a profile with its current at the edges, scanned with eight points to a flux quantum.
fn rest(pattern: &[f64], place: usize) -> f64 {
    let points = pattern.len().min(9);
    let first = place.saturating_sub(4).min(pattern.len() - points);
    let squares: Vec<f64> = pattern[first..first + points]
        .iter()
        .map(|value| value * value)
        .collect();
    let at = |t: f64| {
        let mut sum = 0.0;
        for (k, value) in squares.iter().enumerate() {
            let mut term = *value;
            for other in 0..points {
                if other != k {
                    term *= (t - other as f64) / (k as f64 - other as f64);
                }
            }
            sum += term;
        }
        sum
    };
    let middle = (place - first) as f64;
    let least = (0..=80)
        .map(|k| at(middle - 1.0 + f64::from(k) / 40.0))
        .fold(f64::INFINITY, f64::min);
    least.max(0.0).sqrt()
}

/// Share of a jump by which a reconstructed step overshoots on either side, however far the scan: `Si(pi)/pi - 1/2`.
/// Source: J. W. Gibbs, Nature 59, 606 (1899) (from memory); the tests compute it.
pub const OVERSHOOT: f64 = 0.089_489_872_236_083_64;
