//! From a pattern back to the profile.

use super::*;

#[test]
fn signs_are_found_again_for_every_symmetric_profile() {
    let painted = Profile::Samples(vec![5.0, 1.0, 0.0, 2.0, 2.0, 0.0, 1.0, 5.0]);
    for profile in [
        Profile::Uniform,
        Profile::Circular,
        Profile::Triangular,
        Profile::HalfCosine,
        EDGES,
        painted,
    ] {
        for (range, to_a_quantum) in [
            (2.3, 8.0),
            (7.5, 8.0),
            (8.0, 16.0),
            (20.0, 31.0),
            (40.0, 64.0),
        ] {
            let step = 1.0 / to_a_quantum;
            let points = (range * to_a_quantum) as u32 + 1;
            let found = scan(&profile, step, points);
            for (k, signed) in found.signed().iter().enumerate() {
                let (real, imaginary) = profile.transform(step * k as f64);
                assert!(imaginary.abs() <= 0.0);
                assert!(
                    (signed - real).abs() < 1e-12,
                    "{profile:?} {range} {to_a_quantum}: place {k}, {signed} {real}"
                );
            }
            assert!(
                found.lifted() < LIFTED,
                "{profile:?} {to_a_quantum}: {}",
                found.lifted()
            );
            assert!((found.resolution() - 0.5 / (step * f64::from(points - 1))).abs() < 1e-15);
            // The mean is kept: over one period of the sum of cosines, exactly.
            let period = 1.0 / step;
            let whole = integrate(|x| found.density(x), -0.5 * period, 0.5 * period, points);
            assert!((whole - 1.0).abs() < 1e-10, "{whole}");
        }
    }
}

#[test]
fn signs_are_found_wherever_the_scan_ends() {
    // A zero just before the last value shows no dip; the curve runs on smoothly all the same.
    for profile in [
        Profile::Uniform,
        Profile::Circular,
        Profile::Triangular,
        Profile::HalfCosine,
        EDGES,
    ] {
        for (to_a_quantum, from) in [(8_u32, 12_u32), (13, 18), (32, 40), (100, 110)] {
            let step = 1.0 / f64::from(to_a_quantum);
            for points in from..from + 3 * to_a_quantum {
                let found = scan(&profile, step, points);
                for (k, signed) in found.signed().iter().enumerate() {
                    let real = profile.transform(step * k as f64).0;
                    assert!(
                        (signed - real).abs() < 1e-12,
                        "{profile:?} {to_a_quantum} {points}: place {k}, {signed} {real}"
                    );
                }
            }
        }
    }
}

#[test]
fn a_longer_scan_brings_a_finer_profile() {
    for (profile, order) in [
        (Profile::Triangular, 1.0),
        (Profile::HalfCosine, 1.0),
        (Profile::Uniform, 0.4),
        (EDGES, 0.4),
    ] {
        let misfit = |range: u32| {
            let found = scan(&profile, 1.0 / 32.0, 32 * range + 1);
            let square = integrate(
                |x| {
                    let off = found.density(x) - profile.density(x);
                    off * off
                },
                -0.5,
                0.5,
                // The panels end at the steps of the edge strips.
                200,
            );
            square.sqrt()
        };
        // Half-way between two zeros, so that neighbouring scans compare.
        let (short, long) = (misfit(4), misfit(16));
        assert!(
            short / long > pow(4.0, order),
            "{profile:?}: {short} {long}"
        );
        // Parseval: what the scan leaves out is what is lost, up to what spills beyond the edges.
        let density = integrate(|x| profile.density(x) * profile.density(x), -0.5, 0.5, 200);
        let scanned = 2.0
            * integrate(
                |f| profile.critical_current(f) * profile.critical_current(f),
                0.0,
                16.0,
                256,
            );
        let left_out = (density - scanned).sqrt();
        assert!(
            long < 1.001 * left_out && long > 0.6 * left_out,
            "{profile:?}: {long} {left_out}"
        );
    }
    // Beside a step the sum of cosines overshoots by the same share however long the scan.
    let share = integrate(|t| sinc(t / PI), 0.0, PI, 4) / PI - 0.5;
    assert!((share - OVERSHOOT).abs() < 1e-14, "{share}");
    for range in [10_u32, 40] {
        let found = scan(&Profile::Uniform, 1.0 / 64.0, 64 * range + 1);
        let highest = (0..4000)
            .map(|k| found.density(0.3 + 0.2 * f64::from(k) / 4000.0))
            .fold(0.0, f64::max);
        assert!(
            (highest - 1.0 - OVERSHOOT).abs() < 0.01,
            "{range}: {highest}"
        );
    }
}

