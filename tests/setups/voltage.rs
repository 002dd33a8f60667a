//! The set-ups with a voltage in SI units, against published devices and rules, and any device in
//! their ranges.

use coldfringe::constants::FLUX_QUANTUM;
use coldfringe::experiment::{
    ExperimentError, Method, Pace, Setup, SetupError, Sought, Sweep, Trace, run, seek,
};
use proptest::prelude::*;

fn setup(kind: &str, parameters: &[(&str, &str)]) -> Setup {
    let mut setup = Setup::new(kind).unwrap();
    for (name, value) in parameters {
        setup.set(name, value).unwrap();
    }
    setup.check().unwrap();
    setup
}

fn reading(trace: &Trace, name: &str) -> f64 {
    trace
        .reading(name)
        .unwrap_or_else(|| panic!("no reading {name}"))
        .value
}

fn column<'a>(trace: &'a Trace, name: &str) -> &'a [f64] {
    &trace.column(name).unwrap().values
}

fn near(found: f64, wanted: f64, share: f64) {
    assert!(
        (found - wanted).abs() <= share * wanted.abs(),
        "{found} instead of {wanted}"
    );
}

/// β_L = 1 and Γ = 0.05: the inductance of a loop of 5 µA, and the temperature that makes the noise.
const OPTIMUM: [(&str, &str); 6] = [
    ("critical-current-left", "5 uA"),
    ("critical-current-right", "5 uA"),
    ("loop-inductance", "206.783385 pH"),
    ("shunt-resistance", "6 ohm"),
    ("temperature", "5.959233 K"),
    ("capacitance", "0 F"),
];

#[test]
fn the_published_optimum_is_found() {
    let trace = run(&setup("working-point", &OPTIMUM), &[]).unwrap();
    near(reading(&trace, "beta-l"), 1.0, 1e-6);
    near(reading(&trace, "noise-parameter"), 0.05, 1e-5);
    // C. D. Tesche and J. Clarke, J. Low Temp. Phys. 29, 301 (1977) (from memory): R/L, 16 k_B T R, and 8 to 9
    // k_B T L/R. The exact solution lies within a tenth of the first two and just below the third.
    near(
        reading(&trace, "transfer"),
        reading(&trace, "transfer-rule"),
        0.05,
    );
    near(
        reading(&trace, "voltage-noise"),
        reading(&trace, "voltage-noise-rule"),
        0.1,
    );
    let energy = reading(&trace, "noise-energy-relative");
    assert!((7.7..8.1).contains(&energy), "{energy}");
    near(
        reading(&trace, "noise-energy-rule") / reading(&trace, "noise-energy") * energy,
        9.0,
        1e-9,
    );
}

/// The published device of the next two tests, at a temperature.
fn real_device(temperature: &str) -> Setup {
    setup(
        "voltage-flux",
        &[
            ("critical-current-left", "100 uA"),
            ("critical-current-right", "100 uA"),
            ("loop-inductance", "11 pH"),
            ("shunt-resistance", "2 ohm"),
            ("temperature", temperature),
            ("bias-current", "160 uA"),
        ],
    )
}

#[test]
fn a_real_device_is_reproduced() {
    // L = 11 pH, 100 µA a junction, 2 Ω a shunt: measured 1.3e-7 Φ0/√Hz at 4.2 K ("An ultra-low-noise tunnel junction dc
    // SQUID", Appl. Phys. Lett.; authors and year, Ketchen and Voss 1979, from memory). The rules give 1.146e-7.
    let device = real_device("4.2 K");
    let trace = run(&device, &[0.2, 0.3]).unwrap();
    near(reading(&trace, "beta-l"), 1.064, 1e-3);
    near(reading(&trace, "noise-parameter"), 0.00176, 2e-3);
    let noise = reading(&trace, "flux-noise");
    assert!((0.9e-7..1.3e-7).contains(&noise), "{noise}");
    // The adjoint of the period without noise, computed independently with SciPy: 1.04e-7 to 1.09e-7 for fluxes from 0.28
    // to 0.31, and 1.074e-7 at 0.3.
    let error = reading(&trace, "flux-noise-error");
    assert!(
        error < 0.05 * noise && (noise - 1.06e-7).abs() < 3.0 * error,
        "{noise} {error}"
    );
    assert!((0.26..0.33).contains(&reading(&trace, "best-flux")));
    near(column(&trace, "flux-noise")[1], 1.074e-7, 0.1);
    // At rest nothing can be measured.
    assert!(column(&trace, "flux-noise")[0].is_infinite());
    // Noise as weak as here is beyond the stationary equation's cost, and the trace says what stands in.
    assert_eq!(trace.methods, [Method::Langevin; 2]);
    assert!(column(&trace, "voltage-error")[1] < 1e-2 * column(&trace, "voltage")[1]);
}

