//! The critical current of the loop against the applied flux.
//!
//! A state stops being stable where the Hessian of its energy loses its determinant, which is also where
//! the bias is stationary at fixed applied flux:
//! `1/c1 + 1/c2 = -pi beta_l` with `c_k = a_k cos d_k`. On the border of the stable region one
//! junction has been pushed over its quarter turn (c < 0) while the other has not. That border, from
//! d1 = d2 = pi/2 (both at their limit: bias 2) outwards, is an arc on which the applied flux rises and the bias falls
//! all the way, until a cusp (or the end) after which it is no longer a largest bias. One such arc to each
//! side, repeated at every flux quantum, is the whole curve, but for a tail: around the place where the weaker
//! junction carries its whole current against the bias (bias |a1 - a2|, the least there can be) the border is
//! a largest bias too, up to a cusp of its own. Each point is one root of a monotone function; because the bias
//! is stationary there, an error of the phases enters the current only as its square.

use super::Loop;
use super::arc::{Arc, Place};
use crate::numerics::root;

use core::f64::consts::PI;

/// The state of the loop at its critical current.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limit {
    /// The critical current.
    pub current: f64,
    /// Current through the left junction.
    pub left: f64,
    /// Current through the right junction.
    pub right: f64,
    /// Phase across the left junction, in radians.
    pub left_phase: f64,
    /// Phase across the right junction, in radians, whole turns left out.
    pub right_phase: f64,
}

/// The critical current of a loop against applied flux: period 1, largest value the sum of both
/// junctions' critical currents.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CriticalCurve {
    /// The left junction is pushed over: applied flux rises from the largest bias.
    rising: Arc,
    /// The right junction is pushed over: applied flux falls from it.
    falling: Arc,
    peak: f64,
    /// Counted from the peak, 0 to 1: up to the first, the rising arc; up to the second, its tail; up to
    /// the third, the falling arc's tail; beyond, the falling arc of the next peak.
    cuts: [f64; 3],
}

impl CriticalCurve {
    /// The curve of that loop.
    pub(super) fn new(device: &Loop) -> Self {
        let rising = Arc::new(device.left, device.right, device.left_share, device.beta_l);
        let falling = Arc::new(
            device.right,
            device.left,
            1.0 - device.left_share,
            device.beta_l,
        );
        let cuts = if rising.tail.is_some() {
            let (crossing, joint) = cut(&rising, &falling);
            [crossing, joint, joint]
        } else {
            let (crossing, joint) = cut(&falling, &rising);
            [1.0 - joint, 1.0 - joint, 1.0 - crossing]
        };
        Self {
            rising,
            falling,
            peak: rising.flux_start,
            cuts,
        }
    }

    /// Applied flux of the largest critical current, within a whole number of quanta.
    #[must_use]
    pub fn peak(&self) -> f64 {
        self.peak
    }

    /// The largest critical current: always the sum of both junctions'.
    #[must_use]
    pub fn maximum(&self) -> f64 {
        self.rising.over + self.rising.under
    }

    /// Applied flux and value of the smallest critical current.
    #[must_use]
    pub fn minimum(&self) -> (f64, f64) {
        let [_, lowest, _] = self.cuts;
        (self.peak + lowest, self.at(self.peak + lowest).current)
    }

    /// The critical current and the state there, at an applied flux.
    #[must_use]
    pub fn at(&self, applied: f64) -> Limit {
        let from_peak = applied - self.peak;
        let rise = from_peak - from_peak.floor();
        let [rising, tails, falling] = self.cuts;
        let (from_left, place) = if rise <= rising {
            (true, self.rising.at(rise))
        } else if rise <= tails {
            (true, self.rising.on_tail(rise))
        } else if rise <= falling {
            (false, self.falling.on_tail(1.0 - rise))
        } else {
            (false, self.falling.at(1.0 - rise))
        };
        let over = (place.over_current, place.over_phase);
        let under = (place.under_current, place.under_phase);
        let (left, right) = if from_left {
            (over, under)
        } else {
            (under, over)
        };
        Limit {
            current: (left.0 + right.0).max(0.0),
            left: left.0,
            right: right.0,
            left_phase: left.1,
            right_phase: right.1,
        }
    }
}

/// Where the largest bias leaves `arc`, and where it comes to `other` (which starts at 1 and runs
/// against it). The two differ only when the tail of `arc` lies between.
fn cut(arc: &Arc, other: &Arc) -> (f64, f64) {
    let tail_rise = |t: f64| arc.tail_place(t).flux - arc.flux_start;
    let (from, joint) = match arc.tail {
        Some(tail) => (tail_rise(tail), tail_rise(PI)),
        None => ((1.0 - other.length).max(0.0), 0.0),
    };
    let to = arc.length.min(1.0);
    let beyond = |rise: f64| {
        if rise < joint {
            bias(&arc.on_tail(rise))
        } else {
            bias(&other.at(1.0 - rise))
        }
    };
    let crossing = root::brent(|rise| bias(&arc.at(rise)) - beyond(rise), from, to, 1e-15)
        // The arcs meet end to end, or their values differ only by rounding.
        .unwrap_or(0.5 * (from + to));
    (crossing, crossing.max(joint))
}

fn bias(place: &Place) -> f64 {
    place.over_current + place.under_current
}
