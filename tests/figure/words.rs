//! A chart in words and in numbers.

use super::*;

fn single_slit(flux: f64) -> f64 {
    coldfringe::numerics::elementary::sinc(flux).abs()
}

#[test]
fn features_of_the_one_slit_curve() {
    let x = axis("Phi0", -3.5, 3.5);
    let series = Series::new(
        "computed",
        Role::Computed,
        sampled(-3.5, 3.5, 700, single_slit),
    );
    let found = describe::features(&series, &x).unwrap();
    let places: Vec<f64> = found.minima.iter().map(|at| at.0).collect();
    assert_eq!(places.len(), 6, "{places:?}");
    for (place, wanted) in places.iter().zip([-3.0, -2.0, -1.0, 1.0, 2.0, 3.0]) {
        assert!((place - wanted).abs() < 0.006);
    }
    assert!(found.highest.0.abs() < 0.006);
    assert_eq!(found.mirrored, Some(true));
    assert!(found.jumps.is_empty() && found.crossings.is_empty());
    // First side lobe 0.2172: the largest value of |sin x / x| beyond its first zero
    // (common practice, no source; the same from cos x = sin x / x).
    let side = found
        .maxima
        .iter()
        .map(|at| at.1)
        .filter(|y| *y < 0.9)
        .fold(0.0, f64::max);
    assert!((side - 0.2172).abs() < 1e-3, "{side}");
    let y = Axis::new("critical current", "1", 0.0, 1.1).unwrap();
    let words = describe::curve(&series, &x, &y);
    assert!(words.contains("6 minima, where it reaches zero"), "{words}");
    assert!(words.contains("left and right are alike"), "{words}");
    assert!(words.contains("0.217"), "{words}");
}

/// Cusps on zero that the samples miss are zeros; a lifted cusp is none.
#[test]
fn cusps_between_samples_are_zeros() {
    let x = axis("Phi0", -5.0, 5.0);
    let y = Axis::new("critical current", "1", 0.0, 1.1).unwrap();
    let fringes = |at: f64| coldfringe::numerics::elementary::cos(std::f64::consts::PI * at).abs();
    let series = Series::new("computed", Role::Computed, sampled(-5.0, 5.0, 801, fringes));
    let words = describe::curve(&series, &x, &y);
    assert!(
        words.contains("10 minima, where it reaches zero"),
        "{words}"
    );
    let lifted = |at: f64| 0.2 + fringes(at);
    let series = Series::new("computed", Role::Computed, sampled(-5.0, 5.0, 801, lifted));
    let words = describe::curve(&series, &x, &y);
    assert!(!words.contains("zero"), "{words}");
}

#[test]
fn features_of_a_saw_and_of_a_lifted_curve() {
    let x = axis("Phi0", -2.0, 2.0);
    let saw = |at: f64| 0.7 * (at.round() - at);
    let series =
        Series::new("current", Role::Computed, sampled(-2.0, 2.0, 801, saw)).with_jumps(0.2);
    let found = describe::features(&series, &x).unwrap();
    assert_eq!(found.jumps.len(), 4);
    assert_eq!(found.crossings.len(), 3, "{:?}", found.crossings);
    assert!(found.minima.is_empty());
    assert_eq!(found.mirrored, Some(false));
    let lifted = |at: f64| 2.0 + coldfringe::numerics::elementary::cos(std::f64::consts::TAU * at);
    let series = Series::new("lifted", Role::Computed, sampled(-2.0, 2.0, 801, lifted));
    let y = Axis::new("critical current", "uA", 0.0, 4.0).unwrap();
    let words = describe::curve(&series, &x, &y);
    assert!(words.contains("4 minima at 1.00 µA"), "{words}");
    assert!(words.contains("1.00 Φ₀ apart"), "{words}");
    let flat = Series::new("flat", Role::Computed, sampled(-2.0, 2.0, 10, |_| 3.0));
    assert_eq!(describe::curve(&flat, &x, &y), "flat: 3.00 µA everywhere.");
    let nothing = Series::new("none", Role::Computed, vec![]);
    assert_eq!(describe::curve(&nothing, &x, &y), "none: nothing is drawn.");
    // A sketch is not read for features.
    let sketch = Series::new("your sketch", Role::Sketch, sampled(-2.0, 2.0, 801, lifted));
    assert!(!describe::curve(&sketch, &x, &y).contains("minima"));
}

