#![cfg(not(target_arch = "wasm32"))]
//! Set-ups in SI units: readings, quantities sought, scales, warnings, and answers to bad input.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test stops at the first surprise"
)]

use coldfringe::constants::FLUX_QUANTUM;
use coldfringe::experiment::{
    ExperimentError, Inside, ParameterValue, Setup, SetupError, SetupSpec, Sought, descriptions,
    inside, read_place, readings, run, seek, sought_unit,
};
use coldfringe::numerics::elementary::{bessel_j1, cos, sin};
use proptest::prelude::*;

fn setup(kind: &str, parameters: &[(&str, &str)]) -> Result<Setup, SetupError> {
    Setup::from_spec(&SetupSpec {
        kind: kind.into(),
        parameters: parameters
            .iter()
            .map(|(name, value)| ((*name).into(), (*value).into()))
            .collect(),
    })
}

fn reading(setup: &Setup, name: &str) -> f64 {
    readings(setup)
        .unwrap()
        .iter()
        .find(|reading| reading.name == name)
        .unwrap_or_else(|| panic!("no reading {name}"))
        .value
}

fn sought(name: &str) -> Sought {
    Sought::Reading {
        reading: name.into(),
    }
}

fn close(found: f64, expected: f64, share: f64) {
    assert!(
        (found - expected).abs() <= share * expected.abs(),
        "{found} instead of {expected}"
    );
}

#[test]
fn every_description_keeps_its_word() {
    for description in descriptions() {
        let setup = Setup::new(description.kind).unwrap();
        setup.check().unwrap();
        let window = setup.default_window();
        assert!(window.0 < window.1);
        let x: Vec<f64> = (0..=40)
            .map(|k| window.0 + (window.1 - window.0) * f64::from(k) / 40.0)
            .collect();
        let trace = run(&setup, &x).unwrap();
        assert_eq!(trace.columns.len(), description.columns.len());
        for (column, described) in trace.columns.iter().zip(description.columns) {
            assert_eq!((column.name, column.unit), (described.name, described.unit));
            assert_eq!(column.values.len(), x.len());
            // The flux noise has no bound where the voltage does not answer to flux.
            let sound = |value: &f64| value.is_finite() || column.name == "flux-noise";
            assert!(column.values.iter().all(sound), "{}", column.name);
            assert!(setup.column_scale(column.name, column.unit).is_ok());
            assert!(!described.words.is_empty());
        }
        for reading in &trace.readings {
            let described = description
                .reading(reading.name)
                .expect("a described reading");
            assert_eq!(described.unit, reading.unit);
            assert!(reading.value.is_finite());
            assert!(sought_unit(&setup, &sought(reading.name)).unwrap() == reading.unit);
        }
        // The defaults show every reading there is, but for what only other devices have.
        let missing: Vec<&str> = description
            .readings
            .iter()
            .map(|described| described.name)
            .filter(|name| trace.reading(name).is_none())
            .collect();
        let only_others: &[&str] = match description.kind {
            // Junctions too narrow to matter have no pattern of their own.
            "junction-array" => &["envelope-zero"],
            _ => &[],
        };
        assert_eq!(missing, only_others, "{}", description.kind);
        assert!(trace.warnings.is_empty());
        assert!(inside(&setup, x[3]).is_ok());
        assert_eq!(setup.axes()[0].name, description.x.name);
        for parameter in description.parameters {
            assert!(!parameter.words.is_empty());
            // Each default is in its range, and the range's own ends are allowed.
            if let Some(value) = setup.get_si(parameter.name) {
                assert!(value >= parameter.from && value <= parameter.to);
                for end in [parameter.from, parameter.to] {
                    let mut moved = setup.clone();
                    moved.set_si(parameter.name, end).unwrap();
                    let (from, to) = moved.default_window();
                    let x = [from, 0.3 * from + 0.7 * to, to];
                    // Some ends ask for more than the other parameters allow; the error says what to change.
                    let Ok(trace) = run(&moved, &x) else {
                        assert!(matches!(moved.check(), Err(SetupError::Conflict(_))));
                        continue;
                    };
                    assert!(
                        trace
                            .columns
                            .iter()
                            .filter(|c| c.name != "flux-noise")
                            .all(|c| c.values.iter().all(|v| v.is_finite())),
                        "{} {} {end}",
                        description.kind,
                        parameter.name
                    );
                    assert!(
                        trace
                            .readings
                            .iter()
                            .all(|reading| reading.value.is_finite())
                    );
                }
            }
        }
    }
}

