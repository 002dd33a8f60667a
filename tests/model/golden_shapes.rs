//! Painted profiles, patterns turned back into profiles, long junctions and rows of wide junctions against the tables in
//! `tests/golden`, which were made without any code of ours.

use crate::golden;
use crate::golden::{number, rows};
use coldfringe::model::diffraction::Profile;
use coldfringe::model::interference::wide_row_critical_current;
use coldfringe::model::inverse_profile::Reconstruction;
use coldfringe::model::long_junction::CriticalCurve;

#[test]
fn critical_current_of_a_long_junction() {
    for row in golden::numbers(include_str!("../golden/long_junction.tsv")) {
        let [length, field, expected] = row[..] else {
            panic!("{row:?}")
        };
        let found = CriticalCurve::new(length, field).at(field);
        assert!((found - expected).abs() < 2e-9, "{row:?}: {found}");
        assert!((CriticalCurve::new(length, 8.0).at(-field) - expected).abs() < 2e-9);
    }
}

/// Numbers parted by semicolons.
fn list(cell: &str) -> Vec<f64> {
    cell.split(';').map(number).collect()
}

#[test]
fn painted_profiles_follow_the_transform_of_their_strips() {
    for row in rows(include_str!("../golden/painted.tsv")) {
        let [_, densities, flux, expected] = row[..] else {
            panic!("{row:?}")
        };
        let found = Profile::Samples(list(densities)).critical_current(number(flux));
        assert!((found - number(expected)).abs() < 3e-14, "{row:?}: {found}");
    }
}

#[test]
fn profiles_come_back_from_their_patterns() {
    for row in rows(include_str!("../golden/inverse_profile.tsv")) {
        let [name, range, points, place, expected] = row[..] else {
            panic!("{row:?}")
        };
        let profile = match name {
            "uniform" => Profile::Uniform,
            "circular" => Profile::Circular,
            "triangular" => Profile::Triangular,
            "half-cosine" => Profile::HalfCosine,
            _ => Profile::EdgeHeavy {
                fraction: 0.9,
                strip: 0.1,
            },
        };
        let last = points.parse::<u32>().unwrap() - 1;
        let step = number(range) / f64::from(last);
        // Only the size is handed over; the signs are found again.
        let pattern: Vec<f64> = (0..=last)
            .map(|k| profile.critical_current(step * f64::from(k)))
            .collect();
        let found = Reconstruction::new(step, &pattern).unwrap();
        for sign in [1.0, -1.0] {
            let density = found.density(sign * number(place));
            assert!(
                (density - number(expected)).abs() < 1e-13,
                "{row:?}: {density}"
            );
        }
    }
}

#[test]
fn rows_of_junctions_add_their_phasors() {
    for row in rows(include_str!("../golden/junction_row.tsv")) {
        let [currents, areas, junction, field, expected] = row[..] else {
            panic!("{row:?}")
        };
        let field = number(field);
        let fluxes: Vec<f64> = list(areas).iter().map(|area| area * field).collect();
        let found = wide_row_critical_current(&list(currents), &fluxes, number(junction) * field);
        assert!((found - number(expected)).abs() < 1e-13, "{row:?}: {found}");
    }
}
