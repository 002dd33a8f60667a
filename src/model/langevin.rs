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

use super::shunted_loop::ShuntedLoop;
use crate::numerics::lanes::{Lane, Pair};
use crate::numerics::splitmix::SplitMix64;
use crate::numerics::vector_sine::sine;

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

/// The variance between eight paths over what is expected of it stays below this but for once in a thousand times (χ² of
/// seven degrees of freedom over seven).
const BEYOND_CHANCE: f64 = 24.32 / 7.0;

/// How a path begins. With hysteresis, both can last.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Start {
    /// At rest.
    Rest,
    /// Running at the voltage of the shunts alone.
    Running,
}

/// An estimate with its standard error.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// The value.
    pub value: f64,
    /// Its standard error; infinite before there are three blocks.
    pub error: f64,
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

/// What is read from the changes of all paths.
#[derive(Debug, Clone, Copy)]
struct Moments {
    count: f64,
    mean: f64,
    variance: f64,
    /// Fourth moment over the square of the variance; 3 for a normal distribution.
    kurtosis: f64,
    /// Variance between the paths' voltages over what is expected of it, when chance does not make it so large; else 1.
    memory: f64,
    /// Variance of one path's voltage for a phase that wanders with the noise seen.
    path: f64,
    /// Whether any path slipped.
    slipped: bool,
}

#[derive(Debug, Clone, Copy)]
struct Equations {
    left: f64,
    right: f64,
    coupling: f64,
    half_bias: f64,
    offset: f64,
    /// One over `β_c`; none without capacitance.
    inertia: Option<f64>,
}

/// Phases (and rates, with capacitance) of two paths.
#[derive(Debug, Clone, Copy)]
struct Path {
    phases: [Pair; 2],
    rates: [Pair; 2],
    /// How far the mean phase was beyond its average at the end of the last block.
    beyond: Pair,
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
            let before = mean_phase(path);
            let sum = self
                .equations
                .follow(path, self.step, self.steps_in_block, &mut self.random);
            let turned = mean_phase(path) - before;
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
        let Some(goal) = mean_phase(&start).both().first().map(|phase| phase + TAU) else {
            return;
        };
        // A slip that takes longer than this is left to the noise, and so is a state of rest.
        let most = SLOWEST_SLIP * self.steps_in_block;
        let mut slip = 0;
        while mean_phase(&guide).both()[0] < goal {
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

    /// Mean voltage in I0 R. Where no path slipped, one slip in all that time is its error.
    #[must_use]
    pub fn voltage(&self) -> Estimate {
        let Some(moments) = self.moments() else {
            return UNKNOWN;
        };
        let scatter = (moments.path * moments.memory / (2 * PAIRS) as f64).sqrt();
        let least = if moments.slipped {
            0.0
        } else {
            TAU / (moments.count * self.block())
        };
        Estimate {
            value: moments.mean / self.block(),
            error: scatter.max(least),
        }
    }

    /// One-sided voltage noise at low frequency in (I0 R)² Φ0/(2π I0 R): four times the diffusion of the mean
    /// phase. Where no path slipped, what its rocking leaves of it in the averages, and one slip in all that time is
    /// its error.
    #[must_use]
    pub fn noise(&self) -> Estimate {
        let Some(moments) = self.moments() else {
            return UNKNOWN;
        };
        let value = 3.0 * moments.variance / self.block();
        // Neighbouring changes share a block: their correlation of 1/4 makes the scatter of the variance that of 8/9 as
        // many. Rare slips scatter it more, as the fourth moment tells; and what lasts longer than a
        // block adds noise at still lower frequencies.
        let chance = (1.125 * (moments.kurtosis.max(3.0) - 1.0) / moments.count).sqrt();
        // Slips at random, one in all that time: D is half the square of a slip over the time.
        let least = if moments.slipped {
            0.0
        } else {
            2.0 * square(TAU) / (moments.count * self.block())
        };
        Estimate {
            value,
            error: (value * chance.max(moments.memory - 1.0)).max(least),
        }
    }

    /// Nothing before there is a change.
    fn moments(&self) -> Option<Moments> {
        let blocks = self.changes.len() as f64;
        if self.changes.is_empty() {
            return None;
        }
        let paths = (2 * PAIRS) as f64;
        let count = paths * blocks;
        let all = || self.changes.iter().flatten();
        let mean = all().sum::<f64>() / count;
        let squares: f64 = all().map(|change| square(change - mean)).sum();
        let fourths: f64 = all().map(|change| square(square(change - mean))).sum();
        let variance = squares / (count - 1.0);
        // Of a path's m changes only the ends are left when they are added up: 2D t (m − 1/3).
        let path = 1.5 * variance * (blocks - 1.0 / 3.0) / square(blocks * self.block());
        let between: f64 = (0..2 * PAIRS)
            .map(|lane| {
                let sum: f64 = self
                    .changes
                    .iter()
                    .filter_map(|change| change.get(lane))
                    .sum();
                square((sum / blocks - mean) / self.block())
            })
            .sum();
        let ratio = between / ((paths - 1.0) * path.max(f64::MIN_POSITIVE));
        Some(Moments {
            count,
            mean,
            variance,
            kurtosis: fourths * count / square(squares).max(f64::MIN_POSITIVE),
            memory: if ratio > BEYOND_CHANCE { ratio } else { 1.0 },
            path,
            slipped: all().any(|change| change.abs() > PI),
        })
    }
}

/// Of what is not known yet.
const UNKNOWN: Estimate = Estimate {
    value: 0.0,
    error: f64::INFINITY,
};

fn square(x: f64) -> f64 {
    x * x
}

fn mean_phase(path: &Path) -> Pair {
    (path.phases[0] + path.phases[1]) * 0.5
}

impl Path {
    /// What one lane holds: phases, then rates.
    fn lanes(&self) -> impl Iterator<Item = f64> {
        let [one, two] = self.phases;
        let [fast, slow] = self.rates;
        [one, two, fast, slow]
            .into_iter()
            .map(|pair| pair.both()[0])
    }

