//! Painted profiles and their patterns.

use super::*;

#[test]
fn one_painted_sample_is_a_uniform_junction() {
    let one = Profile::Samples(vec![3.0]);
    assert_eq!(one.zeros(3), [1.0, 2.0, 3.0]);
    let (place, height) = one.first_side_lobe().unwrap();
    let (expected_place, expected) = Profile::Uniform.first_side_lobe().unwrap();
    assert!((place - expected_place).abs() < 1e-7 && (height - expected).abs() < 1e-12);
    for k in -40..40 {
        let f = 0.13 * f64::from(k);
        assert!((one.critical_current(f) - Profile::Uniform.critical_current(f)).abs() < 1e-15);
    }
}

#[test]
fn samples_without_current_do_not_hide_the_zeros_of_the_rest() {
    // One strip of 256 carries all: a junction 256 times narrower.
    let mut samples = vec![0.0; 256];
    samples[31] = 2.0;
    let strip = Profile::Samples(samples);
    let zeros = strip.zeros(2);
    assert!(
        (zeros[0] - 256.0).abs() < 1e-9 && (zeros[1] - 512.0).abs() < 1e-9,
        "{zeros:?}"
    );
    assert!(strip.is_symmetric());
    // The same shape away from the middle has the same pattern.
    let middle = Profile::Samples(vec![1.0, 3.0, 1.0]);
    let aside = Profile::Samples(vec![0.0, 0.0, 1.0, 3.0, 1.0, 0.0]);
    for (one, other) in middle.zeros(4).iter().zip(aside.zeros(4)) {
        assert!((2.0 * one - other).abs() < 1e-12);
    }
    // Two strips with nothing between: the zeros of a pair and of each strip.
    let gap = Profile::Samples(vec![1.0, 0.0, 0.0, 1.0]);
    let zeros = gap.zeros(4);
    for (zero, expected) in zeros.iter().zip([2.0 / 3.0, 2.0, 10.0 / 3.0, 4.0]) {
        assert!((zero - expected).abs() < 1e-9, "{zeros:?}");
    }
}

#[test]
fn lopsided_profiles_have_minima_but_no_zeros() {
    let ramp = Profile::Samples((1..=24).map(f64::from).collect());
    assert!(!ramp.is_symmetric());
    assert!(ramp.zeros(3).is_empty());
    let (place, least) = ramp.first_minimum().unwrap();
    assert!(least > 0.1 && place > 0.5);
    for near in [place - 1e-3, place + 1e-3] {
        assert!(ramp.critical_current(near) > least);
    }
    let device = setup("single-junction", &[("profile", "1 2 3 4 5 6 7 8")]);
    // Its minima stay above zero until one flux quantum threads each of the eight strips: there every strip vanishes by
    // itself, and the pattern with them.
    let quantum = reading(&device, "flux-quantum-field");
    assert!((reading(&device, "first-zero") / quantum - 8.0).abs() < 1e-15);
    assert!(reading(&device, "first-minimum") < 2.0 * quantum);
    let eight = Profile::Samples((1..=8).map(f64::from).collect());
    for k in 1..790 {
        assert!(eight.critical_current(0.01 * f64::from(k)) > 1e-3);
    }
    assert!(eight.critical_current(8.0) < 1e-15);
    // Painted in strips finer than twelve, none is in reach.
    let finer = setup(
        "single-junction",
        &[("profile", "1 2 3 4 5 6 7 8 9 10 11 12 13")],
    );
    assert!(!has(&finer, "first-zero") && !has(&finer, "zero-spacing"));
    let current = run(&device, &[reading(&device, "first-minimum")])
        .unwrap()
        .columns[0]
        .values[0];
    assert!((current - reading(&device, "minimum")).abs() < 1e-15);
    assert!(has(&device, "first-side-lobe"));
    // A symmetric painted one keeps its sign through the zeros, so that the picture moves without a jump.
    let arch = setup("single-junction", &[("profile", "1 3 4 3 1")]);
    let zero = reading(&arch, "first-zero");
    let total = |field: f64| match inside(&arch, field).unwrap() {
        Inside::Junction { total, .. } => total,
        _ => f64::NAN,
    };
    assert!(total(0.99 * zero) > 0.0 && total(1.01 * zero) < 0.0);
    assert!((reading(&arch, "first-minimum") - zero).abs() < 1e-15);
    // 4 + 6 cos + 2 cos twice = 2 (2 cos + 1)(cos + 1): the first zero at a third of a turn from strip to strip.
    assert!((zero / reading(&arch, "flux-quantum-field") - 5.0 / 3.0).abs() < 1e-14);
    // 1 2 3 2 1 is the square of 1 1 1: its pattern touches zero there, and the sign stays.
    let square = setup("single-junction", &[("profile", "1 2 3 2 1")]);
    let touched = reading(&square, "first-zero");
    assert!((touched / zero - 1.0).abs() < 1e-6);
    let total = |field: f64| match inside(&square, field).unwrap() {
        Inside::Junction { total, .. } => total,
        _ => f64::NAN,
    };
    assert!(total(0.99 * touched) > 0.0 && total(1.01 * touched) > 0.0);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn any_painted_profile_keeps_its_laws(samples in prop::collection::vec(0.0..10.0_f64, 1..257), f in 0.01..20.0_f64) {
        prop_assume!(samples.iter().sum::<f64>() > 0.1);
        let profile = Profile::Samples(samples.clone());
        let here = profile.critical_current(f);
        prop_assert!(here.is_finite() && here <= 1.0 + 1e-12);
        prop_assert!((profile.critical_current(0.0) - 1.0).abs() < 1e-14);
        prop_assert!((profile.critical_current(-f) - here).abs() < 1e-13);
        // Its mirror image has the same pattern.
        let mirrored: Vec<f64> = samples.iter().rev().copied().collect();
        prop_assert!((Profile::Samples(mirrored).critical_current(f) - here).abs() < 1e-13);
        // Repeating every sample changes nothing but the number of strips.
        let finer: Vec<f64> = samples.iter().flat_map(|density| [*density, *density]).collect();
        prop_assert!((Profile::Samples(finer).critical_current(f) - here).abs() < 1e-12);
        // Parseval, over the strips alone: the sum over whole quanta of one period of the phasors' pattern.
        let count = samples.len();
        let sum: f64 = samples.iter().sum();
        let squares: f64 = samples.iter().map(|density| density * density).sum();
        let strips = 2 * count.max(4);
        let mean = (0..strips)
            .map(|k| {
                let flux = (k as f64 + 0.37) * count as f64 / strips as f64;
                let strip = sinc(flux / count as f64);
                let whole = profile.critical_current(flux) / strip;
                whole * whole
            })
            .sum::<f64>() / strips as f64;
        prop_assert!((mean - squares / (sum * sum)).abs() < 1e-9 * (1.0 + mean), "{} {}", mean, squares / (sum * sum));
        for zero in profile.zeros(3) {
            prop_assert!(profile.critical_current(zero) < 1e-6);
        }
    }
}

// ---------------------------------------------------------------- the way back
