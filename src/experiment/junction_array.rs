//! A row of equal narrow junctions with holes between them, in a field, without screening.

use super::description::{
    ColumnDescription, ParameterDescription, ParameterKind, Physics, ReadingDescription,
    SetupDescription, Work,
};
use super::scale::{AxisScale, field_axis};
use super::setup::{ParameterValue, Setup};
use super::single_junction::reading;
use super::{Inside, Reading};
use crate::constants::FLUX_QUANTUM;
use crate::model::interference::{row, row_critical_current};
use crate::numerics::elementary::atan2;
use crate::numerics::minimise;

const JUNCTIONS: usize = 0;
const CRITICAL_CURRENT: usize = 1;
const AREAS: usize = 2;

pub(super) const DESCRIPTION: SetupDescription = SetupDescription {
    kind: "junction-array",
    summary: "a row of equal narrow junctions with holes between them: the critical current against the field",
    parameters: &[
        ParameterDescription {
            name: "junctions",
            kind: ParameterKind::Whole,
            unit: "",
            from: 2.0,
            to: 64.0,
            default: "8",
            words: "how many junctions stand in the row",
        },
        ParameterDescription {
            name: "critical-current",
            kind: ParameterKind::Quantity,
            unit: "A",
            from: 1e-9,
            to: 0.1,
            default: "10 uA",
            words: "critical current of each junction",
        },
        ParameterDescription {
            name: "loop-areas",
            kind: ParameterKind::Quantities,
            unit: "m^2",
            from: 1e-14,
            to: 1e-4,
            default: "30 um^2",
            words: "area of every hole, or a list with the area of each from left to right such as \"20; 26; 35 um^2\" (one fewer than junctions)",
        },
    ],
    x: ColumnDescription {
        name: "field",
        unit: "T",
        words: "magnetic field",
    },
    other_x: &[],
    columns: &[ColumnDescription {
        name: "critical-current",
        unit: "A",
        words: "critical current",
    }],
    readings: &[
        ReadingDescription {
            name: "maximum",
            unit: "A",
            words: "largest critical current, at zero field",
        },
        ReadingDescription {
            name: "period",
            unit: "T",
            words: "field that puts one flux quantum through every hole (equal holes only)",
        },
        ReadingDescription {
            name: "first-zero",
            unit: "T",
            words: "field at which the critical current first vanishes, where it does",
        },
        ReadingDescription {
            name: "first-minimum",
            unit: "T",
            words: "field of the first minimum",
        },
        ReadingDescription {
            name: "minimum",
            unit: "A",
            words: "critical current at the first minimum",
        },
    ],
    physics: Physics {
        conflict,
        work: Work::AtOnce { columns, readings },
        inside,
        axes,
        window: |setup| {
            let quantum = FLUX_QUANTUM / mean(&areas(setup));
            (-1.5 * quantum, 1.5 * quantum)
        },
        warnings: |_| Vec::new(),
        reach: |_| 1e3,
        folded: None,
    },
};

fn conflict(setup: &Setup) -> Option<String> {
    let junctions = setup.number(JUNCTIONS);
    match setup.at(AREAS) {
        Some(ParameterValue::List(areas)) if (areas.len() as f64 + 1.0 - junctions).abs() > 0.5 => {
            Some(format!(
                "loop-areas has {} values but {junctions} junctions have {} holes between them; give one area for all, or one for each hole",
                areas.len(),
                junctions - 1.0
            ))
        }
        _ => None,
    }
}

/// Areas of the holes from left to right.
fn areas(setup: &Setup) -> Vec<f64> {
    let holes = (setup.number(JUNCTIONS) - 1.0).max(1.0) as usize;
    match setup.at(AREAS) {
        Some(ParameterValue::List(areas)) => areas.clone(),
        _ => vec![setup.number(AREAS); holes],
    }
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len().max(1) as f64
}

fn equal(values: &[f64]) -> bool {
    let first = values.first().copied().unwrap_or(0.0);
    values
        .iter()
        .all(|value| (value - first).abs() <= 1e-12 * first)
}

fn relative(areas: &[f64], field: f64) -> f64 {
    let fluxes: Vec<f64> = areas
        .iter()
        .map(|area| area * field / FLUX_QUANTUM)
        .collect();
    row_critical_current(&fluxes)
}

fn columns(setup: &Setup, x: &[f64]) -> Vec<Vec<f64>> {
    let areas = areas(setup);
    let current = setup.number(CRITICAL_CURRENT);
    vec![
        x.iter()
            .map(|field| current * relative(&areas, *field))
            .collect(),
    ]
}

fn readings(setup: &Setup) -> Vec<Reading> {
    let areas = areas(setup);
    let junctions = setup.number(JUNCTIONS);
    let current = setup.number(CRITICAL_CURRENT);
    let quantum = FLUX_QUANTUM / mean(&areas);
    let mut readings = vec![reading("maximum", "A", junctions * current)];
    if equal(&areas) {
        // N equal phasors first close to a polygon at 1/N of the period.
        readings.push(reading("period", "T", quantum));
        readings.push(reading("first-zero", "T", quantum / junctions));
        readings.push(reading("first-minimum", "T", quantum / junctions));
        readings.push(reading("minimum", "A", 0.0));
        return readings;
    }
    let dip = minimise::first_dip(
        |share| relative(&areas, share * quantum),
        0.0,
        4.0,
        4096,
        1e-11,
    );
    if let Some((place, least)) = dip {
        if least < 1e-7 * junctions {
            readings.push(reading("first-zero", "T", place * quantum));
        }
        readings.push(reading("first-minimum", "T", place * quantum));
        readings.push(reading("minimum", "A", least * current));
    }
    readings
}

fn inside(setup: &Setup, field: f64) -> Inside {
    let areas = areas(setup);
    let fluxes: Vec<f64> = areas
        .iter()
        .map(|area| area * field / FLUX_QUANTUM)
        .collect();
    let share = 1.0 / setup.number(JUNCTIONS);
    Inside::Phasors {
        flux: fluxes.first().copied().unwrap_or(0.0),
        phasors: row(&fluxes)
            .iter()
            .map(|(real, imaginary)| (share, atan2(*imaginary, *real)))
            .collect(),
        resultant: row_critical_current(&fluxes) * share,
    }
}

fn axes(setup: &Setup) -> Vec<AxisScale> {
    let areas = areas(setup);
    let quantum = FLUX_QUANTUM / mean(&areas);
    vec![
        field_axis(1.5 * quantum),
        AxisScale {
            name: "loop-flux",
            label: if equal(&areas) {
                "flux through each hole"
            } else {
                "mean flux through a hole"
            },
            unit: "Phi0",
            si_per_unit: quantum,
        },
    ]
}
