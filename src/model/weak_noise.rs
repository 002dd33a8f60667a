//! The voltage state with little noise and without capacitance: the period without noise, and how far a small push sets
//! it forward.
//!
//! A push p on the phases at some time of the period sets the loop forward by Z·p of time, Z being the periodic solution of
//! the adjoint equation Ż = −Jᵀ Z with Z·δ̇ = 1 (J the slopes of the phases' rates; here it is symmetric). White noise of both shunts,
//! ⟨n n⟩ = 2Γ δ(τ), then makes the mean phase wander with D = Γ v² ⟨Z²⟩, hence S_v = 4 Γ v² ⟨Z²⟩ (derived here; for one
//! junction it is Likharev and Semenov's formula). The voltage is that without noise.
//!
//! # Error
//! What is left out is of first order in Γ and grows towards the critical current i_c: as shares of voltage and noise it was
//! 0.1 to 0.7 and 0.3 to 3 times Γ/(i − i_c) against the stationary Fokker–Planck equation, for Γ of 0.01 and 0.02, β_L
//! from 0.1 to 3, equal and unequal junctions and biases from 1.6 to 3.

use super::running::Running;
use super::screened_loop::{CriticalCurve, Loop};
use super::shunted_loop::ShuntedLoop;
use crate::numerics::lanes::{Lane, Pair};
use crate::numerics::vector_sine::{cosine, sine};

use core::f64::consts::{PI, TAU};

/// Finds states of one loop with little noise.
#[derive(Debug, Clone)]
pub struct WeakNoise {
    device: ShuntedLoop,
    running: Running,
    critical: CriticalCurve,
    gamma: f64,
}

/// A working point with little noise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeakPoint {
    /// Mean voltage in I0 R.
    pub voltage: f64,
    /// One-sided voltage noise at low frequency in (I0 R)² Φ0/(2π I0 R).
    pub noise: f64,
    /// Estimated error of the voltage.
    pub voltage_error: f64,
    /// Estimated error of the noise.
    pub noise_error: f64,
}

/// The largest step, in units of time, and in the loop's shortest time.
const LARGEST_STEP: f64 = 0.05;
const SHARE_OF_SHORTEST: f64 = 0.2;

/// More steps than this are not taken to find the period.
const MOST_STEPS: u32 = 100_000;

/// Turns until the pushes repeat.
const MOST_TURNS: u32 = 200;

/// How well orbit and pushes must repeat.
const REPEATED: f64 = 1e-9;

/// Errors of voltage and noise, as shares of them, over Γ/(i − i_c).
const VOLTAGE_ERROR: f64 = 0.8;
const NOISE_ERROR: f64 = 3.0;

/// Nothing is said where the noise would err by a larger share.
const MOST_ERROR: f64 = 0.5;

impl WeakNoise {
    /// Nothing for a loop with capacitance, or for a Γ that is not positive.
    #[must_use]
    pub fn new(device: &ShuntedLoop, gamma: f64) -> Option<Self> {
        if device.beta_c() > 0.0 || !(gamma > 0.0 && gamma.is_finite()) {
            return None;
        }
        let statics = Loop::new(
            device.left(),
            device.right(),
            device.beta_l(),
            device.left_fraction(),
        )?;
        Some(Self {
            device: *device,
            running: Running::new(device)?,
            critical: statics.critical_curve(),
            gamma,
        })
    }

    /// The state at a bias (positive) in I0 and an applied flux in Φ0; nothing where the loop rests without noise, where noise
    /// matters for whether it does, or where it slips too slowly to be followed.
    #[must_use]
    pub fn at(&mut self, bias: f64, flux: f64) -> Option<WeakPoint> {
        let above = bias - self.critical.at(flux).current;
        let share = self.gamma / above;
        if above <= 0.0 || !share.is_finite() || NOISE_ERROR * share > MOST_ERROR {
            return None;
        }
        let quiet = self.running.at(bias, flux);
        if quiet.voltage <= 0.0 {
            return None;
        }
        let felt = self.device.flux_at(flux, bias);
        let pushes = Orbit::new(&self.device, bias, felt - (felt + 0.5).floor()).pushes()?;
        let noise = 4.0 * self.gamma * quiet.voltage * quiet.voltage * pushes;
        Some(WeakPoint {
            voltage: quiet.voltage,
            noise,
            voltage_error: quiet.error + VOLTAGE_ERROR * share * quiet.voltage,
            noise_error: NOISE_ERROR * share * noise,
        })
    }
}

/// The equations along the orbit.
struct Orbit {
    junctions: Pair,
    drive: Pair,
    coupling: f64,
    step: f64,
    flux: f64,
}

impl Orbit {
    fn new(device: &ShuntedLoop, bias: f64, flux: f64) -> Self {
        let coupling = 1.0 / (PI * device.beta_l());
        let pull = TAU * flux * coupling;
        let stiff = 2.0 * coupling + device.left().max(device.right());
        Self {
            junctions: Pair::new(device.left(), device.right()),
            drive: Pair::new(0.5 * bias + pull, 0.5 * bias - pull),
            coupling,
            step: LARGEST_STEP
                .min(SHARE_OF_SHORTEST / stiff)
                .min(0.1 / (0.5 * bias + 1.0)),
            flux,
        }
    }

    fn rates(&self, phases: Pair) -> Pair {
        self.drive - (phases - phases.swap()) * self.coupling - self.junctions * sine(phases)
    }

    /// J times a push.
    fn slopes(&self, phases: Pair, push: Pair) -> Pair {
        (push.swap() - push) * self.coupling - self.junctions * cosine(phases) * push
    }