#[test]
fn numbers_are_read_off_with_three_figures() {
    for (value, words) in [
        (0.0, "0"),
        (1e-17, "0"),
        (-0.2172, "−0.217"),
        (12.346, "12.3"),
        (3.0, "3.00"),
        (1234.5, "1234"),
        (2.07e-7, "2.07e−7"),
        (f64::NAN, "no value"),
    ] {
        assert_eq!(describe::figures(value), words);
    }
}

#[test]
fn table_is_short_and_csv_is_whole() {
    let x = axis("Phi0", -3.0, 3.0);
    let y = Axis::new("critical current", "uA", 0.0, 1.1).unwrap();
    let points = sampled(-3.0, 3.0, 600, single_slit);
    let series = [
        Series::new("computed", Role::Computed, points.clone()),
        Series::new(
            "say \"half\", or less",
            Role::Sketch,
            vec![(-1.0, 0.1), (0.5, 0.1), (1.0, f64::NAN)],
        ),
    ];
    let table = describe::DataTable::new(&series, &x, &y);
    assert!(table.rows.len() <= describe::MOST_ROWS && table.rows.len() > 20);
    assert_eq!(table.header[0], "flux (Φ₀)");
    assert_eq!(table.header[1], "computed (µA)");
    assert!(table.rows.iter().all(|row| row.len() == 3));
    let zero = table.rows.iter().find(|row| row[0] == "0.0").unwrap();
    assert_eq!(zero[1], "1.000");
    assert_eq!(zero[2], "0.100");
    let csv = describe::csv(&series, &x, &y);
    let lines: Vec<&str> = csv.split("\r\n").collect();
    assert_eq!(lines.len(), 603, "header, 601 points, the end");
    assert_eq!(lines[602], "");
    assert_eq!(
        lines[0],
        "flux (Φ₀),computed (µA),flux (Φ₀),\"say \"\"half\"\", or less (µA)\""
    );
    assert!(
        lines[3].ends_with(",1,"),
        "a gap is an empty cell: {}",
        lines[3]
    );
    for (line, point) in lines[1..602].iter().zip(&points) {
        let mut cells = line.split(',');
        let read: Vec<f64> = cells
            .by_ref()
            .take(2)
            .map(|cell| cell.parse().unwrap())
            .collect();
        assert_eq!(read[0].to_bits(), point.0.to_bits());
        assert_eq!(read[1].to_bits(), point.1.to_bits());
        assert_eq!(cells.count(), 2);
    }
    // Two curves on the same x share a column.
    let twice = [series[0].clone(), series[0].clone()];
    assert!(describe::csv(&twice, &x, &y).starts_with("flux (Φ₀),computed (µA),computed (µA)\r\n"));
}

/// A record is points: as many discs as lie on the paper, every one in the table, none made up between.
#[test]
fn a_record_is_drawn_and_told_point_by_point() {
    let x = Axis::new("field", "uT", -1.0, 1.0).unwrap();
    let y = Axis::new("current", "uA", 0.0, 10.0).unwrap();
    let points: Vec<(f64, f64)> = (0..=100)
        .map(|k| {
            let at = f64::from(k) / 50.0 - 1.0;
            (at, if k == 7 { 11.0 } else { f64::from(k % 10) })
        })
        .collect();
    let record = Series::new("record", Role::Recorded, points);
    let mut chart = Chart::new(640.0, 400.0, x.clone(), y.clone(), Theme::light());
    let discs = |chart: &Chart| {
        let items = chart.scene().items;
        items
            .iter()
            .filter(|item| matches!(item, Item::Disc { .. }))
            .count()
    };
    let bare = discs(&chart);
    chart.series.push(record.clone());
    // Four more stand in the key.
    assert_eq!(
        discs(&chart) - bare,
        100 + 4,
        "one point lies above the paper"
    );
    let table = describe::DataTable::new(std::slice::from_ref(&record), &x, &y);
    assert_eq!(table.rows.len(), 101);
    assert_eq!(table.rows[7][1].parse(), Ok(11.0));
    assert!(describe::curve(&record, &x, &y).contains("101 points with noise"));
}