#[test]
fn one_junction_in_si() {
    let tern = Setup::new("single-junction").unwrap();
    let quantum = FLUX_QUANTUM / (10e-6 * 181e-9);
    close(reading(&tern, "first-zero"), quantum, 1e-14);
    close(reading(&tern, "zero-spacing"), quantum, 1e-14);
    close(reading(&tern, "junction-area"), 1.81e-12, 1e-14);
    // tan x = x at 4.493 409 457 909: height 1/sqrt(1 + x²) (Abramowitz and Stegun, table 4.19, from memory; recomputed).
    close(reading(&tern, "first-side-lobe"), 0.217_233_628_211, 1e-11);
    close(
        reading(&tern, "first-side-lobe-current"),
        21.723_362_821_1e-6,
        1e-11,
    );
    close(
        reading(&tern, "first-side-lobe-field"),
        1.430_296_653_12 * quantum,
        1e-7,
    );
    let round = setup("single-junction", &[("profile", "circular")]).unwrap();
    close(
        reading(&round, "first-zero"),
        1.219_669_891_27 * quantum,
        1e-11,
    );
    assert!(
        bessel_j1(core::f64::consts::PI * reading(&round, "first-zero") / quantum).abs() < 1e-14
    );
    let steps = setup("single-junction", &[("profile", "1 1 1 1")]).unwrap();
    close(reading(&steps, "first-zero"), quantum, 1e-12);
    // Falling from one edge to the other: the minima do not reach zero, and there is no such reading.
    let ramp: Vec<String> = (1..=24).map(|k| k.to_string()).collect();
    let slanted = setup("single-junction", &[("profile", &ramp.join(" "))]).unwrap();
    assert!(matches!(
        seek(&slanted, &sought("first-zero")),
        Err(ExperimentError::NoReading(_))
    ));
    assert!(
        readings(&slanted)
            .unwrap()
            .iter()
            .any(|reading| reading.name == "first-side-lobe")
    );
}

#[test]
fn pair_and_row_in_si() {
    let plover = Setup::new("junction-pair").unwrap();
    close(reading(&plover, "period"), FLUX_QUANTUM / 12e-12, 1e-14);
    close(
        reading(&plover, "first-minimum"),
        0.5 * FLUX_QUANTUM / 12e-12,
        1e-14,
    );
    close(reading(&plover, "area-ratio"), 12.0 / 0.724, 1e-12);
    // 12/0.724 = 16.57: whole quanta from -16 to 16.
    close(reading(&plover, "fringes-under-central-lobe"), 33.0, 0.0);
    let unequal = setup("junction-pair", &[("critical-current-left", "30 uA")]).unwrap();
    let minimum = reading(&unequal, "minimum");
    assert!(minimum < 20e-6 && minimum > 19.8e-6, "{minimum}");
    let place = reading(&unequal, "first-minimum");
    let here = run(&unequal, &[place * 0.999, place, place * 1.001]).unwrap();
    let values = &here.columns[0].values;
    assert!(values[1] <= values[0] && values[1] <= values[2]);
    close(values[1], minimum, 1e-9);
    let dunlin = Setup::new("junction-array").unwrap();
    close(reading(&dunlin, "maximum"), 80e-6, 1e-14);
    close(
        reading(&dunlin, "period") / reading(&dunlin, "first-zero"),
        8.0,
        1e-14,
    );
    let first = run(
        &dunlin,
        &[reading(&dunlin, "first-zero"), reading(&dunlin, "period")],
    )
    .unwrap();
    assert!(first.columns[0].values[0] < 1e-18);
    close(first.columns[0].values[1], 80e-6, 1e-12);
    let list = setup(
        "junction-array",
        &[("junctions", "4"), ("loop-areas", "20; 26; 35 um^2")],
    )
    .unwrap();
    assert_eq!(
        list.value("loop-areas"),
        Some(&ParameterValue::List(vec![20e-12, 26e-12, 35e-12]))
    );
    assert!(
        readings(&list)
            .unwrap()
            .iter()
            .all(|reading| reading.name != "period")
    );
}

