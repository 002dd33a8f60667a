//! Parameters as people write them, right and wrong, and the scales that curves are shown on.

use crate::setups::hand::{close, reading, setup};
use coldfringe::experiment::{Setup, descriptions, run};
use proptest::prelude::*;

#[test]
fn wrong_parameters_are_answered_with_a_mend() {
    let wrong = |kind: &str, parameters: &[(&str, &str)], parts: &[&str]| {
        let message = setup(kind, parameters).unwrap_err().to_string();
        for part in parts {
            assert!(message.contains(part), "\"{message}\" lacks \"{part}\"");
        }
    };
    wrong(
        "single-juction",
        &[],
        &["single-juction", "did you mean \"single-junction\"?"],
    );
    wrong("", &[], &["known are", "screened-loop"]);
    wrong(
        "single-junction",
        &[("widht", "1 um")],
        &["widht", "\"width\""],
    );
    wrong(
        "single-junction",
        &[("width", "10 uA")],
        &["width", "a current", "a length", "10 um"],
    );
    wrong(
        "single-junction",
        &[("width", "10")],
        &["width", "no unit", "10 um"],
    );
    wrong(
        "single-junction",
        &[("width", "1 km")],
        &["width", "1.000 km", "out of range", "1.00 mm"],
    );
    wrong("single-junction", &[("width", "0 m")], &["out of range"]);
    wrong(
        "single-junction",
        &[("width", "-10 um")],
        &["−10.00 µm", "out of range"],
    );
    wrong(
        "single-junction",
        &[("width", "")],
        &["width", "nothing was written"],
    );
    wrong(
        "single-junction",
        &[("width", "1,234 um")],
        &["width", "two ways"],
    );
    wrong(
        "single-junction",
        &[("width", "10 umm")],
        &["umm", "not known"],
    );
    wrong(
        "single-junction",
        &[("critical-current", "inf A")],
        &["not a finite number"],
    );
    wrong(
        "single-junction",
        &[("critical-current", "NaN")],
        &["not a finite number"],
    );
    wrong(
        "single-junction",
        &[("profile", "unifrom")],
        &["\"uniform\"", "1 2 3 2 1"],
    );
    wrong("single-junction", &[("profile", "3")], &["2 to 256"]);
    wrong(
        "single-junction",
        &[("profile", "0; 0")],
        &["all densities are zero"],
    );
    wrong("single-junction", &[("profile", "1; -2")], &["number 2"]);
    wrong(
        "single-junction",
        &[("profile", "1; 2 mA")],
        &["has a unit"],
    );
    wrong(
        "single-junction",
        &[("edge-fraction", "1.2")],
        &["edge-fraction", "out of range"],
    );
    wrong(
        "junction-array",
        &[("junctions", "2.5")],
        &["not a whole number"],
    );
    wrong(
        "junction-array",
        &[("junctions", "1")],
        &["out of range", "64"],
    );
    wrong(
        "junction-array",
        &[("junctions", "8 uA")],
        &["a pure number"],
    );
    wrong(
        "junction-array",
        &[("loop-areas", "1; 2 um^2")],
        &["2 values", "7 holes"],
    );
    wrong("junction-array", &[("loop-areas", "1; 2")], &["no unit"]);
    wrong(
        "screened-loop",
        &[("loop-inductance", "100 pF")],
        &["a capacitance", "an inductance"],
    );
    // A wrong value leaves the set-up as it was.
    let mut tern = Setup::new("single-junction").unwrap();
    let before = tern.clone();
    assert!(tern.set("width", "1 km").is_err() && tern.set_si("width", f64::NAN).is_err());
    assert!(tern.set_si("profile", 1.0).is_err());
    assert_eq!(tern, before);
    assert_eq!(tern.get_si("profile"), None);
    assert_eq!(tern.get_si("nothing"), None);
}

#[test]
fn scales_for_charts() {
    let tern = Setup::new("single-junction").unwrap();
    let axes = tern.axes();
    assert_eq!(
        axes.iter()
            .map(|axis| (axis.name, axis.unit))
            .collect::<Vec<_>>(),
        [("field", "mT"), ("junction-flux", "Phi0")]
    );
    let plover = Setup::new("junction-pair").unwrap();
    close(
        plover.axis("loop-flux").unwrap().si_per_unit,
        reading(&plover, "period"),
        1e-15,
    );
    assert!(plover.axis("flux").is_none());
    let relative = tern.column_scale("critical-current", "relative").unwrap();
    assert_eq!(relative.unit, "");
    close(relative.si_per_unit, 100e-6, 1e-14);
    close(
        tern.column_scale("critical-current", "uA")
            .unwrap()
            .si_per_unit,
        1e-6,
        1e-14,
    );
    let avocet = Setup::new("screened-loop").unwrap();
    close(
        avocet
            .column_scale("total-flux", "mPhi0")
            .unwrap()
            .si_per_unit,
        1e-3,
        1e-14,
    );
    close(
        avocet
            .column_scale("circulating-current", "relative")
            .unwrap()
            .si_per_unit,
        reading(&avocet, "circulating-current-before-jump"),
        1e-14,
    );
    assert!(avocet.column_scale("total-flux", "relative").is_err());
    assert!(tern.column_scale("critical-current", "mT").is_err());
    assert!(
        tern.column_scale("critical-curent", "uA")
            .unwrap_err()
            .to_string()
            .contains("did you mean")
    );
}

/// What a slider shows of its device: values in its own unit, fluxes in quanta.
#[test]
fn a_parameter_is_told_in_any_unit_of_its_kind() {
    let mut setup = Setup::new("profile-from-pattern").unwrap();
    setup.set("scan-range", "3 Phi0").unwrap();
    setup.set("width", "12 um").unwrap();
    let close = |name: &str, unit: &str, wanted: f64| {
        let got = setup.get_in(name, unit).unwrap();
        assert!(
            (got - wanted).abs() < 1e-12 * wanted,
            "{name} in {unit}: {got}"
        );
    };
    close("scan-range", "Φ0", 3.0);
    close("width", "µm", 12.0);
    close("width", "mm", 0.012);
    close("scan-points", "", 257.0);
    assert!(setup.get_in("width", "mT").is_err());
    assert!(setup.get_in("profile", "").is_err());
    assert!(setup.get_in("breadth", "um").is_err());
}

proptest! {
    /// Any text for any parameter is taken or answered.
    #[test]
    fn any_text_for_a_parameter_is_answered(which in 0..4_usize, place in 0..5_usize, text in "\\PC{0,40}") {
        let description = &descriptions()[which];
        if let Some(parameter) = description.parameters.get(place) {
            let mut setup = Setup::new(description.kind).unwrap();
            let _ = setup.set(parameter.name, &text);
            if setup.check().is_ok() {
                prop_assert!(run(&setup, &[0.0]).is_ok());
            }
        }
    }
}
