#![cfg(not(target_arch = "wasm32"))]
//! Shapes as physics: painted profiles, the way back from a pattern, penetration depths, rows of junctions, and the
//! set-ups built on them.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test stops at the first surprise"
)]

use core::f64::consts::PI;

use coldfringe::constants::FLUX_QUANTUM;
use coldfringe::experiment::{Inside, Setup, inside, readings, run};
use coldfringe::model::diffraction::Profile;
use coldfringe::model::interference::{row_critical_current, row_mean_square};
use coldfringe::model::inverse_profile::{LIFTED, OVERSHOOT, Reconstruction};
use coldfringe::model::penetration::{josephson_depth, magnetic_thickness, self_field_thickness};
use coldfringe::numerics::elementary::{cos, hypot, pow, sin, sinc};
use coldfringe::numerics::quadrature::integrate;
use proptest::prelude::*;

fn setup(kind: &str, parameters: &[(&str, &str)]) -> Setup {
    let mut setup = Setup::new(kind).unwrap();
    for (name, text) in parameters {
        setup.set(name, text).unwrap();
    }
    setup
}

fn reading(setup: &Setup, name: &str) -> f64 {
    readings(setup)
        .unwrap()
        .iter()
        .find(|reading| reading.name == name)
        .unwrap_or_else(|| panic!("no reading {name}"))
        .value
}

fn has(setup: &Setup, name: &str) -> bool {
    readings(setup)
        .unwrap()
        .iter()
        .any(|reading| reading.name == name)
}

fn scan(profile: &Profile, step: f64, points: u32) -> Reconstruction {
    let pattern: Vec<f64> = (0..points)
        .map(|k| profile.critical_current(step * f64::from(k)))
        .collect();
    Reconstruction::new(step, &pattern).unwrap()
}

const EDGES: Profile = Profile::EdgeHeavy {
    fraction: 0.9,
    strip: 0.1,
};

// ---------------------------------------------------------------- painted profiles

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

#[test]
fn thickness_for_the_applied_field_and_for_its_own_differ() {
    // Two films of penetration depth 90 nm (derivation: a London film with the field on one face or on both).
    for (film, own, applied) in [(200.0, 184.3, 144.8), (100.0, 223.8, 90.8)] {
        let films = [(film, 90.0), (film, 90.0)];
        assert!((self_field_thickness(0.0, films) - own).abs() < 0.05);
        assert!((magnetic_thickness(0.0, films) - applied).abs() < 0.05);
    }
    // They agree within 1 % only for films thicker than about five depths.
    let films = [(450.0, 90.0), (450.0, 90.0)];
    let ratio = self_field_thickness(0.0, films) / magnetic_thickness(0.0, films);
    assert!(ratio > 1.0 && ratio < 1.014);
}

#[test]
fn josephson_depths_of_the_record() {
    // lambda_J for a thickness of 182 nm: 37.93, 12.00 and 3.793 um at 1e6, 1e7 and 1e8 A/m² (computed from its definition).
    for (density, depth) in [
        ("1e6 A/m^2", 37.93e-6),
        ("1e7 A/m^2", 12.00e-6),
        ("1e8 A/m^2", 3.793e-6),
    ] {
        let device = setup(
            "long-junction",
            &[
                ("critical-current-density", density),
                ("magnetic-thickness", "182 nm"),
                ("width", "10 um"),
                ("extent", "3 um"),
            ],
        );
        let found = reading(&device, "josephson-depth");
        assert!((found - depth).abs() < 5e-4 * depth, "{found}");
        // Vortices enter at Phi0/(pi d lambda_J).
        let entry = FLUX_QUANTUM / (PI * 182e-9 * found);
        assert!((reading(&device, "entry-field") - entry).abs() < 1e-12 * entry);
        assert!(
            (reading(&device, "entry-field") / reading(&device, "lower-field") - 0.5 * PI).abs()
                < 1e-12
        );
    }
    // A square junction of 1 um at 1e7 A/m² and 181 nm: mu0 I d/Phi0 with I = 10 uA.
    let self_flux = 1.256_637_06e-6 * 10e-6 * 181e-9 / FLUX_QUANTUM;
    assert!((josephson_depth(self_flux, 1.0) - 12.03).abs() < 0.01);
}

