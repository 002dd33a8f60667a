//! A superconducting loop with two junctions, whose own inductance answers the applied flux.
//!
//! Normalised: currents in the mean critical current I0 of the two junctions, flux in flux quanta,
//! `beta_l = 2 L I0 / Phi0`. Junction phases d1 (left) and d2 (right), bias i, circulating current j:
//!
//! ```text
//! i/2 - j = a1 sin d1        i/2 + j = a2 sin d2        d1 - d2 = 2 pi f
//! f = f_applied + (beta_l/2) (l2 a2 sin d2 - l1 a1 sin d1)
//! ```
//!
//! with a1 + a2 = 2 the critical currents and l1 + l2 = 1 the shares of the inductance. Positive j raises
//! the flux, so a small positive applied flux gives negative j. With unequal junctions or arms the
//! bias itself drives flux, and the largest critical current stands at the applied flux
//! `(beta_l/2)(l1 a1 - l2 a2)`: to the left when the right side is the larger. For a bias the
//! other way round the curve is mirrored in zero flux.
//!
//! Sources: A. T. A. M. de Waele and R. de Bruyn Ouboter, Physica 41, 225 (1969); C. D. Tesche and
//! J. Clarke, J. Low Temp. Phys. 29, 301 (1977) (both from memory); the method below is a derivation.
//!
//! # The critical current
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

use crate::numerics::elementary::{acos, atan2, sin_cos};
use crate::numerics::order::within;
use crate::numerics::root;

use core::f64::consts::{FRAC_PI_2, PI, TAU};

/// A loop with two junctions.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Loop {
    left: f64,
    right: f64,
    beta_l: f64,
    left_share: f64,
}

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

/// A state of the loop without bias.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct State {
    /// Total flux in the loop.
    pub flux: f64,
    /// Circulating current; positive raises the flux.
    pub circulating: f64,
    /// Energy in units of I0 Phi0 / 2 pi.
    pub energy: f64,
    /// Whether a small push is answered by a force back (the Hessian of the energy is positive).
    pub stable: bool,
}

impl Loop {
    /// A loop with junctions of relative critical currents `left` and `right` (only their ratio
    /// counts: they are brought to a mean of 1), screening `beta_l` (0 or more) and `left_share` of the
    /// inductance in the left arm (0 to 1). None for anything else.
    #[must_use]
    pub fn new(left: f64, right: f64, beta_l: f64, left_share: f64) -> Option<Self> {
        let mean = 0.5 * (left + right);
        let fine = left > 0.0
            && right > 0.0
            && mean.is_finite()
            && beta_l >= 0.0
            && beta_l.is_finite()
            && (0.0..=1.0).contains(&left_share);
        fine.then(|| Self {
            left: left / mean,
            right: right / mean,
            beta_l,
            left_share,
        })
    }

    /// Critical current of the left junction, in the mean of both.
    #[must_use]
    pub fn left(&self) -> f64 {
        self.left
    }

    /// Critical current of the right junction, in the mean of both.
    #[must_use]
    pub fn right(&self) -> f64 {
        self.right
    }

    /// The screening parameter.
    #[must_use]
    pub fn beta_l(&self) -> f64 {
        self.beta_l
    }

    /// Energy `-(i/2)(d1+d2) - a1 cos d1 - a2 cos d2 + (d1-d2-2 pi f_a)²/(2 pi beta_l)` without bias, in
    /// units of I0 Phi0 / 2 pi, for the difference of phases `difference` and the sum that is best for it.
    fn energy(&self, difference: f64, applied: f64) -> f64 {
        let off = difference - TAU * applied;
        let field = if self.beta_l > 0.0 {
            off * off / (TAU * self.beta_l)
        } else {
            0.0
        };
        field - self.stiffness(difference)
    }

    /// `sqrt(a1² + a2² + 2 a1 a2 cos)`: the two junctions as one, at their best common phase.
    fn stiffness(&self, difference: f64) -> f64 {
        let (sine, cosine) = sin_cos(0.5 * difference);
        let together = 2.0 * cosine;
        let apart = (self.left - self.right) * sine;
        (together * together + apart * apart).sqrt()
    }

    /// Current that circulates against the flux at this difference of phases, without bias.
    pub(super) fn response(&self, difference: f64) -> f64 {
        let (sine, cosine) = sin_cos(0.5 * difference);
        let stiffness = self.stiffness(difference);
        if stiffness > 0.0 {
            2.0 * self.left * self.right * sine * cosine / stiffness
        } else {
            self.left.min(self.right)
        }
    }

    /// What is zero in a state without bias.
    pub(super) fn mismatch(&self, difference: f64, applied: f64) -> f64 {
        PI * self.beta_l * self.response(difference) + difference - TAU * applied
    }

