//! Numbers that the lessons tell in their text: computed ones, those written by hand, and those said in passing.

use super::by_hand::{curlew, share_left_at_half};
use crate::course::lessons;
use coldfringe::experiment::{Setup, Sought, run, seek};
use coldfringe::lesson::spec::{Part, SetupSpec};

/// The model gives the noise of a voltage as a square, so these numbers of lesson 8 are written by hand: at the steepest place and at
/// the best flux they are those of the table, at half a quantum, which is not in the table, that of the model.
#[test]
fn the_voltage_noises_in_the_text_are_those_of_curlew() {
    let text = include_str!("../../lessons/flux-into-voltage.md");
    let curlew_itself = SetupSpec {
        kind: "voltage-flux".to_owned(),
        ..SetupSpec::default()
    };
    let setup = Setup::from_spec(&curlew_itself).unwrap();
    let column = "voltage-noise".to_owned();
    let at = "0.5 Phi0".to_owned();
    let at_the_top = seek(&setup, &Sought::At { column, at }).unwrap();
    for (written, square) in [
        ("{} pV", curlew("0.2464").2),
        ("only {} pV", at_the_top),
        ("{}\\times10^{-12}\\,\\mathrm{V}/\\sqrt", curlew("0.2707").2),
    ] {
        let picovolts = format!("{:.0}", 1e12 * square.sqrt());
        let written = written.replace("{}", &picovolts);
        assert!(text.contains(&written), "`{written}` is not in lesson 8");
    }
}

/// A number in the text is what the model computes: the depth at a screening parameter of one,
/// which the test's own search over states finds too.
#[test]
fn numbers_in_the_text_are_computed() {
    let lesson = lessons()
        .iter()
        .find(|lesson| lesson.slug == "the-screened-loop")
        .unwrap();
    let text: String = lesson
        .steps
        .iter()
        .flat_map(|step| &step.parts)
        .filter_map(|part| match part {
            Part::Prose(text) => Some(text.as_str()),
            _ => None,
        })
        .collect();
    assert!(!text.contains("@{"), "a placeholder was left");
    let depth = 1.0 - share_left_at_half(1.0);
    assert!(text.contains(&format!("a depth of {depth:.3}.")), "{depth}");
    assert!(text.contains("which is 0.98 for Avocet"), "{text}");
}

/// What the lessons on the voltage state say in passing, from the model and from closed forms.
#[test]
fn the_voltages_told_in_passing_are_so() {
    let curve = |kind: &str, parameters: &[(&str, &str)], column: &str, x: &[f64]| {
        let mut setup = Setup::new(kind).unwrap();
        for (name, value) in parameters {
            setup.set(name, value).unwrap();
        }
        run(&setup, x)
            .unwrap()
            .column(column)
            .unwrap()
            .values
            .clone()
    };
    // Capacitance moves the noise-free voltages of lesson 7 by a twentieth at most (where there are any).
    let biases: Vec<f64> = (0..=56).map(|k| 0.25e-6 * f64::from(k)).collect();
    for flux in ["0 Phi0", "0.25 Phi0", "0.5 Phi0"] {
        let with = |capacitance: &str| {
            curve(
                "current-voltage",
                &[
                    ("temperature", "0 K"),
                    ("capacitance", capacitance),
                    ("flux", flux),
                ],
                "voltage",
                &biases,
            )
        };
        for ((bias, bare), real) in biases.iter().zip(with("0 F")).zip(with("0.5 pF")) {
            assert!(
                (real - bare).abs() <= 0.056 * bare.max(1e-9),
                "{bias:e} A at {flux}: {bare:e} V, with capacitance {real:e} V"
            );
        }
    }
    // At whole quanta (R/2) sqrt(I^2 - Ic^2), at 10.5 uA: 9.6 uV. Lesson 7 says about 10, and 22 at half a quantum.
    let quiet = curve(
        "voltage-flux",
        &[("temperature", "0 K"), ("bias-current", "10.5 uA")],
        "voltage",
        &[1.0, 0.5],
    );
    let closed = 3.0 * (10.5e-6_f64 * 10.5e-6 - 10e-6 * 10e-6).sqrt();
    assert!(
        (quiet[0] - closed).abs() < 1e-6 * closed,
        "{:e} is not {closed:e}",
        quiet[0]
    );
    assert!((quiet[1] - 22e-6).abs() < 0.5e-6);
    // Lesson 8: noise of the voltage at the steepest place and at the top, in pV for each root of a hertz.
    let noise = curve(
        "voltage-flux",
        &[("bias-current", "8 uA")],
        "voltage-noise",
        &[0.25, 0.5],
    );
    assert!((curlew("0.25").2.sqrt() - 87e-12).abs() < 0.5e-12);
    assert!((noise[0].sqrt() - 87e-12).abs() < 0.5e-12);
    assert!((noise[1].sqrt() - 35e-12).abs() < 0.5e-12);
    // Its table: a loop of 200 pH, junctions to choose, the shunts such that the damping parameter stays.
    for (current, told) in [
        (1.5, 1.50),
        (2.5, 1.27),
        (5.0, 1.18),
        (10.0, 1.23),
        (20.0, 1.35),
    ] {
        let mut setup = Setup::new("working-point").unwrap();
        let shunt = 6.0 * (5.0_f64 / current).sqrt();
        for (name, value) in [
            ("critical-current-left", current * 1e-6),
            ("critical-current-right", current * 1e-6),
            ("shunt-resistance", shunt),
        ] {
            setup.set_si(name, value).unwrap();
        }
        let best = seek(
            &setup,
            &coldfringe::lesson::spec::Sought::Reading {
                reading: "flux-noise".to_owned(),
            },
        )
        .unwrap();
        assert!(
            (best * 1e6 - told).abs() <= 0.0051,
            "{current} uA: {best:e}, not {told}e-6"
        );
    }
}
