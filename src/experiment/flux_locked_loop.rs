//! A loop with two shunted junctions as a sensor in a feedback loop: output and error against time.

mod curve;
mod run;

use super::description::{
    ColumnDescription, Look, ParameterDescription, ParameterKind, Physics, ReadingDescription,
    SetupDescription, in_slices, told,
};
use super::parameter::ParameterValue;
use super::scale::AxisScale;
use super::setup::Setup;
use super::shunted::{self, PARAMETERS as LOOP};
use super::{View, biased, screened_loop};
use crate::decimal::power;
use crate::numerics::elementary::sin;

use core::f64::consts::TAU;

const BIAS: usize = shunted::OWN;
const POINT: usize = shunted::OWN + 1;
const BANDWIDTH: usize = shunted::OWN + 2;
const SIGNAL: usize = shunted::OWN + 3;
const AMPLITUDE: usize = shunted::OWN + 4;
const FREQUENCY: usize = shunted::OWN + 5;

/// Longest time that is followed, in periods of a tone at the loop's bandwidth.
const LONGEST: f64 = 2e5;

pub(super) const DESCRIPTION: SetupDescription = SetupDescription {
    kind: "flux-locked-loop",
    summary: told(
        "a loop with two shunted junctions held at a working point by feedback through an integrator: output and error against time; its voltage is taken to follow the flux at once",
    ),
    parameters: &[
        LOOP[0],
        LOOP[1],
        LOOP[2],
        LOOP[3],
        LOOP[4],
        LOOP[5],
        LOOP[6],
        shunted::BIAS,
        ParameterDescription {
            name: "working-flux",
            kind: ParameterKind::Quantity,
            unit: "Phi0",
            from: -1.0,
            to: 1.0,
            default: "0.25 Phi0",
            words: told("flux at which the loop is held"),
        },
        ParameterDescription {
            name: "bandwidth",
            kind: ParameterKind::Quantity,
            unit: "Hz",
            from: 1.0,
            to: 100e6,
            default: "100 kHz",
            words: told(
                "frequency up to which the feedback would follow small signals at the steepest place of the voltage; sets the integrator",
            ),
        },
        ParameterDescription {
            name: "signal",
            kind: ParameterKind::Choice(&["sine", "ramp", "step"]),
            unit: "",
            from: 0.0,
            to: 0.0,
            default: "sine",
            words: told(
                "how the applied flux changes: as a sine, evenly (by the amplitude in a period), or by one step after a quarter of a period",
            ),
        },
        ParameterDescription {
            name: "amplitude",
            kind: ParameterKind::Quantity,
            unit: "Phi0",
            from: 0.0,
            to: 1000.0,
            default: "3 Phi0",
            words: told("amplitude of the sine, rise in a period, or height of the step"),
        },
        ParameterDescription {
            name: "frequency",
            kind: ParameterKind::Quantity,
            unit: "Hz",
            from: 1e-3,
            to: 100e6,
            default: "1 kHz",
            words: told("frequency of the signal; for a ramp or step one over the time scale"),
        },
    ],
    x: ColumnDescription {
        name: "time",
        unit: "s",
        words: "time",
    },
    other_x: &[],
    columns: &[
        ColumnDescription {
            name: "output-flux",
            unit: "Phi0",
            words: "output: the feedback flux, sign turned",
        },
        ColumnDescription {
            name: "applied-flux",
            unit: "Phi0",
            words: "applied flux",
        },
        ColumnDescription {
            name: "error-flux",
            unit: "Phi0",
            words: "applied flux less output",
        },
        ColumnDescription {
            name: "voltage",
            unit: "V",
            words: "voltage of the sensor",
        },
    ],
    readings: &[
        ReadingDescription {
            name: "transfer",
            unit: "V/Phi0",
            words: told("slope at the working point: voltage against flux"),
        },
        ReadingDescription {
            name: "loop-bandwidth",
            unit: "Hz",
            words: told(
                "bandwidth: the loop follows small signals at its working point up to this frequency",
            ),
        },
        ReadingDescription {
            name: "slew-limit",
            unit: "Phi0/s",
            words: told("fastest flux change followed: by the loop, up or down"),
        },
        ReadingDescription {
            name: "largest-error",
            unit: "Phi0",
            words: told("largest error: its size within two periods of the signal"),
        },
        ReadingDescription {
            name: "slipped-quanta",
            unit: "",
            words: told("quanta slipped: by the loop, after two periods of the signal"),
        },
        shunted::BETA_L,
        shunted::NOISE_PARAMETER,
    ],
    physics: Physics {
        conflict,
        work: in_slices(run::begin, shunted::known),
        views: &[View::Loop, View::FeedbackLoop],
        inside: Look::at_once(|setup, view, time| {
            let point = setup.number(POINT);
            match view {
                View::FeedbackLoop => biased::feedback_loop(setup, time, window(setup).1, point),
                // The loop at rest at its working point.
                _ => Ok(screened_loop::inside(setup, point)),
            }
        }),
        axes: |setup| {
            let (_, to) = window(setup);
            let (unit, si_per_unit) = [("s", 1.0), ("ms", 1e-3), ("us", 1e-6)]
                .into_iter()
                .find(|(_, step)| to >= *step)
                .unwrap_or(("ns", 1e-9));
            vec![AxisScale {
                name: "time",
                label: "time",
                unit,
                si_per_unit,
            }]
        },
        window,
        warnings: |_| Vec::new(),
        reach: |setup| LONGEST / setup.number(BANDWIDTH),
        folded: None,
    },
};

fn window(setup: &Setup) -> (f64, f64) {
    (0.0, 2.0 / setup.number(FREQUENCY))
}

fn conflict(setup: &Setup) -> Option<String> {
    if window(setup).1 > LONGEST / setup.number(BANDWIDTH) {
        return Some(format!(
            "the signal is more than {} times slower than the loop, which then follows it exactly: raise the frequency or lower the bandwidth",
            power(0.5 * LONGEST, 0)
        ));
    }
    shunted::conflict(setup, Some(setup.number(BIAS)))
}

/// The applied flux at a time; nothing before the start.
fn applied(setup: &Setup, time: f64) -> f64 {
    let amplitude = setup.number(AMPLITUDE);
    let turns = setup.number(FREQUENCY) * time;
    if turns <= 0.0 {
        return 0.0;
    }
    match setup.at(SIGNAL) {
        Some(ParameterValue::Choice("ramp")) => amplitude * turns,
        Some(ParameterValue::Choice("step")) if turns < 0.25 => 0.0,
        Some(ParameterValue::Choice("step")) => amplitude,
        _ => amplitude * sin(TAU * turns),
    }
}
