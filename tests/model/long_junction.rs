//! The long junction as physics: the published table, limits of short and long, the equation itself, and no gaps.

use core::f64::consts::{PI, TAU};

use coldfringe::model::long_junction::{
    CriticalCurve, ENTRY_FIELD, LOWER_FIELD, SATURATION, SATURATION_ONE_END,
};
use coldfringe::numerics::elementary::{exp, sin, sinc};
use coldfringe::numerics::quadrature::integrate;
use proptest::prelude::*;

#[test]
fn zero_field_meets_the_table_of_the_record() {
    // Owen and Scalapino 1967 solved this (from memory); the numbers were computed from the equation.
    for (length, current) in [
        (0.5, 0.499_978),
        (1.0, 0.999_306),
        (2.0, 1.978_211),
        (3.0, 2.846_770),
        (4.0, 3.462_503),
        (5.0, 3.785_578),
        (6.0, 3.919_974),
        (8.0, 3.989_222),
        (10.0, 3.998_546),
        (15.0, 3.999_990),
    ] {
        let curve = CriticalCurve::new(length, 0.0);
        assert!(
            (curve.maximum() - current).abs() < 6e-7,
            "{length}: {}",
            curve.maximum()
        );
        assert!((curve.at(0.0) - curve.maximum()).abs() < 1e-9);
    }
}

#[test]
fn short_junctions_have_the_pattern_of_one_slit() {
    for length in [0.05_f64, 0.1, 0.2, 0.4] {
        let curve = CriticalCurve::new(length, 4.0 * TAU / length);
        for k in 0..200 {
            let quanta = 0.017 * f64::from(k);
            let found = curve.at(quanta * TAU / length) / length;
            // The own field counts in the square of the length.
            let close = 0.06 * length * length;
            assert!(
                (found - sinc(quanta).abs()).abs() < close,
                "{length} {quanta}: {found}"
            );
        }
    }
}

#[test]
fn long_junctions_saturate_and_fall_on_a_straight_line() {
    // L >> 1: I = 2 (2 - |h|) while no vortex is inside (derivation); corrections vanish as exp(-L).
    for length in [12.0, 16.0, 20.0] {
        let curve = CriticalCurve::new(length, 1.2);
        let small = 40.0 * exp(-0.5 * length);
        for k in 0..=20 {
            let field = 0.05 * f64::from(k);
            let expected = SATURATION - 2.0 * field;
            assert!(
                (curve.at(field) - expected).abs() < small,
                "{length} {field}: {}",
                curve.at(field)
            );
        }
    }
    assert!((SATURATION_ONE_END - 0.5 * SATURATION).abs() < 1e-15);
    // Where that line ends, vortices enter; the ratio to the field of equal energies is pi/2 (derivation).
    assert!((ENTRY_FIELD - 0.5 * SATURATION).abs() < 1e-15);
    assert!((ENTRY_FIELD / LOWER_FIELD - 0.5 * PI).abs() < 1e-15);
}

#[test]
fn states_obey_the_equation_and_the_ends() {
    for (length, field) in [
        (0.5, 3.0),
        (2.0, 1.0),
        (5.0, -1.7),
        (10.0, 2.2),
        (10.0, -0.4),
        (18.0, 1.1),
        (0.05, 9.0),
    ] {
        let curve = CriticalCurve::new(length, field);
        let state = curve.state(field);
        let half = 0.5 * length;
        let (left, right) = (state.local_field(-half), state.local_field(half));
        let close = if length < 0.1 { 1e-3 } else { 1e-8 };
        assert!(
            (0.5 * (left + right) - field).abs() < close * (1.0 + field.abs()),
            "{length} {field}"
        );
        assert!((right - left - curve.at(field)).abs() < close);
        // All the current crosses somewhere, and its field adds up on the way.
        let sum = integrate(|x| state.density(x), -half, half, 40);
        assert!(
            (sum - (right - left)).abs() < 1e-9,
            "{length} {field}: {sum}"
        );
        let turned = integrate(|x| state.local_field(x), -half, half, 40);
        assert!(
            (turned - TAU * state.flux()).abs() < 1e-9,
            "{length} {field}"
        );
        // f'' = sin f, by differences.
        for k in 1..20 {
            let x = -half + length * f64::from(k) / 20.0;
            let step = 1e-5;
            let bent = (state.local_field(x + step) - state.local_field(x - step)) / (2.0 * step);
            assert!((bent - sin(state.phase(x))).abs() < 1e-6);
            assert!((state.density(x) - sin(state.phase(x))).abs() < 1e-9);
        }
    }
}

#[test]
fn far_fields_join_the_short_pattern() {
    for length in [0.3, 1.0, 5.0, 20.0] {
        let curve = CriticalCurve::new(length, 80.0);
        for k in 0..300 {
            let field = 58.0 + 0.02 * f64::from(k);
            let off = curve.at(field) - curve.without_own_field(field);
            // What the phase's own ripple adds is of second order: about length/field², seen where the short
            // pattern vanishes.
            let ripple = length / (field * field);
            assert!(off.abs() < 1.3 * ripple, "{length} {field}: {off}");
        }
    }
}

#[test]
fn lobes_meet_without_a_gap() {
    // Between two lobes the current falls steeply and does not vanish. Lost there, it would jump: |dI/dh| is at most 2.
    for length in [0.3, 1.0, 2.0, 3.0, 4.0, 5.0, 9.0, 20.0] {
        let (step, top) = (1e-3, 40.0);
        let curve = CriticalCurve::new(length, top);
        let mut before = curve.at(0.0);
        for k in 1..=40_000_u32 {
            let field = step * f64::from(k);
            let here = curve.at(field);
            assert!(
                (here - before).abs() <= 2.0 * step + 1e-7,
                "{length} at {field}: {before} {here}"
            );
            before = here;
        }
    }
    // Largest current by shooting from the middle (SciPy, DOP853) over all phases there, close to such a meeting.
    for (field, current) in [(12.5936, 0.023_182_38), (28.8904, 0.004_570_86)] {
        let found = CriticalCurve::new(5.0, 40.0).at(field);
        assert!((found - current).abs() < 1e-8, "{field}: {found}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn the_curve_has_no_gaps(length in 0.02..20.0_f64, from in 0.0..12.0_f64) {
        // Fluxless ends cannot change faster than the field: |dI/dh| stays at or below 2, in vortex states too.
        let step = 0.003;
        let curve = CriticalCurve::new(length, from + 100.0 * step);
        let mut before = curve.at(from);
        for k in 1..100 {
            let here = curve.at(from + step * f64::from(k));
            prop_assert!(here.is_finite() && here >= 0.0);
            prop_assert!(here <= curve.maximum() + 1e-9);
            prop_assert!((here - before).abs() <= 2.0 * step + 1e-7, "{} at {}: {} {}", length, from + step * f64::from(k), before, here);
            before = here;
        }
        prop_assert!((curve.at(-from) - curve.at(from)).abs() <= 0.0);
    }

    #[test]
    fn the_range_asked_for_does_not_matter(length in 0.2..20.0_f64, field in 0.0..9.0_f64) {
        let near = CriticalCurve::new(length, field).at(field);
        let far = CriticalCurve::new(length, 20.0).at(field);
        prop_assert!((near - far).abs() < 1e-8, "{} {}", near, far);
    }
}
