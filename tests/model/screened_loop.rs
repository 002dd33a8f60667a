//! The screened loop: its critical current by looking everywhere, closed limits, symmetries, and its states without bias.

use coldfringe::model::interference::pair;
use coldfringe::model::screened_loop::Loop;
use coldfringe::model::simple_picture;
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
        // A weak junction that can be turned right round, with a swallowtail.
        (28.7, 1.0, 4.02, 0.083),
        (1.0, 20.0, 3.0, 0.5),
        // The same without: its tail is part of the curve.
        (0.273, 1.727, 1.05, 0.5),
        (1.727, 0.273, 1.05, 0.7),
        (1.6, 0.4, 0.55, 0.5),
    ] {
        let device = device(left, right, beta_l, share);
        let curve = device.critical_curve();
        let (lowest, _) = curve.minimum();
        let around = [-0.06, -0.02, 0.0, 0.02, 0.06].map(|step| lowest + step);
        let spread = (0..6).map(|k| -0.61 + 0.17 * f64::from(k));
        for applied in spread.chain(around) {
            let looked = by_looking(&device, share, applied);
            let found = curve.at(applied).current;
            assert!(
                (found - looked).abs() < 1e-6,
                "left {left} right {right} beta {beta_l} share {share} at {applied}: {found} against {looked}"
            );
        }
    }
}

#[test]
fn large_screening_tends_to_the_simple_picture() {
    // Depth to 1/beta_L and I_c to 2 (I0 - |J|), slowly: the relative correction to the modulation is
    // (2/pi)/sqrt(beta_L) (derivation; the table of the record has it at 10, 20 and 100).
    for beta_l in [1e2, 1e3, 1e4, 1e5] {
        let curve = device(1.0, 1.0, beta_l, 0.5).critical_curve();
        let (_, least) = curve.minimum();
        let modulation = (1.0 - least / 2.0) * beta_l;
        let expected = 1.0 - 2.0 / PI / beta_l.sqrt();
        assert!(
            (modulation - expected).abs() < 0.5 / beta_l,
            "{beta_l}: {modulation} {expected}"
        );
        for k in 0..20 {
            let f = 0.05 * f64::from(k);
            let simple = simple_picture::critical_current(f, beta_l, 1.0, 1.0);
            let off = (curve.at(f).current - simple).abs();
            assert!(
                off < 1.3 / (beta_l * beta_l.sqrt()),
                "{beta_l} at {f}: {off}"
            );
            // Each junction's own phase adds to the loop's inductance: the current is smaller by about 1/(2 beta_L).
            let simple = simple_picture::circulating_current(f, beta_l);
            let off = (device(1.0, 1.0, beta_l, 0.5).lowest_state(f).circulating - simple).abs();
            assert!(off <= simple.abs() / beta_l, "{beta_l} at {f}: {off}");
        }
    }
}

#[test]
fn published_positions_of_asymmetric_minima() {
    // (alpha_I, alpha_L, beta_L): minimum of I_c/2I0 and the flux from a parametric curve and a scan, good to 5e-4 in
    // flux and about as much in current; junction and arm 2 the larger. That record's flux runs the other way from ours.
    for (alpha_i, alpha_l, beta_l, least, place) in [
        (0.3, 0.0, 1.0, 0.543_70, 0.690_5),
        (0.0, 0.3, 1.0, 0.523_58, 0.578_5),
        (0.2, 0.1, 2.0, 0.699_65, 0.789_0),
    ] {
        let curve =
            device(1.0 - alpha_i, 1.0 + alpha_i, beta_l, 0.5 * (1.0 - alpha_l)).critical_curve();
        let (flux, value) = curve.minimum();
        assert!((value / 2.0 - least).abs() < 3e-4, "{value}");
        let turned = -flux - place;
        assert!((turned - turned.round()).abs() < 6e-4, "{flux}");
    }
}

#[test]
fn no_bias_no_current_at_whole_quanta_and_a_jump_at_a_half() {
    for beta_l in [0.1, 1.0, 3.0, 30.0] {
        let device = device(1.0, 1.0, beta_l, 0.5);
        for n in -3..=3 {
            let n = f64::from(n);
            let state = device.lowest_state(n);
            assert!(state.circulating.abs() < 1e-15 && (state.flux - n).abs() < 1e-15);
            let before = device.lowest_state(n + 0.5 - 1e-12).circulating;
            let after = device.lowest_state(n + 0.5 + 1e-12).circulating;
            assert!(
                before < -0.01 && (before + after).abs() < 1e-9,
                "{before} {after}"
            );
        }
        // The tie itself belongs to the state with fewer quanta.
        assert!(device.lowest_state(0.5).circulating < 0.0);
        assert!(device.lowest_state(-0.5).circulating < 0.0);
    }
}

