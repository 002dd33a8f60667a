//! The border of stability on one side of the largest bias, as a path along which the applied flux rises: what it is,
//! and why its end and its tail, is told in `critical_curve.rs`.

use crate::numerics::elementary::{atan2, sin_cos};
use crate::numerics::order::within;
use crate::numerics::root;

use core::f64::consts::{FRAC_PI_2, PI, TAU};

/// The border of stability from the largest bias outwards, one junction (`over`) pushed past its
/// quarter turn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Arc {
    pub(super) over: f64,
    pub(super) under: f64,
    over_share: f64,
    under_share: f64,
    beta_l: f64,
    /// The pushed junction is so much weaker that it can be turned right round: then its own
    /// phase runs along the arc, else that of the other.
    weak: bool,
    /// Where the arc stops being a largest bias.
    end: f64,
    /// Where the tail starts, which ends at pi, if there is one.
    pub(super) tail: Option<f64>,
    pub(super) flux_start: f64,
    /// Flux quanta from the start to the end.
    pub(super) length: f64,
}

/// One place on an arc.
#[derive(Debug, Clone, Copy)]
pub(super) struct Place {
    pub(super) flux: f64,
    pub(super) over_current: f64,
    pub(super) under_current: f64,
    pub(super) over_phase: f64,
    pub(super) under_phase: f64,
    /// What is zero at a cusp.
    cusp: f64,
}

impl Arc {
    /// The arc on which a junction of critical current `over` is pushed past its quarter turn and one of `under` is not;
    /// `over_share` of the inductance stands with the first.
    pub(super) fn new(over: f64, under: f64, over_share: f64, beta_l: f64) -> Self {
        let mut arc = Self {
            over,
            under,
            over_share,
            under_share: 1.0 - over_share,
            beta_l,
            weak: under / (1.0 + PI * beta_l * under) > over,
            end: PI,
            tail: None,
            flux_start: 0.0,
            length: 0.0,
        };
        let cusp = |from: f64| root::first_crossing(|t| arc.place(t).cusp, from, PI, 256, 1e-14);
        if let Some(end) = cusp(0.0) {
            // A weak junction turned right round comes to a second cusp; else the tail runs along the same
            // places as the rest of the arc, with all currents reversed.
            let tail = if arc.weak {
                cusp(end + 1e-7)
            } else {
                (under > over).then_some(end)
            };
            arc.end = end;
            arc.tail = tail;
        }
        arc.flux_start = arc.place(0.0).flux;
        arc.length = arc.rise(arc.end);
        arc
    }

    /// Flux quanta from the start to the place `t`.
    fn rise(&self, t: f64) -> f64 {
        self.place(t).flux - self.flux_start
    }

    /// The place `t` along the arc, from 0 to at most pi.
    fn place(&self, t: f64) -> Place {
        let (sine, cosine) = sin_cos(t);
        let stiff = PI * self.beta_l;
        let (over_slope, under_slope, over_phase, under_phase, over_current, under_current);
        if self.weak {
            over_slope = -self.over * sine;
            // The denominator is positive: it is at least over/under.
            under_slope = -over_slope / (1.0 + stiff * over_slope);
            over_phase = FRAC_PI_2 + t;
            over_current = self.over * cosine;
            (under_phase, under_current) = quarter(under_slope, self.under);
        } else {
            under_slope = self.under * sine;
            over_slope = -under_slope / (1.0 + stiff * under_slope);
            under_phase = FRAC_PI_2 - t;
            under_current = self.under * cosine;
            (over_phase, over_current) = quarter(over_slope, self.over);
        }
        let half = 0.5 * stiff;
        let under_cube = 1.0 + half * under_slope;
        let over_cube = 1.0 + half * over_slope;
        Place {
            flux: (over_phase - under_phase) / TAU
                + 0.5
                    * self.beta_l
                    * (self.over_share * over_current - self.under_share * under_current),
            over_current,
            under_current,
            over_phase,
            under_phase,
            cusp: over_current * under_cube * under_cube * under_cube
                + under_current * over_cube * over_cube * over_cube,
        }
    }

    /// The place `t` on the tail.
    pub(super) fn tail_place(&self, t: f64) -> Place {
        let place = self.place(t);
        if self.weak {
            return place;
        }
        Place {
            flux: 1.0 - place.flux,
            over_current: -place.over_current,
            under_current: -place.under_current,
            over_phase: -place.over_phase,
            under_phase: -place.under_phase,
            cusp: -place.cusp,
        }
    }

    /// The place at `rise` flux quanta beyond the largest bias, before the end.
    pub(super) fn at(&self, rise: f64) -> Place {
        let t = reach(|t| self.rise(t) - rise, 0.0, self.end);
        self.place(t)
    }

    /// The place at `rise` flux quanta beyond the largest bias, on the tail.
    pub(super) fn on_tail(&self, rise: f64) -> Place {
        let target = self.flux_start + rise;
        let from = self.tail.unwrap_or(self.end);
        let t = reach(|t| self.tail_place(t).flux - target, from, PI);
        self.tail_place(t)
    }
}

/// Root of a function that rises from `from` to `to`; the nearer end when it is out of reach (by
/// rounding only).
fn reach<F: Fn(f64) -> f64>(function: F, from: f64, to: f64) -> f64 {
    root::brent(&function, from, to, 1e-15).unwrap_or(if function(from) >= 0.0 { from } else { to })
}

/// Phase (0 to pi) and current of a junction with critical current `size` whose `size cos(phase)`
/// is `slope`.
fn quarter(slope: f64, size: f64) -> (f64, f64) {
    let slope = within(slope, -size, size);
    let current = ((size - slope) * (size + slope)).sqrt();
    (atan2(current, slope), current)
}