#[test]
fn junctions_wider_than_their_depth_are_told() {
    let warned = |kind: &str, parameters: &[(&str, &str)]| {
        run(&setup(kind, parameters), &[0.0]).unwrap().warnings
    };
    // A square junction is as wide as its depth at I = Phi0 / (2 pi mu0 d): 1.447 mA for 181 nm.
    assert!(warned("single-junction", &[("critical-current", "1.44 mA")]).is_empty());
    assert_eq!(
        warned("single-junction", &[("critical-current", "1.46 mA")]).len(),
        1
    );
    // A round one has more density for its current, by 4/pi.
    assert!(
        warned(
            "single-junction",
            &[("critical-current", "1.13 mA"), ("profile", "circular")]
        )
        .is_empty()
    );
    assert_eq!(
        warned(
            "single-junction",
            &[("critical-current", "1.15 mA"), ("profile", "circular")]
        )
        .len(),
        1
    );
    assert_eq!(
        warned("junction-pair", &[("critical-current-right", "2 mA")]).len(),
        1
    );
    assert!(
        warned("junction-pair", &[("critical-current-right", "2 mA")])[0]
            .contains("right junction")
    );
    assert_eq!(
        warned(
            "junction-pair",
            &[
                ("critical-current-right", "2 mA"),
                ("critical-current-left", "3 mA")
            ]
        )
        .len(),
        2
    );
    assert_eq!(
        warned(
            "junction-array",
            &[("critical-current", "2 mA"), ("width", "3 um")]
        )
        .len(),
        1
    );
    assert!(warned("junction-array", &[("critical-current", "2 mA")]).is_empty());
    assert_eq!(
        warned(
            "wire-loop",
            &[
                ("wire-radius", "1 um"),
                ("penetration-depth-wire", "500 nm")
            ]
        )
        .len(),
        1
    );
    let wide = setup("long-junction", &[("width", "1 mm")]);
    assert!(
        run(&wide, &[0.0])
            .unwrap_err()
            .to_string()
            .contains("at most 20")
    );
}

// ---------------------------------------------------------------- rows of junctions

#[test]
fn side_lobes_of_equal_rows() {
    // Highest side lobe of |sin(N pi f)/(N sin(pi f))|: 1/3 at f = 1/2; 2/(3 sqrt 6) at 0.3661; 0.250 at 0.2902; 0.224746 at
    // 0.1435 (computed from the formula); as N grows, that of one wide slit, 0.217234.
    for (junctions, height, place, close) in [
        (3, 1.0 / 3.0, 0.5, 1e-9),
        (4, 2.0 / (3.0 * 6.0_f64.sqrt()), 0.3661, 1e-9),
        (5, 0.25, 0.2902, 1e-9),
        (10, 0.224_746, 0.1435, 1e-6),
    ] {
        let row = setup("junction-array", &[("junctions", &junctions.to_string())]);
        assert!(
            (reading(&row, "largest-side-lobe") - height).abs() < close,
            "{junctions}"
        );
        let share = reading(&row, "largest-side-lobe-field") / reading(&row, "period");
        assert!((share - place).abs() < 1e-4, "{junctions}: {share}");
        assert!((reading(&row, "mean-square") - 1.0 / f64::from(junctions)).abs() < 1e-15);
    }
    let many = setup("junction-array", &[("junctions", "64")]);
    let lobe = reading(&many, "largest-side-lobe");
    assert!((lobe - 0.217_234).abs() < 2e-4 && lobe > 0.217_234);
    // Two junctions have none.
    let two = setup("junction-array", &[("junctions", "2")]);
    assert!(!has(&two, "largest-side-lobe"));
    // Sharper with every junction: the half width of a row tends to that of one slit over N, 2 × 0.603354564402/N.
    let widths: Vec<f64> = [3, 5, 10, 64]
        .iter()
        .map(|n| {
            let row = setup("junction-array", &[("junctions", &n.to_string())]);
            reading(&row, "peak-width") / reading(&row, "period") * f64::from(*n)
        })
        .collect();
    assert!(
        (widths[3] - 2.0 * 0.603_354_564_402).abs() < 1e-3,
        "{widths:?}"
    );
    assert!(
        widths.windows(2).all(|pair| pair[0] > pair[1]),
        "{widths:?}"
    );
    // One or two of the two: |cos(pi f)| is half at 1/3.
    assert!((reading(&two, "peak-width") / reading(&two, "period") - 2.0 / 3.0).abs() < 1e-12);
}

