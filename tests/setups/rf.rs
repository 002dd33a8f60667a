//! The set-ups with one junction in SI units: the course's chip, its tank, and answers over the whole ranges.

use super::hand::reading;
use coldfringe::constants::FLUX_QUANTUM;
use coldfringe::experiment::{
    ExperimentError, Inside, ParameterKind, Setup, inside, readings, run,
};
use core::f64::consts::TAU;
use proptest::prelude::*;

fn with(kind: &str, parameters: &[(&str, &str)]) -> Setup {
    let mut setup = Setup::new(kind).unwrap();
    for (name, value) in parameters {
        setup.set(name, value).unwrap();
    }
    setup
}

fn column(setup: &Setup, x: &[f64], name: &str) -> Vec<f64> {
    run(setup, x).unwrap().column(name).unwrap().values.clone()
}

#[test]
fn the_loop_in_si() {
    // beta_rf = 2 exactly: the values of a table made with mpmath, apart from this code.
    let inductance = 2.0 * FLUX_QUANTUM / (TAU * 2.2e-6);
    let mut lapwing = Setup::new("rf-loop").unwrap();
    lapwing.set_si("loop-inductance", inductance).unwrap();
    assert!((reading(&lapwing, "beta-rf") - 2.0).abs() < 1e-14);
    assert!((reading(&lapwing, "jump-flux") - 0.608_997_78).abs() < 1e-8);
    assert!((reading(&lapwing, "return-flux") - 0.391_002_22).abs() < 1e-8);
    assert!((reading(&lapwing, "loop-width") - 0.217_995_6).abs() < 1e-7);
    let energy = 0.402_904 * 2.2e-6 * FLUX_QUANTUM;
    assert!((reading(&lapwing, "energy-per-cycle") / energy - 1.0).abs() < 2e-6);
    // The applied flux is met by the loop's own: Phi = Phi_a + L J.
    let x = [-0.7, 0.2, 0.5, 1.7];
    for way in ["rising", "falling"] {
        let total = column(&lapwing, &x, &format!("total-flux-{way}"));
        let current = column(&lapwing, &x, &format!("circulating-current-{way}"));
        for ((applied, total), current) in x.iter().zip(&total).zip(&current) {
            let own = inductance * current / FLUX_QUANTUM;
            assert!((total - applied - own).abs() < 1e-12);
        }
    }
    let half = column(&lapwing, &[0.5], "total-flux-rising")[0];
    assert!(half < 0.25 && column(&lapwing, &[0.5], "total-flux-falling")[0] > 0.75);
}

#[test]
fn all_branches_come_beside_the_columns() {
    let lapwing = Setup::new("rf-loop").unwrap();
    let trace = run(&lapwing, &[0.0, 2.0]).unwrap();
    let folded = &trace.folded[0];
    assert_eq!(folded.name, "total-flux-all-branches");
    // At half a quantum three branches lie above each other: two to stay on, one between.
    let crossing = |stable: bool| {
        folded
            .branches
            .iter()
            .filter(|branch| branch.stable == stable)
            .filter(|branch| {
                let side = |point: &(f64, f64)| point.0 > 0.5;
                branch
                    .points
                    .windows(2)
                    .any(|pair| side(&pair[0]) != side(&pair[1]))
            })
            .count()
    };
    assert_eq!((crossing(true), crossing(false)), (2, 1));
    assert!(run(&lapwing, &[]).unwrap().folded[0].branches.is_empty());
    let single = with("rf-loop", &[("loop-inductance", "50 pH")]);
    assert_eq!(
        run(&single, &[0.0, 2.0]).unwrap().folded[0].branches.len(),
        1
    );
}

