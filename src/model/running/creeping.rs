//! The running state within a hair of the critical current, where a slip takes very long: found with steps
//! that grow where the loop creeps.
//!
//! Raising one phase pushes the other on: such a flow keeps the order of its states, so that (a) where a state of
//! rest exists no state runs, and (b) in the one running state both phases rise all the time. Its section
//! at a fixed sum of the phases is crossed once a period, and what is left on it is d, half the difference.
//! The map from one crossing to the next has the slope exp(−∫ (a1 cos δ1 + a2 cos δ2 + κ) dt) times the
//! ratio of the speeds at both ends, which costs nothing, so that Newton's method finds the period.
//! (Derivation: M. W. Hirsch's theory of cooperative systems, from memory.)

use super::flow::{Flow, State};
use super::march::{Arrival, SECTION, Tally, march};
use crate::numerics::lanes::Pair;

use core::f64::consts::TAU;

/// The time of one slip of both junctions in the running state, from a guess of its d on the section; nothing
/// when there is no such state.
pub(super) fn period(flow: &Flow, guess: f64) -> Option<f64> {
    let mut start = guess;
    for _ in 0..60 {
        let from = flow.state(SECTION, start);
        let mut to = from;
        let mut tally = Tally::default();
        let target = 2.0 * (SECTION + TAU);
        if march(flow, &mut to, target, false, &mut tally) != Arrival::There {
            return None;
        }
        let end = half_difference(&to);
        let off = end - start;
        let slope = slope(flow, &from, &to, &tally);
        let correction = off / (1.0 - slope);
        if correction.abs() < 3e-8 || tally.crept && off.abs() < 1e-6 {
            return Some(tally.time);
        }
        start += correction;
    }
    None
}

pub(super) fn half_difference(state: &State) -> f64 {
    let [a, b] = state.phase.both();
    0.5 * (a - b)
}

/// Slope of the section's map, kept away from one so that Newton's method cannot run off.
fn slope(flow: &Flow, from: &State, to: &State, tally: &Tally) -> f64 {
    if tally.crept {
        return 0.0;
    }
    let speed = |phase: Pair| flow.force(phase).sum();
    let decay = tally.contraction + 2.0 * flow.half_stiffness * tally.time;
    let ratio = speed(from.phase) / speed(to.phase);
    let slope = crate::numerics::elementary::exp(-decay) * ratio;
    if slope.is_finite() {
        slope.clamp(0.0, 0.99)
    } else {
        0.0
    }
}
