//! A superconducting loop with one junction: total against applied flux, jumps, energy lost.
//!
//! Normalised: flux in flux quanta, current in the critical current I0, energy in I0 Phi0, and
//! `beta_rf = 2 pi L I0 / Phi0`:
//!
//! ```text
//! flux = applied + (beta_rf/2 pi) j        j = -sin(2 pi flux)
//! energy = (pi/beta_rf)(flux - applied)² - cos(2 pi flux)/(2 pi)
//! ```
//!
//! Positive j raises the flux. Up to `beta_rf` = 1 the total flux is a function of the applied one. Above, it
//! is folded: a stable branch for each whole number of quanta ends at turning points where
//! `cos(2 pi flux) = -1/beta_rf`, and there the loop jumps. It is taken to land on the *next* stable
//! branch, as it does when its damping is strong; a weakly damped loop of large `beta_rf` can go further.
//!
//! Sources: J. Clarke, Proc. IEEE 77, 1208 (1989); J. Clarke and A. I. Braginski (editors), The SQUID
//! Handbook, volume I (2004) (both from memory); turning points, energies and slopes are derivations.

use crate::numerics::elementary::{acos, cos, sin, sin_cos};
use crate::numerics::lanes::Pair;
use crate::numerics::order::within;
use crate::numerics::root;
use crate::numerics::vector_sine::sine;

use core::f64::consts::{PI, TAU};

/// The most branches to either side of the middle of a range that are drawn.
const DRAWN_BRANCHES: f64 = 100.0;

/// Points along one drawn branch, less one.
const DRAWN_STEPS: u32 = 32;

/// A loop with one junction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RfLoop {
    beta: f64,
    /// Total flux at the turning point of the branch without quanta; one half where there is none.
    turn: f64,
    /// Applied flux there.
    reach: f64,
}

/// A stable state of the loop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct State {
    /// The whole number of quanta of its branch.
    pub quanta: f64,
    /// Total flux.
    pub flux: f64,
    /// Circulating current; positive raises the flux.
    pub circulating: f64,
    /// Energy in units of I0 Phi0.
    pub energy: f64,
}

/// The jump from the branch without quanta to the one with a quantum. All other jumps are this one moved
/// by whole quanta, or its mirror image in half a quantum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Jump {
    /// Applied flux at which the loop jumps up.
    pub applied: f64,
    /// Total flux just before.
    pub before: f64,
    /// Total flux just after.
    pub after: f64,
    /// Energy lost in it, in units of I0 Phi0.
    pub loss: f64,
}

/// A piece of the folded curve of total against applied flux.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece {
    /// Whether the loop can stay on it.
    pub stable: bool,
    /// Applied and total flux along it.
    pub points: Vec<(f64, f64)>,
}

impl RfLoop {
    /// A loop with this `beta_rf`, from 0 to a million. None for anything else.
    #[must_use]
    pub fn new(beta_rf: f64) -> Option<Self> {
        if !(0.0..=1e6).contains(&beta_rf) {
            return None;
        }
        let mut made = Self {
            beta: beta_rf,
            turn: 0.5,
            reach: 0.5,
        };
        if beta_rf > 1.0 {
            made.turn = acos(-1.0 / beta_rf) / TAU;
            // sin(2 pi turn), without the digits that a sine near pi would lose.
            made.reach = made.turn + (beta_rf * beta_rf - 1.0).sqrt() / TAU;
        }
        Some(made)
    }

    /// The screening parameter.
    #[must_use]
    pub fn beta_rf(&self) -> f64 {
        self.beta
    }

    /// Whether the total flux jumps.
    #[must_use]
    pub fn is_hysteretic(&self) -> bool {
        self.beta > 1.0
    }

    /// Half the range of applied flux over which one branch exists: the flux of the first jump. One half
    /// where nothing jumps.
    #[must_use]
    pub fn reach(&self) -> f64 {
        self.reach
    }

    /// Total flux at the end of the branch without quanta; one half where nothing jumps.
    #[must_use]
    pub fn turn(&self) -> f64 {
        self.turn
    }

    /// The applied flux that goes with a total flux.
    #[must_use]
    pub fn applied(&self, flux: f64) -> f64 {
        flux + self.beta / TAU * sin(TAU * flux)
    }