    /// Takes whole turns off both phases alike, which changes nothing but keeps their digits.
    fn rewind(&mut self) {
        let [a, b] = mean_phase(self).both();
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

    /// The sum of both phases, added up over the steps.
    fn follow(&self, path: &mut Path, step: f64, steps: u32, random: &mut Random) -> Pair {
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

/// Random kicks from xoshiro256++ (D. Blackman and S. Vigna, ACM Trans. Math. Softw. 47, 36 (2021),
/// from memory), its state filled by `SplitMix64`.
#[derive(Debug, Clone)]
struct Random {
    state: [u64; 4],
    size: f64,
}

impl Random {
    /// Kicks of 0 and ± `size`, which is √3 standard deviations.
    fn new(seed: u64, size: f64) -> Self {
        let mut seeds = SplitMix64::new(seed);
        let state = core::array::from_fn(|_| seeds.draw());
        Self { state, size }
    }

    #[inline]
    fn word(&mut self) -> u64 {
        let [a, b, c, d] = self.state;
        let result = a.wrapping_add(d).rotate_left(23).wrapping_add(a);
        let (mut c, mut d) = (c ^ a, d ^ b);
        let b_next = b ^ c;
        let a_next = a ^ d;
        c ^= b << 17;
        d = d.rotate_left(45);
        self.state = [a_next, b_next, c, d];
        result
    }

    /// One kick for each junction of two paths.
    #[inline]
    fn kicks(&mut self) -> [Pair; 2] {
        let (one, two) = (self.word(), self.word());
        [
            Pair::new(self.kick(one >> 32), self.kick(two >> 32)),
            Pair::new(self.kick(one & 0xffff_ffff), self.kick(two & 0xffff_ffff)),
        ]
    }

    /// A sixth of all words of 32 bits kick up, a sixth kick down.
    #[inline]
    fn kick(&self, word: u64) -> f64 {
        let sixth = (word * 6) >> 32;
        let sign = f64::from(u8::from(sixth == 0)) - f64::from(u8::from(sixth == 5));
        sign * self.size
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
    fn kicks_have_the_moments_of_noise() {
        let mut random = Random::new(1, 3.0_f64.sqrt());
        let n = 400_000;
        let (mut first, mut second, mut fourth, mut product) = (0.0, 0.0, 0.0, 0.0);
        for _ in 0..n {
            let [x, y] = random.kicks().map(|kick| kick.both()[0]);
            first += x;
            second += x * x;
            fourth += x * x * x * x;
            product += x * y;
        }
        let n = f64::from(n);
        assert!((first / n).abs() < 0.007 && (product / n).abs() < 0.007);
        assert!((second / n - 1.0).abs() < 0.01);
        assert!((fourth / n - 3.0).abs() < 0.03);
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