#[test]
fn the_tank_reads_the_loop() {
    let tank = Setup::new("rf-readout").unwrap();
    // Clarke's reviews (from memory): steps omega L_T Phi0/M apart; modulation half of that.
    let mutual = 0.1 * (300e-12_f64 * 500e-9).sqrt();
    let spacing = TAU * 20e6 * 1.0025 * 500e-9 * FLUX_QUANTUM / mutual;
    assert!((reading(&tank, "step-spacing") / spacing - 1.0).abs() < 1e-12);
    assert!((reading(&tank, "modulation-depth") / (0.5 * spacing) - 1.0).abs() < 1e-9);
    assert!(
        (reading(&tank, "first-step-whole") - reading(&tank, "first-step-half") - 0.5 * spacing)
            .abs()
            < 1e-12
    );
    // A drive in the middle of those that give full triangles is the default.
    assert!(reading(&tank, "triangle-from") < 4e-9 && reading(&tank, "triangle-to") > 4e-9);
    // Extremes at whole and half quanta, straight between.
    let voltage = column(
        &tank,
        &[0.0, 0.125, 0.25, 0.375, 0.5, 0.75, 1.0, -2.0],
        "tank-voltage",
    );
    assert!((voltage[0] - reading(&tank, "first-step-whole")).abs() < 1e-15);
    for (k, value) in voltage.iter().take(5).enumerate() {
        let straight = voltage[0] - 0.125 * spacing * k as f64;
        assert!((value - straight).abs() < 1e-12, "{voltage:?}");
    }
    assert!((voltage[5] - voltage[2]).abs() < 1e-15);
    assert!((voltage[6] - voltage[0]).abs() < 1e-15 && (voltage[7] - voltage[0]).abs() < 1e-15);
}

#[test]
fn the_drive_can_be_swept_instead() {
    for (flux, first) in [
        ("0 Phi0", "first-step-whole"),
        ("0.5 Phi0", "first-step-half"),
    ] {
        let tank = with("rf-readout", &[("sweep", "drive-current"), ("flux", flux)]);
        assert_eq!(tank.x().name, "drive-current");
        let (from, to) = tank.default_window();
        let x: Vec<f64> = (0..=600)
            .map(|k| from + (to - from) * f64::from(k) / 600.0)
            .collect();
        let voltage = column(&tank, &x, "tank-voltage");
        assert!(voltage.windows(2).all(|pair| pair[1] >= pair[0] - 1e-15));
        // Rest on a step: many points at exactly the same voltage.
        let resting = |level: f64| {
            voltage
                .iter()
                .filter(|value| (**value / level - 1.0).abs() < 1e-12)
                .count()
        };
        let (first, spacing) = (reading(&tank, first), reading(&tank, "step-spacing"));
        assert!(
            resting(first) > 30 && resting(first + spacing) > 15,
            "{flux}"
        );
        assert!(resting(first + 0.5 * spacing) < 3, "{flux}");
        // The first rise is nearly straight.
        let early = voltage[10] / voltage[5];
        assert!((early - 2.0).abs() < 0.05, "{early}");
    }
    assert!(
        Setup::new("rf-readout")
            .unwrap()
            .set("sweep", "drive")
            .is_err()
    );
}

#[test]
fn without_hysteresis_there_is_no_step() {
    let tank = with("rf-readout", &[("critical-current", "0.5 uA")]);
    assert!(reading(&tank, "beta-rf") < 1.0);
    assert!(
        readings(&tank)
            .unwrap()
            .iter()
            .all(|reading| !reading.name.contains("step") && !reading.name.contains("triangle"))
    );
    // The loop still shifts the resonance, so that the flux can be read.
    assert!(reading(&tank, "modulation-depth") > 1e-6);
}

#[test]
fn wrong_pictures_are_wrong() {
    use coldfringe::prediction::pictures::{curve, known};
    let x: Vec<f64> = (0..=40).map(|k| 0.05 * f64::from(k)).collect();
    for (kind, column) in [
        ("rf-loop", "total-flux-rising"),
        ("rf-readout", "tank-voltage"),
    ] {
        let setup = Setup::new(kind).unwrap();
        let truth = curve("model", &setup, column, &x).unwrap();
        let most = truth
            .iter()
            .fold(0.0_f64, |most, value| most.max(value.abs()));
        for picture in known(kind, column) {
            let wrong = curve(picture.name, &setup, column, &x).unwrap();
            let off = truth
                .iter()
                .zip(&wrong)
                .fold(0.0_f64, |off, (one, other)| off.max((one - other).abs()));
            assert!(off > 0.05 * most, "{}", picture.name);
        }
        assert!(!known(kind, column).is_empty());
    }
    // The lowest state is the true one up to half a quantum and on its return.
    let lapwing = Setup::new("rf-loop").unwrap();
    let lowest = curve(
        "jump-at-half-quantum",
        &lapwing,
        "total-flux-rising",
        &[0.49, 0.51],
    )
    .unwrap();
    assert!(lowest[0] < 0.3 && lowest[1] > 0.7);
}

