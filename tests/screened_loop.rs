#![cfg(not(target_arch = "wasm32"))]
//! The screened loop against the published record, closed limits, and maximisation by brute force.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test stops at the first surprise"
)]

use coldfringe::model::screened_loop::Loop;
use coldfringe::numerics::elementary::{cos, sin};
use core::f64::consts::{PI, TAU};
use proptest::prelude::*;

fn device(left: f64, right: f64, beta_l: f64, share: f64) -> Loop {
    Loop::new(left, right, beta_l, share).unwrap()
}

/// The largest bias over all solutions at an applied flux, by looking everywhere: on a fine grid of one
/// junction's phase, all phases of the other that fit the flux are found, and the best ones are
/// refined. Either junction plays the first part, because the solutions run along one or the other.
fn by_looking(device: &Loop, share: f64, applied: f64) -> f64 {
    let (a1, a2, beta_l) = (device.left(), device.right(), device.beta_l());
    let off = |d1: f64, d2: f64| {
        (d1 - d2) / TAU + 0.5 * beta_l * (share * a1 * sin(d1) - (1.0 - share) * a2 * sin(d2))
            - applied
    };
    let one = looking_along(a1, a2, beta_l, &off, -applied);
    let other = looking_along(a2, a1, beta_l, &|d2, d1| off(d1, d2), applied);
    one.max(other)
}

fn looking_along(
    first: f64,
    second: f64,
    beta_l: f64,
    off: &dyn Fn(f64, f64) -> f64,
    shift: f64,
) -> f64 {
    let best_for = |given: f64| {
        let reach = TAU * (1.0 + beta_l);
        let from = given + TAU * shift - reach;
        let steps = (100.0 * (1.0 + beta_l)) as usize;
        let width = 2.0 * reach / steps as f64;
        let mut best = f64::NEG_INFINITY;
        let mut before = off(given, from);
        for k in 1..=steps {
            let phase = from + width * k as f64;
            let here = off(given, phase);
            if (before > 0.0) != (here > 0.0) {
                let (mut low, mut high) = (phase - width, phase);
                let rising = before < 0.0;
                for _ in 0..50 {
                    let middle = 0.5 * (low + high);
                    if (off(given, middle) < 0.0) == rising {
                        low = middle;
                    } else {
                        high = middle;
                    }
                }
                best = f64::max(best, first * sin(given) + second * sin(0.5 * (low + high)));
            }
            before = here;
        }
        best
    };
    let count = 720;
    let grid: Vec<(f64, f64)> = (0..count)
        .map(|k| {
            let phase = TAU * k as f64 / count as f64;
            (best_for(phase), phase)
        })
        .collect();
    let mut order: Vec<usize> = (0..count).collect();
    order.sort_by(|a, b| grid[*b].0.total_cmp(&grid[*a].0));
    let mut best = f64::NEG_INFINITY;
    for start in order.into_iter().take(4) {
        let (mut value, mut phase) = grid[start];
        let mut step = TAU / count as f64;
        while step > 1e-9 {
            let left = (best_for(phase - step), phase - step);
            let right = (best_for(phase + step), phase + step);
            let better = if left.0 > right.0 { left } else { right };
            if better.0 > value {
                (value, phase) = better;
            } else {
                step *= 0.5;
            }
        }
        best = f64::max(best, value);
    }
    best
}

#[test]
fn depth_of_modulation_meets_the_required_table() {
    // Computed independently by direct maximisation with SciPy, equal junctions.
    for (beta_l, depth) in [
        (0.1, 0.922_094_23),
        (0.2, 0.847_732_36),
        (0.5, 0.664_009_29),
        (1.0, 0.476_418_19),
        (1.5, 0.370_450_62),
        (2.0, 0.303_479_02),
        (3.0, 0.223_773_4),
        (5.0, 0.147_882_0),
    ] {
        let (_, least) = device(1.0, 1.0, beta_l, 0.5).critical_curve().minimum();
        assert!(
            (1.0 - least / 2.0 - depth).abs() < 1e-7,
            "{beta_l}: {}",
            1.0 - least / 2.0
        );
    }
}

#[test]
fn looking_everywhere_finds_no_larger_bias() {
    for (left, right, beta_l, share) in [
        (1.0, 1.0, 1.0, 0.5),
        (0.7, 1.3, 1.0, 0.5),
        (1.3, 0.7, 1.0, 0.3),
        (0.8, 1.2, 2.0, 0.45),
        (0.2, 1.8, 0.5, 0.5),
        (0.2, 1.8, 3.0, 0.9),
        (0.05, 1.95, 0.1, 0.5),
        (1.0, 1.0, 5.0, 0.0),
        (0.5, 1.5, 0.0, 0.5),
        (0.6, 1.4, 0.4, 0.5),
    ] {
        let device = device(left, right, beta_l, share);
        let curve = device.critical_curve();
        for k in 0..7 {
            let applied = -0.61 + 0.17 * f64::from(k);
            let looked = by_looking(&device, share, applied);
            let found = curve.at(applied).current;
            assert!(
                (found - looked).abs() < 1e-6,
                "left {left} right {right} beta {beta_l} share {share} at {applied}: {found} against {looked}"
            );
        }
    }
}

proptest! {
    #[test]
    fn limit_state_obeys_the_loop_equations(
        ratio in 0.02..50.0_f64, beta_l in 0.0..20.0_f64, share in 0.0..1.0_f64, applied in -3.0..3.0_f64,
    ) {
        let device = device(ratio, 1.0, beta_l, share);
        let limit = device.critical_curve().at(applied);
        prop_assert!((limit.left - device.left() * sin(limit.left_phase)).abs() < 1e-9);
        prop_assert!((limit.right - device.right() * sin(limit.right_phase)).abs() < 1e-9);
        let turns = (limit.left_phase - limit.right_phase) / TAU
            + 0.5 * beta_l * (share * limit.left - (1.0 - share) * limit.right)
            - applied;
        prop_assert!((turns - turns.round()).abs() < 1e-9, "{turns}");
        // The border of stability.
        let (c1, c2) = (device.left() * cos(limit.left_phase), device.right() * cos(limit.right_phase));
        prop_assert!((c1 + c2 + PI * beta_l * c1 * c2).abs() < 1e-6);
    }
}
