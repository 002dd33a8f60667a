//! A shunted loop as a sensor: at each bias the flux at which it is most sensitive, and what it
//! can do there.

mod slices;

use super::View;
use super::description::{
    ColumnDescription, Look, Physics, ReadingDescription, SetupDescription, in_slices, told,
};
use super::setup::Setup;
use super::shunted::{self, Device, PARAMETERS as LOOP};
use super::{biased, screened_loop};

pub(super) const DESCRIPTION: SetupDescription = SetupDescription {
    kind: "working-point",
    summary: told(
        "a loop with two shunted junctions as a sensor: for every bias current the applied flux of the least flux noise, and slope and noise there; the best of all working points beside the rules of thumb",
    ),
    parameters: &[
        LOOP[0], LOOP[1], LOOP[2], LOOP[3], LOOP[4], LOOP[5], LOOP[6],
    ],
    x: ColumnDescription {
        name: "bias-current",
        unit: "A",
        words: "bias current",
    },
    other_x: &[],
    columns: &[
        ColumnDescription {
            name: "noise-energy",
            unit: "J/Hz",
            words: "least noise energy at this bias",
        },
        ColumnDescription {
            name: "best-flux",
            unit: "Phi0",
            words: "applied flux of the least noise energy",
        },
        ColumnDescription {
            name: "transfer",
            unit: "V/Phi0",
            words: "slope of the voltage there",
        },
        ColumnDescription {
            name: "voltage-noise",
            unit: "V^2/Hz",
            words: "voltage noise there",
        },
        ColumnDescription {
            name: "flux-noise",
            unit: "Phi0/sqrt(Hz)",
            words: "flux noise there",
        },
    ],
    readings: &[
        ReadingDescription {
            name: "best-bias",
            unit: "A",
            words: told("best bias: bias current of the best working point"),
        },
        ReadingDescription {
            name: "best-flux",
            unit: "Phi0",
            words: told("best flux: applied flux of the best working point"),
        },
        ReadingDescription {
            name: "voltage",
            unit: "V",
            words: told("voltage: at the best working point"),
        },
        ReadingDescription {
            name: "transfer",
            unit: "V/Phi0",
            words: told("slope: of the voltage against flux at the best working point"),
        },
        ReadingDescription {
            name: "transfer-rule",
            unit: "V/Phi0",
            words: told("slope by the rule R/L: the rule of thumb for the best working point"),
        },
        ReadingDescription {
            name: "voltage-noise",
            unit: "V^2/Hz",
            words: told("voltage noise: at the best working point"),
        },
        ReadingDescription {
            name: "voltage-noise-rule",
            unit: "V^2/Hz",
            words: told("voltage noise by 16 kB T R: the rule of thumb"),
        },
        ReadingDescription {
            name: "flux-noise",
            unit: "Phi0/sqrt(Hz)",
            words: told("flux noise: at the best working point"),
        },
        ReadingDescription {
            name: "noise-energy",
            unit: "J/Hz",
            words: told("noise energy: at the best working point"),
        },
        ReadingDescription {
            name: "noise-energy-relative",
            unit: "",
            words: told("noise energy in kB T L/R: at the best working point"),
        },
        ReadingDescription {
            name: "noise-energy-rule",
            unit: "J/Hz",
            words: told("noise energy by 9 kB T L/R: the rule of thumb"),
        },
        shunted::BETA_L,
        shunted::NOISE_PARAMETER,
    ],
    physics: Physics {
        conflict,
        work: in_slices(slices::begin, slices::known),
        views: &[View::Loop, View::WorkingPoint],
        inside: Look::at_once(|setup, view, bias| match view {
            View::WorkingPoint => biased::working_point(setup, bias, None),
            // The loop at rest, near where most working points are.
            _ => Ok(screened_loop::inside(setup, 0.25)),
        }),
        axes: shunted::bias_axes,
        window: |setup| {
            let whole = 2.0 * Device::of(setup).current;
            (0.4 * whole, 1.2 * whole)
        },
        warnings: |_| Vec::new(),
        reach: |setup| shunted::MOST_BIAS * Device::of(setup).current,
        folded: None,
    },
};

fn conflict(setup: &Setup) -> Option<String> {
    let device = Device::of(setup);
    if device.noise <= 0.0 {
        return Some(
            "temperature is 0 K, and without noise every working point is as good as any: raise temperature"
                .to_string(),
        );
    }
    if device.beta_c() > 0.0 {
        return Some(
            "working points are sought without capacitance: set capacitance to 0 F".to_string(),
        );
    }
    shunted::conflict(setup, None)
}
