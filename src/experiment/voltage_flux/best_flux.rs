//! The best flux of a curve by random paths, looked for again by the stationary equation.
//!
//! Where noise is weak, one solution of that equation costs too much to draw a curve from, but not too much for the few
//! that lead down to the best flux. The least of many values that have errors comes out too low; a solution has next to
//! none.

use super::{Row, Task};
use crate::model::sensor::{BestPoint, Valley};
use crate::model::thermal::COST;

/// Multiplications of a slice: some 10 ms.
const SLICE: f64 = 2e7;

/// Error allowed of the voltage, in I0 R.
const TOLERANCE: f64 = 1e-5;

/// Multiplications allowed for one solution: some seconds at most.
const MOST_COST: f64 = 0.5 * COST;

/// The search, from a flux near the best.
#[derive(Debug)]
pub(super) struct BestFlux {
    search: BestPoint,
    valley: Valley,
    done: bool,
}

impl BestFlux {
    /// Begins at a flux of the curve, which is asked for only where this can be done; nothing for a loop with capacitance,
    /// or where a solution costs too much.
    pub(super) fn new(task: &Task, flux: impl FnOnce() -> Option<f64>) -> Option<Self> {
        let device = &task.device;
        let search = BestPoint::new(&device.model, device.noise)
            .ok()?
            .with(TOLERANCE, MOST_COST);
        let flux = flux()?;
        let valley = search.begin_near(task.bias, flux - flux.floor()).ok()?;
        Some(Self {
            search,
            valley,
            done: false,
        })
    }

    /// A few milliseconds of work.
    pub(super) fn step(&mut self) {
        if !self.done {
            // Where a solution is refused, what was found before it stands.
            self.done = self.search.go_on(&mut self.valley, SLICE).is_some();
        }
    }

    pub(super) fn is_done(&self) -> bool {
        self.done
    }

    /// The flux found and what is known there.
    pub(super) fn found(&self) -> Option<(f64, Row)> {
        let point = self.valley.best()?;
        let row = Row {
            voltage: point.voltage,
            transfer: point.transfer,
            noise: point.noise,
            voltage_error: point.voltage_error,
            transfer_error: point.transfer_error,
            noise_error: point.noise_error,
        };
        (row.transfer > 0.0 && row.flux_noise().is_finite()).then_some((point.flux, row))
    }
}