    /// The state of lowest energy without bias at an applied flux. At exactly half a quantum two states
    /// are equal; the one with fewer quanta is taken, as on a rising sweep just before its jump.
    #[must_use]
    pub fn lowest_state(&self, applied: f64) -> State {
        let quanta = (applied - 0.5).ceil();
        let rest = applied - quanta;
        let size = rest.abs();
        // The energy is lowest between no flux and the applied one. The response rises up to the turn
        // where it equals the smaller junction's critical current, and falls (concavely) beyond, so that
        // there is one root on one of the two sides of that turn.
        let smaller = self.left.min(self.right);
        let larger = self.left.max(self.right);
        let turn = acos(-smaller / larger);
        let end = TAU * size;
        let place = if size <= 0.0 {
            Some(0.0)
        } else if turn >= end || self.mismatch(turn, size) >= 0.0 {
            root::brent(|d| self.mismatch(d, size), 0.0, turn.min(end), 1e-15)
        } else {
            root::brent(|d| self.mismatch(d, size), turn, end, 1e-15)
        };
        let difference = place.unwrap_or(end);
        let mut state = self.state(difference, size);
        if rest < 0.0 {
            state.flux = -state.flux;
            state.circulating = -state.circulating;
        }
        state.flux += quanta;
        state
    }

    /// All states without bias at an applied flux, in order of their total flux, stable or not: at most
    /// those of `quanta` flux quanta to each side. Only those where the two junctions share their best
    /// common phase; the others are never stable.
    #[must_use]
    pub fn states(&self, applied: f64, quanta: u32) -> Vec<State> {
        const STEPS: u32 = 128;
        let reach = (0.5 * self.beta_l * self.left.min(self.right) + 1e-9).min(f64::from(quanta));
        let from = TAU * (applied - reach) - 1e-7;
        let to = TAU * (applied + reach) + 1e-7;
        let count = ((to - from) / TAU * f64::from(STEPS))
            .ceil()
            .clamp(2.0, 65_536.0) as u32;
        let width = (to - from) / f64::from(count);
        let mut states = Vec::new();
        let mut before = self.mismatch(from, applied);
        for k in 1..=count {
            let right = from + width * f64::from(k);
            let here = self.mismatch(right, applied);
            if (before > 0.0) != (here > 0.0)
                && let Some(d) =
                    root::brent(|d| self.mismatch(d, applied), right - width, right, 1e-14)
            {
                // Equal junctions slip at odd half quanta: a change of sign there is no state.
                if self.mismatch(d, applied).abs() < 1e-6 * (1.0 + self.beta_l) {
                    states.push(self.state(d, applied));
                }
            }
            before = here;
        }
        states
    }

    pub(super) fn state(&self, difference: f64, applied: f64) -> State {
        let (sine, cosine) = sin_cos(0.5 * difference);
        // The common phase at which the two junctions' currents cancel with the lowest energy.
        let common = -atan2((self.left - self.right) * sine, 2.0 * cosine);
        State {
            flux: difference / TAU,
            circulating: -self.response(difference),
            energy: self.energy(difference, applied),
            stable: self.is_stable(common + 0.5 * difference, common - 0.5 * difference),
        }
    }

    /// Whether the Hessian of the energy is positive at these phases (the bias does not enter it).
    #[must_use]
    pub fn is_stable(&self, left_phase: f64, right_phase: f64) -> bool {
        let c1 = self.left * sin_cos(left_phase).1;
        let c2 = self.right * sin_cos(right_phase).1;
        // Multiplied by pi beta_l, so that it holds for none as well.
        let stiff = PI * self.beta_l;
        stiff * c1 + 1.0 > 0.0 && stiff * c2 + 1.0 > 0.0 && stiff * c1 * c2 + c1 + c2 > 0.0
    }

    /// The curve of critical current against applied flux, ready to be asked.
    #[must_use]
    pub fn critical_curve(&self) -> CriticalCurve {
        CriticalCurve::new(self)
    }
}

/// The border of stability from the largest bias outwards, one junction (`over`) pushed past its
/// quarter turn.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Arc {
    over: f64,
    under: f64,
    over_share: f64,
    under_share: f64,
    beta_l: f64,
    /// The pushed junction is so much weaker that it can be turned right round: then its own
    /// phase runs along the arc, else that of the other.
    weak: bool,
    /// Where the arc stops being a largest bias.
    end: f64,
    /// Where the tail starts, which ends at pi, if there is one.
    tail: Option<f64>,
    flux_start: f64,
    /// Flux quanta from the start to the end.
    length: f64,
}

/// One place on an arc.
#[derive(Debug, Clone, Copy)]
struct Place {
    flux: f64,
    over_current: f64,
    under_current: f64,
    over_phase: f64,
    under_phase: f64,
    /// What is zero at a cusp.
    cusp: f64,
}

impl Arc {
    fn new(over: f64, under: f64, over_share: f64, beta_l: f64) -> Self {
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
    fn tail_place(&self, t: f64) -> Place {
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
    fn at(&self, rise: f64) -> Place {
        let t = reach(|t| self.rise(t) - rise, 0.0, self.end);
        self.place(t)
    }

    /// The place at `rise` flux quanta beyond the largest bias, on the tail.
    fn on_tail(&self, rise: f64) -> Place {
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
    fn new(device: &Loop) -> Self {
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