#[test]
fn screened_loop_in_si() {
    let avocet = Setup::new("screened-loop").unwrap();
    close(
        reading(&avocet, "beta-l"),
        2.0 * 100e-12 * 10e-6 / FLUX_QUANTUM,
        1e-14,
    );
    close(
        reading(&avocet, "flux-quantum-current"),
        FLUX_QUANTUM / 100e-12,
        1e-14,
    );
    close(reading(&avocet, "maximum"), 20e-6, 1e-14);
    assert!(reading(&avocet, "maximum-flux").abs() < 1e-14);
    close(
        reading(&avocet, "critical-current-minimum-simple"),
        20e-6 - FLUX_QUANTUM / 100e-12 + 0.0,
        1.0,
    );
    let beta_one = FLUX_QUANTUM / 20e-6;
    let mut one = avocet.clone();
    one.set_si("loop-inductance", beta_one).unwrap();
    close(reading(&one, "depth"), 0.476_418_19, 1e-7);
    let strong = setup("screened-loop", &[("loop-inductance", "1 nH")]).unwrap();
    // The simple picture: the maximum less one quantum over L.
    close(
        reading(&strong, "critical-current-minimum-simple"),
        20e-6 - FLUX_QUANTUM / 1e-9,
        1e-13,
    );
    close(
        reading(&strong, "circulating-current-before-jump-simple"),
        0.5 * FLUX_QUANTUM / 1e-9,
        1e-13,
    );
    let trace = run(&avocet, &[0.5, 0.5 + 1e-9]).unwrap();
    let j = trace.column("circulating-current").unwrap();
    close(
        -j.values[0],
        reading(&avocet, "circulating-current-before-jump"),
        1e-12,
    );
    close(-j.values[0], j.values[1], 1e-6);
}

#[test]
fn what_is_sought_is_found() {
    let tern = Setup::new("single-junction").unwrap();
    let width = seek(
        &tern,
        &Sought::Solve {
            parameter: "width".into(),
            reading: "first-zero".into(),
            equals: "0.20 mT".into(),
        },
    )
    .unwrap();
    close(width, FLUX_QUANTUM / (0.2e-3 * 181e-9), 1e-12);
    let plover = Setup::new("junction-pair").unwrap();
    let area = seek(
        &plover,
        &Sought::Solve {
            parameter: "loop-area".into(),
            reading: "period".into(),
            equals: "2.0 µT".into(),
        },
    )
    .unwrap();
    close(area, FLUX_QUANTUM / 2e-6, 1e-12);
    let mut big = plover.clone();
    big.set_si("loop-area", area).unwrap();
    let count = seek(
        &big,
        &Sought::Count {
            span: "100 uT".into(),
            reading: "period".into(),
        },
    )
    .unwrap();
    close(count, 50.0, 1e-12);
    let avocet = Setup::new("screened-loop").unwrap();
    let inductance = seek(
        &avocet,
        &Sought::Solve {
            parameter: "loop-inductance".into(),
            reading: "depth".into(),
            equals: "0.5".into(),
        },
    )
    .unwrap();
    let mut solved = avocet.clone();
    solved.set_si("loop-inductance", inductance).unwrap();
    close(reading(&solved, "depth"), 0.5, 1e-12);
    let at = seek(
        &avocet,
        &Sought::At {
            column: "critical-current".into(),
            at: "0.5 Phi0".into(),
        },
    )
    .unwrap();
    close(at, reading(&avocet, "minimum"), 1e-12);
    // A flux on a set-up swept in field: through the junction, or through the loop.
    let half = FLUX_QUANTUM / 1.81e-12 * 0.5;
    close(read_place(&tern, "0.5 Phi0").unwrap(), half, 1e-14);
    close(
        read_place(&plover, "1 Φ₀").unwrap(),
        FLUX_QUANTUM / 12e-12,
        1e-14,
    );
    close(read_place(&tern, "0.3 mT").unwrap(), 0.3e-3, 0.0);
    assert!(read_place(&tern, "0.3 uA").is_err());
    assert!(read_place(&tern, "0.3").is_err());
}