#[test]
fn limits_are_told() {
    let weak = with("rf-readout", &[("coupling", "0.02"), ("detuning", "0")]);
    assert!(run(&weak, &[0.0]).unwrap().warnings[0].contains("no full triangle"));
    let close = with("rf-readout", &[("coupling", "0.3"), ("detuning", "2 %")]);
    assert!(
        run(&close, &[0.0])
            .unwrap()
            .warnings
            .iter()
            .any(|words| words.contains("energy"))
    );
    let fast = with("rf-readout", &[("tank-frequency", "1 GHz")]);
    assert!(
        run(&fast, &[0.0])
            .unwrap()
            .warnings
            .iter()
            .any(|words| words.contains("at once"))
    );
    assert!(
        run(&Setup::new("rf-readout").unwrap(), &[0.0])
            .unwrap()
            .warnings
            .is_empty()
    );
    let mut strong = Setup::new("rf-readout").unwrap();
    strong.set("drive-current", "1 mA").unwrap();
    assert!(strong.check().is_err());
    let swept = with("rf-readout", &[("sweep", "drive-current")]);
    assert!(matches!(
        run(&swept, &[1e-3]),
        Err(ExperimentError::TooFar { .. })
    ));
}

#[test]
fn the_inside_shows_the_cycle() {
    let tank = Setup::new("rf-readout").unwrap();
    let Inside::Tank {
        swing,
        loops,
        on_step,
        path,
        curve,
        ..
    } = inside(&tank, 0.3).unwrap()
    else {
        panic!("a tank has the inside of a tank")
    };
    assert!(on_step && loops > 0.0 && loops < 1.0);
    assert!(curve.len() > 2);
    // What the way encloses is the energy of one hysteresis loop: 0.41 I0 Phi0 = 0.128 Phi0²/L.
    let area: f64 = path
        .windows(2)
        .map(|pair| 0.5 * (pair[1].0 - pair[0].0) * (pair[1].1 + pair[0].1))
        .sum();
    let energy = reading(&Setup::new("rf-loop").unwrap(), "energy-per-cycle") * 300e-12
        / (FLUX_QUANTUM * FLUX_QUANTUM);
    assert!((area.abs() / energy - 1.0).abs() < 0.02, "{area} {energy}");
    assert!((path[0].0 - 0.3 + swing).abs() < 1e-8);
}

/// A value of each parameter inside its range, evenly in the logarithm where the range is wide.
fn set_shares(setup: &mut Setup, shares: &[f64]) {
    for (parameter, share) in setup.description().parameters.iter().zip(shares) {
        if parameter.kind != ParameterKind::Quantity {
            continue;
        }
        let value = if parameter.from > 0.0 {
            use coldfringe::numerics::elementary::{exp, log};
            let (from, to) = (log(parameter.from), log(parameter.to));
            exp(from + (to - from) * share).clamp(parameter.from, parameter.to)
        } else {
            parameter.from + (parameter.to - parameter.from) * share
        };
        setup.set_si(parameter.name, value).unwrap();
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(160))]

    #[test]
    fn no_device_of_the_ranges_gives_nonsense(shares in prop::collection::vec(0.0..=1.0_f64, 10), drive in any::<bool>(), at in 0.0..1.0_f64) {
        for kind in ["rf-loop", "rf-readout"] {
            let mut setup = Setup::new(kind).unwrap();
            set_shares(&mut setup, &shares);
            if drive && kind == "rf-readout" {
                setup.set("sweep", "drive-current").unwrap();
            }
            if setup.check().is_err() {
                prop_assert!(setup.check().unwrap_err().to_string().contains("drive-current"));
                continue;
            }
            let (from, to) = setup.default_window();
            prop_assert!(from < to && to.is_finite());
            let x: Vec<f64> = (0..7).map(|k| from + (to - from) * (f64::from(k) + at) / 7.0).collect();
            let trace = run(&setup, &x).unwrap();
            for column in &trace.columns {
                prop_assert!(column.values.iter().all(|value| value.is_finite()), "{setup:?} {trace:?}");
            }
            prop_assert!(trace.readings.iter().all(|reading| reading.value.is_finite()), "{setup:?}");
            prop_assert!(inside(&setup, x[3]).is_ok());
        }
    }
}
