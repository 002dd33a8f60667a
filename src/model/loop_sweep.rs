//! The loop with two junctions, without bias, on a continuing sweep of the applied flux.
//!
//! A quiet loop does not look for its lowest energy. It follows the state in which it is until that state ends, and
//! then takes in one flux quantum. With d the difference of the junctions' phases and r(d) the current that
//! circulates against the flux (in the mean critical current), a state obeys
//!
//! ```text
//! d + pi beta_l r(d) = 2 pi f_applied        r(d) = a1 a2 sin d / sqrt(a1² + a2² + 2 a1 a2 cos d)
//! ```
//!
//! and ends where the left side has its first turning point. Equal junctions have r(d) = sin(d/2) with a break
//! at d = pi, where both stand at their quarter turn: there the state ends, at f = 1/2 + `beta_l`/2, for
//! whatever `beta_l`. Unequal ones have a turning point only while `pi beta_l a1 a2 > |a1 - a2|`; else each flux
//! has one state, and nothing jumps. A derivation; that one quantum enters at a time is what well damped
//! junctions do (an assumption, not computed here).

use super::screened_loop::{Loop, State};
use crate::numerics::elementary::{acos, sin_cos};
use crate::numerics::root;

use core::f64::consts::{PI, TAU};

/// Where the state that holds no quantum ends on a rising sweep.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct End {
    /// Applied flux.
    pub applied: f64,
    /// Size of the circulating current there.
    pub circulating: f64,
    difference: f64,
}

/// A loop and the end of its states.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sweep {
    device: Loop,
    end: Option<End>,
}

impl Sweep {
    /// Finds where the states of a loop end.
    #[must_use]
    pub fn new(device: &Loop) -> Self {
        Self {
            device: *device,
            end: end(device),
        }
    }

    /// The end of the state without a quantum; none when each applied flux has one state only.
    #[must_use]
    pub fn end(&self) -> Option<End> {
        self.end
    }

    /// The state when the applied flux has risen from far below.
    #[must_use]
    pub fn rising(&self, applied: f64) -> State {
        let Some(end) = self.end else {
            return self.device.lowest_state(applied);
        };
        let quanta = (applied - end.applied).ceil();
        let rest = applied - quanta;
        // Between the two ends of the state the left side rises all the way.
        let difference = root::brent(
            |d| self.device.mismatch(d, rest),
            -end.difference,
            end.difference,
            1e-15,
        )
        .unwrap_or(end.difference);
        let mut state = self.device.state(difference, rest);
        state.flux += quanta;
        state
    }

    /// The state when the applied flux has fallen from far above.
    #[must_use]
    pub fn falling(&self, applied: f64) -> State {
        let mut state = self.rising(-applied);
        state.flux = -state.flux;
        state.circulating = -state.circulating;
        state
    }
}

fn end(device: &Loop) -> Option<End> {
    let (left, right) = (device.left(), device.right());
    let stiff = PI * device.beta_l();
    let product = left * right;
    // Slope of the left side.
    let slope = |d: f64| {
        let (sine, cosine) = sin_cos(d);
        let square = left * left + right * right + 2.0 * product * cosine;
        let root = square.sqrt();
        1.0 + stiff * (product * cosine / root + product * product * sine * sine / (square * root))
    };
    let apart = (left - right).abs();
    let difference = if apart <= 1e-9 {
        PI
    } else if stiff * product > apart {
        // The slope falls from the turn of r, where it is 1, to the half turn, where it is negative.
        let turn = acos(-left.min(right) / left.max(right));
        root::brent(slope, turn, PI, 1e-14)?
    } else {
        return None;
    };
    let circulating = device.response(difference);
    Some(End {
        applied: difference / TAU + 0.5 * device.beta_l() * circulating,
        circulating,
        difference,
    })
}

#[cfg(test)]
#[allow(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a test stops at the first surprise"
)]
mod tests {
    use super::*;

    #[test]
    fn equal_junctions_hold_out_until_both_stand_at_their_quarter_turn() {
        for beta_l in [0.0, 0.01, 0.3, 0.97, 1.0, 5.0] {
            let device = Loop::new(1.0, 1.0, beta_l, 0.5).unwrap();
            let end = Sweep::new(&device).end().unwrap();
            assert!((end.applied - 0.5 * (1.0 + beta_l)).abs() < 1e-9, "{end:?}");
            assert!((end.circulating - 1.0).abs() < 1e-9, "{end:?}");
        }
    }

    /// The list of states is found by a scan of its own: the state followed is the stable one that has come
    /// furthest, and beyond its end it is no longer among them.
    #[test]
    fn the_state_followed_is_the_one_with_least_flux_of_all_that_are_stable() {
        for (left, right, beta_l) in [(1.0, 1.0, 0.97), (1.0, 0.6, 2.0), (1.0, 1.0, 5.0)] {
            let device = Loop::new(left, right, beta_l, 0.5).unwrap();
            let sweep = Sweep::new(&device);
            for k in -40_i32..=40 {
                let applied = 0.0613 * f64::from(k);
                // The scan is too coarse just before an end.
                let past = applied - sweep.end().unwrap().applied;
                if (past - past.round()).abs() < 0.01 {
                    continue;
                }
                let least = device
                    .states(applied, 8)
                    .into_iter()
                    .filter(|state| state.stable)
                    .map(|state| state.flux)
                    .fold(f64::INFINITY, f64::min);
                let followed = sweep.rising(applied);
                assert!(
                    (followed.flux - least).abs() < 1e-6,
                    "{beta_l} at {applied}: {} and {least}",
                    followed.flux
                );
                let back = sweep.falling(-applied);
                assert!((back.flux + followed.flux).abs() < 1e-12);
                // Total flux = applied flux + flux of the circulating current.
                let made = 0.5 * beta_l * followed.circulating;
                assert!((followed.flux - applied - made).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn a_weak_loop_with_unequal_junctions_has_one_state_at_each_flux() {
        let device = Loop::new(1.0, 0.5, 0.1, 0.5).unwrap();
        let sweep = Sweep::new(&device);
        assert_eq!(sweep.end(), None);
        for applied in [0.2, 0.5, 0.8, 1.3] {
            let up = sweep.rising(applied);
            assert!((up.flux - sweep.falling(applied).flux).abs() < 1e-9);
        }
    }
}
