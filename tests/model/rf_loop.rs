//! The loop with one junction against published and independently computed values.

use coldfringe::model::rf_loop::RfLoop;
use core::f64::consts::{PI, TAU};
use proptest::prelude::*;

fn device(beta: f64) -> RfLoop {
    RfLoop::new(beta).unwrap()
}

/// The screening, jump flux, flux before and after, width of the loop, energy lost per cycle: computed with mpmath from
/// the definitions, apart from this code.
const TABLE: [[f64; 6]; 6] = [
    [
        1.5,
        0.544_080_40,
        0.366_139_76,
        0.778_890_39,
        0.088_160_8,
        0.171_348,
    ],
    [
        2.0,
        0.608_997_78,
        0.333_333_33,
        0.857_462_89,
        0.217_995_6,
        0.402_904,
    ],
    [
        3.0,
        0.754_244_88,
        0.304_086_72,
        0.937_357_54,
        0.508_489_8,
        0.754_262,
    ],
    [
        5.0,
        1.061_743_91,
        0.282_047_11,
        1.010_296_64,
        1.123_487_8,
        1.141_924,
    ],
    [
        TAU,
        1.262_692_09,
        0.275_438_47,
        1.036_340_00,
        1.525_384_2,
        1.284_143,
    ],
    [
        10.0,
        1.849_513_83,
        0.265_942_14,
        1.080_284_77,
        2.699_027_7,
        1.514_343,
    ],
];

#[test]
fn jumps_and_losses_are_those_of_the_table() {
    for row in TABLE {
        let [beta, applied, before, after, width, loss] = row;
        let jump = device(beta).jump().unwrap();
        assert!((jump.applied - applied).abs() < 1e-8, "{row:?} {jump:?}");
        assert!((jump.before - before).abs() < 1e-8, "{row:?} {jump:?}");
        assert!((jump.after - after).abs() < 1e-8, "{row:?} {jump:?}");
        assert!((2.0 * jump.applied - 1.0 - width).abs() < 1e-7, "{row:?}");
        assert!((2.0 * jump.loss - loss).abs() < 1e-6, "{row:?} {jump:?}");
    }
}

#[test]
fn the_classic_figure_of_five_quarters() {
    // L I0 = 5/4 Phi0: the rule of thumb says 3/2 Phi0 (Clarke's reviews, from memory); exactly 1.510 146.
    let jump = device(2.5 * PI).jump().unwrap();
    assert!((jump.applied - 1.510_146).abs() < 1e-6);
    // The rule is L I0 / Phi0 + 1/4, the limit of large loops.
    for beta in [1e2, 1e3, 1e4] {
        let jump = device(beta).jump().unwrap();
        let off = jump.applied - beta / TAU - 0.25;
        // Next term of the expansion of [arccos(-1/beta) + sqrt(beta² - 1)]/2 pi: 1/(4 pi beta).
        assert!((off * 4.0 * PI * beta - 1.0).abs() < 0.01, "{beta} {off}");
    }
}

#[test]
fn a_jump_of_a_large_loop_loses_a_critical_current_times_a_quantum() {
    // Each jump of one quantum loses I0 Phi0 - Phi0²/2L in the limit (derivation): 1 - pi/beta in I0 Phi0.
    for beta in [100.0, 1000.0, 10_000.0] {
        let loss = device(beta).jump().unwrap().loss;
        // What is left out is of the order of beta^(-3/2).
        assert!(
            (loss - 1.0 + PI / beta).abs() < 3.0 / (beta * beta.sqrt()),
            "{beta} {loss}"
        );
    }
}

#[test]
fn the_energy_lost_is_the_area_of_the_hysteresis_loop() {
    // The work done by the source round a cycle, minus the integral of J dPhi_a, is all that is lost.
    for beta in [1.2, 2.0, 4.0, 12.0] {
        let device = device(beta);
        let jump = device.jump().unwrap();
        let (low, high) = (1.0 - jump.applied, jump.applied);
        let steps = 200_000;
        let width = (high - low) / f64::from(steps);
        let mut area = 0.0;
        for step in 0..steps {
            let applied = low + width * (f64::from(step) + 0.5);
            area += device.state(1.0, applied).circulating - device.state(0.0, applied).circulating;
        }
        let area = area * width;
        // The end of a branch is a square root: the midpoint rule is good to the power 3/2.
        assert!(
            (area - 2.0 * jump.loss).abs() < 1e-7 * (1.0 + beta),
            "{beta}: {area} {}",
            2.0 * jump.loss
        );
    }
}

