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
//! J. Clarke, J. Low Temp. Phys. 29, 301 (1977) (both from memory). How the critical current is found, a derivation,
//! is told in `screened_loop/critical_curve.rs`.

mod arc;
mod critical_curve;

use crate::numerics::elementary::{acos, atan2, sin_cos};
use crate::numerics::root;

pub use critical_curve::{CriticalCurve, Limit};

use core::f64::consts::{PI, TAU};

/// A loop with two junctions.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Loop {
    left: f64,
    right: f64,
    beta_l: f64,
    left_share: f64,
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
