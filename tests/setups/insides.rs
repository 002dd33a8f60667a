//! What is seen inside a device agrees with its curves, and with closed forms where there are such.

use std::f64::consts::PI;

use coldfringe::experiment::{
    FeedbackLoop, Inside, OperatingPoint, Setup, View, WorkingPoint, descriptions, inside,
    look_inside, readings, run,
};
use coldfringe::numerics::elementary::cos;

fn setup(kind: &str, parameters: &[(&str, &str)]) -> Setup {
    let mut setup = Setup::new(kind).unwrap();
    for (name, value) in parameters {
        setup.set(name, value).unwrap();
    }
    setup
}

fn operating(setup: &Setup, x: f64) -> OperatingPoint {
    match look_inside(setup, View::OperatingPoint, x).unwrap() {
        Inside::OperatingPoint(point) => point,
        other => panic!("{other:?}"),
    }
}

fn working(setup: &Setup, x: f64) -> WorkingPoint {
    match look_inside(setup, View::WorkingPoint, x).unwrap() {
        Inside::WorkingPoint(point) => point,
        other => panic!("{other:?}"),
    }
}

fn feedback(setup: &Setup, x: f64) -> FeedbackLoop {
    match look_inside(setup, View::FeedbackLoop, x).unwrap() {
        Inside::FeedbackLoop(place) => place,
        other => panic!("{other:?}"),
    }
}

fn column_at(setup: &Setup, column: &str, x: f64) -> f64 {
    run(setup, &[x]).unwrap().column(column).unwrap().values[0]
}

fn reading(setup: &Setup, name: &str) -> f64 {
    let all = readings(setup).unwrap();
    all.iter().find(|read| read.name == name).unwrap().value
}

/// A loop of small inductance at 0 K: V = (R/2) sqrt(I² − Ic²) with Ic = 2 I0 |cos πΦ/Φ0| (overdamped junction, from memory).
#[test]
fn the_current_voltage_curve_follows_the_closed_form() {
    let small = [("loop-inductance", "2 pH"), ("temperature", "0 K")];
    let swept = setup(
        "current-voltage",
        &[&small[..], &[("flux", "0.3 Phi0")]].concat(),
    );
    let fixed = setup(
        "voltage-flux",
        &[&small[..], &[("bias-current", "12 uA")]].concat(),
    );
    let exact = |bias: f64, flux: f64| {
        let critical = 10e-6 * cos(PI * flux).abs();
        3.0 * (bias * bias - critical * critical)
            .max(0.0)
            .sqrt()
            .copysign(bias)
    };
    for bias in [12e-6, -12e-6, 8e-6, 25e-6] {
        let point = operating(&swept, bias);
        let wanted = exact(bias, 0.3);
        assert!(
            (point.voltage - wanted).abs() < 2e-7,
            "{bias}: {}",
            point.voltage
        );
        for (curve, flux) in [(&point.curve, 0.3), (&point.whole, 0.0), (&point.half, 0.5)] {
            for (bias, voltage) in curve {
                // The inductance lifts the half quantum's critical current a little.
                let wanted = exact(*bias, flux);
                assert!(
                    (voltage - wanted).abs() < 4e-7,
                    "{flux} {bias}: {voltage} {wanted}"
                );
            }
        }
    }
    let point = operating(&fixed, 0.3);
    assert!((point.voltage - exact(12e-6, 0.3)).abs() < 2e-7);
    assert!((point.bias - 12e-6).abs() < 1e-18 && point.flux_moves);
    assert!(!point.leaves_noise_out);
}