    /// The applied fluxes that go with two total fluxes, at once: as [`RfLoop::applied`] but for rounding.
    #[must_use]
    #[inline]
    pub fn both_applied(&self, flux: Pair) -> Pair {
        flux + sine(flux * TAU) * (self.beta / TAU)
    }

    /// The energy at any total flux, in a state or not, in units of I0 Phi0. Without inductance the flux
    /// cannot differ from the applied one, and the field's energy is left out.
    #[must_use]
    pub fn energy(&self, flux: f64, applied: f64) -> f64 {
        let off = flux - applied;
        let field = if self.beta > 0.0 {
            PI / self.beta * off * off
        } else {
            0.0
        };
        field - cos(TAU * flux) / TAU
    }

    /// The jump, where there is one.
    #[must_use]
    pub fn jump(&self) -> Option<Jump> {
        if !self.is_hysteretic() {
            return None;
        }
        let after = self.state(1.0, self.reach);
        Some(Jump {
            applied: self.reach,
            before: self.turn,
            after: after.flux,
            loss: (self.state(0.0, self.reach).energy - after.energy).max(0.0),
        })
    }

    /// The state on a rising sweep that began far below: the branch is left only at its upper end.
    #[must_use]
    pub fn rising(&self, applied: f64) -> State {
        self.state((applied - self.reach).ceil(), applied)
    }

    /// The state on a falling sweep that began far above.
    #[must_use]
    pub fn falling(&self, applied: f64) -> State {
        self.state((applied + self.reach).floor(), applied)
    }

    /// The state of lowest energy; at exactly half a quantum the one with fewer quanta.
    #[must_use]
    pub fn lowest(&self, applied: f64) -> State {
        self.state((applied - 0.5).ceil(), applied)
    }

    /// The state on the branch of a whole number of quanta. Where that branch does not reach the applied
    /// flux, its end.
    #[must_use]
    pub fn state(&self, quanta: f64, applied: f64) -> State {
        let flux = self.settle(applied - quanta);
        let (sine, cosine) = sin_cos(TAU * flux);
        State {
            quanta,
            flux: quanta + flux,
            circulating: -sine,
            energy: self.beta / (2.0 * TAU) * sine * sine - cosine / TAU,
        }
    }

    /// Total flux on the branch without quanta; beyond its ends, that of the end.
    #[must_use]
    pub fn settle(&self, applied: f64) -> f64 {
        let wanted = applied.abs();
        if wanted >= self.reach {
            return self.turn.copysign(applied);
        }
        let share = self.beta / TAU;
        // The applied flux is a concave function of the total one on this half of the branch, so that
        // Newton's method from below the root rises to it, and from above falls below it at once.
        let floor = wanted / (1.0 + self.beta);
        let mut flux = floor;
        let bend = TAU * self.beta * sin(TAU * self.turn);
        let near_turn = (2.0 * (self.reach - wanted) / bend).sqrt();
        if near_turn < 0.1 {
            flux = (self.turn - near_turn).max(floor);
        }
        for round in 0..100 {
            let (sine, cosine) = sin_cos(TAU * flux);
            let slope = 1.0 + self.beta * cosine;
            if slope <= 0.0 {
                break;
            }
            let step = (wanted - flux - share * sine) / slope;
            let next = within(flux + step, floor, self.turn);
            // Rising to the root it stops where rounding turns it back.
            if round > 0 && next <= flux {
                break;
            }
            flux = next;
        }
        flux.copysign(applied)
    }

    /// The folded curve of total against applied flux between two applied fluxes, branch after branch with
    /// rising total flux, stable and unstable in turn. At most a hundred branches to either side of the
    /// middle.
    #[must_use]
    pub fn pieces(&self, from: f64, to: f64) -> Vec<Piece> {
        if !self.is_hysteretic() {
            let lowest = self.lowest(from).flux;
            let highest = self.lowest(to).flux;
            return vec![self.piece(lowest, highest, (from, to), true)];
        }
        let middle = (0.5 * (from + to)).round();
        let first = (from - self.reach).ceil().max(middle - DRAWN_BRANCHES);
        let last = (to + self.reach).floor().min(middle + DRAWN_BRANCHES);
        let mut pieces = Vec::new();
        let mut quanta = first;
        while quanta <= last {
            let (below, above) = (quanta - self.turn, quanta + self.turn);
            pieces.push(self.piece(below, above, (from, to), true));
            if quanta < last {
                let next = quanta + 1.0 - self.turn;
                pieces.push(self.piece(above, next, (from, to), false));
            }
            quanta += 1.0;
        }
        pieces.retain(|piece| piece.points.len() > 1);
        pieces
    }

