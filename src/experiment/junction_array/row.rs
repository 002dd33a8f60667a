//! The pattern of a row in a field: its critical current, and the places where it is low, high, or repeats.

use super::{AREAS, CRITICAL_CURRENT, JUNCTIONS, THICKNESS, WIDTH};
use crate::constants::FLUX_QUANTUM;
use crate::experiment::parameter::ParameterValue;
use crate::experiment::setup::Setup;
use crate::model::interference::wide_row_critical_current;
use crate::numerics::{minimise, root};

/// Side lobes are looked for up to this many flux quanta in the mean hole.
const SIDE_LOBES: f64 = 6.0;

/// Unequal holes are taken to repeat when all are multiples of the smallest one's half, third, … down to this.
const FINEST_PART: u32 = 12;

/// The row with every junction and hole by itself.
pub(super) struct Row {
    /// Critical currents from left to right.
    pub(super) currents: Vec<f64>,
    /// Areas of the holes between them.
    pub(super) areas: Vec<f64>,
    /// Area of one junction as the field sees it.
    pub(super) junction: f64,
}

impl Row {
    /// The row that the parameters describe.
    pub(super) fn new(setup: &Setup) -> Self {
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

    /// The largest critical current, at zero field.
    pub(super) fn maximum(&self) -> f64 {
        self.currents.iter().sum()
    }

    /// Field of one flux quantum in the mean hole.
    pub(super) fn quantum(&self) -> f64 {
        FLUX_QUANTUM / mean(&self.areas)
    }

    /// Flux in each hole, in flux quanta.
    pub(super) fn fluxes(&self, field: f64) -> Vec<f64> {
        self.areas
            .iter()
            .map(|area| area * field / FLUX_QUANTUM)
            .collect()
    }

    /// Flux in each junction, in flux quanta.
    pub(super) fn in_junction(&self, field: f64) -> f64 {
        self.junction * field / FLUX_QUANTUM
    }

    /// The critical current in a field.
    pub(super) fn critical_current(&self, field: f64) -> f64 {
        wide_row_critical_current(&self.currents, &self.fluxes(field), self.in_junction(field))
    }

    /// Field after which narrow junctions repeat: every hole then holds whole flux quanta. None where the holes share no
    /// common measure.
    pub(super) fn period(&self) -> Option<f64> {
        common(&self.areas).map(|area| FLUX_QUANTUM / area)
    }

    /// Field and height of the first minimum; the height is zero where it reaches zero.
    pub(super) fn first_minimum(&self) -> Option<(f64, f64)> {
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
    pub(super) fn side_lobe(&self, from: f64) -> Option<(f64, f64)> {
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
    pub(super) fn half_width(&self) -> Option<f64> {
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

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len().max(1) as f64
}

/// Whether all are the same.
pub(super) fn equal(values: &[f64]) -> bool {
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
