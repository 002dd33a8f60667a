//! A superconducting loop with one junction: total flux and circulating current against the applied flux.

use super::description::{
    ColumnDescription, Look, ParameterDescription, ParameterKind, Physics, ReadingDescription,
    SetupDescription, Work, told,
};
use super::scale::AxisScale;
use super::setup::Setup;
use super::single_junction::reading;
use super::{Branch, Folded, Inside, Reading, View};
use crate::constants::FLUX_QUANTUM;
use crate::model::rf_loop::{RfLoop, State};

use core::f64::consts::TAU;

/// Samples of the energy landscape of a picture, less one.
const LANDSCAPE: u32 = 160;

/// How far the landscape reaches to each side of the applied flux, in flux quanta.
const SIDE: f64 = 1.6;

/// Parameters that the readout shares.
pub(super) const CRITICAL_CURRENT: ParameterDescription = ParameterDescription {
    name: "critical-current",
    kind: ParameterKind::Quantity,
    unit: "A",
    from: 1e-9,
    to: 1e-3,
    default: "2.2 uA",
    words: told("critical current of the junction"),
};

/// Inductance of the loop.
pub(super) const INDUCTANCE: ParameterDescription = ParameterDescription {
    name: "loop-inductance",
    kind: ParameterKind::Quantity,
    unit: "H",
    from: 1e-12,
    to: 100e-9,
    default: "300 pH",
    words: told("inductance of the loop"),
};

pub(super) const DESCRIPTION: SetupDescription = SetupDescription {
    kind: "rf-loop",
    summary: told(
        "a superconducting loop with one junction and no wires to it: total flux and circulating current against the applied flux, swept up from far below and down from far above",
    ),
    parameters: &[CRITICAL_CURRENT, INDUCTANCE],
    x: ColumnDescription {
        name: "flux",
        unit: "Phi0",
        words: "applied flux",
    },
    other_x: &[],
    columns: &[
        ColumnDescription {
            name: "total-flux-rising",
            unit: "Phi0",
            words: "total flux, applied flux rising",
        },
        ColumnDescription {
            name: "total-flux-falling",
            unit: "Phi0",
            words: "total flux, applied flux falling",
        },
        ColumnDescription {
            name: "circulating-current-rising",
            unit: "A",
            words: "circulating current, applied flux rising",
        },
        ColumnDescription {
            name: "circulating-current-falling",
            unit: "A",
            words: "circulating current, applied flux falling",
        },
    ],
    readings: &[
        ReadingDescription {
            name: "beta-rf",
            unit: "",
            words: told(
                "screening 2 pi L I0 / Phi0: the screening parameter of the loop; above 1 the flux jumps",
            ),
        },
        ReadingDescription {
            name: "jump-flux",
            unit: "Phi0",
            words: told("first jump at: the applied flux when it rises from zero"),
        },
        ReadingDescription {
            name: "return-flux",
            unit: "Phi0",
            words: told(
                "jump back at: the applied flux at which that quantum leaves again when it falls",
            ),
        },
        ReadingDescription {
            name: "loop-width",
            unit: "Phi0",
            words: told("width of the hysteresis: jump flux less return flux"),
        },
        ReadingDescription {
            name: "flux-before-jump",
            unit: "Phi0",
            words: told("total flux before the first jump"),
        },
        ReadingDescription {
            name: "flux-after-jump",
            unit: "Phi0",
            words: told("total flux after the first jump"),
        },
        ReadingDescription {
            name: "energy-per-cycle",
            unit: "J",
            words: told("energy lost in a cycle: one quantum is let in and out again"),
        },
        ReadingDescription {
            name: "circulating-current-before-jump",
            unit: "A",
            words: told("current before a jump: size of the circulating current just before it"),
        },
        ReadingDescription {
            name: "circulating-current-largest",
            unit: "A",
            words: told(
                "largest circulating current: its size on the way, at a quarter quantum of total flux",
            ),
        },
    ],
    physics: Physics {
        conflict: |_| None,
        work: Work::AtOnce { columns, readings },
        views: &[View::RfLoop],
        inside: Look::at_once(|setup, _, flux| Ok(inside(setup, flux))),
        axes: |_| vec![flux_axis()],
        window: |_| (0.0, 2.0),
        warnings,
        reach: |_| 1e6,
        folded: Some(folded),
    },
};

