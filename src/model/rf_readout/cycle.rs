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
use crate::numerics::elementary::sin;
use crate::numerics::quadrature::gauss_legendre;

/// Nodes on a branch between two jumps, and from a jump to where the drive turns.
const NODES: u32 = 16;

/// Nodes on the way from one end of the drive to the other without a jump, for each quantum passed.
const NODES_OF_WAY: f64 = 32.0;

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
    /// Places on -1 to 1 and weights.
    rule: Vec<(f64, f64)>,
    /// Applied flux and weight along a whole branch from a landing to the next jump, counted from its quanta.
    branch: Vec<(f64, f64)>,
}

/// The drive's flux: where, how far.
#[derive(Clone, Copy)]
struct Swing {
    flux: f64,
    amplitude: f64,
}

impl Swing {
    /// `|sin(theta)|` where the applied flux has this value.
    fn share(self, applied: f64) -> f64 {
        let cosine = (applied - self.flux) / self.amplitude;
        (1.0 - cosine * cosine).max(0.0).sqrt()
    }
}

impl Cycles {
    pub(super) fn new(device: RfLoop) -> Self {
        let rule = gauss_legendre(NODES);
        let jump = device.jump();
        let branch = jump.map_or_else(Vec::new, |jump| {
            let (from, to) = (jump.after - 1.0, jump.before);
            let half = 0.5 * (to - from);
            rule.iter()
                .map(|(place, weight)| {
                    let total = from + half * (1.0 + place);
                    (device.applied(total), half * weight)
                })
                .collect()
        });
        Self {
            device,
            jump,
            rule,
            branch,
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
        let middle = 0.5 * (to + from);
        let nodes = (NODES_OF_WAY * (1.0 + 2.0 * half)).ceil().min(1e5);
        let turn = PI / (nodes + 1.0);
        let mut sum = 0.0;
        let mut node = 1.0;
        while node <= nodes {
            // Node by node from the middle outwards would be no better: the sum is smooth.
            let angle = turn * node;
            let place = sin(0.5 * PI - angle);
            let applied = self.device.applied(middle + half * place);
            sum += sin(angle) * swing.share(applied);
            node += 1.0;
        }
        half * turn * sum
    }

    fn with_jumps(&self, swing: Swing, jump: Jump, loops: u32) -> Answer {
        let device = &self.device;
        let (low, high) = (swing.flux - swing.amplitude, swing.flux + swing.amplitude);
        let lowest = -f64::from(loops / 2);
        let highest = f64::from(loops.div_ceil(2));
        let bottom = lowest + device.settle(low - lowest);
        let top = highest + device.settle(high - highest);
        // Up: from the bottom to the first jump, and from the last landing to the top. Down: the mirror image.
        let mut sum = self.end(swing, bottom, lowest + jump.before)
            + self.end(swing, top, highest - 1.0 + jump.after)
            + self.end(swing, top, highest - jump.before)
            + self.end(swing, bottom, lowest + 1.0 - jump.after);
        let height = jump.after - jump.before;
        let mut quanta = lowest;
        while quanta < highest {
            let (up, down) = (quanta + jump.applied, quanta + 1.0 - jump.applied);
            sum += height * (swing.share(up) + swing.share(down));
            if quanta > lowest {
                for (applied, weight) in &self.branch {
                    sum += weight * (swing.share(quanta + applied) + swing.share(quanta - applied));
                }
            }
            quanta += 1.0;
        }
        let lost = 2.0 * jump.loss * f64::from(loops);
        Answer {
            in_phase: swing.amplitude - sum / PI,
            quadrature: device.beta_rf() / (2.0 * PI * PI) * lost / swing.amplitude,
        }
    }

    /// The integral of S between where the drive turns, at which S has a root, and a jump.
    fn end(&self, swing: Swing, turned: f64, jumps: f64) -> f64 {
        let way = jumps - turned;
        let mut sum = 0.0;
        for (place, weight) in &self.rule {
            let root = 0.5 * (1.0 + place);
            let total = turned + way * root * root;
            sum += weight * root * swing.share(self.device.applied(total));
        }
        way.abs() * sum
    }
}