#[test]
fn what_cannot_be_found_is_said() {
    let tern = Setup::new("single-junction").unwrap();
    let solve = |parameter: &str, reading: &str, equals: &str| {
        seek(
            &tern,
            &Sought::Solve {
                parameter: parameter.into(),
                reading: reading.into(),
                equals: equals.into(),
            },
        )
        .unwrap_err()
        .to_string()
    };
    let far = solve("width", "first-zero", "5 kT");
    assert!(far.contains("width") && far.contains("5 kT"), "{far}");
    assert!(solve("widht", "first-zero", "1 mT").contains("\"width\""));
    assert!(solve("width", "first-zeroes", "1 mT").contains("\"first-zero\""));
    assert!(solve("width", "first-zero", "1 mA").contains("a magnetic field"));
    assert!(solve("profile", "first-zero", "1 mT").contains("not a single number"));
    // The height of the side lobe does not depend on the width at all.
    assert!(solve("width", "first-side-lobe", "0.5").contains("no width"));
    let column = seek(
        &tern,
        &Sought::At {
            column: "voltage".into(),
            at: "1 mT".into(),
        },
    );
    assert!(column.unwrap_err().to_string().contains("critical-current"));
}

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
        &["-10.00 µm", "out of range"],
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
fn wrong_places_are_answered() {
    let tern = Setup::new("single-junction").unwrap();
    assert!(matches!(
        run(&tern, &[0.0, f64::NAN]),
        Err(ExperimentError::NotFinite(2, "field"))
    ));
    assert!(run(&tern, &[f64::INFINITY]).is_err());
    assert!(matches!(
        run(&tern, &[1e9]),
        Err(ExperimentError::TooFar { .. })
    ));
    assert!(inside(&tern, f64::NAN).is_err());
    assert!(run(&tern, &[]).unwrap().columns[0].values.is_empty());
    assert!(matches!(
        run(&tern, &vec![0.0; 1_000_001]),
        Err(ExperimentError::TooMany(..))
    ));
    let avocet = Setup::new("screened-loop").unwrap();
    assert!(run(&avocet, &[1e9]).is_err());
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

#[test]
fn a_wide_junction_is_warned_about() {
    // 10 mA in 10 um: j = 1e8 A/m², penetration depth sqrt(Phi0/(2 pi mu0 j d)) = 3.81 um.
    let wide = setup("single-junction", &[("critical-current", "10 mA")]).unwrap();
    let trace = run(&wide, &[0.0]).unwrap();
    assert_eq!(trace.warnings.len(), 1);
    assert!(
        trace.warnings[0].contains("3.80 µm") || trace.warnings[0].contains("3.81 µm"),
        "{}",
        trace.warnings[0]
    );
    let pair = setup("junction-pair", &[("critical-current-right", "10 mA")]).unwrap();
    let warnings = run(&pair, &[0.0]).unwrap().warnings;
    assert!(warnings.len() == 1 && warnings[0].contains("right"));
}

#[test]
fn the_inside_agrees_with_the_curve() {
    let tern = Setup::new("single-junction").unwrap();
    let quantum = reading(&tern, "first-zero");
    let Inside::Junction {
        flux,
        local_current,
        total,
        ..
    } = inside(&tern, 1.43 * quantum).unwrap()
    else {
        panic!("a junction")
    };
    close(flux, 1.43, 1e-12);
    assert!(total < 0.0);
    let mean = local_current.iter().sum::<f64>() / local_current.len() as f64;
    assert!((mean - total).abs() < 2e-3, "{mean} {total}");
    for kind in ["junction-pair", "junction-array"] {
        let device = Setup::new(kind).unwrap();
        let maximum = reading(&device, "maximum");
        for field in [0.0, 1e-5, 4e-5, 3.1e-3, -2e-4] {
            let Inside::Phasors {
                phasors, resultant, ..
            } = inside(&device, field).unwrap()
            else {
                panic!("phasors")
            };
            let real: f64 = phasors.iter().map(|(size, angle)| size * cos(*angle)).sum();
            let imaginary: f64 = phasors.iter().map(|(size, angle)| size * sin(*angle)).sum();
            let current = run(&device, &[field]).unwrap().columns[0].values[0];
            assert!((f64::sqrt(real * real + imaginary * imaginary) - resultant).abs() < 1e-12);
            assert!((resultant * maximum - current).abs() < 1e-12 * maximum);
        }
    }
    let avocet = setup(
        "screened-loop",
        &[
            ("critical-current-left", "7 uA"),
            ("critical-current-right", "13 uA"),
        ],
    )
    .unwrap();
    let Inside::Loop {
        critical,
        at_limit,
        circulating,
        total_flux,
        branches,
        occupied,
        ..
    } = inside(&avocet, 0.3).unwrap()
    else {
        panic!("a loop")
    };
    let trace = run(&avocet, &[0.3]).unwrap();
    assert!((critical * 20e-6 - trace.columns[0].values[0]).abs() < 1e-17);
    assert!((circulating * 10e-6 - trace.columns[1].values[0]).abs() < 1e-17);
    assert!((total_flux - trace.columns[2].values[0]).abs() < 1e-12);
    assert!((7.0 * at_limit.0 + 13.0 * at_limit.1 - 20.0 * critical).abs() < 1e-9);
    let lowest = branches
        .iter()
        .min_by(|a, b| a.energy.total_cmp(&b.energy))
        .unwrap();
    assert_eq!(lowest.quanta, occupied);
}

proptest! {
    /// Readings follow from the set-up alone.
    #[test]
    fn readings_do_not_depend_on_the_window(left in 1e-6..100e-6_f64, right in 1e-6..100e-6_f64, from in -1e-3..0.0_f64, to in 1e-6..1e-3_f64) {
        let mut pair = Setup::new("junction-pair").unwrap();
        pair.set_si("critical-current-left", left).unwrap();
        pair.set_si("critical-current-right", right).unwrap();
        prop_assert_eq!(run(&pair, &[from, to]).unwrap().readings, run(&pair, &[]).unwrap().readings);
    }

    /// The loop in SI is the model in normalised units, whatever the size of the device.
    #[test]
    fn only_ratios_count(scale in 0.01..100.0_f64, f in -2.0..2.0_f64) {
        let device = setup("screened-loop", &[("critical-current-left", "7 uA")]).unwrap();
        let mut scaled = device.clone();
        scaled.set_si("critical-current-left", 7e-6 * scale).unwrap();
        scaled.set_si("critical-current-right", 10e-6 * scale).unwrap();
        scaled.set_si("loop-inductance", 100e-12 / scale).unwrap();
        let one = run(&device, &[f]).unwrap();
        let other = run(&scaled, &[f]).unwrap();
        for (a, b) in one.columns.iter().zip(&other.columns) {
            let factor = if a.unit == "A" { scale } else { 1.0 };
            prop_assert!((a.values[0] * factor - b.values[0]).abs() < 1e-11 * (1.0 + scale * 1e-5), "{}", a.name);
        }
    }

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