    /// Runge and Kutta's step of fourth order.
    fn ahead(&self, from: Pair, step: f64) -> Pair {
        let first = self.rates(from);
        let second = self.rates(from + first * (0.5 * step));
        let third = self.rates(from + second * (0.5 * step));
        let last = self.rates(from + third * step);
        from + (first + (second + third) * 2.0 + last) * (step / 6.0)
    }

    /// One turn from the section where the phases' sum is −π, and the time it takes.
    fn turn(&self, from: Pair, left: &mut u32) -> Option<(Pair, f64)> {
        let goal = TAU + TAU - PI;
        let (mut phases, mut time) = (from, 0.0);
        while *left > 0 {
            *left -= 1;
            let next = self.ahead(phases, self.step);
            if next.sum() < goal {
                phases = next;
                time += self.step;
                continue;
            }
            let mut last = self.step * (goal - phases.sum()) / (next.sum() - phases.sum());
            for _ in 0..6 {
                let there = self.ahead(phases, last);
                last += (goal - there.sum()) / self.rates(there).sum();
            }
            let end = self.ahead(phases, last) - Pair::splat(TAU);
            return Some((end, time + last));
        }
        None
    }

    /// Mean square of Z over the period.
    fn pushes(&self) -> Option<f64> {
        let mut start = Pair::new(-0.5 * PI + PI * self.flux, -0.5 * PI - PI * self.flux);
        let mut left = MOST_STEPS;
        let period = loop {
            let (end, time) = self.turn(start, &mut left)?;
            let moved = (end - start).size();
            start = end;
            if moved < REPEATED {
                break time;
            }
        };
        // The orbit on an even number of steps: Z takes two at a time.
        let pairs = (0.5 * period / self.step).ceil().max(8.0);
        let step = 0.5 * period / pairs;
        let count = 2 * pairs as usize;
        let mut orbit = Vec::with_capacity(count + 1);
        orbit.push(start);
        for _ in 0..count {
            let last = orbit.last().copied()?;
            orbit.push(self.ahead(last, step));
        }
        self.backwards(&orbit, step, pairs)
    }

    /// Z backwards in time, where it forgets how it began.
    fn backwards(&self, orbit: &[Pair], step: f64, pairs: f64) -> Option<f64> {
        let rate = self.rates(*orbit.first()?);
        let normal = |push: Pair| push * (1.0 / (push * rate).sum());
        let mut push = normal(Pair::splat(1.0));
        for _ in 0..MOST_TURNS {
            let before = push;
            let mut squares = 0.0;
            let mut place = orbit.len() - 1;
            while let [.., start, middle, end] = &orbit[..=place] {
                let first = self.slopes(*end, push);
                let second = self.slopes(*middle, push + first * step);
                let third = self.slopes(*middle, push + second * step);
                let last = self.slopes(*start, push + third * (2.0 * step));
                push += (first + (second + third) * 2.0 + last) * (step / 3.0);
                squares += (push * push).sum();
                place -= 2;
            }
            push = normal(push);
            if (push - before).size() < REPEATED * push.size() {
                return Some(squares / pairs);
            }
        }
        None
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]
mod tests {
    use super::*;

    #[test]
    fn without_flux_it_is_the_formula_for_one_junction() {
        // r_d² (1 + (I0/I)²/2) times the noise of the shunt (K. K. Likharev and V. K. Semenov, JETP Lett. 15, 442 (1972),
        // from memory); the loop is two junctions that move alike.
        for beta_l in [0.02, 1.0, 8.0] {
            let mut weak = WeakNoise::new(&ShuntedLoop::symmetric(beta_l).unwrap(), 1e-4).unwrap();
            for i in [1.05_f64, 1.5, 3.0] {
                let resistance = i / (i * i - 1.0).sqrt();
                let wanted = 2e-4 * resistance * resistance * (1.0 + 0.5 / (i * i));
                let found = weak.at(2.0 * i, 0.0).unwrap();
                assert!(
                    (found.noise - wanted).abs() < 1e-5 * wanted,
                    "{beta_l} {i}: {found:?} {wanted}"
                );
            }
        }
    }

    #[test]
    fn a_loop_with_flux_is_met() {
        // SciPy: the adjoint along the orbit (DOP853, relative tolerance 1e-11), β_L = 1.06392, bias 1.6, Γ = 0.0017635.
        let device = ShuntedLoop::symmetric(1.06392).unwrap();
        let mut weak = WeakNoise::new(&device, 0.001_763_5).unwrap();
        for (flux, voltage, noise) in [
            (0.28, 0.13160, 0.3267),
            (0.30, 0.22583, 0.082_509),
            (0.36, 0.35639, 0.019_457),
        ] {
            let found = weak.at(1.6, flux).unwrap();
            let near = |found: f64, wanted: f64| (found / wanted - 1.0).abs() < 1e-4;
            assert!(
                near(found.voltage, voltage) && near(found.noise, noise),
                "{flux}: {found:?}"
            );
        }
    }

    #[test]
    fn where_the_loop_rests_there_is_nothing() {
        let mut weak = WeakNoise::new(&ShuntedLoop::symmetric(1.0).unwrap(), 1e-3).unwrap();
        assert!(weak.at(1.6, 0.1).is_none());
        assert!(WeakNoise::new(&ShuntedLoop::EQUAL.with_beta_c(1.0), 1e-3).is_none());
        assert!(WeakNoise::new(&ShuntedLoop::EQUAL, 0.0).is_none());
    }
}