#[test]
fn a_cold_loop_is_best_where_it_slips() {
    // The same at 1.2 K (Γ = 5.03e-4), where the loop rests up to a flux of 0.27 and its rocking there must not pass for
    // little noise. By the adjoint of the period without noise, with SciPy: 5.55e-8 at 0.28, 5.74e-8 at 0.30.
    let device = real_device("1.2 K");
    let trace = run(&device, &[0.28, 0.3]).unwrap();
    let (noise, error) = (
        reading(&trace, "flux-noise"),
        reading(&trace, "flux-noise-error"),
    );
    assert!((0.27..0.33).contains(&reading(&trace, "best-flux")));
    assert!(
        error < 0.08 * noise && (noise - 5.6e-8).abs() < 3.0 * error,
        "{noise} {error}"
    );
    near(column(&trace, "flux-noise")[0], 5.55e-8, 0.12);
    near(column(&trace, "flux-noise")[1], 5.74e-8, 0.12);
    // At 0.1 K (Γ = 4.2e-5) the noise-free period with small pushes errs less than random paths do, and says so. The root of the
    // noise grows as the root of the temperature.
    let mut colder = device;
    colder.set("temperature", "0.1 K").unwrap();
    let trace = run(&colder, &[0.1, 0.3, 0.36]).unwrap();
    assert_eq!(trace.methods[0], Method::Langevin);
    assert_eq!(trace.methods[1..], [Method::WeakNoise; 2]);
    let root = (0.1_f64 / 1.2).sqrt();
    near(column(&trace, "flux-noise")[1], root * 5.74e-8, 0.015);
    near(column(&trace, "voltage")[1], 0.225_825_2 * 200e-6, 1e-3);
    near(column(&trace, "voltage")[2], 0.356_39 * 200e-6, 1e-3);
}

#[test]
fn the_best_flux_of_weak_noise_is_no_lucky_one() {
    // Γ = 0.0088, beyond the stationary equation's cost for a curve. The least of many values with errors came out at 0.83e-6. By
    // the band solver of tests/golden/generate.py (SciPy) the flux noise is 1.0403, 1.03937 and 1.0415e-6 at 0.208, 0.2163 and 0.225.
    let device = setup(
        "voltage-flux",
        &[
            ("critical-current-left", "20 uA"),
            ("critical-current-right", "20 uA"),
            ("loop-inductance", "150 pH"),
            ("shunt-resistance", "3 ohm"),
            ("temperature", "4.2 K"),
            ("bias-current", "37 uA"),
        ],
    );
    let trace = run(&device, &[0.2163]).unwrap();
    assert_eq!(trace.methods, [Method::Langevin]);
    near(reading(&trace, "flux-noise"), 1.039_369e-6, 3e-3);
    assert!(reading(&trace, "flux-noise-error") < 5e-3 * reading(&trace, "flux-noise"));
    near(reading(&trace, "best-flux"), 0.2163, 0.02);
}

