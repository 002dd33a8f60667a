//! The equations of a shunted loop at one bias and flux, and one step of their power series in time.
//!
//! With κ = 2/(π β_L) the two junctions obey, side by side in two lanes,
//! β_c δ̈ + δ̇ = A − (κ/2)(δ − δ') − a sin δ, with δ' the phase of the other junction and A = i/2 ± 2φ/β_L. The
//! coefficients of sin δ and cos δ follow from those of δ by n S_n = Σ k δ_k C_{n−k} and
//! n C_n = −Σ k δ_k S_{n−k}, so that one step of any order costs one sine and one cosine a junction.

use crate::model::shunted_loop::ShuntedLoop;
use crate::numerics::lanes::{Lane, Pair};
use crate::numerics::vector_sine::{cosine, sine};

/// Highest power of time in a step.
pub(in crate::model) const ORDER: usize = 16;

/// What a step may leave off, in radians.
const LEFT_OFF: f64 = 1e-10;

/// No step is longer than this.
const LONGEST_STEP: f64 = 20.0;

/// 1/n.
const RECIPROCALS: [f64; ORDER + 2] = {
    let mut table = [0.0; ORDER + 2];
    let mut n = 1;
    while n < table.len() {
        table[n] = 1.0 / n as f64;
        n += 1;
    }
    table
};

/// The equations at one bias and flux.
#[derive(Debug, Clone, Copy)]
pub(in crate::model) struct Flow {
    /// Critical currents of the junctions.
    pub(in crate::model) junctions: Pair,
    /// The part of the current that does not depend on the phases.
    pub(in crate::model) drive: Pair,
    /// κ/2.
    pub(in crate::model) half_stiffness: f64,
    pub(in crate::model) beta_c: f64,
}

/// Phases of both junctions, and their rates (which without capacitance follow from the phases).
#[derive(Debug, Clone, Copy)]
pub(in crate::model) struct State {
    pub(in crate::model) phase: Pair,
    pub(in crate::model) rate: Pair,
}

/// Power series in time about a state.
#[derive(Debug, Clone)]
pub(in crate::model) struct Series {
    pub(in crate::model) phase: [Pair; ORDER + 1],
    pub(in crate::model) rate: [Pair; ORDER + 1],
    pub(in crate::model) cosine: [Pair; ORDER + 1],
}

impl Flow {
    /// The equations at `bias` and the flux `flux` that the loop feels.
    pub(in crate::model) fn new(device: &ShuntedLoop, bias: f64, flux: f64) -> Self {
        let pull = 2.0 * flux / device.beta_l();
        Self {
            junctions: Pair::new(device.left(), device.right()),
            drive: Pair::new(0.5 * bias + pull, 0.5 * bias - pull),
            half_stiffness: 1.0 / (core::f64::consts::PI * device.beta_l()),
            beta_c: device.beta_c(),
        }
    }

    /// Current left for shunts and capacitances.
    #[inline]
    pub(in crate::model) fn force(&self, phase: Pair) -> Pair {
        self.drive - (phase - phase.swap()) * self.half_stiffness - self.junctions * sine(phase)
    }

    /// Slopes of the junctions' currents, a cos δ.
    #[inline]
    pub(in crate::model) fn slopes(&self, phase: Pair) -> Pair {
        self.junctions * cosine(phase)
    }

    /// The state with phases s ± d; its rates are those without capacitance.
    pub(in crate::model) fn state(&self, common: f64, half_difference: f64) -> State {
        let phase = Pair::new(common + half_difference, common - half_difference);
        State {
            phase,
            rate: self.force(phase),
        }
    }

