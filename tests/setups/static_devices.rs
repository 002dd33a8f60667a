//! The devices without a voltage in SI units: their readings by closed forms, what is seen inside, warnings, and that the
//! model behind them knows no units.

use crate::setups::hand::{close, reading, setup, sought};
use coldfringe::constants::FLUX_QUANTUM;
use coldfringe::experiment::{
    ExperimentError, Inside, ParameterValue, Setup, inside, readings, run, seek,
};
use coldfringe::numerics::elementary::{bessel_j1, cos, sin};
use proptest::prelude::*;

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

}
