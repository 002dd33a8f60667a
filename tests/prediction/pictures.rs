//! Wrong pictures are honest competitors: computed from the device, and what their beliefs make true.

use super::words::assert_plain;
use crate::hands::{case, device};
use coldfringe::experiment::Setup;
use coldfringe::numerics::elementary::sin;
use coldfringe::prediction::pictures::{curve, known};
use coldfringe::prediction::{MODEL, PictureError};
use std::f64::consts::PI;

#[test]
fn an_unknown_picture_is_named_with_those_that_are_known() {
    let case = case("pair");
    let error = curve("moire", &case.setup, "critical-current", &[0.0]).unwrap_err();
    assert!(matches!(error, PictureError::UnknownPicture { .. }));
    assert!(error.to_string().contains("single-slit"), "{error}");
    let error = curve(MODEL, &case.setup, "voltage", &[0.0]).unwrap_err();
    assert!(matches!(error, PictureError::UnknownColumn { .. }));
    assert!(known("long-junction", "critical-current").is_empty());
}

#[test]
fn pictures_of_rows_and_envelopes_are_what_their_beliefs_make_true() {
    let row = device(
        "junction-array",
        &[("junctions", "4"), ("loop-areas", "20; 26; 35 um^2")],
    );
    let quantum = row.axis("loop-flux").unwrap().si_per_unit;
    let at = |picture: &str, quanta: f64| {
        curve(picture, &row, "critical-current", &[quanta * quantum]).unwrap()[0] / 40e-6
    };
    for picture in known("junction-array", "critical-current") {
        // One belief is of a single maximum, and one of none.
        if !["one-wide-slit", "washed-out"].contains(&picture.name) {
            assert!((at(picture.name, 0.0) - 1.0).abs() < 1e-9);
            assert!((at(picture.name, 1.0) - 1.0).abs() < 1e-9);
        }
        assert!(at(MODEL, 1.0) < 0.9);
        assert_plain(
            &format!("Your curve shows {}.", picture.words),
            picture.name,
        );
        assert_plain(picture.question, picture.name);
        assert_plain(picture.look_at, picture.name);
    }
    // |sin(4 pi F)/(4 sin(pi F))| at a third of a quantum: 1/4; the pair 1/2, its root 0.707.
    assert!((at("unequal-holes-repeat", 1.0 / 3.0) - 0.25).abs() < 1e-9);
    assert!((at("as-for-two", 1.0 / 3.0) - 0.5).abs() < 1e-9);
    assert!((at("broader-for-more", 1.0 / 3.0) - 0.5_f64.sqrt()).abs() < 1e-9);
    let pair = device("junction-pair", &[]);
    let period = pair.axis("loop-flux").unwrap().si_per_unit;
    let at = |picture: &str| curve(picture, &pair, "envelope", &[period]).unwrap()[0];
    let top = curve(MODEL, &pair, "envelope", &[0.0]).unwrap()[0];
    assert!(at("envelope-of-the-loop").abs() < 1e-9 * top);
    assert!((at("equal-fringes") - top).abs() < 1e-15 && at(MODEL) < top);
    for picture in known("junction-pair", "envelope") {
        assert_plain(
            &format!("Your curve shows {}.", picture.words),
            picture.name,
        );
        assert_plain(picture.question, picture.name);
        assert_plain(picture.look_at, picture.name);
    }
}

/// Wrong curves are honest competitors: each starts from the device's own numbers.
#[test]
fn pictures_are_computed_from_the_device() {
    let setup = device(
        "single-junction",
        &[("critical-current", "30 uA"), ("width", "5 um")],
    );
    let quantum = setup.axis("junction-flux").unwrap().si_per_unit;
    let at = |picture: &str, quanta: f64| {
        curve(picture, &setup, "critical-current", &[quanta * quantum]).unwrap()[0] / 30e-6
    };
    let close = |value: f64, wanted: f64| (value - wanted).abs() < 1e-6;
    for picture in known("single-junction", "critical-current") {
        assert!(close(at(picture.name, 0.0), 1.0), "{}", picture.name);
    }
    // Side lobe of |sin(x)/x| at x = 4.4934: 0.217234 (root of tan x = x; computed with SciPy).
    assert!(close(at(MODEL, 1.430_297), 0.217_234));
    assert!(close(at("squared", 1.430_297), 0.217_234 * 0.217_234));
    assert!(close(at("signed", 1.430_297), -0.217_234));
    assert!(close(at("two-slits", 0.5), 0.0));
    assert!(close(at("half-quantum-zeros", 0.5), 0.0));
    assert!(close(at("narrow-centre", 0.5), 0.0));
    assert!(close(at("equal-lobes", 1.5), 1.0));
    assert!(close(at("shadow", 0.603_354_5), 0.5));
    // Half as wide as the usual 10 um: a quarter of the true place of the first zero.
    assert!(close(at("wider-for-wider", 0.25), 0.0));
}

