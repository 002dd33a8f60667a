//! One long step where the loop creeps: past the place of the critical current, or into rest.
//!
//! There the state hardly moves while disturbances die out fast, and a power series would be held to
//! short steps by what it no longer sees. The step here is the linearly implicit Euler method with
//! its errors extrapolated away (P. Deuflhard and E. Hairer and coworkers' method, from memory: Hairer and Wanner,
//! "Solving Ordinary Differential Equations II", section IV.9): for 1 to 6 equal parts
//! (β_c + h − h² J) w = β_c δ̇ + h F(δ), then δ + h w and the rate w, with J the slopes of F.

use super::flow::{Flow, State};
use crate::numerics::lanes::{Lane, Pair};

/// Rows of the extrapolation.
const ROWS: usize = 6;

/// The state after the time `step`, and an estimate of its error in radians.
pub(super) fn step(flow: &Flow, from: &State, step: f64) -> (State, f64) {
    let mut row = [*from; ROWS];
    let mut error = f64::INFINITY;
    for parts in 1..=ROWS {
        let mut best = in_parts(flow, from, step, parts);
        for column in 1..parts {
            // The entry to the left of this one, of the row before.
            let before = row[column - 1];
            row[column - 1] = best;
            let factor = (parts - column) as f64 / column as f64;
            if column == parts - 1 && parts == ROWS {
                error = ((best.phase - before.phase) * factor).size();
            }
            best = State {
                phase: best.phase + (best.phase - before.phase) * factor,
                rate: best.rate + (best.rate - before.rate) * factor,
            };
        }
        row[parts - 1] = best;
    }
    (row[ROWS - 1], error)
}

fn in_parts(flow: &Flow, from: &State, step: f64, parts: usize) -> State {
    let h = step / parts as f64;
    let State {
        mut phase,
        mut rate,
    } = *from;
    let off = -h * h * flow.half_stiffness;
    for _ in 0..parts {
        let own = Pair::splat(flow.beta_c + h)
            + (flow.slopes(phase) + Pair::splat(flow.half_stiffness)) * (h * h);
        let right = rate * flow.beta_c + flow.force(phase) * h;
        let [p, q] = own.both();
        // Two equations in two unknowns, with the same coupling both ways.
        let inverse = 1.0 / (p * q - off * off);
        rate = (right * own.swap() - right.swap() * off) * inverse;
        phase += rate * h;
    }
    State { phase, rate }
}
