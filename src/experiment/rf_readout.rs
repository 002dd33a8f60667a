//! A loop with one junction read out by a tank circuit: the tank's voltage against static flux or drive.

use super::description::{
    ColumnDescription, Look, ParameterDescription, ParameterKind, Physics, ReadingDescription,
    SetupDescription, behind, told, warned_behind,
};
use super::parameter::ParameterValue;
use super::rf_loop::{CRITICAL_CURRENT, INDUCTANCE, device, flux_axis};
use super::scale::AxisScale;
use super::setup::Setup;
use super::single_junction::reading;
use super::{Inside, Reading, View};
use crate::constants::FLUX_QUANTUM;
use crate::decimal::shortest;
use crate::model::rf_loop::RfLoop;
use crate::model::rf_readout::{Readout, STRONGEST};
use crate::numerics::order::within;
use crate::quantity::show;

use core::f64::consts::TAU;

const LOOP_CURRENT: usize = 0;
const LOOP_INDUCTANCE: usize = 1;
const TANK_INDUCTANCE: usize = 2;
const TANK_QUALITY: usize = 3;
const TANK_FREQUENCY: usize = 4;
const COUPLING: usize = 5;
const DETUNING: usize = 6;
const DRIVE: usize = 7;
const FLUX: usize = 8;
const SWEEP: usize = 9;

/// The step at which a window over drives ends: the fifth hysteresis loop, on the third step of a whole quantum.
const LAST_STEP: u32 = 4;

/// Resistance beside which the loop's reactance at the drive should be small.
const USUAL_RESISTANCE: f64 = 10.0;