/// With noise the picture's curve passes through what the chart shows, at any bias and flux.
#[test]
fn picture_and_chart_agree_with_noise() {
    let fixed = setup("voltage-flux", &[("bias-current", "9 uA")]);
    let flux = 0.37;
    let point = operating(&fixed, flux);
    let chart = column_at(&fixed, "voltage", flux);
    assert!((point.voltage - chart).abs() < 1e-9);
    for bias in [7e-6, 11e-6] {
        let mut other = fixed.clone();
        other.set_si("bias-current", bias).unwrap();
        let wanted = column_at(&other, "voltage", flux);
        let place = point.curve.partition_point(|point| point.0 < bias);
        let (a, b) = (point.curve[place - 1], point.curve[place]);
        let drawn = a.1 + (b.1 - a.1) * (bias - a.0) / (b.0 - a.0);
        assert!((drawn - wanted).abs() < 2e-7, "{bias}: {drawn} {wanted}");
    }
    let swept = setup("current-voltage", &[("flux", "0.37 Phi0")]);
    let point = operating(&swept, 9e-6);
    assert!((point.voltage - column_at(&swept, "voltage", 9e-6)).abs() < 1e-7);
}

/// Capacitance and noise together would take random paths: the curves then leave the noise out and say so.
#[test]
fn noise_that_is_left_out_is_told() {
    let both = setup("current-voltage", &[("capacitance", "0.5 pF")]);
    let point = operating(&both, 12e-6);
    assert!(point.leaves_noise_out);
    let quiet = setup(
        "current-voltage",
        &[("capacitance", "0.5 pF"), ("temperature", "0 K")],
    );
    assert!((point.voltage - column_at(&quiet, "voltage", 12e-6)).abs() < 1e-7);
}

#[test]
fn the_working_point_is_that_of_the_columns() {
    let fixed = setup("voltage-flux", &[("bias-current", "9 uA")]);
    for flux in [0.23, -0.8, 1.5] {
        let point = working(&fixed, flux);
        let near = |value: f64, column: &str, off: f64| {
            let wanted = column_at(&fixed, column, flux);
            assert!(
                (value - wanted).abs() <= off,
                "{column} at {flux}: {value} {wanted}"
            );
        };
        near(point.voltage, "voltage", 1e-9);
        near(point.transfer, "transfer", 1e-7);
        near(point.noise * point.noise, "voltage-noise", 1e-23);
        let (first, last) = (point.curve[0].0, point.curve[point.curve.len() - 1].0);
        assert!(first <= flux && flux <= last);
    }
    let best = setup("working-point", &[]);
    let point = working(&best, 9e-6);
    let wanted = reading(&fixed, "best-flux");
    assert!(
        (point.flux - wanted).abs() < 1e-6,
        "{} {wanted}",
        point.flux
    );
    assert!((point.transfer - reading(&fixed, "transfer")).abs() < 1e-7);
}

#[test]
fn the_feedback_loop_shows_its_columns() {
    let held = setup("flux-locked-loop", &[]);
    for time in [0.0, 2.5e-4, 9.1e-4, -1e-5, 3e-3] {
        let place = feedback(&held, time);
        for (value, column, off) in [
            (place.applied, "applied-flux", 1e-3),
            (place.output, "output-flux", 1e-3),
            (place.error, "error-flux", 1e-3),
            (place.voltage, "voltage", 1e-7),
        ] {
            let wanted = column_at(&held, column, time);
            assert!(
                (value - wanted).abs() <= off,
                "{column} at {time}: {value} {wanted}"
            );
        }
        assert!((place.applied - place.output - place.error).abs() < 1e-9);
    }
}

/// B = μ0 I/2πr at the surface, threading spacing × (λ1 + λ2), and the contacts add up to the curve.
#[test]
fn the_wire_puts_its_field_between_the_contacts() {
    let stint = setup("wire-loop", &[("critical-current-left", "40 uA")]);
    let period = reading(&stint, "period");
    for flux in [0.0, 0.3, -0.5, 1.7] {
        let current = flux * period;
        let Inside::Wire(wire) = look_inside(&stint, View::Wire, current).unwrap() else {
            panic!("another inside");
        };
        // The course's numbers: radius 50 um, spacing 0.1 mm, depths 80 nm + 120 nm; μ0/2π = 2e-7 T m/A.
        let field = 2e-7 * current / 50e-6;
        assert!((wire.field - field).abs() <= 1e-8 * field.abs());
        assert!((wire.spacing * wire.depth - 1e-4 * 200e-9).abs() < 1e-18);
        let quanta = field * 1e-4 * 200e-9 / 2.067_833_848e-15;
        assert!((wire.flux - quanta).abs() < 1e-7, "{} {quanta}", wire.flux);
        let critical = column_at(&stint, "critical-current", current) / 70e-6;
        assert!((wire.contacts.0 + wire.contacts.1 - critical).abs() < 1e-9);
        assert!((wire.resultant - critical).abs() < 1e-9);
    }
}

