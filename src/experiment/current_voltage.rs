//! A shunted loop whose bias is swept: voltage against bias current at one applied flux.

mod random;
mod slices;
mod up_and_down;

use super::description::{
    ColumnDescription, Look, ParameterDescription, ParameterKind, Physics, ReadingDescription,
    SetupDescription, in_slices, told,
};
use super::setup::Setup;
use super::shunted::{self, PARAMETERS as LOOP};
use super::{ExperimentError, Inside, View, biased, screened_loop};

/// Place of the flux among the parameters.
const FLUX: usize = shunted::OWN;

pub(super) const DESCRIPTION: SetupDescription = SetupDescription {
    kind: "current-voltage",
    summary: told(
        "a loop with two shunted junctions whose bias current is swept up and down: voltage against bias current, with thermal noise, screening and hysteresis",
    ),
    parameters: &[
        LOOP[0],
        LOOP[1],
        LOOP[2],
        LOOP[3],
        LOOP[4],
        LOOP[5],
        LOOP[6],
        ParameterDescription {
            name: "flux",
            kind: ParameterKind::Quantity,
            unit: "Phi0",
            from: -100.0,
            to: 100.0,
            default: "0 Phi0",
            words: told("applied flux"),
        },
    ],
    x: ColumnDescription {
        name: "bias-current",
        unit: "A",
        words: "bias current",
    },
    other_x: &[],
    columns: &[
        ColumnDescription {
            name: "voltage",
            unit: "V",
            words: "voltage",
        },
        ColumnDescription {
            name: "voltage-falling",
            unit: "V",
            words: "voltage while the bias is swept back to zero",
        },
        ColumnDescription {
            name: "voltage-error",
            unit: "V",
            words: "estimated error of the voltage",
        },
    ],
    readings: &[
        ReadingDescription {
            name: "critical-current",
            unit: "A",
            words: told("critical current at this flux, without noise"),
        },
        ReadingDescription {
            name: "return-current",
            unit: "A",
            words: told(
                "return current: the bias at which the voltage vanishes on the way back, without noise",
            ),
        },
        ReadingDescription {
            name: "resistance",
            unit: "ohm",
            words: told("resistance at high bias: both shunts in parallel"),
        },
        ReadingDescription {
            name: "characteristic-voltage",
            unit: "V",
            words: told("characteristic voltage: mean critical current times shunt resistance"),
        },
        shunted::BETA_L,
        shunted::BETA_C,
        shunted::NOISE_PARAMETER,
    ],
    physics: Physics {
        conflict: |setup| shunted::conflict(setup, None),
        work: in_slices(slices::begin, shunted::known),
        views: &[View::Loop, View::OperatingPoint],
        inside: Look::at_once(inside),
        axes: shunted::bias_axes,
        window: |setup| (0.0, 2.0 * whole_current(setup)),
        warnings: |_| Vec::new(),
        reach: |setup| 0.5 * shunted::MOST_BIAS * whole_current(setup),
        folded: None,
    },
};

/// The sum of both critical currents, in A.
fn whole_current(setup: &Setup) -> f64 {
    2.0 * shunted::Device::of(setup).current
}

fn inside(setup: &Setup, view: View, bias: f64) -> Result<Inside, ExperimentError> {
    let flux = setup.number(FLUX);
    match view {
        View::OperatingPoint => biased::operating_point(setup, bias, flux, false),
        // The loop at rest at the applied flux.
        _ => Ok(screened_loop::inside(setup, flux)),
    }
}