#[test]
fn slopes_at_whole_and_half_quanta() {
    // dPhi/dPhi_a = 1/(1 + beta) at a whole quantum and 1/(1 - beta) at a half, where that is stable (derivation).
    let h = 1e-6;
    for beta in [0.0, 0.2, 0.7, 0.95, 3.0] {
        let device = device(beta);
        for whole in [-1.0, 0.0, 3.0] {
            let slope = (device.lowest(whole + h).flux - device.lowest(whole - h).flux) / (2.0 * h);
            assert!((slope * (1.0 + beta) - 1.0).abs() < 1e-6, "{beta}");
        }
        if beta < 1.0 {
            let slope = (device.rising(0.5 + h).flux - device.rising(0.5 - h).flux) / (2.0 * h);
            assert!((slope * (1.0 - beta) - 1.0).abs() < 1e-3, "{beta} {slope}");
        }
    }
}

#[test]
fn without_inductance_nothing_is_screened() {
    let bare = device(0.0);
    for step in -30..30 {
        let applied = 0.137 * f64::from(step);
        assert!((bare.rising(applied).flux - applied).abs() < 1e-15);
        assert!((bare.rising(applied).circulating + (TAU * applied).sin_here()).abs() < 1e-13);
    }
    // And a little inductance screens a little.
    let slight = device(1e-4);
    let state = slight.rising(0.2);
    assert!((state.flux - 0.2 + 1e-4 / TAU * (TAU * 0.2).sin_here()).abs() < 1e-8);
}

/// The sine, through the project's own door.
trait SinHere {
    fn sin_here(self) -> f64;
}

impl SinHere for f64 {
    fn sin_here(self) -> f64 {
        coldfringe::numerics::elementary::sin(self)
    }
}

#[test]
fn the_jump_grows_out_of_nothing_at_one() {
    assert!(device(1.0).jump().is_none());
    let mut before = 1.0;
    for excess in [1e-2, 1e-4, 1e-6] {
        let jump = device(1.0 + excess).jump().unwrap();
        let height = jump.after - jump.before;
        // Near one the fold is a cubic: the jump is three times the distance of the turning point from a half.
        let from_half = 0.5 - jump.before;
        assert!(
            (height / (3.0 * from_half) - 1.0).abs() < 2.0 * excess.sqrt() + 1e-3,
            "{excess} {height}"
        );
        assert!((from_half * TAU / (2.0 * excess).sqrt() - 1.0).abs() < excess.sqrt());
        assert!(jump.loss < before && jump.loss >= 0.0);
        before = jump.loss;
    }
}

proptest! {
    #[test]
    fn every_state_obeys_the_loop(beta in 0.0..60.0_f64, applied in -8.0..8.0_f64) {
        let device = device(beta);
        for state in [device.rising(applied), device.falling(applied), device.lowest(applied)] {
            // Applied and total flux differ by L J; the branch is the one named.
            prop_assert!((device.applied(state.flux) - applied).abs() < 1e-12 * (1.0 + beta));
            prop_assert!((state.flux - applied - beta / TAU * state.circulating).abs() < 1e-12 * (1.0 + beta));
            prop_assert!((state.flux - state.quanta).abs() <= device.turn() + 1e-12);
            prop_assert!((device.energy(state.flux, applied) - state.energy).abs() < 1e-10 * (1.0 + beta));
            prop_assert!(device.lowest(applied).energy <= state.energy + 1e-12 * (1.0 + beta));
        }
        let (up, down) = (device.rising(applied), device.falling(applied));
        prop_assert!(up.quanta <= down.quanta);
        // A sweep the other way is the mirror image, and a whole quantum moves everything by one.
        let mirror = device.falling(-applied);
        prop_assert!((mirror.flux + up.flux).abs() < 1e-9 * (1.0 + beta));
        let moved = device.rising(applied + 3.0);
        if (moved.quanta - up.quanta - 3.0).abs() < 0.5 {
            prop_assert!((moved.flux - up.flux - 3.0).abs() < 1e-6);
        }
    }

    #[test]
    fn the_total_flux_never_falls_on_a_rising_sweep(beta in 0.0..30.0_f64, from in -3.0..3.0_f64) {
        let device = device(beta);
        let mut before = f64::NEG_INFINITY;
        for step in 0..200 {
            let flux = device.rising(from + 0.01 * f64::from(step)).flux;
            prop_assert!(flux >= before - 1e-12);
            before = flux;
        }
    }

    #[test]
    fn between_two_ends_of_branches_there_is_exactly_one_jump_a_quantum(beta in 1.01..30.0_f64) {
        let device = device(beta);
        let (first, last) = (device.rising(-4.000_1), device.rising(6.999_9));
        prop_assert_eq!((last.quanta - first.quanta).round() as i32, 11);
    }
}
