//! One rf cycle of a loop with one junction: what the loop answers at the frequency of the drive.
//!
//! The applied flux is `flux + amplitude cos(theta)`. The loop follows its branch and jumps at the ends
//! (its own motion is taken to be much faster than the drive), so that with S = |sin(theta)|, a function of the
//! applied flux, integration by parts over the closed cycle gives the part of `applied - total` that swings
//! with the drive as
//!
//! ```text
//! in phase:       amplitude - (1/pi) (integral of S over the total flux, way up + way down)
//! in quadrature:  (beta_rf/2 pi) (energy lost per cycle) / (pi amplitude)
//! ```
//!
//! A jump adds its height times S at the applied flux where it happens. The loop between n and n + 1 quanta
//! is passed round once a cycle when the applied flux reaches both its ends, `n + reach` and `n + 1 - reach`. (Derivations.)

use core::f64::consts::PI;

use crate::model::rf_loop::{Jump, RfLoop};
use crate::numerics::lanes::{Lane, Pair};
use crate::numerics::quadrature::gauss_legendre;
use crate::numerics::vector_sine::{cosine, sine};

/// Nodes on a branch between two jumps, and from a jump to where the drive turns.
const NODES: u32 = 16;

/// Nodes on a branch that lies at least two quanta inside the swing: as good there, to 1e-13 of the branch's part.
const NODES_INSIDE: u32 = 12;

/// Pairs of nodes on the way from one end of the drive to the other without a jump, for each quantum passed.
const PAIRS_OF_WAY: f64 = 16.0;

/// The loop's answer at the frequency of the drive, in flux quanta.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Answer {
    /// The part against the applied flux, in phase with it.
    pub in_phase: f64,
    /// The part a quarter turn behind, which takes energy.
    pub quadrature: f64,
}

/// Everything that one loop's cycles have in common.
#[derive(Debug, Clone)]
pub(super) struct Cycles {
    device: RfLoop,
    jump: Option<Jump>,
    /// From where the drive turns, as a share of the way to a jump; and weight. Two nodes at a time.
    ends: Vec<(Pair, Pair)>,
    /// Applied flux along a whole branch from a landing to the next jump, counted from its quanta, that flux on
    /// the mirrored way down, and weight.
    branch: Vec<(Pair, f64)>,
    /// The same with fewer nodes.
    branch_inside: Vec<(Pair, f64)>,
}

/// The drive's flux: where, how far.
#[derive(Clone, Copy)]
struct Swing {
    flux: f64,
    amplitude: f64,
}

impl Swing {
    /// `|sin(theta)|` where the applied flux has these values.
    #[inline]
    fn share(self, applied: Pair) -> Pair {
        let cosine = (applied - Pair::splat(self.flux)) * (1.0 / self.amplitude);
        (Pair::splat(1.0) - cosine * cosine).root()
    }
}

impl Cycles {
    pub(super) fn new(device: RfLoop) -> Self {
        let rule = gauss_legendre(NODES);
        let ends = rule
            .chunks_exact(2)
            .map(|two| {
                // The root at the turn is taken off by a square.
                let root = |node: usize| 0.5 * (1.0 + two[node].0);
                let weight = |node: usize| two[node].1 * root(node);
                let roots = Pair::new(root(0), root(1));
                (roots * roots, Pair::new(weight(0), weight(1)))
            })
            .collect();
        let jump = device.jump();
        let branch = |rule: &[(f64, f64)]| {
            jump.map_or_else(Vec::new, |jump| {
                let (from, to) = (jump.after - 1.0, jump.before);
                let half = 0.5 * (to - from);
                rule.iter()
                    .map(|(place, weight)| {
                        let applied = device.applied(from + half * (1.0 + place));
                        (Pair::new(applied, -applied), half * weight)
                    })
                    .collect()
            })
        };
        Self {
            device,
            jump,
            ends,
            branch: branch(&rule),
            branch_inside: branch(&gauss_legendre(NODES_INSIDE)),
        }
    }

    pub(super) fn device(&self) -> &RfLoop {
        &self.device
    }

