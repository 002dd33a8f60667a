//! A row of junctions with holes between them, in a field, without screening.

mod row;

use super::description::{
    ColumnDescription, Look, ParameterDescription, ParameterKind, Physics, ReadingDescription,
    SetupDescription, Work, told,
};
use super::parameter::ParameterValue;
use super::scale::{AxisScale, field_axis};
use super::setup::Setup;
use super::single_junction::{THICKNESS_PARAMETER, WIDTH_PARAMETER, reading, wide_warning};
use super::{Inside, Reading, View};
use crate::constants::FLUX_QUANTUM;
use crate::decimal::shortest;
use crate::model::interference::{self, row_mean_square};
use crate::numerics::elementary::{atan2, sinc};

use row::{Row, equal};

use core::f64::consts::PI;

const JUNCTIONS: usize = 0;
const CRITICAL_CURRENT: usize = 1;
const AREAS: usize = 2;
const WIDTH: usize = 3;
const THICKNESS: usize = 4;

pub(super) const DESCRIPTION: SetupDescription = SetupDescription {
    kind: "junction-array",
    summary: told(
        "a row of junctions with holes between them, too small to screen: the critical current against the field",
    ),
    parameters: &[
        ParameterDescription {
            name: "junctions",
            kind: ParameterKind::Whole,
            unit: "",
            from: 2.0,
            to: 64.0,
            default: "8",
            words: told("how many junctions stand in the row"),
        },
        ParameterDescription {
            name: "critical-current",
            kind: ParameterKind::Quantities,
            unit: "A",
            from: 1e-9,
            to: 0.1,
            default: "10 uA",
            words: told(
                "critical current of each junction, or a list with that of each from left to right",
            ),
        },
        ParameterDescription {
            name: "loop-areas",
            kind: ParameterKind::Quantities,
            unit: "m^2",
            from: 1e-14,
            to: 1e-4,
            default: "30 um^2",
            words: told(
                "area of every hole, or a list with the area of each from left to right such as \"20; 26; 35 um^2\" (one fewer than junctions)",
            ),
        },
        ParameterDescription {
            from: 0.0,
            default: "0 um",
            words: told(
                "width of each junction, across the field and along its plane; 0 for junctions too narrow to matter",
            ),
            ..WIDTH_PARAMETER
        },
        THICKNESS_PARAMETER,
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
            words: told("largest critical current, at zero field"),
        },
        ReadingDescription {
            name: "period",
            unit: "T",
            words: told(
                "period in field: after it narrow junctions repeat, every hole holding whole flux quanta",
            ),
        },
        ReadingDescription {
            name: "first-zero",
            unit: "T",
            words: told(
                "first zero: field at which the critical current first vanishes, where it does",
            ),
        },
        ReadingDescription {
            name: "first-minimum",
            unit: "T",
            words: told("field of the first minimum"),
        },
        ReadingDescription {
            name: "minimum",
            unit: "A",
            words: told("current at the first minimum: the critical current there"),
        },
        ReadingDescription {
            name: "peak-width",
            unit: "T",
            words: told("width of the principal maximum: in field, at half its height"),
        },
        ReadingDescription {
            name: "largest-side-lobe",
            unit: "",
            words: told(
                "highest side lobe: its share of the maximum, between two principal maxima for equal holes, else up to six flux quanta in the mean hole",
            ),
        },
        ReadingDescription {
            name: "largest-side-lobe-field",
            unit: "T",
            words: told("field at the highest side lobe"),
        },
        ReadingDescription {
            name: "mean-square",
            unit: "",
            words: told(
                "mean square: of the critical current over all fields, as a share of the maximum's, for narrow junctions; one over their number when they are equal",
            ),
        },
        ReadingDescription {
            name: "envelope-zero",
            unit: "T",
            words: told(
                "first zero of the envelope: field that puts one flux quantum through each junction (junctions of some width only)",
            ),
        },
    ],
    physics: Physics {
        conflict,
        work: Work::AtOnce { columns, readings },
        views: &[View::Phasors],
        inside: Look::at_once(|setup, _, field| Ok(inside(setup, field))),
        axes,
        window: |setup| {
            let quantum = Row::new(setup).quantum();
            (-1.5 * quantum, 1.5 * quantum)
        },
        warnings,
        reach: |_| 1e3,
        folded: None,
    },
};

