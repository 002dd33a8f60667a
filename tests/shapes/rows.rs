//! Rows of junctions.

use super::*;

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
