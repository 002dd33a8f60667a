//! Feedback round a sensor: linear output, the fastest flux it follows, slips by whole quanta.

use coldfringe::model::flux_locked_loop::{FluxLockedLoop, Held};
use coldfringe::numerics::elementary::{cos_pi, exp, sin};
use core::f64::consts::{PI, TAU};
use proptest::prelude::*;

/// Two junctions without noise, inductance or capacitance at twice their largest bias current:
/// v = sqrt(i² - i_c²)/2 (textbook).
fn voltage(flux: f64) -> f64 {
    let critical = 2.0 * cos_pi(flux);
    0.5 * (4.41 - critical * critical).sqrt()
}

const START: Held = Held {
    time: 0.0,
    feedback: 0.0,
};

/// The largest slope of that voltage, generously.
const FASTEST: f64 = 6.0;

#[test]
fn the_output_follows_many_quanta_in_a_straight_line() {
    let held = FluxLockedLoop::new(&voltage, 0.25, 1.0);
    let applied = |time: f64| 5.0 * sin(0.002 * time);
    let mut state = START;
    for k in 1..=60 {
        let time = 50.0 * f64::from(k);
        state = held.follow(state, time, &applied, FASTEST);
        assert!(
            (applied(time) + state.feedback).abs() < 0.01,
            "{time} {state:?}"
        );
    }
}

#[test]
fn a_small_error_dies_at_the_loops_own_rate() {
    // Linear near the working point: the error falls as exp(-gain V' t).
    let slope = (voltage(0.25 + 1e-6) - voltage(0.25 - 1e-6)) / 2e-6;
    let held = FluxLockedLoop::new(&voltage, 0.25, 0.7);
    let after = held.follow(START, 1.3, &|_| 1e-7, FASTEST);
    let expected = 1e-7 * exp(-0.7 * slope * 1.3);
    assert!(((1e-7 + after.feedback) / expected - 1.0).abs() < 1e-4);
}

#[test]
fn beyond_the_slew_limit_it_slips() {
    let held = FluxLockedLoop::new(&voltage, 0.25, 1.0);
    let (rise, fall) = held.slew_limits(2000);
    // Analytic: the voltage lies between its values at whole and half quanta.
    assert!((rise - (voltage(0.5) - voltage(0.25))).abs() < 1e-9);
    assert!((fall - (voltage(0.25) - voltage(0.0))).abs() < 1e-9);
    for (limit, sign) in [(rise, 1.0), (fall, -1.0)] {
        let error_after = |rate: f64| {
            let applied = |time: f64| sign * rate * time;
            let end = held.follow(START, 400.0, &applied, FASTEST);
            (applied(400.0) + end.feedback).abs()
        };
        assert!(error_after(0.99 * limit) < 0.5);
        assert!(error_after(1.03 * limit) > 1.0);
    }
}

#[test]
fn a_fast_step_is_lost_by_whole_quanta() {
    let held = FluxLockedLoop::new(&voltage, 0.25, 1.0);
    for (step, lost) in [
        (0.3, 0.0),
        (0.9, 1.0),
        (1.2, 1.0),
        (3.05, 3.0),
        (-2.9, -3.0),
    ] {
        let end = held.follow(START, 200.0, &|_| step, FASTEST);
        assert!((step + end.feedback - lost).abs() < 1e-9, "{step}: {end:?}");
    }
}

#[test]
fn the_error_of_a_slow_ramp_is_its_rate_over_the_loops() {
    let slope = PI * sin(TAU * 0.25) / voltage(0.25) * 0.5;
    let held = FluxLockedLoop::new(&voltage, 0.25, 2.0);
    let rate = 1e-5;
    let end = held.follow(START, 60.0, &|time| rate * time, FASTEST);
    let error = rate * 60.0 + end.feedback;
    assert!((error * 2.0 * slope / rate - 1.0).abs() < 1e-3, "{error}");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    /// Whatever whole quanta are added to the applied flux, the loop does the same that many quanta on; a loop held on the
    /// falling side does the mirrored thing; and with twice the gain everything goes twice as fast.
    #[test]
    fn quanta_mirrors_and_time_are_seen_through(
        point in 0.05_f64..0.45, gain in 0.1_f64..10.0, size in -1.5_f64..1.5, rate in 0.01_f64..3.0, quanta in -5_i32..5,
    ) {
        let whole = f64::from(quanta);
        let end = 6.0 / gain;
        let applied = |time: f64| size * sin(rate * gain * time);
        let held = FluxLockedLoop::new(&voltage, point, gain);
        let here = held.follow(START, end, &applied, FASTEST).feedback;

        let from = Held { time: 0.0, feedback: -whole };
        let on = held.follow(from, end, &|time| applied(time) + whole, FASTEST).feedback;
        prop_assert!((on + whole - here).abs() < 1e-6, "{} {}", on, here);

        let falling = FluxLockedLoop::new(&voltage, -point, -gain);
        let mirrored = falling.follow(START, end, &|time| -applied(time), FASTEST).feedback;
        prop_assert!((mirrored + here).abs() < 1e-6, "{} {}", mirrored, here);

        let twice = FluxLockedLoop::new(&voltage, point, 2.0 * gain);
        let sooner = twice.follow(START, 0.5 * end, &|time| applied(2.0 * time), FASTEST).feedback;
        prop_assert!((sooner - here).abs() < 1e-6, "{} {}", sooner, here);
    }
}