    /// The amplitude from which on `loops` + 1 hysteresis loops are passed round in each cycle; none for a
    /// loop without hysteresis. `flux` is between 0 and 1/2.
    pub(super) fn threshold(&self, loops: u32, flux: f64) -> Option<f64> {
        self.jump?;
        let pairs = f64::from(loops / 2);
        Some(if loops.is_multiple_of(2) {
            self.device.reach() + pairs - flux
        } else {
            self.device.reach() + pairs + flux
        })
    }

    /// The answer at a static flux between 0 and 1/2 and an amplitude at which `loops` loops are passed
    /// round (at a threshold it may be either number).
    pub(super) fn answer(&self, flux: f64, amplitude: f64, loops: u32) -> Answer {
        let swing = Swing { flux, amplitude };
        match self.jump {
            Some(jump) if loops > 0 => self.with_jumps(swing, jump, loops),
            _ => Answer {
                in_phase: amplitude - 2.0 / PI * self.way(swing),
                quadrature: 0.0,
            },
        }
    }

    /// The integral of S on the way up where nothing jumps: Chebyshev's rule of the second kind, whose
    /// weight has the roots that S has at both ends.
    fn way(&self, swing: Swing) -> f64 {
        let (low, high) = (swing.flux - swing.amplitude, swing.flux + swing.amplitude);
        let (from, to) = if self.jump.is_some() {
            (self.device.settle(low), self.device.settle(high))
        } else {
            (self.device.lowest(low).flux, self.device.lowest(high).flux)
        };
        let half = 0.5 * (to - from);
        let middle = Pair::splat(0.5 * (to + from));
        let pairs = (PAIRS_OF_WAY * (1.0 + 2.0 * half)).ceil().min(5e4);
        let turn = PI / (2.0 * pairs + 1.0);
        let mut sum = Pair::splat(0.0);
        let mut nodes = Pair::new(1.0, 2.0);
        for _ in 0..pairs as u32 {
            // Node by node from the middle outwards would be no better: the sum is smooth.
            let angle = nodes * turn;
            let applied = self.device.both_applied(middle + cosine(angle) * half);
            sum += sine(angle) * swing.share(applied);
            nodes += Pair::splat(2.0);
        }
        half * turn * sum.sum()
    }

    fn with_jumps(&self, swing: Swing, jump: Jump, loops: u32) -> Answer {
        let device = &self.device;
        let (low, high) = (swing.flux - swing.amplitude, swing.flux + swing.amplitude);
        let lowest = -f64::from(loops / 2);
        let highest = f64::from(loops.div_ceil(2));
        let bottom = lowest + device.settle(low - lowest);
        let top = highest + device.settle(high - highest);
        // Up: from the bottom to the first jump, and from the last landing to the top. Down: the mirror image.
        let ends = self.end(swing, bottom, lowest + jump.before)
            + self.end(swing, top, highest - 1.0 + jump.after)
            + self.end(swing, top, highest - jump.before)
            + self.end(swing, bottom, lowest + 1.0 - jump.after);
        let height = jump.after - jump.before;
        let mut sum = Pair::splat(0.0);
        let mut quanta = lowest;
        while quanta < highest {
            let jumps = Pair::new(quanta + jump.applied, quanta + 1.0 - jump.applied);
            sum += swing.share(jumps) * height;
            if quanta > lowest {
                let inside = quanta - lowest >= 3.0 && highest - quanta >= 3.0;
                let branch = if inside {
                    &self.branch_inside
                } else {
                    &self.branch
                };
                for (applied, weight) in branch {
                    sum += swing.share(*applied + Pair::splat(quanta)) * *weight;
                }
            }
            quanta += 1.0;
        }
        let lost = 2.0 * jump.loss * f64::from(loops);
        Answer {
            in_phase: swing.amplitude - (ends + sum.sum()) / PI,
            quadrature: device.beta_rf() / (2.0 * PI * PI) * lost / swing.amplitude,
        }
    }

    /// The integral of S between where the drive turns, at which S has a root, and a jump.
    fn end(&self, swing: Swing, turned: f64, jumps: f64) -> f64 {
        let way = jumps - turned;
        let mut sum = Pair::splat(0.0);
        for (share, weight) in &self.ends {
            let total = Pair::splat(turned) + *share * way;
            sum += swing.share(self.device.both_applied(total)) * *weight;
        }
        way.abs() * sum.sum()
    }
}
