//! Thicknesses and depths, and junctions wider than theirs.

use super::*;

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