/// The applied flux in flux quanta.
pub(super) fn flux_axis() -> AxisScale {
    AxisScale {
        name: "flux",
        label: "applied flux",
        unit: "Phi0",
        si_per_unit: 1.0,
    }
}

/// The loop in normalised quantities. The parameters' ranges leave none that the model refuses.
pub(super) fn device(current: f64, inductance: f64) -> Option<RfLoop> {
    RfLoop::new(TAU * inductance * current / FLUX_QUANTUM)
}

fn of(setup: &Setup) -> Option<RfLoop> {
    device(setup.number(0), setup.number(1))
}

fn columns(setup: &Setup, x: &[f64]) -> Vec<Vec<f64>> {
    let current = setup.number(0);
    let Some(device) = of(setup) else {
        return vec![vec![f64::NAN; x.len()]; DESCRIPTION.columns.len()];
    };
    let mut columns = vec![Vec::with_capacity(x.len()); DESCRIPTION.columns.len()];
    for applied in x {
        let (up, down) = (device.rising(*applied), device.falling(*applied));
        let row = [
            up.flux,
            down.flux,
            current * up.circulating,
            current * down.circulating,
        ];
        for (column, value) in columns.iter_mut().zip(row) {
            column.push(value);
        }
    }
    columns
}

fn readings(setup: &Setup) -> Vec<Reading> {
    let current = setup.number(0);
    let Some(device) = of(setup) else {
        return Vec::new();
    };
    let mut readings = vec![reading("beta-rf", "", device.beta_rf())];
    if let Some(jump) = device.jump() {
        let back = 1.0 - jump.applied;
        readings.extend([
            reading("jump-flux", "Phi0", jump.applied),
            reading("return-flux", "Phi0", back),
            reading("loop-width", "Phi0", jump.applied - back),
            reading("flux-before-jump", "Phi0", jump.before),
            reading("flux-after-jump", "Phi0", jump.after),
            reading(
                "energy-per-cycle",
                "J",
                2.0 * jump.loss * current * FLUX_QUANTUM,
            ),
            reading(
                "circulating-current-before-jump",
                "A",
                current * device.state(0.0, jump.applied).circulating.abs(),
            ),
        ]);
    }
    readings.push(reading("circulating-current-largest", "A", current));
    readings
}

fn folded(setup: &Setup, x: &[f64]) -> Vec<Folded> {
    let (from, to) = x
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(from, to), applied| {
            (from.min(*applied), to.max(*applied))
        });
    let branches = match of(setup) {
        Some(device) if from < to => device
            .pieces(from, to)
            .into_iter()
            .map(|piece| Branch {
                stable: piece.stable,
                points: piece.points,
            })
            .collect(),
        _ => Vec::new(),
    };
    vec![Folded {
        name: "total-flux-all-branches",
        unit: "Phi0",
        branches,
    }]
}

fn inside(setup: &Setup, flux: f64) -> Inside {
    let place = |state: State| (state.flux, state.energy);
    let Some(device) = of(setup) else {
        return Inside::RfLoop {
            flux,
            rising: (f64::NAN, f64::NAN),
            falling: (f64::NAN, f64::NAN),
            circulating_rising: f64::NAN,
            circulating_falling: f64::NAN,
            landscape: Vec::new(),
            curve: Vec::new(),
        };
    };
    let (up, down) = (device.rising(flux), device.falling(flux));
    let landscape = (0..=LANDSCAPE)
        .map(|step| {
            let total = flux + SIDE * (2.0 * f64::from(step) / f64::from(LANDSCAPE) - 1.0);
            (total, device.energy(total, flux))
        })
        .collect();
    Inside::RfLoop {
        flux,
        rising: place(up),
        falling: place(down),
        circulating_rising: up.circulating,
        circulating_falling: down.circulating,
        landscape,
        curve: device
            .pieces(flux - SIDE, flux + SIDE)
            .into_iter()
            .map(|piece| (piece.stable, piece.points))
            .collect(),
    }
}

fn warnings(setup: &Setup) -> Vec<String> {
    let mut warnings = Vec::new();
    if let Some(device) = of(setup) {
        if device.reach() >= 1.0 {
            warnings.push(
                "each jump is taken to end in the next stable state; a loop with so many of them may go further when its junction is weakly damped"
                    .to_string(),
            );
        }
        if device.leaves_out(0.0, 2.0) {
            warnings.push(
                "of all branches only the hundred to each side of the middle are written"
                    .to_string(),
            );
        }
    }
    warnings
}