/// What the beliefs about profiles and about unequal pairs come to, by hand.
#[test]
fn pictures_of_uneven_devices_are_what_their_beliefs_make_true() {
    let close = |value: f64, wanted: f64| (value - wanted).abs() < 1e-6;
    // Nothing in the left half, all in the right half: the opposite is its mirror image.
    let lopsided = device("single-junction", &[("profile", "0; 1"), ("width", "5 um")]);
    let quantum = lopsided.axis("junction-flux").unwrap().si_per_unit;
    let at = |setup: &Setup, picture: &str, quanta: f64| {
        curve(picture, setup, "critical-current", &[quanta * quantum]).unwrap()[0] / 100e-6
    };
    for quanta in [0.3, 1.1, 2.6] {
        let mirrored = at(&lopsided, "opposite-profile", quanta);
        // 41 strips stand for the profile, one of them on the step.
        assert!((mirrored - at(&lopsided, MODEL, quanta)).abs() < 0.03);
        assert!(close(
            at(&lopsided, "same-pattern", quanta) * PI * quanta,
            sin(PI * quanta).abs()
        ));
    }
    // Half the width carries everything: the first zero is at two quanta, and |sin x / x| is stretched to it.
    let x = 3.0 * PI / 4.0;
    assert!(close(at(&lopsided, "same-side-lobes", 1.5), sin(x) / x));
    // A half-cosine, in mean densities: pi/2 in the middle; the pattern at its own zero of 3/2 quanta.
    let arch = device("profile-from-pattern", &[("profile", "half-cosine")]);
    let density = |picture: &str, widths: f64| {
        curve(picture, &arch, "current-density-true", &[widths * 10e-6]).unwrap()[0] / 10.0
    };
    assert!(close(density(MODEL, 0.0), PI / 2.0));
    assert!(close(density("uniform-always", 0.2), 1.0));
    assert!((density("like-its-pattern", 0.0) - PI / 2.0).abs() < 2e-3);
    assert!(density("like-its-pattern", 0.25) < 2e-3 * density("like-its-pattern", 0.0));
    assert!(density("opposite-profile", 0.0) < 0.15 && density("opposite-profile", 0.49) > 2.0);
    // 70 and 30 uA, narrow: half a quantum leaves 40 uA, and the beliefs say otherwise.
    let pair = device(
        "junction-pair",
        &[
            ("critical-current-left", "70 uA"),
            ("critical-current-right", "30 uA"),
            ("width", "50 nm"),
        ],
    );
    let period = pair.axis("loop-flux").unwrap().si_per_unit;
    let at = |picture: &str, quanta: f64| {
        curve(picture, &pair, "critical-current", &[quanta * period]).unwrap()[0] / 1e-6
    };
    let near = |value: f64, wanted: f64| (value - wanted).abs() < 1e-3;
    assert!(near(at(MODEL, 0.5), 40.0));
    assert!(
        near(at("zeros-despite-unequal", 0.5), 0.0)
            && near(at("zeros-despite-unequal", 1.0), 100.0)
    );
    assert!(near(at("weaker-decides", 0.5), 0.0) && near(at("weaker-decides", 1.0), 60.0));
    assert!(
        near(at("sum-instead-of-product", 0.5), 70.0)
            && near(at("sum-instead-of-product", 0.0), 100.0)
    );
    for (kind, column) in [
        ("single-junction", "critical-current"),
        ("junction-pair", "critical-current"),
        ("profile-from-pattern", "current-density-true"),
    ] {
        for picture in known(kind, column) {
            assert_plain(
                &format!("Your curve shows {}.", picture.words),
                picture.name,
            );
            assert_plain(picture.question, picture.name);
            assert_plain(picture.look_at, picture.name);
        }
    }
}