pub(super) const DESCRIPTION: SetupDescription = SetupDescription {
    kind: "rf-readout",
    summary: told(
        "a tank circuit driven at radio frequency beside a loop with one junction: the tank's voltage against static flux, or against the drive; the loop is taken to be in its state at every moment, so the drive must be far slower than R/L of loop and junction",
    ),
    parameters: &[
        CRITICAL_CURRENT,
        INDUCTANCE,
        ParameterDescription {
            name: "tank-inductance",
            kind: ParameterKind::Quantity,
            unit: "H",
            from: 1e-9,
            to: 100e-6,
            default: "500 nH",
            words: told("inductance of the tank's coil"),
        },
        ParameterDescription {
            name: "tank-quality",
            kind: ParameterKind::Quantity,
            unit: "",
            from: 5.0,
            to: 10_000.0,
            default: "300",
            words: told("quality of the tank without the loop"),
        },
        ParameterDescription {
            name: "tank-frequency",
            kind: ParameterKind::Quantity,
            unit: "Hz",
            from: 1e5,
            to: 1e9,
            default: "20 MHz",
            words: told("resonance of the tank without the loop"),
        },
        ParameterDescription {
            name: "coupling",
            kind: ParameterKind::Quantity,
            unit: "",
            from: 1e-3,
            to: 0.5,
            default: "0.1",
            words: told(
                "coupling k of coil and loop: their mutual inductance is k times the root of the product of both inductances",
            ),
        },
        ParameterDescription {
            name: "detuning",
            kind: ParameterKind::Quantity,
            unit: "",
            from: -0.1,
            to: 0.1,
            default: "0.25 %",
            words: told(
                "how far the drive lies above the tank's own resonance, as a share of it; the loop raises the resonance, by up to half k squared",
            ),
        },
        ParameterDescription {
            name: "drive-current",
            kind: ParameterKind::Quantity,
            unit: "A",
            from: 1e-12,
            to: 1e-3,
            default: "4 nA",
            words: told("amplitude of the current that drives the tank, raised slowly from zero"),
        },
        ParameterDescription {
            name: "flux",
            kind: ParameterKind::Quantity,
            unit: "Phi0",
            from: -1000.0,
            to: 1000.0,
            default: "0 Phi0",
            words: told("static flux, when the drive is swept"),
        },
        ParameterDescription {
            name: "sweep",
            kind: ParameterKind::Choice(&["flux", "drive-current"]),
            unit: "",
            from: 0.0,
            to: 0.0,
            default: "flux",
            words: told("what x is"),
        },
    ],
    x: ColumnDescription {
        name: "flux",
        unit: "Phi0",
        words: "static flux",
    },
    other_x: &[ColumnDescription {
        name: "drive-current",
        unit: "A",
        words: "amplitude of the drive current",
    }],
    columns: &[ColumnDescription {
        name: "tank-voltage",
        unit: "V",
        words: "amplitude of the tank's voltage",
    }],
    readings: &[
        ReadingDescription {
            name: "beta-rf",
            unit: "",
            words: told(
                "screening 2 pi L I0 / Phi0: the screening parameter of the loop; steps need more than 1",
            ),
        },
        ReadingDescription {
            name: "coupling-strength",
            unit: "",
            words: told("coupling strength: k squared times the tank's quality"),
        },
        ReadingDescription {
            name: "mutual-inductance",
            unit: "H",
            words: told("mutual inductance M: of coil and loop"),
        },
        ReadingDescription {
            name: "period",
            unit: "Phi0",
            words: told("period in static flux: of the voltage"),
        },
        ReadingDescription {
            name: "transfer",
            unit: "V/Phi0",
            words: told(
                "slope omega L_T / M: size of the slope of the voltage against static flux on a step",
            ),
        },
        ReadingDescription {
            name: "step-spacing",
            unit: "V",
            words: told(
                "step spacing omega L_T Phi0 / M: from one step to the next at the same static flux; steps of whole and half quanta interleave halfway",
            ),
        },
        ReadingDescription {
            name: "first-step-whole",
            unit: "V",
            words: told("first step at a whole quantum: voltage there, of static flux"),
        },
        ReadingDescription {
            name: "first-step-half",
            unit: "V",
            words: told("first step at half a quantum: voltage there, of static flux"),
        },
        ReadingDescription {
            name: "step-share",
            unit: "",
            words: told(
                "share of steps: of the drives, from the first step to the second at a whole quantum, at which the voltage stays on the first; 0 for no step, 1 for nothing but steps",
            ),
        },
        ReadingDescription {
            name: "triangle-from",
            unit: "A",
            words: told(
                "full triangle from: the least drive at which the voltage is a full triangle in static flux",
            ),
        },
        ReadingDescription {
            name: "triangle-to",
            unit: "A",
            words: told("full triangle up to: the greatest drive at which it is"),
        },
        ReadingDescription {
            name: "modulation-depth",
            unit: "V",
            words: told(
                "modulation depth: largest less smallest voltage over all static fluxes at the given drive",
            ),
        },
    ],
    physics: Physics {
        conflict,
        work: behind(columns, readings),
        views: &[View::Tank],
        inside: Look::behind(&[View::Tank], |setup, _, x| Ok(inside(setup, x))),
        axes,
        window,
        warnings: warned_behind(warnings),
        reach: |setup| {
            if over_drive(setup) {
                STRONGEST / per_ampere(setup)
            } else {
                1e6
            }
        },
        folded: None,
    },
};

/// Whether x is the drive.
fn over_drive(setup: &Setup) -> bool {
    matches!(
        setup.at(SWEEP),
        Some(ParameterValue::Choice("drive-current"))
    )
}

/// Mutual inductance of coil and loop.
fn mutual(setup: &Setup) -> f64 {
    setup.number(COUPLING) * (setup.number(LOOP_INDUCTANCE) * setup.number(TANK_INDUCTANCE)).sqrt()
}

/// The normalised drive of one ampere: the flux that the tank, tuned and alone, would put through the loop.
fn per_ampere(setup: &Setup) -> f64 {
    setup.number(TANK_QUALITY) * mutual(setup) / FLUX_QUANTUM
}

/// k²Q.
fn strength(setup: &Setup) -> f64 {
    let coupling = setup.number(COUPLING);
    coupling * coupling * setup.number(TANK_QUALITY)
}

/// Tank voltage for a swing of one flux quantum: omega `L_T` Phi0 / M, also the slope on a step.
fn per_quantum(setup: &Setup) -> f64 {
    let omega = TAU * setup.number(TANK_FREQUENCY) * (1.0 + setup.number(DETUNING));
    omega * setup.number(TANK_INDUCTANCE) * FLUX_QUANTUM / mutual(setup)
}

fn readout(setup: &Setup) -> Option<Readout> {
    let ratio = 1.0 + setup.number(DETUNING);
    let detuning = setup.number(TANK_QUALITY) * (1.0 - ratio * ratio);
    let device = device(setup.number(LOOP_CURRENT), setup.number(LOOP_INDUCTANCE))?;
    Readout::new(device, strength(setup), detuning)
}