#[test]
fn the_sensor_of_the_course_is_as_good_as_common_practice_says() {
    let trace = run(&setup("voltage-flux", &[]), &[]).unwrap();
    // About 1e-6 Φ0/√Hz at 4 K (common practice, no source).
    let noise = reading(&trace, "flux-noise");
    assert!((0.5e-6..2e-6).contains(&noise), "{noise}");
    near(
        reading(&trace, "field-noise"),
        noise * FLUX_QUANTUM / 1e-8,
        1e-12,
    );
    // A good working point lies near a quarter of a quantum (common practice, no source).
    assert!((0.2..0.35).contains(&reading(&trace, "best-flux")));
    near(
        reading(&trace, "swing"),
        reading(&trace, "maximum") - reading(&trace, "minimum"),
        1e-12,
    );
}

#[test]
fn voltage_is_least_at_whole_quanta_and_its_slope_is_the_column() {
    let device = setup("voltage-flux", &[]);
    let x: Vec<f64> = (0..=200).map(|k| f64::from(k) * 0.01).collect();
    let trace = run(&device, &x).unwrap();
    let voltage = column(&trace, "voltage");
    let transfer = column(&trace, "transfer");
    for k in 1..200 {
        let slope = (voltage[k + 1] - voltage[k - 1]) / 0.02;
        assert!((slope - transfer[k]).abs() < 1.5e-6, "{k}");
        // Whole quanta change nothing, and neither does the sign of the flux.
        near(voltage[k] + 1e-9, voltage[200 - k] + 1e-9, 1e-6);
    }
    assert!(voltage[0] < voltage[10] && voltage[100] < voltage[90] && voltage[50] > voltage[40]);
    assert!(trace.methods.iter().all(|m| *m == Method::FokkerPlanck));
}

#[test]
fn bias_and_flux_turned_round_turn_the_voltage_round() {
    let unequal = [
        ("critical-current-left", "7 uA"),
        ("critical-current-right", "4 uA"),
        ("left-inductance-fraction", "0.2"),
    ];
    for more in [("temperature", "0 K"), ("temperature", "4.2 K")] {
        let mut there = setup("voltage-flux", &unequal);
        there.set(more.0, more.1).unwrap();
        let mut back = there.clone();
        there.set("bias-current", "9 uA").unwrap();
        back.set("bias-current", "-9 uA").unwrap();
        let there = run(&there, &[0.13, 0.4]).unwrap();
        let back = run(&back, &[-0.13, -0.4]).unwrap();
        for k in 0..2 {
            let (up, down) = (column(&there, "voltage")[k], column(&back, "voltage")[k]);
            assert!((up + down).abs() < 1e-6 * 33e-6, "{up} {down}");
        }
    }
    let mut there = setup("current-voltage", &unequal);
    there.set("flux", "0.2 Phi0").unwrap();
    let mut back = there.clone();
    back.set("flux", "-0.2 Phi0").unwrap();
    let up = run(&there, &[9e-6]).unwrap();
    let down = run(&back, &[-9e-6]).unwrap();
    assert!((column(&up, "voltage")[0] + column(&down, "voltage")[0]).abs() < 33e-12);
}

#[test]
fn both_set_ups_agree_on_one_point() {
    for (temperature, capacitance) in [("4.2 K", "0 F"), ("0 K", "0 F"), ("0 K", "0.5 pF")] {
        let mut flux = setup("voltage-flux", &[("temperature", temperature)]);
        flux.set("capacitance", capacitance).unwrap();
        flux.set("bias-current", "9 uA").unwrap();
        let mut bias = setup("current-voltage", &[("temperature", temperature)]);
        bias.set("capacitance", capacitance).unwrap();
        bias.set("flux", "0.3 Phi0").unwrap();
        let one = column(&run(&flux, &[0.3]).unwrap(), "voltage")[0];
        let two = column(&run(&bias, &[9e-6]).unwrap(), "voltage")[0];
        assert!((one - two).abs() < 2e-6 * 30e-6, "{one} {two}");
    }
}

