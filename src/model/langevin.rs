//! The noisy voltage state by random paths: for any capacitance and any noise, with standard
//! errors.
//!
//! The equations of motion of [`ShuntedLoop`] are stepped by the stochastic Heun scheme; the
//! noise is additive, so that averages err by the square of the step. Increments take three values, 0
//! and ±√3 standard deviations with chances 2/3 and 1/6, which is all that averages of that order see (P. E. Kloeden
//! and E. Platen, Numerical Solution of Stochastic Differential Equations, Springer 1992, from
//! memory). Random numbers come from one seed, by integers alone, so that every machine draws the same
//! paths.
//!
//! Each of several independent paths is cut into blocks, and the mean phase is averaged over each. The change of that
//! average from one block to the next gives everything: its mean the voltage, its variance, (2/3) 2D t for a
//! phase that wanders with diffusion D (t the block's time), the noise. The slips in a block would not do:
//! the phase runs unevenly within a slip, which scatters both ends of a block whatever the noise, and
//! for little noise by more than the noise. Averages over many slips are free of that.
//!
//! The paths begin at even times along the orbit that the loop has without noise: with little noise they would else
//! slip in step for long. Where they differ by more than such blocks can account for, the loop remembers for longer
//! than a block (it keeps two voltages, say), and the standard errors are taken from that.
//!
//! # Cost
//! A step is a tenth of the shortest time of the loop, or 0.05, whichever is less: with
//! capacitance in proportion to β_c below 0.5, and in proportion to β_L below about 0.3.

mod estimate;
mod path;
mod random;

use super::shunted_loop::ShuntedLoop;
use crate::numerics::lanes::{Lane, Pair};

pub use estimate::Estimate;
use path::{Equations, Path};
use random::Random;

use core::f64::consts::{PI, TAU};

/// Paths side by side, two in each pair.
const PAIRS: usize = 4;

/// Blocks are so long, in units of time.
const BLOCK: f64 = 200.0;

/// The largest step.
const LARGEST_STEP: f64 = 0.05;

/// A slip that takes more blocks than this without noise does not set the paths out.
const SLOWEST_SLIP: u32 = 3;

/// Steps between looks at whether a slip is over.
const STRIDE: u32 = 8;

/// How a path begins. With hysteresis, both can last.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Start {
    /// At rest.
    Rest,
    /// Running at the voltage of the shunts alone.
    Running,
}

/// Random paths of one loop at one working point.
#[derive(Debug, Clone)]
pub struct Langevin {
    equations: Equations,
    steps_in_block: u32,
    step: f64,
    paths: [Path; PAIRS],
    random: Random,
    /// Changes of the mean phase's average from one block to the next, in radians, of every path; without the first block.
    changes: Vec<[f64; 2 * PAIRS]>,
    /// Blocks of each path so far.
    blocks: u32,
}

impl Langevin {
    /// Paths of `device` at a bias in I0, an applied flux in Φ0 and the noise parameter Γ. Nothing when one of
    /// them is not finite or Γ is not above zero.
    #[must_use]
    pub fn new(
        device: &ShuntedLoop,
        bias: f64,
        flux: f64,
        gamma: f64,
        start: Start,
        seed: u64,
    ) -> Option<Self> {
        if !(bias.is_finite() && flux.is_finite() && gamma > 0.0 && gamma.is_finite()) {
            return None;
        }
        let felt = device.flux_at(flux, bias);
        let reduced = felt - (felt + 0.5).floor();
        let coupling = 1.0 / (PI * device.beta_l());
        let beta_c = device.beta_c();
        let inertia = (beta_c > 0.0).then(|| 1.0 / beta_c);
        // Rates of the loop: of the circulating current, of the steepest supercurrent, of the shunt's pull on a
        // moving phase, and of their oscillation.
        let stiff = 2.0 * coupling + device.left().max(device.right());
        let fastest = match inertia {
            None => stiff,
            Some(inertia) => inertia + (stiff * inertia).sqrt(),
        };
        // Phases must not turn by more than a small angle in a step.
        let turning = 0.5 * bias.abs() + 1.0;
        let step = LARGEST_STEP.min(0.1 / fastest).min(0.1 / turning);
        let steps_in_block = (BLOCK / step).ceil() as u32;
        let rate = match start {
            Start::Rest => 0.0,
            Start::Running => 0.5 * bias,
        };
        let path = Path {
            phases: [Pair::splat(PI * reduced), Pair::splat(-PI * reduced)],
            rates: [Pair::splat(rate); 2],
            beyond: Pair::splat(0.0),
        };
        Some(Self {
            equations: Equations {
                left: device.left(),
                right: device.right(),
                coupling,
                half_bias: 0.5 * bias,
                offset: coupling * TAU * reduced,
                inertia,
            },
            steps_in_block,
            step,
            paths: [path; PAIRS],
            random: Random::new(seed, (6.0 * gamma * step).sqrt()),
            changes: Vec::new(),
            blocks: 0,
        })
    }