#[test]
fn states_are_many_when_screening_is_strong() {
    // One state below a screening of 1/pi x 2 in each junction's favour, more above: 2 LI0/Phi0 = 5 holds
    // states within beta_L/2 of the applied flux.
    let weak = device(1.0, 1.0, 0.2, 0.5).states(0.3, 8);
    assert_eq!(weak.len(), 1);
    assert!(weak[0].stable);
    let strong = device(1.0, 1.0, 5.0, 0.5);
    let states = strong.states(0.3, 8);
    let stable: Vec<_> = states.iter().filter(|state| state.stable).collect();
    assert!(stable.len() >= 4, "{states:?}");
    let lowest = strong.lowest_state(0.3);
    let least = stable
        .iter()
        .min_by(|a, b| a.energy.total_cmp(&b.energy))
        .unwrap();
    assert!((least.flux - lowest.flux).abs() < 1e-10);
    for state in &states {
        assert!(
            (state.flux - 0.3 - 2.5 * state.circulating).abs() < 1e-9,
            "{state:?}"
        );
    }
}

#[test]
fn a_loop_that_is_none_is_refused() {
    for (left, right, beta_l, share) in [
        (0.0, 1.0, 1.0, 0.5),
        (1.0, -1.0, 1.0, 0.5),
        (1.0, f64::NAN, 1.0, 0.5),
        (1.0, f64::INFINITY, 1.0, 0.5),
        (1.0, 1.0, -0.1, 0.5),
        (1.0, 1.0, f64::INFINITY, 0.5),
        (1.0, 1.0, 1.0, 1.1),
        (1.0, 1.0, 1.0, f64::NAN),
    ] {
        assert!(Loop::new(left, right, beta_l, share).is_none());
    }
}

