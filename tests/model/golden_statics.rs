//! The statics against the tables in `tests/golden`, which were made without any code of ours.

use crate::golden::{number, rows};
use coldfringe::model::diffraction::Profile;
use coldfringe::model::screened_loop::Loop;

fn profile(name: &str) -> Profile {
    match name {
        "uniform" => Profile::Uniform,
        "circular" => Profile::Circular,
        "triangular" => Profile::Triangular,
        "half-cosine" => Profile::HalfCosine,
        _ => Profile::EdgeHeavy {
            fraction: number(name.strip_prefix("edge-heavy-").unwrap()),
            strip: 0.1,
        },
    }
}

#[test]
fn one_junction_follows_the_transform_of_its_density() {
    for row in rows(include_str!("../golden/diffraction.tsv")) {
        let [name, flux, expected] = row[..] else {
            panic!("{row:?}")
        };
        for sign in [1.0, -1.0] {
            let found = profile(name).critical_current(sign * number(flux));
            assert!((found - number(expected)).abs() < 2e-15, "{row:?}: {found}");
        }
    }
}

#[test]
fn zeros_and_side_lobes_stand_where_they_should() {
    for row in rows(include_str!("../golden/diffraction_marks.tsv")) {
        let [name, mark, expected] = row[..] else {
            panic!("{row:?}")
        };
        let profile = profile(name);
        let zeros = profile.zeros(2);
        let (found, close) = match mark {
            "zero-1" => (zeros[0], 1e-13),
            "zero-2" => (zeros[1], 1e-13),
            // A flat top gives its place only to the square root of the digits.
            "lobe-1" => (profile.first_side_lobe().unwrap().0, 1e-7),
            "height-1" => (profile.first_side_lobe().unwrap().1, 1e-14),
            "height-2" => continue,
            "lobe-2" => {
                // The next row holds its height; the curve there is checked through it.
                let f = number(expected);
                let slope = profile.critical_current(f + 1e-4) - profile.critical_current(f - 1e-4);
                assert!(slope.abs() < 1e-10, "{row:?}");
                continue;
            }
            _ => panic!("{row:?}"),
        };
        assert!((found - number(expected)).abs() < close, "{row:?}: {found}");
    }
}

#[test]
fn edge_peaked_profiles_have_early_zeros_and_high_lobes() {
    // Edge-peaked parabola j = 3 (2x/w)²: first zero at 0.662 586 212 6, first lobe 0.746 076 71 high, from
    // quadrature of the definition. In 256 strips it is met to the square of the strip's width.
    let samples = (0..256)
        .map(|k| {
            let x = (f64::from(k) + 0.5) / 128.0 - 1.0;
            3.0 * x * x
        })
        .collect();
    let parabola = Profile::Samples(samples);
    assert!((parabola.zeros(1)[0] - 0.662_586_212_6).abs() < 1e-4);
    assert!((parabola.first_side_lobe().unwrap().1 - 0.746_076_71).abs() < 1e-4);
    // All current at the two edges: |cos(pi f)|, as two narrow junctions; here by ever narrower strips.
    let edges = Profile::EdgeHeavy {
        fraction: 1.0,
        strip: 1e-9,
    };
    for k in 0..40 {
        let f = 0.07 * f64::from(k);
        let expected = coldfringe::numerics::elementary::cos_pi(f).abs();
        assert!((edges.critical_current(f) - expected).abs() < 1e-7);
    }
}

#[test]
fn critical_current_of_the_screened_loop() {
    for row in rows(include_str!("../golden/screened_loop.tsv")) {
        let cells: Vec<f64> = row.iter().map(|cell| number(cell)).collect();
        let [left, right, beta_l, share, flux, expected] = cells[..] else {
            panic!("{row:?}")
        };
        let curve = Loop::new(left, right, beta_l, share)
            .unwrap()
            .critical_curve();
        for whole in [-2.0, 0.0, 1.0] {
            let found = curve.at(flux + whole).current;
            assert!((found - expected).abs() < 2e-12, "{row:?}: {found}");
        }
    }
}

#[test]
fn circulating_current_without_bias() {
    for row in rows(include_str!("../golden/circulating_current.tsv")) {
        let cells: Vec<f64> = row.iter().map(|cell| number(cell)).collect();
        let [left, right, beta_l, flux, circulating, total] = cells[..] else {
            panic!("{row:?}")
        };
        let state = Loop::new(left, right, beta_l, 0.5)
            .unwrap()
            .lowest_state(flux);
        assert!(
            (state.circulating - circulating).abs() < 1e-13,
            "{row:?}: {state:?}"
        );
        assert!((state.flux - total).abs() < 1e-13, "{row:?}: {state:?}");
        assert!(state.stable);
    }
}