#[test]
fn a_curve_through_nodes_is_what_every_point_alone_gives() {
    let device = setup("current-voltage", &[("flux", "0.25 Phi0")]);
    let x: Vec<f64> = (0..=300).map(|k| f64::from(k) * 0.05e-6).collect();
    let curve = run(&device, &x).unwrap();
    let few: Vec<f64> = x.iter().copied().step_by(13).collect();
    let points = run(&device, &few).unwrap();
    for (k, one) in column(&points, "voltage").iter().enumerate() {
        let other = column(&curve, "voltage")[13 * k];
        assert!((one - other).abs() < 1e-5 * 30e-6, "{k}: {one} {other}");
    }
}

#[test]
fn hysteresis_shows_between_return_and_critical_current() {
    // β_c = 2 of one junction: without flux both move alike. Return current 0.789865 of the critical one: orbit
    // from saddle to saddle, computed independently.
    let capacitance = 2.0 * FLUX_QUANTUM / (std::f64::consts::TAU * 5e-6 * 36.0);
    let mut device = setup("current-voltage", &[("temperature", "0 K")]);
    device.set_si("capacitance", capacitance).unwrap();
    let x = [7.8e-6, 8.0e-6, 9.0e-6, 9.99e-6, 10.01e-6];
    let trace = run(&device, &x).unwrap();
    near(reading(&trace, "beta-c"), 2.0, 1e-9);
    near(reading(&trace, "critical-current"), 10e-6, 1e-9);
    near(reading(&trace, "return-current"), 7.898_65e-6, 1e-5);
    let rising: Vec<bool> = column(&trace, "voltage").iter().map(|v| *v > 0.0).collect();
    let falling: Vec<bool> = column(&trace, "voltage-falling")
        .iter()
        .map(|v| *v > 0.0)
        .collect();
    assert_eq!(rising, [false, false, false, false, true]);
    assert_eq!(falling, [false, true, true, true, true]);
}

#[test]
fn slices_come_coarse_first_and_end_as_a_whole_run_does() {
    let device = setup("voltage-flux", &[]);
    assert_eq!(device.description().pace(), Pace::InSlices);
    let x: Vec<f64> = (0..=40).map(|k| f64::from(k) * 0.025).collect();
    let mut sweep = Sweep::begin(&device, &x).unwrap();
    assert!(sweep.share() <= 0.0);
    let blank = sweep.trace();
    assert!(column(&blank, "voltage").iter().all(|v| v.is_nan()));
    let mut shares = vec![0.0];
    let mut early = None;
    while !sweep.slice() {
        assert!(sweep.share() >= shares[shares.len() - 1] - 0.5);
        shares.push(sweep.share());
        let known = sweep.trace();
        if early.is_none() && column(&known, "voltage")[20].is_finite() {
            early = Some(known);
        }
    }
    let whole = run(&device, &x).unwrap();
    assert_eq!(column(&sweep.trace(), "voltage"), column(&whole, "voltage"));
    // A first look comes before the end and is not far off.
    let early = early.unwrap();
    for (first, last) in column(&early, "voltage")
        .iter()
        .zip(column(&whole, "voltage"))
    {
        assert!((first - last).abs() < 2e-6, "{first} {last}");
    }
}

#[test]
fn numbers_are_sought_in_slow_set_ups_too() {
    let device = setup("voltage-flux", &[]);
    let at = Sought::At {
        column: "voltage".into(),
        at: "0.25 Phi0".into(),
    };
    let voltage = seek(&device, &at).unwrap();
    near(voltage, 5.598e-6, 1e-3);
    let transfer = Sought::Reading {
        reading: "steepest-transfer".into(),
    };
    near(seek(&device, &transfer).unwrap(), 72.3e-6, 1e-2);
}