proptest! {

    /// No screening: the interference of two junctions.
    #[test]
    fn no_screening_is_interference(ratio in 0.02..50.0_f64, share in 0.0..1.0_f64, f in -3.0..3.0_f64) {
        for beta_l in [0.0, 1e-12] {
            let device = device(ratio, 1.0, beta_l, share);
            let expected = pair(device.left(), device.right(), f);
            let found = device.critical_curve().at(f).current;
            // Screening moves the flux by at most beta_L, and the curve is nowhere steeper than 4 pi.
            let moved = 4.0 * PI * beta_l;
            prop_assert!((found - expected).abs() < moved + 1e-12, "{beta_l}: {found} {expected}");
        }
    }

    /// The largest critical current is the sum of both, at a flux known in closed form, at every whole quantum from there.
    #[test]
    fn largest_critical_current(alpha_i in -0.95..0.95_f64, alpha_l in -1.0..1.0_f64, beta_l in 0.0..30.0_f64, n in -4..4_i32) {
        let device = device(1.0 - alpha_i, 1.0 + alpha_i, beta_l, 0.5 * (1.0 - alpha_l));
        let curve = device.critical_curve();
        // Exact, because both junctions are at a quarter turn there; to the left when the right side is larger.
        let peak = -0.5 * beta_l * (alpha_i + alpha_l);
        prop_assert!((curve.peak() - peak).abs() < 1e-12);
        prop_assert!((curve.at(peak + f64::from(n)).current - 2.0).abs() < 1e-12);
        prop_assert!((curve.maximum() - 2.0).abs() < 1e-15);
        let (place, least) = curve.minimum();
        prop_assert!(least >= (device.left() - device.right()).abs() - 1e-9);
        prop_assert!((curve.at(place).current - least).abs() < 1e-12);
        for k in 0..25 {
            let current = curve.at(peak + f64::from(k) / 25.0).current;
            prop_assert!(current <= 2.0 + 1e-12 && current >= least - 1e-10, "{current} {least}");
        }
    }

    /// Unequal arms shear the curve: I_c at f is that of equal arms at f + (beta_L/4)(l2 - l1) I_c.
    #[test]
    fn unequal_arms_shear_the_curve(ratio in 0.1..10.0_f64, beta_l in 0.0..20.0_f64, share in 0.0..1.0_f64, f in -2.0..2.0_f64) {
        let equal = device(ratio, 1.0, beta_l, 0.5).critical_curve();
        let sheared = device(ratio, 1.0, beta_l, share).critical_curve();
        let current = sheared.at(f).current;
        let moved = equal.at(f + 0.25 * beta_l * (1.0 - 2.0 * share) * current).current;
        prop_assert!((current - moved).abs() < 1e-9, "{current} {moved}");
    }

    /// Exchanging left and right reverses the flux; equal sides give an even curve; the period is one quantum.
    #[test]
    fn symmetries_of_the_loop(ratio in 0.05..20.0_f64, beta_l in 0.0..20.0_f64, share in 0.0..1.0_f64, f in -2.0..2.0_f64) {
        let one = device(ratio, 1.0, beta_l, share);
        let other = device(1.0, ratio, beta_l, 1.0 - share);
        let (a, b) = (one.critical_curve().at(f), other.critical_curve().at(-f));
        prop_assert!((a.current - b.current).abs() < 1e-9);
        prop_assert!((one.critical_curve().at(f + 1.0).current - a.current).abs() < 1e-9);
        let (up, down) = (one.lowest_state(f), one.lowest_state(-f));
        prop_assert!((up.circulating + down.circulating).abs() < 1e-9);
        prop_assert!((one.lowest_state(f + 1.0).circulating - up.circulating).abs() < 1e-9);
        prop_assert!((one.lowest_state(f + 1.0).flux - up.flux - 1.0).abs() < 1e-9);
        prop_assert!((up.circulating - other.lowest_state(f).circulating).abs() < 1e-9);
    }

    /// The curve has no gap: a small step of flux makes a small step of current, at the slope the model allows.
    #[test]
    fn the_curve_is_continuous(ratio in 0.02..50.0_f64, beta_l in 0.0..20.0_f64, share in 0.1..0.9_f64, f in -1.0..1.0_f64) {
        let curve = device(ratio, 1.0, beta_l, share).critical_curve();
        let step = 1e-6;
        let change = (curve.at(f + step).current - curve.at(f).current).abs();
        // dI/df = 2 pi c/(1 + pi beta l c) with |c| at most the smaller current: never steeper than 2 pi without
        // screening, and unequal arms may steepen one flank without bound only where the share is all in one arm.
        prop_assert!(change < 10.0 * TAU * step, "{change}");
    }

    /// Circulating current is minus the slope of the lowest energy in the applied flux; positive raises the flux.
    #[test]
    fn circulating_current_is_the_slope_of_the_energy(ratio in 0.1..10.0_f64, beta_l in 0.05..20.0_f64, f in -0.49..0.49_f64) {
        let device = device(ratio, 1.0, beta_l, 0.5);
        let step = 1e-5;
        prop_assume!((f.abs() - 0.5).abs() > 1e-3);
        let slope = (device.lowest_state(f + step).energy - device.lowest_state(f - step).energy) / (2.0 * step);
        // Energy in I0 Phi0/2 pi and flux in Phi0: J/I0 = -(1/2 pi) dU/df.
        let current = device.lowest_state(f).circulating;
        prop_assert!((current + slope / TAU).abs() < 1e-6 * (1.0 + 20.0 / beta_l), "{current} {slope}");
        // A small positive applied flux is answered by a negative current.
        prop_assert!(current * f <= 0.0);
        prop_assert!((device.lowest_state(f).flux - f - 0.5 * beta_l * current).abs() < 1e-10);
    }

    /// No state with more energy is taken for the lowest.
    #[test]
    fn lowest_state_is_lowest(ratio in 0.1..10.0_f64, beta_l in 0.05..12.0_f64, f in -0.5..0.5_f64) {
        let device = device(ratio, 1.0, beta_l, 0.5);
        let lowest = device.lowest_state(f);
        for state in device.states(f, 9) {
            prop_assert!(lowest.energy <= state.energy + 1e-9, "{lowest:?} {state:?}");
        }
        prop_assert!(lowest.stable || lowest.circulating.abs() < 1e-6 || (f.abs() - 0.5).abs() < 1e-6);
    }

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