/// At no flux the local currents are the density itself.
#[test]
fn the_density_is_that_of_the_junction() {
    for profile in [
        "uniform",
        "circular",
        "triangular",
        "edge-heavy",
        "half-cosine",
    ] {
        let device = setup("single-junction", &[("profile", profile)]);
        let Inside::Junction {
            density,
            local_current,
            ..
        } = inside(&device, 0.0).unwrap()
        else {
            panic!("another inside");
        };
        let largest = density.iter().copied().fold(0.0, f64::max);
        assert!((largest - 1.0).abs() < 1e-12, "{profile}");
        for (k, current) in local_current.iter().enumerate() {
            let share = (k as f64 + 0.5) / local_current.len() as f64;
            let index = (share * density.len() as f64) as usize;
            let from = index.saturating_sub(1);
            let to = (index + 2).min(density.len());
            let off = density[from..to]
                .iter()
                .map(|near| (near - current).abs())
                .fold(f64::INFINITY, f64::min);
            assert!(off < 0.03, "{profile} {share}: {off}");
        }
    }
}

/// The state of a loop with one junction lies on a branch of its curve where it can stay.
#[test]
fn the_occupied_state_lies_on_a_branch() {
    let lapwing = setup("rf-loop", &[]);
    for flux in [-0.4, 0.0, 0.6, 1.3] {
        let Inside::RfLoop { rising, curve, .. } = inside(&lapwing, flux).unwrap() else {
            panic!("another inside");
        };
        let off = curve
            .iter()
            .filter(|(stable, _)| *stable)
            .flat_map(|(_, points)| points.windows(2))
            .filter(|pair| pair[0].0 <= flux && flux <= pair[1].0)
            .map(|pair| {
                let share = (flux - pair[0].0) / (pair[1].0 - pair[0].0);
                (pair[0].1 + share * (pair[1].1 - pair[0].1) - rising.0).abs()
            })
            .fold(f64::INFINITY, f64::min);
        assert!(off < 2e-3, "{flux}: {off}");
    }
    let tank = setup("rf-readout", &[]);
    let Inside::Tank { voltage, drive, .. } = inside(&tank, 0.2).unwrap() else {
        panic!("another inside");
    };
    let wanted = column_at(&tank, "tank-voltage", 0.2);
    assert!((voltage / wanted - 1.0).abs() < 1e-3, "{voltage} {wanted}");
    assert!((drive - tank.get_si("drive-current").unwrap()).abs() < 1e-15);
}

/// Every set-up shows what it says it shows, and refuses the rest.
#[test]
fn a_view_gives_its_own_inside() {
    for description in descriptions() {
        let setup = setup(description.kind, &[]);
        let x = setup.default_window().1 * 0.3;
        assert!(!description.views().is_empty());
        for view in View::ALL {
            let found = look_inside(&setup, view, x);
            let fits = match &found {
                Err(_) => !description.views().contains(&view),
                Ok(Inside::Junction { .. }) => view == View::Junction,
                Ok(Inside::Phasors { .. }) => view == View::Phasors,
                Ok(Inside::Loop { .. }) => view == View::Loop,
                Ok(Inside::RfLoop { .. }) => view == View::RfLoop,
                Ok(Inside::Tank { .. }) => view == View::Tank,
                Ok(Inside::OperatingPoint(_)) => view == View::OperatingPoint,
                Ok(Inside::WorkingPoint(_)) => view == View::WorkingPoint,
                Ok(Inside::FeedbackLoop(_)) => view == View::FeedbackLoop,
                Ok(Inside::Wire(_)) => view == View::Wire,
            };
            assert!(fits, "{} {view:?}", description.kind);
        }
    }
}
