//! Two random paths side by side, stepped through the equations of motion: without capacitance the noise kicks the
//! phases, with capacitance their rates.

use super::random::Random;
use crate::numerics::lanes::{Lane, Pair};
use crate::numerics::vector_sine::sine;

use core::f64::consts::TAU;

/// The equations of motion at one working point.
#[derive(Debug, Clone, Copy)]
pub(super) struct Equations {
    pub(super) left: f64,
    pub(super) right: f64,
    pub(super) coupling: f64,
    pub(super) half_bias: f64,
    pub(super) offset: f64,
    /// One over `β_c`; none without capacitance.
    pub(super) inertia: Option<f64>,
}

/// Phases (and rates, with capacitance) of two paths.
#[derive(Debug, Clone, Copy)]
pub(super) struct Path {
    pub(super) phases: [Pair; 2],
    pub(super) rates: [Pair; 2],
    /// How far the mean phase was beyond its average at the end of the last block.
    pub(super) beyond: Pair,
}

impl Path {
    /// The mean of both junctions' phases.
    pub(super) fn mean_phase(&self) -> Pair {
        (self.phases[0] + self.phases[1]) * 0.5
    }

    /// What one lane holds: phases, then rates.
    pub(super) fn lanes(&self) -> impl Iterator<Item = f64> {
        let [one, two] = self.phases;
        let [fast, slow] = self.rates;
        [one, two, fast, slow]
            .into_iter()
            .map(|pair| pair.both()[0])
    }

    /// Takes whole turns off both phases alike, which changes nothing but keeps their digits.
    pub(super) fn rewind(&mut self) {
        let [a, b] = self.mean_phase().both();
        let turns = Pair::new(TAU * (a / TAU).floor(), TAU * (b / TAU).floor());
        self.phases = self.phases.map(|phase| phase - turns);
    }
}

impl Equations {
    /// i/2 ∓ j − a sin δ of both junctions.
    #[inline]
    fn push(&self, phases: [Pair; 2]) -> [Pair; 2] {
        let turning = (phases[0] - phases[1]) * self.coupling - Pair::splat(self.offset);
        let bias = Pair::splat(self.half_bias);
        [
            bias - turning - sine(phases[0]) * self.left,
            bias + turning - sine(phases[1]) * self.right,
        ]
    }

    /// Follows a path through so many steps; returns the sum of both phases, added up over them.
    pub(super) fn follow(
        &self,
        path: &mut Path,
        step: f64,
        steps: u32,
        random: &mut Random,
    ) -> Pair {
        match self.inertia {
            None => self.drift(path, step, steps, random),
            Some(inertia) => self.swing(path, inertia, step, steps, random),
        }
    }

    /// Without capacitance.
    fn drift(&self, path: &mut Path, step: f64, steps: u32, random: &mut Random) -> Pair {
        let [mut one, mut two] = path.phases;
        let mut sum = Pair::splat(0.0);
        for _ in 0..steps {
            let kick = random.kicks();
            let here = self.push([one, two]);
            let ahead = [
                one + here[0] * step + kick[0],
                two + here[1] * step + kick[1],
            ];
            let there = self.push(ahead);
            one += (here[0] + there[0]) * (0.5 * step) + kick[0];
            two += (here[1] + there[1]) * (0.5 * step) + kick[1];
            sum += one + two;
        }
        path.phases = [one, two];
        sum
    }

    /// With capacitance: the noise kicks the rates.
    fn swing(
        &self,
        path: &mut Path,
        inertia: f64,
        step: f64,
        steps: u32,
        random: &mut Random,
    ) -> Pair {
        let [mut one, mut two] = path.phases;
        let mut sum = Pair::splat(0.0);
        let [mut fast, mut slow] = path.rates;
        for _ in 0..steps {
            let kick = random.kicks().map(|kick| kick * inertia);
            let here = self.push([one, two]);
            let gain = [(here[0] - fast) * inertia, (here[1] - slow) * inertia];
            let rates = [
                fast + gain[0] * step + kick[0],
                slow + gain[1] * step + kick[1],
            ];
            let ahead = [one + fast * step, two + slow * step];
            let there = self.push(ahead);
            let later = [
                (there[0] - rates[0]) * inertia,
                (there[1] - rates[1]) * inertia,
            ];
            one += (fast + rates[0]) * (0.5 * step);
            two += (slow + rates[1]) * (0.5 * step);
            sum += one + two;
            fast += (gain[0] + later[0]) * (0.5 * step) + kick[0];
            slow += (gain[1] + later[1]) * (0.5 * step) + kick[1];
        }
        path.phases = [one, two];
        path.rates = [fast, slow];
        sum
    }
}