fn conflict(setup: &Setup) -> Option<String> {
    let most = STRONGEST / per_ampere(setup);
    (setup.number(DRIVE) > most).then(|| {
        format!(
            "this drive would swing the flux in the loop by more than {} quanta; give a drive-current of at most {}",
            shortest(STRONGEST),
            show(most, "A", 3)
        )
    })
}

fn columns(setup: &Setup, x: &[f64]) -> Vec<Vec<f64>> {
    // The ranges of the parameters leave no tank and loop that the model refuses.
    let Some(readout) = readout(setup) else {
        return vec![vec![f64::NAN; x.len()]];
    };
    let (volts, ampere) = (per_quantum(setup), per_ampere(setup));
    let amplitudes = if over_drive(setup) {
        let most = x.iter().fold(0.0_f64, |most, drive| most.max(drive.abs()));
        let ladder = readout.ladder(setup.number(FLUX), 0.0, most * ampere);
        x.iter()
            .map(|drive| ladder.at(drive.abs() * ampere).amplitude)
            .collect()
    } else {
        readout.amplitudes(x, setup.number(DRIVE) * ampere)
    };
    vec![
        amplitudes
            .iter()
            .map(|amplitude| volts * amplitude)
            .collect(),
    ]
}

fn readings(setup: &Setup) -> Vec<Reading> {
    let Some(readout) = readout(setup) else {
        return Vec::new();
    };
    let (volts, ampere) = (per_quantum(setup), per_ampere(setup));
    let mut readings = vec![
        reading("beta-rf", "", readout.device().beta_rf()),
        reading("coupling-strength", "", strength(setup)),
        reading("mutual-inductance", "H", mutual(setup)),
        reading("period", "Phi0", 1.0),
    ];
    if let (Some(whole), Some(half)) = (readout.step(0, 0.0), readout.step(0, 0.5)) {
        readings.extend([
            reading("transfer", "V/Phi0", volts),
            reading("step-spacing", "V", volts),
            reading("first-step-whole", "V", volts * whole),
            reading("first-step-half", "V", volts * half),
        ]);
    }
    // Two hysteresis loops together make the first step of a whole quantum.
    if let (Some(begins), Some(ends), Some(next)) = (
        readout.step_drives(0.0, 0),
        readout.step_drives(0.0, 1),
        readout.step_drives(0.0, 2),
    ) {
        let share = (ends.1 - begins.0) / (next.0 - begins.0);
        if next.0 > begins.0 {
            readings.push(reading("step-share", "", share.clamp(0.0, 1.0)));
        }
    }
    if let Some((from, to)) = readout.triangle() {
        readings.push(reading("triangle-from", "A", from / ampere));
        readings.push(reading("triangle-to", "A", to / ampere));
    }
    readings.push(reading(
        "modulation-depth",
        "V",
        volts * depth(&readout, setup.number(DRIVE) * ampere),
    ));
    readings
}

/// Largest less smallest amplitude over half a period of static flux.
fn depth(readout: &Readout, drive: f64) -> f64 {
    const LOOKED_AT: u32 = 32;
    let (least, most) = (0..=LOOKED_AT)
        .map(|k| {
            let flux = 0.5 * f64::from(k) / f64::from(LOOKED_AT);
            readout.at(flux, drive).amplitude
        })
        .fold((f64::INFINITY, 0.0_f64), |(least, most), amplitude| {
            (least.min(amplitude), most.max(amplitude))
        });
    most - least
}

fn axes(setup: &Setup) -> Vec<AxisScale> {
    if !over_drive(setup) {
        return vec![AxisScale {
            label: "static flux",
            ..flux_axis()
        }];
    }
    let (_, to) = window(setup);
    let (unit, si_per_unit) = [("mA", 1e-3), ("uA", 1e-6), ("nA", 1e-9)]
        .into_iter()
        .find(|(_, step)| to >= 2.0 * step)
        .unwrap_or(("pA", 1e-12));
    vec![AxisScale {
        name: "drive-current",
        label: "drive current",
        unit,
        si_per_unit,
    }]
}

