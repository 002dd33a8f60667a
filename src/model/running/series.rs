//! One step of the running state: the power series in time of both phases and of how they move with where
//! the turn began, with the flux and with the bias.

use crate::model::shunted_loop::ShuntedLoop;
use crate::numerics::elementary::pow;
use crate::numerics::lanes::{Lane, Pair};
use crate::numerics::vector_sine::{cosine, sine};

use core::f64::consts::{PI, TAU};

/// Order of the Taylor series of a step.
const ORDER: usize = 12;

/// Error of a step, in radians.
pub(super) const TOLERANCE: f64 = 1e-9;

/// Error of the slopes that counts as much as one of the phases.
const SLOPES: f64 = 1e-3;

/// Both phases, left and right side by side, and their derivatives in the starting difference, the flux and the
/// bias.
#[derive(Debug, Clone, Copy)]
pub(super) struct Path {
    pub(super) phases: Pair,
    pub(super) slopes: [Pair; 3],
}

/// Taylor coefficients in time, rising from the power zero.
type Coefficients = [Pair; ORDER + 1];

/// Taylor series of phases and slopes.
#[derive(Debug)]
pub(super) struct Series {
    phases: Coefficients,
    slopes: [Coefficients; 3],
}

impl Series {
    pub(super) fn empty() -> Self {
        let nothing = [Pair::splat(0.0); ORDER + 1];
        Self {
            phases: nothing,
            slopes: [nothing; 3],
        }
    }

    /// The series at `path`: δ̇k = i/2 ∓ j − a_k sin δk and its linearisation, order by order.
    pub(super) fn expand(&mut self, device: &ShuntedLoop, bias: f64, flux: f64, path: &Path) {
        let nothing = Pair::splat(0.0);
        let critical = Pair::new(device.left(), device.right());
        let coupling = 1.0 / (PI * device.beta_l());
        let pull = coupling * TAU;
        let mut sines = [nothing; ORDER];
        let mut cosines = [nothing; ORDER];
        // m times the coefficient m of the phases, which is that of their rates.
        let mut rates = [nothing; ORDER + 1];
        sines[0] = sine(path.phases);
        cosines[0] = cosine(path.phases);
        self.phases[0] = path.phases;
        for (series, start) in self.slopes.iter_mut().zip(path.slopes) {
            series[0] = start;
        }
        // What does not depend on the state stands in the lowest order only.
        let mut drive = Pair::new(0.5 * bias + pull * flux, 0.5 * bias - pull * flux);
        let mut own = [nothing, Pair::new(pull, -pull), Pair::splat(0.5)];
        for n in 0..ORDER {
            let over = 1.0 / (n + 1) as f64;
            if n > 0 {
                // (sin x)' = x' cos x and (cos x)' = −x' sin x, coefficient by coefficient.
                let (mut s, mut c) = (nothing, nothing);
                for ((rate, cosine), sine) in rates[1..=n]
                    .iter()
                    .zip(cosines[..n].iter().rev())
                    .zip(sines[..n].iter().rev())
                {
                    s += *rate * *cosine;
                    c += *rate * *sine;
                }
                let share = 1.0 / n as f64;
                sines[n] = s * share;
                cosines[n] = c * -share;
            }
            let phases = self.phases[n];
            // The circulating current of the left junction, and its opposite.
            let circulating = (phases - phases.swap()) * coupling;
            let rate = drive - circulating - critical * sines[n];
            rates[n + 1] = rate;
            self.phases[n + 1] = rate * over;
            for (series, own) in self.slopes.iter_mut().zip(&own) {
                let mut pull = nothing;
                for (slope, cosine) in series[..=n].iter().zip(cosines[..=n].iter().rev()) {
                    pull += *cosine * *slope;
                }
                let turned = (series[n] - series[n].swap()) * coupling;
                series[n + 1] = (*own - turned - critical * pull) * over;
            }
            drive = nothing;
            own = [nothing; 3];
        }
    }

    /// How far the series may be followed: its last two terms stay below the tolerance, as À. Jorba and
    /// M. Zou choose steps (Experimental Mathematics 14, 99 (2005), from memory).
    pub(super) fn step(&self) -> f64 {
        let bound = |n: usize| {
            let mut size = self.phases[n].size();
            // Slopes need fewer digits, but must not run away where the phases creep.
            for series in &self.slopes {
                size = size.max(SLOPES * series[n].size());
            }
            if size > 0.0 {
                pow(TOLERANCE / size, 1.0 / n as f64)
            } else {
                f64::INFINITY
            }
        };
        let step = bound(ORDER - 1).min(bound(ORDER));
        if step.is_finite() { step } else { 1.0 }
    }

    pub(super) fn path_at(&self, t: f64) -> Path {
        Path {
            phases: value(&self.phases, t),
            slopes: self.slopes.each_ref().map(|series| value(series, t)),
        }
    }

    /// The sum of the phases and its rate.
    pub(super) fn sum_at(&self, t: f64) -> (f64, f64) {
        (value(&self.phases, t).sum(), self.rates_at(t).sum())
    }

    pub(super) fn rates_at(&self, t: f64) -> Pair {
        let mut rates = Pair::splat(0.0);
        for (n, coefficient) in self.phases.iter().enumerate().skip(1).rev() {
            rates = rates * t + *coefficient * n as f64;
        }
        rates
    }
}

/// The sum of a series at `t`.
fn value(series: &Coefficients, t: f64) -> Pair {
    let mut sum = Pair::splat(0.0);
    for coefficient in series.iter().rev() {
        sum = sum * t + *coefficient;
    }
    sum
}