#[test]
fn unequal_holes_and_junctions() {
    let odd = setup(
        "junction-array",
        &[("junctions", "4"), ("loop-areas", "20; 26; 35 um^2")],
    );
    assert!(!has(&odd, "period"));
    // Holes that nearly share a measure nearly add up again: |sum exp(2 pi i f s)|/4 with s = 0, 20, 46, 81 over a mean
    // hole of 27 (computed from the formula on a fine grid).
    assert!((reading(&odd, "largest-side-lobe") - 0.956_942_359).abs() < 1e-8);
    let mean_hole = FLUX_QUANTUM / 27e-12;
    assert!((reading(&odd, "largest-side-lobe-field") / mean_hole - 5.321_62).abs() < 2e-5);
    // Holes of one and two areas repeat with the smaller.
    let twice = setup(
        "junction-array",
        &[("junctions", "3"), ("loop-areas", "20; 40 um^2")],
    );
    let period = reading(&twice, "period");
    assert!((period * 20e-12 / FLUX_QUANTUM - 1.0).abs() < 1e-12);
    let values = run(&twice, &[0.0, period, 0.3 * period, 1.3 * period])
        .unwrap()
        .columns[0]
        .values
        .clone();
    assert!((values[0] - values[1]).abs() < 1e-15 && (values[2] - values[3]).abs() < 1e-15);
    let thirds = setup(
        "junction-array",
        &[("junctions", "3"), ("loop-areas", "20; 30 um^2")],
    );
    assert!((reading(&thirds, "period") * 10e-12 / FLUX_QUANTUM - 1.0).abs() < 1e-12);
    // Unequal junctions add up at zero field.
    let mixed = setup(
        "junction-array",
        &[("junctions", "3"), ("critical-current", "10; 20; 5 uA")],
    );
    assert!((reading(&mixed, "maximum") - 35e-6).abs() < 1e-18);
    assert!((reading(&mixed, "mean-square") - 525.0 / 1225.0).abs() < 1e-15);
    let error = setup("junction-array", &[("critical-current", "10; 20 uA")])
        .check()
        .unwrap_err();
    assert!(
        error.to_string().contains("critical-current has 2 values"),
        "{error}"
    );
    match inside(&mixed, 3e-6).unwrap() {
        Inside::Phasors {
            phasors, resultant, ..
        } => {
            let lengths: f64 = phasors.iter().map(|phasor| phasor.0).sum();
            assert!((lengths - 1.0).abs() < 1e-12);
            let real: f64 = phasors
                .iter()
                .map(|(length, turn)| length * cos(*turn))
                .sum();
            let imaginary: f64 = phasors
                .iter()
                .map(|(length, turn)| length * sin(*turn))
                .sum();
            assert!((hypot(real, imaginary) - resultant).abs() < 1e-12);
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn wide_junctions_in_a_row_have_their_own_pattern() {
    let wide = setup("junction-array", &[("width", "4 um")]);
    let narrow = setup("junction-array", &[]);
    let quantum = FLUX_QUANTUM / (4e-6 * 181e-9);
    assert!((reading(&wide, "envelope-zero") - quantum).abs() < 1e-12 * quantum);
    let x: Vec<f64> = (0..200).map(|k| 0.017 * f64::from(k) * quantum).collect();
    let (wide, narrow) = (run(&wide, &x).unwrap(), run(&narrow, &x).unwrap());
    for (k, field) in x.iter().enumerate() {
        let expected = narrow.columns[0].values[k] * sinc(field / quantum).abs();
        assert!((wide.columns[0].values[k] - expected).abs() < 1e-18);
    }
}

proptest! {
    #[test]
    fn mean_square_of_a_row(currents in prop::collection::vec(0.1..3.0_f64, 2..8), seed in 1_u32..1000) {
        // Whole multiples of one area, so that a mean over one period is a mean over all fields.
        let areas: Vec<f64> = (1..currents.len()).map(|k| f64::from(1 + (seed * 7 + k as u32 * 13) % 9)).collect();
        let sum: f64 = currents.iter().sum();
        let points = 2 * (areas.iter().sum::<f64>() as u32 + 1);
        let mean = (0..points)
            .map(|k| {
                let field = (f64::from(k) + 0.21) / f64::from(points);
                let fluxes: Vec<f64> = areas.iter().map(|area| area * field).collect();
                let here = row_critical_current(&currents, &fluxes) / sum;
                here * here
            })
            .sum::<f64>() / f64::from(points);
        prop_assert!((mean - row_mean_square(&currents)).abs() < 1e-12);
    }
}

// ---------------------------------------------------------------- pair and wire

#[test]
fn readings_of_a_pair() {
    let plover = setup("junction-pair", &[]);
    let (period, envelope) = (FLUX_QUANTUM / 12e-12, FLUX_QUANTUM / (4e-6 * 181e-9));
    assert!((reading(&plover, "first-zero") - 0.5 * period).abs() < 1e-12 * period);
    assert!((reading(&plover, "envelope-zero") - envelope).abs() < 1e-12 * envelope);
    assert!(
        reading(&plover, "difference").abs() <= 0.0 && reading(&plover, "minimum").abs() <= 0.0
    );
    // The fringes between the envelope's zeros, counted on the curve itself.
    let half: Vec<f64> = (0..=20_000)
        .map(|k| envelope * f64::from(k) / 20_000.0)
        .collect();
    let values = run(&plover, &half).unwrap().columns[0].values.clone();
    let peaks: Vec<f64> = values
        .windows(3)
        .filter(|three| three[1] > three[0] && three[1] > three[2])
        .map(|three| three[1] / values[0])
        .collect();
    // 12 um² over 4 um × 181 nm are 16.57 quanta: sixteen fringes to each side, and between 16.5 and 16.57 a sliver of
    // the seventeenth, cut off before its whole quantum and never seen.
    assert_eq!(peaks.len(), 17);
    assert!(
        peaks[15] > 0.03 && peaks[16] < 3e-4,
        "{} {}",
        peaks[15],
        peaks[16]
    );
    assert!(
        (reading(&plover, "fringes-under-central-lobe") - 33.0).abs() < 1e-12,
        "{}",
        reading(&plover, "fringes-under-central-lobe")
    );
    assert!((reading(&plover, "depth") - 1.0).abs() <= 0.0);
    let unequal = setup(
        "junction-pair",
        &[("critical-current-left", "30 uA"), ("width", "50 nm")],
    );
    assert!((reading(&unequal, "minimum") - 20e-6).abs() < 1e-8);
    assert!((reading(&unequal, "difference") - 20e-6).abs() < 1e-18);
    assert!(
        (reading(&unequal, "depth") * reading(&unequal, "maximum") - reading(&unequal, "maximum")
            + 20e-6)
            .abs()
            < 1e-8
    );
    let quantum = FLUX_QUANTUM / (50e-9 * 181e-9);
    assert!((reading(&unequal, "first-zero") - quantum).abs() < 1e-12 * quantum);
}

#[test]
fn a_wire_threads_its_own_contacts() {
    let stint = setup("wire-loop", &[]);
    // Area 0.1 mm × 200 nm; B = mu0 I / 2 pi r at the surface of a wire of 50 um: one quantum at 25.85 mA (derivation).
    let period = 2.0 * PI * 50e-6 * FLUX_QUANTUM / (1.256_637_061_27e-6 * 1e-4 * 200e-9);
    assert!((reading(&stint, "period") - period).abs() < 1e-8 * period);
    assert!((period - 25.85e-3).abs() < 0.01e-3);
    assert!((reading(&stint, "period-field") - 0.103_4e-3).abs() < 1e-7);
    let values = run(&stint, &[0.0, 0.5 * period, period, -period])
        .unwrap()
        .columns[0]
        .values
        .clone();
    assert!(
        (values[0] - 60e-6).abs() < 1e-18 && values[1] < 1e-12 && (values[2] - 60e-6).abs() < 1e-12
    );
    assert!((values[2] - values[3]).abs() < 1e-18);
}

#[test]
fn long_junction_in_si() {
    let device = setup("long-junction", &[]);
    let (depth, length) = (
        reading(&device, "josephson-depth"),
        reading(&device, "width-in-depths"),
    );
    assert!((depth * length - 60e-6).abs() < 1e-18);
    // 1 kA/cm² over 60 um × 5 um.
    assert!((reading(&device, "maximum-short") - 3e-3).abs() < 1e-15);
    assert!((reading(&device, "saturation") - 4.0 * 1e7 * depth * 5e-6).abs() < 1e-15);
    assert!((reading(&device, "saturation-one-end") - 2.0 * 1e7 * depth * 5e-6).abs() < 1e-15);
    assert!(reading(&device, "maximum") < reading(&device, "saturation"));
    let place = reading(&device, "first-minimum");
    let trace = run(&device, &[0.0, place, 0.98 * place, 1.02 * place]).unwrap();
    let values = &trace.columns[0].values;
    assert!((values[0] - reading(&device, "maximum")).abs() < 1e-12);
    assert!((values[1] - reading(&device, "minimum")).abs() < 1e-12);
    assert!(values[1] < values[2] && values[1] < values[3]);
    match inside(&device, 0.0).unwrap() {
        Inside::Junction {
            flux,
            local_current,
            total,
            ..
        } => {
            assert!(flux.abs() < 1e-12);
            // The phase is past a quarter turn at the ends, so the current is largest a little inside, and the same
            // from both ends; five depths are not long enough to keep the middle free of it. Numbers: f'' = sin f
            // integrated by an initial-value method from the middle, the phase there chosen for the largest current.
            for (place, expected) in [
                (0, 0.319_637_0),
                (1, 0.523_220_4),
                (6, 0.998_677_4),
                (20, 0.584_922_8),
            ] {
                let (one, other) = (local_current[place], local_current[40 - place]);
                assert!((one - expected).abs() < 1e-5, "{place}: {one}");
                assert!((one - other).abs() < 1e-9);
            }
            assert!(
                (local_current.iter().copied().fold(0.0, f64::max) - local_current[6]).abs()
                    <= 1e-9
            );
            assert!((total * 3e-3 - values[0]).abs() < 1e-12);
        }
        other => panic!("{other:?}"),
    }
    // A small one is a slit.
    let slit = setup("long-junction", &[("width", "1 um")]);
    let quantum = FLUX_QUANTUM / (1e-6 * 181e-9);
    assert!((reading(&slit, "first-minimum") - quantum).abs() < 1e-3 * quantum);
    assert!((reading(&slit, "maximum-share") - 1.0).abs() < 1e-6);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn no_value_in_range_gives_anything_but_numbers(kind in 0_usize..6, choices in prop::collection::vec(0.0..1.0_f64, 7), place in -4.0..4.0_f64) {
        let kind = ["single-junction", "profile-from-pattern", "junction-pair", "junction-array", "long-junction", "wire-loop"][kind];
        let mut setup = Setup::new(kind).unwrap();
        for (parameter, choice) in setup.description().parameters.iter().zip(&choices) {
            let value = if parameter.from > 0.0 {
                parameter.from * pow(parameter.to / parameter.from, *choice)
            } else {
                parameter.from + (parameter.to - parameter.from) * choice
            };
            let value = if parameter.name == "junctions" || parameter.name == "scan-points" { value.round() } else { value };
            // A profile is not a number; it stays as it is.
            let _ = setup.set_si(parameter.name, value);
        }
        if setup.check().is_err() {
            return Ok(());
        }
        let (from, to) = setup.default_window();
        let x = [from, 0.5 * (from + to), to, place * to, 0.0];
        match run(&setup, &x) {
            Ok(trace) => {
                prop_assert!(trace.columns.iter().all(|column| column.values.iter().all(|value| value.is_finite())), "{:?}", setup);
                prop_assert!(trace.readings.iter().all(|reading| reading.value.is_finite()), "{:?}", trace.readings);
                prop_assert!(inside(&setup, x[3]).is_ok());
            }
            // A place beyond the reach of the model is refused in words.
            Err(error) => prop_assert!(error.to_string().contains("too far"), "{}", error),
        }
    }
}
