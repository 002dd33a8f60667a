//! Patterns of junctions without screening: transforms of their densities, sums of their currents, pairs and rows.

use coldfringe::model::diffraction::Profile;
use coldfringe::model::interference::{pair, row_critical_current, wide_pair};
use coldfringe::numerics::elementary::{cos, sin, sin_cos};
use coldfringe::numerics::quadrature::integrate;
use core::f64::consts::{PI, TAU};
use proptest::prelude::*;

/// A current density with what is asked of any.
fn any_profile() -> impl Strategy<Value = Profile> {
    prop_oneof![
        Just(Profile::Uniform),
        Just(Profile::Circular),
        Just(Profile::Triangular),
        Just(Profile::HalfCosine),
        (0.0..1.0_f64, 0.01..0.5_f64)
            .prop_map(|(fraction, strip)| Profile::EdgeHeavy { fraction, strip }),
        proptest::collection::vec(0.01..5.0_f64, 2..9).prop_map(Profile::Samples),
    ]
}

proptest! {
    /// The closed forms are the transforms of the densities that the picture shows.
    #[test]
    fn pattern_is_the_transform_of_the_density(profile in any_profile(), f in -6.0..6.0_f64) {
        // Parts that end where a density has a step; a round one is integrated in the angle.
        let (real, imaginary) = match &profile {
            Profile::Circular => {
                let part = |turn: fn(f64) -> f64| integrate(
                    |u| { let (sine, cosine) = sin_cos(u); profile.density(0.5 * sine) * turn(PI * f * sine) * 0.5 * cosine },
                    -0.5 * PI, 0.5 * PI, 24);
                (part(cos), part(sin))
            }
            Profile::EdgeHeavy { strip, .. } => {
                let ends = [-0.5, strip - 0.5, 0.0, 0.5 - strip, 0.5];
                let part = |turn: fn(f64) -> f64| ends.windows(2)
                    .map(|end| integrate(|x| profile.density(x) * turn(TAU * f * x), end[0], end[1], 8)).sum::<f64>();
                (part(cos), part(sin))
            }
            Profile::Samples(samples) => {
                let panels = 4 * samples.len() as u32;
                let part = |turn: fn(f64) -> f64| integrate(|x| profile.density(x) * turn(TAU * f * x), -0.5, 0.5, panels);
                (part(cos), part(sin))
            }
            _ => {
                let part = |turn: fn(f64) -> f64| integrate(|x| profile.density(x) * turn(TAU * f * x), -0.5, 0.5, 24);
                (part(cos), part(sin))
            }
        };
        let (found_real, found_imaginary) = profile.transform(f);
        prop_assert!((found_real - real).abs() < 1e-10, "{found_real} {real}");
        prop_assert!((found_imaginary - imaginary).abs() < 1e-10, "{found_imaginary} {imaginary}");
        prop_assert!(profile.critical_current(f) <= 1.0 + 1e-12);
        prop_assert!((profile.critical_current(f) - profile.critical_current(-f)).abs() < 1e-12);
        prop_assert!((profile.critical_current(0.0) - 1.0).abs() < 1e-12);
    }

    /// The arrows of the picture add up to the current that the curve shows.
    #[test]
    fn local_currents_add_up(profile in any_profile(), f in -4.0..4.0_f64) {
        let count = 20_000;
        let arrows = profile.local_currents(f, count);
        let largest = (0..count).map(|k| profile.density((k as f64 + 0.5) / count as f64 - 0.5)).fold(0.0, f64::max);
        let sum = arrows.iter().sum::<f64>() / count as f64 * largest;
        let (real, imaginary) = profile.transform(f);
        let signed = if imaginary.abs() <= 0.0 { real } else { profile.critical_current(f) };
        prop_assert!((sum - signed).abs() < 2e-3, "{sum} {signed}");
    }

    /// A mirrored junction in a reversed field is the same.
    #[test]
    fn mirror_image_of_a_junction(samples in proptest::collection::vec(0.0..5.0_f64, 2..12), f in -6.0..6.0_f64) {
        prop_assume!(samples.iter().sum::<f64>() > 0.1);
        let mirrored: Vec<f64> = samples.iter().rev().copied().collect();
        let (one, other) = (Profile::Samples(samples), Profile::Samples(mirrored));
        prop_assert!((one.critical_current(f) - other.critical_current(f)).abs() < 1e-12);
    }

    /// Two junctions: whole quanta bring the sum back, odd halves the difference, and no more is seen between.
    #[test]
    fn two_junctions(left in 0.1..9.0_f64, right in 0.1..9.0_f64, f in -5.0..5.0_f64, n in -9..9_i32) {
        let n = f64::from(n);
        prop_assert!((pair(left, right, n) - left - right).abs() < 1e-12);
        prop_assert!((pair(left, right, n + 0.5) - (left - right).abs()).abs() < 1e-12);
        prop_assert!((pair(left, right, f + n) - pair(left, right, f)).abs() < 1e-11);
        prop_assert!((pair(left, right, f) - pair(right, left, -f)).abs() < 1e-12);
        prop_assert!(pair(left, right, f) <= left + right + 1e-12);
        // A row of two equal junctions is the same device.
        prop_assert!((row_critical_current(&[1.0, 1.0], &[f]) - pair(1.0, 1.0, f)).abs() < 1e-12);
        prop_assert!(wide_pair(left, right, f, 0.1 * f) <= pair(left, right, f) + 1e-12);
    }

    /// N equal slits: | sin(N pi f) / sin(pi f) |.
    #[test]
    fn a_row_of_equal_junctions(holes in 1..30_usize, f in 0.01..0.99_f64) {
        let count = holes as f64 + 1.0;
        let expected = (sin(count * PI * f) / sin(PI * f)).abs();
        prop_assert!((row_critical_current(&vec![1.0; holes + 1], &vec![f; holes]) - expected).abs() < 1e-11);
    }

    /// A pair of wide junctions is one wide junction with a gap in its middle.
    #[test]
    fn two_wide_junctions_are_one_with_a_gap(f in -3.0..3.0_f64) {
        // Nine equal strips, current in the outer three of each side: two junctions, a third of the width each,
        // two thirds of the width apart.
        let gap = Profile::Samples(vec![1.0, 1.0, 1.0, 0.0, 0.0, 0.0, 1.0, 1.0, 1.0]);
        let expected = wide_pair(0.5, 0.5, f * 2.0 / 3.0, f / 3.0);
        prop_assert!((gap.critical_current(f) - expected).abs() < 1e-12);
    }
}
