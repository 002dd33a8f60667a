//! From one crossing of a section to the next.

use super::flow::{Flow, Series, State};
use super::slow;
use crate::numerics::elementary;

/// Mean of the phases on the section: where the junctions drive fastest.
pub(in crate::model) const SECTION: f64 = -0.5 * core::f64::consts::PI;

/// Steps after which a march is given up.
const MOST_STEPS: u32 = 400_000;

/// Where a state of rest exists, a slip that takes longer has come to it. Only at the critical current itself is it
/// approached so slowly.
const LONGEST_SLIP: f64 = 1e5;

/// Error of a slow step, in what it moves.
const SLOW_ERROR: f64 = 1e-7;

/// What a march adds up.
#[derive(Debug, Clone, Copy, Default)]
pub(in crate::model) struct Tally {
    pub(in crate::model) time: f64,
    /// Integral of the currents' slopes, a cos δ of both junctions, over steps of the power series.
    pub(in crate::model) contraction: f64,
    /// Whether the loop crept somewhere: then it has forgotten where it started.
    pub(in crate::model) crept: bool,
    pub(in crate::model) steps: u32,
}

/// How a march ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::model) enum Arrival {
    /// At the section.
    There,
    /// In a state of rest.
    AtRest,
    /// Nowhere within any reasonable time.
    Lost,
}

/// Follows `state` until the sum of its phases comes to `target`. `may_rest` tells whether there is a state
/// of rest at this bias and flux.
pub(in crate::model) fn march(
    flow: &Flow,
    state: &mut State,
    target: f64,
    may_rest: bool,
    tally: &mut Tally,
) -> Arrival {
    let mut series = Series::new();
    let mut slow_step = 0.0;
    while tally.steps < MOST_STEPS {
        tally.steps += 1;
        flow.expand(state, &mut series);
        let step = series.longest_step();
        let speed = series.rate[0].size();
        if may_rest && (tally.time > LONGEST_SLIP || speed < 0.5 && rests(flow, state)) {
            return Arrival::AtRest;
        }
        if speed * step < 0.02 {
            if slow_step < 2.0 * step {
                slow_step = 4.0 * step;
            }
            if let Some(next) = creep(flow, state, target, &mut slow_step, 2.0 * step) {
                let (after, taken) = next;
                *state = after;
                tally.time += taken;
                tally.crept = true;
                continue;
            }
        }
        let after = series.at(step);
        if after.phase.sum() >= target {
            let rest = series.crossing(target, step);
            *state = series.at(rest);
            tally.time += rest;
            tally.contraction += series.contraction(flow, rest);
            return Arrival::There;
        }
        tally.time += step;
        tally.contraction += series.contraction(flow, step);
        *state = after;
    }
    Arrival::Lost
}

/// One slow step with its length found by its error; none when it would be no longer than `least`,
/// or would go beyond the section.
fn creep(
    flow: &Flow,
    state: &State,
    target: f64,
    slow_step: &mut f64,
    least: f64,
) -> Option<(State, f64)> {
    while *slow_step > least {
        let taken = *slow_step;
        let (after, error) = slow::step(flow, state, taken);
        let moved = (after.phase - state.phase).size();
        let allowed = SLOW_ERROR * moved + 1e-14;
        // The sixth root, held between a third and four.
        let growth = if error.is_finite() {
            0.8 * elementary::cbrt((allowed / error.max(1e-300)).sqrt())
        } else {
            0.0
        };
        *slow_step = taken * growth.clamp(0.3, 4.0);
        if error <= allowed && moved < 0.5 {
            if after.phase.sum() >= target {
                return None;
            }
            *slow_step = slow_step.min(1e9);
            return Some((after, taken));
        }
        *slow_step = slow_step.min(0.5 * taken);
    }
    None
}

/// Whether a state has come so near to one of stable rest that it cannot leave.
fn rests(flow: &Flow, state: &State) -> bool {
    let [p, q] = flow.slopes(state.phase).both();
    let stiff = flow.half_stiffness;
    let (own, other) = (p + stiff, q + stiff);
    // The smaller curvature of the energy.
    let mean = 0.5 * (own + other);
    let apart = 0.5 * (own - other);
    let curvature = mean - (apart * apart + stiff * stiff).sqrt();
    let push = flow.force(state.phase).size();
    let speed = state.rate.size();
    // What the loop has left against the barrier, which is about (2/3) curvature³ high.
    let left = push * push / curvature.max(1e-300) + flow.beta_c * speed * speed;
    curvature > 0.0 && left < 0.1 * curvature * curvature * curvature
}