    /// Whether [`RfLoop::pieces`] leaves branches out between these applied fluxes.
    #[must_use]
    pub fn leaves_out(&self, from: f64, to: f64) -> bool {
        self.is_hysteretic() && 0.5 * (to - from) + self.reach > DRAWN_BRANCHES
    }

    /// The part of the curve between two total fluxes, within a window of applied flux.
    fn piece(&self, lowest: f64, highest: f64, window: (f64, f64), stable: bool) -> Piece {
        let mut ends = (lowest, highest);
        // On a stable piece the applied flux rises with the total one, on an unstable piece it falls.
        let borders = if stable { window } else { (window.1, window.0) };
        let sign = if stable { 1.0 } else { -1.0 };
        let past = |flux: f64, border: f64| sign * (self.applied(flux) - border);
        if past(lowest, borders.0) < 0.0 {
            if past(highest, borders.0) < 0.0 {
                ends.0 = highest;
            } else if let Some(cut) =
                root::brent(|flux| past(flux, borders.0), lowest, highest, 1e-14)
            {
                ends.0 = cut;
            }
        }
        if past(highest, borders.1) > 0.0 {
            if past(lowest, borders.1) > 0.0 {
                ends.1 = lowest;
            } else if let Some(cut) =
                root::brent(|flux| past(flux, borders.1), lowest, highest, 1e-14)
            {
                ends.1 = cut;
            }
        }
        let (from, to) = ends;
        if from >= to {
            return Piece {
                stable,
                points: Vec::new(),
            };
        }
        let quanta = (to - from).ceil().min(1000.0) as u32;
        let steps = DRAWN_STEPS * quanta.max(1);
        let points = (0..=steps)
            .map(|step| {
                let share = f64::from(step) / f64::from(steps);
                let flux = from * (1.0 - share) + to * share;
                (within(self.applied(flux), window.0, window.1), flux)
            })
            .collect();
        Piece { stable, points }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]
mod tests {
    use super::*;

    #[test]
    fn refuses_what_is_no_loop() {
        for beta in [-1e-9, f64::NAN, f64::INFINITY, 2e6] {
            assert!(RfLoop::new(beta).is_none(), "{beta}");
        }
    }

    #[test]
    fn the_state_solves_the_equation_everywhere() {
        for beta in [
            0.0,
            1e-6,
            0.3,
            0.999,
            1.0,
            1.0 + 1e-9,
            1.001,
            2.0,
            7.0,
            300.0,
            1e6,
        ] {
            let device = RfLoop::new(beta).unwrap();
            for step in -2000..=2000 {
                let share = f64::from(step) / 2000.0;
                let applied = share * device.reach();
                let flux = device.settle(applied);
                let off = (device.applied(flux) - applied).abs();
                assert!(off < 1e-14 * (1.0 + 0.1 * beta), "{beta} {applied} {off}");
                assert!(flux.abs() <= device.turn());
            }
        }
    }

    #[test]
    fn the_folded_curve_hangs_together_and_stays_in_its_window() {
        for beta in [0.4, 1.0, 1.2, 2.0, 12.0] {
            let device = RfLoop::new(beta).unwrap();
            let pieces = device.pieces(-1.3, 2.4);
            assert_eq!(pieces.len() > 1, beta > 1.0);
            for piece in &pieces {
                for (applied, flux) in &piece.points {
                    assert!((-1.3..=2.4).contains(applied));
                    assert!((device.applied(*flux) - applied).abs() < 1e-12);
                    let slope = 1.0 + beta * cos(TAU * flux);
                    assert!(if piece.stable {
                        slope > -1e-6
                    } else {
                        slope < 1e-6
                    });
                }
            }
        }
    }

    #[test]
    fn branches_left_out_are_told() {
        let wide = RfLoop::new(2e3).unwrap();
        assert!(wide.leaves_out(0.0, 2.0));
        assert!(wide.pieces(0.0, 2.0).len() <= 401);
        assert!(!RfLoop::new(5.0).unwrap().leaves_out(0.0, 2.0));
    }
}