/// A capacitance whose own time is a ten-thousandth of the loop's is not followed step by step: that took minutes for one
/// slice. What it changes is in the error.
#[test]
fn next_to_no_capacitance_costs_next_to_nothing() {
    for kind in ["voltage-flux", "current-voltage"] {
        let without = setup(kind, &[]);
        let with = setup(kind, &[("capacitance", "0.01 fF")]);
        let (from, to) = without.default_window();
        let x = [0.7 * to + 0.3 * from, 0.9 * to];
        let (one, other) = (run(&without, &x).unwrap(), run(&with, &x).unwrap());
        assert_eq!(column(&one, "voltage"), column(&other, "voltage"));
        assert_eq!(other.methods, [Method::FokkerPlanck; 2]);
        // 2π I0 R² C/Φ0 of 5 µA, 6 Ω and 0.01 fF, by hand.
        near(reading(&other, "beta-c"), 5.469e-6, 1e-3);
        let error = |trace: &Trace| column(trace, "voltage-error")[0];
        let more = (error(&other) - error(&one)) / (5e-6 * 6.0);
        near(more, 0.3 * 5.469e-6, 1e-2);
    }
}

#[test]
fn what_is_beyond_the_model_is_said() {
    let far = |name: &str, value: &str| {
        let mut device = Setup::new("voltage-flux").unwrap();
        device.set(name, value).unwrap();
        match run(&device, &[0.1]) {
            Err(ExperimentError::Setup(SetupError::Conflict(words))) => words,
            other => panic!("{name} = {value}: {other:?}"),
        }
    };
    assert!(far("loop-inductance", "1 uH").contains("lower loop-inductance"));
    assert!(far("loop-inductance", "1 fH").contains("raise loop-inductance"));
    assert!(far("capacitance", "1 nF").contains("lower capacitance"));
    assert!(far("bias-current", "1 mA").contains("lower bias-current"));
    assert!(far("critical-current-left", "1 mA").contains("more alike"));
    let mut cold = Setup::new("working-point").unwrap();
    cold.set("temperature", "0 K").unwrap();
    assert!(matches!(cold.check(), Err(SetupError::Conflict(_))));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]

    /// Any device in the ranges gives numbers or says why not. Only the first slices of long runs are looked at.
    #[test]
    fn any_device_is_answered(
        kind in prop::sample::select(vec!["voltage-flux", "current-voltage"]),
        left in -6.3_f64..-3.5, ratio in -1.0_f64..1.0, inductance in -12.0_f64..-8.5, fraction in 0.0_f64..1.0,
        resistance in -1.0_f64..2.0, capacitance in -15.0_f64..-11.0, shunted in any::<bool>(),
        temperature in prop::sample::select(vec![0.0, 4.2, 77.0, 300.0]), bias in -3.0_f64..3.0,
    ) {
        let mut device = Setup::new(kind).unwrap();
        let ten = |power: f64| coldfringe::numerics::elementary::pow(10.0, power);
        device.set_si("critical-current-left", ten(left)).unwrap();
        device.set_si("critical-current-right", ten(left + ratio)).unwrap();
        device.set_si("loop-inductance", ten(inductance)).unwrap();
        device.set_si("left-inductance-fraction", fraction).unwrap();
        device.set_si("shunt-resistance", ten(resistance)).unwrap();
        device.set_si("capacitance", if shunted { ten(capacitance) } else { 0.0 }).unwrap();
        device.set_si("temperature", temperature).unwrap();
        if device.set_si("bias-current", bias * ten(left)).is_err() && kind == "voltage-flux" {
            return Ok(());
        }
        let window = device.default_window();
        let x: Vec<f64> = (0..7).map(|k| window.0 + (window.1 - window.0) * f64::from(k) / 6.0).collect();
        match Sweep::begin(&device, &x) {
            Err(error) => prop_assert!(matches!(error, ExperimentError::Setup(SetupError::Conflict(_)))),
            Ok(mut sweep) => {
                let mut slices = 0;
                while !sweep.slice() && slices < 8 {
                    slices += 1;
                }
                let trace = sweep.trace();
                for column in &trace.columns {
                    for (value, method) in column.values.iter().zip(&trace.methods) {
                        let known = *method != Method::None && sweep.share() >= 1.0;
                        prop_assert!(
                            !known || value.is_finite() || column.name == "flux-noise",
                            "{} {value}", column.name
                        );
                    }
                }
                prop_assert!(trace.readings.iter().all(|reading| reading.value.is_finite()));
            }
        }
    }
}
