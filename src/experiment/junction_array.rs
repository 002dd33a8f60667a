//! A row of junctions with holes between them, in a field, without screening.

use super::description::{
    ColumnDescription, Look, ParameterDescription, ParameterKind, Physics, ReadingDescription,
    SetupDescription, Work, told,
};
use super::scale::{AxisScale, field_axis};
use super::setup::{ParameterValue, Setup};
use super::single_junction::{THICKNESS_PARAMETER, WIDTH_PARAMETER, reading, wide_warning};
use super::{Inside, Reading, View};
use crate::constants::FLUX_QUANTUM;
use crate::decimal::shortest;
use crate::model::interference::{row, row_mean_square, wide_row_critical_current};
use crate::numerics::elementary::{atan2, sinc};
use crate::numerics::{minimise, root};

use core::f64::consts::PI;

const JUNCTIONS: usize = 0;
const CRITICAL_CURRENT: usize = 1;
const AREAS: usize = 2;
const WIDTH: usize = 3;
const THICKNESS: usize = 4;

/// Side lobes are looked for up to this many flux quanta in the mean hole.
const SIDE_LOBES: f64 = 6.0;

/// Unequal holes are taken to repeat when all are multiples of the smallest one's half, third, … down to this.
const FINEST_PART: u32 = 12;

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

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len().max(1) as f64
}

fn equal(values: &[f64]) -> bool {
    let first = values.first().copied().unwrap_or(0.0);
    values
        .iter()
        .all(|value| (value - first).abs() <= 1e-12 * first)
}

/// The area that all holes are multiples of, if one is found.
fn common(areas: &[f64]) -> Option<f64> {
    let smallest = areas.iter().copied().fold(f64::INFINITY, f64::min);
    (1..=FINEST_PART)
        .map(|part| smallest / f64::from(part))
        .find(|unit| {
            areas.iter().all(|area| {
                let times = area / unit;
                (times - times.round()).abs() <= 1e-9 * times
            })
        })
}

/// The row with every junction and hole by itself.
struct Row {
    /// Critical currents from left to right.
    currents: Vec<f64>,
    /// Areas of the holes between them.
    areas: Vec<f64>,
    /// Area of one junction as the field sees it.
    junction: f64,
}

impl Row {
    fn new(setup: &Setup) -> Self {
        let junctions = setup.number(JUNCTIONS).max(2.0) as usize;
        let each = |place: usize, count: usize| match setup.at(place) {
            Some(ParameterValue::List(values)) => values.clone(),
            _ => vec![setup.number(place); count],
        };
        Self {
            currents: each(CRITICAL_CURRENT, junctions),
            areas: each(AREAS, junctions - 1),
            junction: setup.number(WIDTH) * setup.number(THICKNESS),
        }
    }

    fn maximum(&self) -> f64 {
        self.currents.iter().sum()
    }

    /// Field of one flux quantum in the mean hole.
    fn quantum(&self) -> f64 {
        FLUX_QUANTUM / mean(&self.areas)
    }

    fn fluxes(&self, field: f64) -> Vec<f64> {
        self.areas
            .iter()
            .map(|area| area * field / FLUX_QUANTUM)
            .collect()
    }

    fn in_junction(&self, field: f64) -> f64 {
        self.junction * field / FLUX_QUANTUM
    }

    fn critical_current(&self, field: f64) -> f64 {
        wide_row_critical_current(&self.currents, &self.fluxes(field), self.in_junction(field))
    }

    /// Field and height of the first minimum; the height is zero where it reaches zero.
    fn first_minimum(&self) -> Option<(f64, f64)> {
        let quantum = self.quantum();
        let junctions = self.currents.len() as f64;
        if equal(&self.areas) && equal(&self.currents) {
            // N equal phasors first close to a polygon at 1/N of the period.
            let polygon = quantum / junctions;
            let envelope = FLUX_QUANTUM / self.junction;
            return Some((polygon.min(envelope), 0.0));
        }
        let (share, least) = minimise::first_dip(
            |share| self.critical_current(share * quantum),
            0.0,
            4.0,
            (64.0 * junctions) as u32,
            1e-11,
        )?;
        let nothing = least < 1e-8 * self.maximum();
        Some((share * quantum, if nothing { 0.0 } else { least }))
    }

    /// Field and height of the highest side lobe beyond the first minimum.
    fn side_lobe(&self, from: f64) -> Option<(f64, f64)> {
        let to = if equal(&self.areas) {
            // The pattern is the same backwards from the next principal maximum.
            0.5 * self.quantum()
        } else {
            SIDE_LOBES * self.quantum()
        };
        if to <= from * (1.0 + 1e-9) {
            return None;
        }
        // The whole row turns this often; every lobe is seen by a dozen places.
        let turns = self.fluxes(to - from).iter().sum::<f64>();
        let steps = (12.0 * turns).ceil().max(24.0);
        let step = (to - from) / steps;
        let mut highest = (from, 0.0);
        for k in 0..=steps as u32 {
            let field = from + step * f64::from(k);
            let here = self.critical_current(field);
            if here > highest.1 {
                highest = (field, here);
            }
        }
        let (field, negative) = minimise::brent(
            |field| -self.critical_current(field),
            (highest.0 - step).max(from),
            highest.0 + step,
            1e-9 * step,
        );
        Some((field, -negative))
    }

    /// Field at which the principal maximum has fallen to half.
    fn half_width(&self) -> Option<f64> {
        let half = 0.5 * self.maximum();
        let quantum = self.quantum();
        let steps = 32 * self.currents.len() as u32;
        root::first_crossing(
            |share| self.critical_current(share * quantum) - half,
            0.0,
            2.0,
            steps,
            1e-13,
        )
        .map(|share| share * quantum)
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
    if let Some(area) = common(&row.areas) {
        readings.push(reading("period", "T", FLUX_QUANTUM / area));
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
        phasors: row(&device.currents, &fluxes)
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