    /// The series about a state.
    pub(in crate::model) fn expand(&self, state: &State, series: &mut Series) {
        let mut sines = [Pair::splat(0.0); ORDER + 1];
        let Series {
            phase,
            rate,
            cosine: cosines,
        } = series;
        phase[0] = state.phase;
        rate[0] = state.rate;
        sines[0] = sine(state.phase);
        cosines[0] = cosine(state.phase);
        let slow = self.beta_c > 0.0;
        let per_capacitance = if slow { 1.0 / self.beta_c } else { 0.0 };
        for n in 0..ORDER {
            if n > 0 {
                let mut s = rate[0] * cosines[n - 1];
                let mut c = rate[0] * sines[n - 1];
                for k in 1..n {
                    s += rate[k] * cosines[n - 1 - k];
                    c += rate[k] * sines[n - 1 - k];
                }
                sines[n] = s * RECIPROCALS[n];
                cosines[n] = c * -RECIPROCALS[n];
            }
            let mut force =
                -((phase[n] - phase[n].swap()) * self.half_stiffness) - self.junctions * sines[n];
            if n == 0 {
                force = self.drive + force;
            }
            if slow {
                rate[n + 1] = (force - rate[n]) * (per_capacitance * RECIPROCALS[n + 1]);
            } else {
                rate[n] = force;
            }
            phase[n + 1] = rate[n] * RECIPROCALS[n + 1];
        }
        // The last coefficient of the cosine is only missed in integrals, beyond the step's error.
        cosines[ORDER] = Pair::splat(0.0);
        if !slow {
            rate[ORDER] = Pair::splat(0.0);
        }
    }
}

impl Series {
    pub(in crate::model) fn new() -> Self {
        Self {
            phase: [Pair::splat(0.0); ORDER + 1],
            rate: [Pair::splat(0.0); ORDER + 1],
            cosine: [Pair::splat(0.0); ORDER + 1],
        }
    }

    /// The longest step whose last powers are below what a step may leave off.
    pub(in crate::model) fn longest_step(&self) -> f64 {
        let last = self.phase[ORDER].size();
        let mut step = (LEFT_OFF / last.max(1e-300))
            .sqrt()
            .sqrt()
            .sqrt()
            .sqrt()
            .min(LONGEST_STEP);
        let before = self.phase[ORDER - 1].size();
        // A bounded search: what is not a number ends it too.
        for _ in 0..200 {
            let square = step * step;
            let fourth = square * square;
            let eighth = fourth * fourth;
            // A step of the last power but one.
            if before * eighth * fourth * square * step <= LEFT_OFF {
                return step;
            }
            step *= 0.9;
        }
        step
    }

    /// The state after a time.
    pub(in crate::model) fn at(&self, time: f64) -> State {
        State {
            phase: value(&self.phase, time),
            rate: value(&self.rate, time),
        }
    }

    /// The time up to `longest` at which the sum of both phases comes to `target`.
    pub(in crate::model) fn crossing(&self, target: f64, longest: f64) -> f64 {
        let sums = self.phase.map(Pair::sum);
        let (mut from, mut to) = (0.0, longest);
        let mut time = longest;
        for _ in 0..60 {
            let (mut sum, mut slope) = (sums[ORDER], 0.0);
            for coefficient in sums[..ORDER].iter().rev() {
                slope = slope * time + sum;
                sum = sum * time + coefficient;
            }
            let off = sum - target;
            if off > 0.0 {
                to = time;
            } else {
                from = time;
            }
            let newton = time - off / slope;
            let next = if newton > from && newton < to {
                newton
            } else {
                0.5 * (from + to)
            };
            if (next - time).abs() <= 1e-15 * longest {
                return next;
            }
            time = next;
        }
        time
    }

    /// Integral over a step of what pulls neighbouring states together: a cos δ of both junctions.
    pub(in crate::model) fn contraction(&self, flow: &Flow, time: f64) -> f64 {
        let mut sum = Pair::splat(0.0);
        for n in (0..ORDER).rev() {
            sum = sum * time + self.cosine[n] * RECIPROCALS[n + 1];
        }
        (flow.junctions * sum).sum() * time
    }
}

/// Value of a power series.
#[inline]
pub(in crate::model) fn value(series: &[Pair; ORDER + 1], time: f64) -> Pair {
    let time = Pair::splat(time);
    let mut sum = series[ORDER];
    for coefficient in series[..ORDER].iter().rev() {
        sum = sum * time + *coefficient;
    }
    sum
}