#[test]
fn a_lopsided_profile_is_told_from_its_minima() {
    // All current at the edges is the hardest to tell from a lopsided one in a coarse scan.
    let mut edges = vec![0.0; 40];
    (edges[0], edges[39]) = (1.0, 1.0);
    let lifted = scan(&Profile::Samples(edges), 0.125, 65).lifted();
    assert!(lifted < LIFTED, "{lifted}");
    for samples in [
        vec![1.0, 2.0, 3.0, 4.0],
        vec![4.0, 1.0, 1.0, 1.0, 1.0],
        vec![1.0, 0.0, 0.0, 0.8],
    ] {
        let profile = Profile::Samples(samples.clone());
        let mirrored = Profile::Samples(samples.iter().rev().copied().collect());
        let found = scan(&profile, 1.0 / 32.0, 257);
        assert!(found.lifted() > LIFTED, "{samples:?}: {}", found.lifted());
        let other = scan(&mirrored, 1.0 / 32.0, 257);
        assert!((found.density(0.3) - other.density(0.3)).abs() < 1e-10);
    }
    let text = setup("profile-from-pattern", &[("profile", "1 2 3 4")]);
    let trace = run(&text, &[0.0]).unwrap();
    assert_eq!(trace.warnings.len(), 1);
    assert!(
        trace.warnings[0].contains("mirror image"),
        "{:?}",
        trace.warnings
    );
    for profile in [
        "uniform",
        "circular",
        "triangular",
        "half-cosine",
        "edge-heavy",
        "1 3 3 1",
    ] {
        let device = setup("profile-from-pattern", &[("profile", profile)]);
        assert!(
            run(&device, &[0.0]).unwrap().warnings.is_empty(),
            "{profile}"
        );
    }
}

#[test]
fn a_reconstruction_needs_a_scan() {
    assert!(Reconstruction::new(0.1, &[1.0, 0.5, 0.2, 0.1]).is_none());
    for step in [0.0, -0.1, 0.6, f64::NAN] {
        assert!(Reconstruction::new(step, &[1.0; 9]).is_none());
    }
    assert!(Reconstruction::new(0.1, &[1.0, f64::NAN, 0.2, 0.1, 0.1, 0.1]).is_none());
    let coarse = setup(
        "profile-from-pattern",
        &[("scan-range", "40 Phi0"), ("scan-points", "101")],
    );
    let error = coarse.check().unwrap_err().to_string();
    assert!(error.contains("321"), "{error}");
    // Farther than half a period of the sum of cosines there are only copies.
    assert!(run(&setup("profile-from-pattern", &[]), &[1e-3]).is_err());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn any_measured_pattern_gives_finite_densities(pattern in prop::collection::vec(0.0..5.0_f64, 5..200), x in -3.0..3.0_f64) {
        let found = Reconstruction::new(0.1, &pattern).unwrap();
        prop_assert!(found.density(x).is_finite());
        prop_assert!((found.density(-x) - found.density(x)).abs() < 1e-9);
        for (signed, size) in found.signed().iter().zip(&pattern) {
            prop_assert!((signed.abs() - size).abs() <= 0.0);
        }
    }
}

// ---------------------------------------------------------------- penetration