fn window(setup: &Setup) -> (f64, f64) {
    if !over_drive(setup) {
        return (-2.0, 2.0);
    }
    let last = readout(setup)
        .and_then(|readout| readout.step_drives(setup.number(FLUX), LAST_STEP))
        .map_or(4.0, |step| step.0.max(step.1));
    (0.0, (1.05 * last).min(STRONGEST) / per_ampere(setup))
}

fn inside(setup: &Setup, x: f64) -> Inside {
    let ampere = per_ampere(setup);
    let (flux, drive) = if over_drive(setup) {
        (setup.number(FLUX), x.abs() * ampere)
    } else {
        (x, setup.number(DRIVE) * ampere)
    };
    let Some(readout) = readout(setup) else {
        return Inside::Tank {
            flux,
            drive: f64::NAN,
            voltage: f64::NAN,
            swing: f64::NAN,
            loops: f64::NAN,
            on_step: false,
            curve: Vec::new(),
            path: Vec::new(),
        };
    };
    let working = readout.at(flux, drive);
    let side = 1.0_f64.max(1.15 * working.amplitude);
    Inside::Tank {
        flux,
        drive: drive / ampere,
        voltage: per_quantum(setup) * working.amplitude,
        swing: working.amplitude,
        loops: working.loops,
        on_step: working.on_step,
        curve: readout
            .device()
            .pieces(flux - side, flux + side)
            .into_iter()
            .map(|piece| (piece.stable, piece.points))
            .collect(),
        // On a step the loop that is passed round at times is shown.
        path: path(
            readout.device(),
            flux,
            working.amplitude * (1.0 + if working.on_step { 1e-9 } else { 0.0 }),
        ),
    }
}

/// Applied and total flux on one cycle, up and down.
fn path(device: &RfLoop, flux: f64, swing: f64) -> Vec<(f64, f64)> {
    const SAMPLES: u32 = 160;
    let reach = device.reach();
    let (low, high) = (flux - swing, flux + swing);
    let (mut bottom, mut top) = ((low + reach).floor(), (high - reach).ceil());
    if !device.is_hysteretic() || bottom >= top {
        bottom = (flux - 0.5).ceil();
        top = bottom;
    }
    let total = |applied: f64, rising: bool| {
        if !device.is_hysteretic() {
            return device.lowest(applied).flux;
        }
        let quanta = if rising {
            (applied - reach).ceil().max(bottom)
        } else {
            (applied + reach).floor().min(top)
        };
        device.state(within(quanta, bottom, top), applied).flux
    };
    let way = |rising: bool| {
        (0..=SAMPLES).map(move |step| {
            let share = f64::from(step) / f64::from(SAMPLES);
            let (from, to) = if rising { (low, high) } else { (high, low) };
            (from * (1.0 - share) + to * share, rising)
        })
    };
    way(true)
        .chain(way(false))
        .map(|(applied, rising)| (applied, total(applied, rising)))
        .collect()
}

fn warnings(setup: &Setup) -> Vec<String> {
    let mut warnings = Vec::new();
    let Some(readout) = readout(setup) else {
        return warnings;
    };
    if readout.device().is_hysteretic() && readout.triangle().is_none() {
        warnings.push(format!(
            "k squared times Q is {}, and no drive puts every flux on its first step: the voltage is no full triangle in flux; couple more strongly, or tune the drive nearer to the resonance with the loop (detuning up to half k squared)",
            show(strength(setup), "", 3)
        ));
    }
    if let (Some(step), Some(jump)) = (readout.step(0, 0.5), readout.device().jump()) {
        // Energy of one hysteresis loop as a share of the tank's on its lowest step.
        let coupling = setup.number(COUPLING);
        let share = 4.0 * jump.loss * readout.device().beta_rf() / TAU * coupling * coupling
            / (step * step);
        if share > 0.36 {
            warnings.push(format!(
                "one hysteresis loop takes a share of {} of the tank's energy on the lowest step: there the mean voltage lies below the step shown, by more than a tenth",
                show(share.min(1.0), "", 2)
            ));
        }
    }
    let reactance = TAU * setup.number(TANK_FREQUENCY) * setup.number(LOOP_INDUCTANCE);
    if reactance > 0.1 * USUAL_RESISTANCE {
        warnings.push(format!(
            "the loop is taken to follow the drive at once; at this frequency that needs a junction of far more than {}",
            show(reactance, "Ohm", 2)
        ));
    }
    warnings
}