    /// Steps of all paths that one block takes: what [`Langevin::advance`] costs.
    #[must_use]
    pub fn cost(&self) -> u64 {
        u64::from(self.steps_in_block) * 2 * PAIRS as u64
    }

    /// Follows every path through one more block. The first is for settling in and does not count.
    pub fn advance(&mut self) {
        if self.blocks == 0 {
            self.spread();
        }
        let share = 0.5 / f64::from(self.steps_in_block);
        let mut changes = [0.0; 2 * PAIRS];
        for (path, change) in self.paths.iter_mut().zip(changes.chunks_exact_mut(2)) {
            let before = path.mean_phase();
            let sum = self
                .equations
                .follow(path, self.step, self.steps_in_block, &mut self.random);
            let turned = path.mean_phase() - before;
            let average = sum * share - before;
            change.copy_from_slice(&(path.beyond + average).both());
            path.beyond = turned - average;
            path.rewind();
        }
        if self.blocks > 1 {
            self.changes.push(changes);
        }
        self.blocks = self.blocks.saturating_add(1);
    }

    fn block(&self) -> f64 {
        f64::from(self.steps_in_block) * self.step
    }

    /// Lets one path settle without noise and, if it slips, sets all of them out at even times of a slip.
    fn spread(&mut self) {
        let mut silent = Random::new(0, 0.0);
        let Some(first) = self.paths.first().copied() else {
            return;
        };
        let mut guide = first;
        let mut go = |path: &mut Path, steps| {
            self.equations.follow(path, self.step, steps, &mut silent);
        };
        go(&mut guide, self.steps_in_block);
        guide.rewind();
        let start = guide;
        let Some(goal) = start.mean_phase().both().first().map(|phase| phase + TAU) else {
            return;
        };
        // A slip that takes longer than this is left to the noise, and so is a state of rest.
        let most = SLOWEST_SLIP * self.steps_in_block;
        let mut slip = 0;
        while guide.mean_phase().both()[0] < goal {
            if slip >= most {
                return;
            }
            go(&mut guide, STRIDE);
            slip += STRIDE;
        }
        guide = start;
        let mut taken = 0;
        for (k, path) in (0..).zip(&mut self.paths) {
            let [one, two] = [2 * k, 2 * k + 1].map(|place| {
                let until = slip * place / (2 * PAIRS as u32);
                go(&mut guide, until - taken);
                taken = until;
                guide
            });
            for (lanes, (one, two)) in path
                .phases
                .iter_mut()
                .chain(&mut path.rates)
                .zip(one.lanes().zip(two.lanes()))
            {
                *lanes = Pair::new(one, two);
            }
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]
mod tests {
    use super::*;

    fn run(device: &ShuntedLoop, bias: f64, flux: f64, gamma: f64, blocks: u32) -> Langevin {
        let mut paths = Langevin::new(device, bias, flux, gamma, Start::Rest, 7).unwrap();
        for _ in 0..blocks {
            paths.advance();
        }
        paths
    }

    #[test]
    fn strong_noise_leaves_the_shunts_alone() {
        // Two shunts in parallel: v = i/2 and S_v = 2Γ (Johnson noise of R/2).
        let device = ShuntedLoop::symmetric(1.0).unwrap();
        let paths = run(&device, 1.0, 0.1, 40.0, 100);
        let (voltage, noise) = (paths.voltage(), paths.noise());
        assert!(
            (voltage.value - 0.5).abs() < 4.0 * voltage.error,
            "{voltage:?}"
        );
        assert!((noise.value - 80.0).abs() < 4.0 * noise.error, "{noise:?}");
    }

    #[test]
    fn same_seed_same_paths() {
        let device = ShuntedLoop::new(1.1, 0.9, 1.0, 0.5, 1.0).unwrap();
        assert_eq!(
            run(&device, 1.5, 0.3, 0.1, 3).voltage(),
            run(&device, 1.5, 0.3, 0.1, 3).voltage()
        );
    }

    #[test]
    fn what_has_no_paths_is_refused() {
        let device = ShuntedLoop::EQUAL;
        assert!(Langevin::new(&device, 1.0, 0.0, 0.0, Start::Rest, 1).is_none());
        assert!(Langevin::new(&device, f64::NAN, 0.0, 0.1, Start::Rest, 1).is_none());
    }
}
