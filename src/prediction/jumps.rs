//! Steps of a curve, found on the raw values before any smoothing.

use super::features::LEAST_PROMINENCE;
use super::resample::{EvenCurve, PLACES};

/// Widest stretch that a jump may take up (about 4.5 % of the axis).
const JUMP_WIDTH: usize = 18;

/// A step between two places.
pub(super) struct Step {
    pub(super) from: usize,
    pub(super) to: usize,
}

/// A step is more than this share of the range: in a staircase of two or three steps with slanting
/// treads, each is hardly more than a quarter.
const JUMP_HEIGHT: f64 = 0.22;

/// Finds steps on the raw curve: a change of more than [`JUMP_HEIGHT`] within [`JUMP_WIDTH`],
/// after and before which the curve is much calmer.
pub(super) fn find_jumps(curve: &EvenCurve) -> Vec<Step> {
    let (low, high) = curve.range();
    let least = (JUMP_HEIGHT * (high - low)).max(3.0 * LEAST_PROMINENCE);
    let change = |from: usize, to: usize| curve.at(to) - curve.at(from);
    let mut steps = Vec::new();
    let mut start = 0;
    while start + JUMP_WIDTH < PLACES {
        if change(start, start + JUMP_WIDTH).abs() <= least {
            start += 1;
            continue;
        }
        // The window has only begun to reach the step: the whole of it is in where most changes.
        let last = (start + JUMP_WIDTH).min(PLACES - 1 - JUMP_WIDTH);
        let first = (start..=last)
            .max_by(|&a, &b| {
                let height = |from: usize| change(from, from + JUMP_WIDTH).abs();
                // Of equals the first, so that the step stands in the middle of its window.
                height(a).total_cmp(&height(b)).then(b.cmp(&a))
            })
            .unwrap_or(start);
        let end = first + JUMP_WIDTH;
        let whole = change(first, end);
        // The steepest single step lies in the jump; from it, take in neighbours until most of
        // the change is in.
        let mut from = (first..end)
            .max_by(|&a, &b| {
                let steepness = |place: usize| change(place, place + 1) * whole.signum();
                steepness(a).total_cmp(&steepness(b))
            })
            .unwrap_or(first);
        let mut to = from + 1;
        while to - from < JUMP_WIDTH {
            let left = if from > 0 {
                change(from - 1, from) * whole.signum()
            } else {
                -1.0
            };
            let right = if to + 1 < PLACES {
                change(to, to + 1) * whole.signum()
            } else {
                -1.0
            };
            // Most of it is in: what is left must be as steep as a step to belong to it.
            let most = change(from, to).abs() >= 0.9 * whole.abs();
            let least = if most { 0.03 * whole.abs() } else { 0.0 };
            if left.max(right) <= least {
                break;
            }
            if left >= right {
                from -= 1;
            } else {
                to += 1;
            }
        }
        let height = change(from, to).abs();
        let width = (to - from).max(6);
        let before = change(from.saturating_sub(width), from).abs();
        let after = change(to, (to + width).min(PLACES - 1)).abs();
        // The wider the step, the calmer its neighbourhood must be.
        let calm = if to - from <= JUMP_WIDTH / 2 {
            0.45
        } else {
            0.2
        } * height;
        if height > least && before < calm && after < calm {
            steps.push(Step { from, to });
            start = to + 1;
        } else {
            start += 1;
        }
    }
    steps
}