fn conflict(setup: &Setup) -> Option<String> {
    let junctions = setup.number(JUNCTIONS);
    if let Some(ParameterValue::List(areas)) = setup.at(AREAS)
        && (areas.len() as f64 + 1.0 - junctions).abs() > 0.5
    {
        return Some(format!(
            "loop-areas has {} values but {} junctions have {} holes between them; give one area for all, or one for each hole",
            areas.len(),
            shortest(junctions),
            shortest(junctions - 1.0)
        ));
    }
    match setup.at(CRITICAL_CURRENT) {
        Some(ParameterValue::List(currents)) if (currents.len() as f64 - junctions).abs() > 0.5 => {
            Some(format!(
                "critical-current has {} values but there are {} junctions; give one for all, or one for each",
                currents.len(),
                shortest(junctions)
            ))
        }
        _ => None,
    }
}

fn columns(setup: &Setup, x: &[f64]) -> Vec<Vec<f64>> {
    let row = Row::new(setup);
    vec![x.iter().map(|field| row.critical_current(*field)).collect()]
}

fn readings(setup: &Setup) -> Vec<Reading> {
    let row = Row::new(setup);
    let maximum = row.maximum();
    let mut readings = vec![reading("maximum", "A", maximum)];
    if let Some(period) = row.period() {
        readings.push(reading("period", "T", period));
    }
    if let Some((place, least)) = row.first_minimum() {
        if least <= 0.0 {
            readings.push(reading("first-zero", "T", place));
        }
        readings.push(reading("first-minimum", "T", place));
        readings.push(reading("minimum", "A", least));
        if let Some((field, height)) = row.side_lobe(place) {
            readings.push(reading("largest-side-lobe", "", height / maximum));
            readings.push(reading("largest-side-lobe-field", "T", field));
        }
    }
    if let Some(field) = row.half_width() {
        readings.push(reading("peak-width", "T", 2.0 * field));
    }
    readings.push(reading("mean-square", "", row_mean_square(&row.currents)));
    if row.junction > 0.0 {
        readings.push(reading("envelope-zero", "T", FLUX_QUANTUM / row.junction));
    }
    readings
}

fn inside(setup: &Setup, field: f64) -> Inside {
    let device = Row::new(setup);
    let fluxes = device.fluxes(field);
    let share = 1.0 / device.maximum();
    // The junctions' own pattern shortens the phasors; where it is negative they turn over.
    let pattern = sinc(device.in_junction(field));
    let over = if pattern < 0.0 { PI } else { 0.0 };
    Inside::Phasors {
        flux: fluxes.first().copied().unwrap_or(0.0),
        phasors: interference::row(&device.currents, &fluxes)
            .iter()
            .zip(&device.currents)
            .map(|((real, imaginary), current)| {
                (
                    current * share * pattern.abs(),
                    atan2(*imaginary, *real) + over,
                )
            })
            .collect(),
        resultant: device.critical_current(field) * share,
    }
}

fn axes(setup: &Setup) -> Vec<AxisScale> {
    let row = Row::new(setup);
    let quantum = row.quantum();
    let mut axes = vec![
        field_axis(1.5 * quantum),
        AxisScale {
            name: "loop-flux",
            label: if equal(&row.areas) {
                "flux through each hole"
            } else {
                "mean flux through a hole"
            },
            unit: "Phi0",
            si_per_unit: quantum,
        },
    ];
    if row.junction > 0.0 {
        axes.push(AxisScale {
            name: "junction-flux",
            label: "flux through each junction",
            unit: "Phi0",
            si_per_unit: FLUX_QUANTUM / row.junction,
        });
    }
    axes
}

fn warnings(setup: &Setup) -> Vec<String> {
    let row = Row::new(setup);
    let width = setup.number(WIDTH);
    if width <= 0.0 {
        return Vec::new();
    }
    // The junction with the largest current has the shortest penetration depth.
    let largest = row.currents.iter().copied().fold(0.0, f64::max);
    let which = if equal(&row.currents) {
        "each junction"
    } else {
        "the strongest junction"
    };
    wide_warning(which, largest, width, setup.number(THICKNESS), false)
        .into_iter()
        .collect()
}
