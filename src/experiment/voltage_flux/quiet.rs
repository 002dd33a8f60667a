//! Voltage against flux without noise: every point by itself, since the curve has corners.

use std::cell::RefCell;

use super::{Curve, Row, Task};
use crate::experiment::Method;
use crate::model::running::Running;

/// Points of one slice.
const SLICE: usize = 256;

#[derive(Debug)]
pub(super) struct QuietCurve {
    bias: f64,
    running: RefCell<Running>,
    /// Fluxes to look at, and what was found.
    fluxes: Vec<f64>,
    rows: Vec<Row>,
}

impl QuietCurve {
    /// Nothing when the loop's critical current cannot be computed.
    pub(super) fn new(task: &Task) -> Option<Self> {
        Some(Self {
            bias: task.bias,
            running: RefCell::new(Running::new(&task.device.model)?),
            fluxes: task.x.iter().map(|flux| task.sign * flux).collect(),
            rows: Vec::with_capacity(task.x.len()),
        })
    }

    fn compute(&self, flux: f64) -> Row {
        let found = self.running.borrow_mut().at(self.bias, flux);
        Row {
            voltage: found.voltage,
            transfer: found.transfer,
            noise: 0.0,
            voltage_error: found.error,
            transfer_error: 0.0,
        }
    }
}

impl Curve for QuietCurve {
    fn step(&mut self) -> bool {
        let from = self.rows.len();
        let to = (from + SLICE).min(self.fluxes.len());
        for index in from..to {
            let flux = self.fluxes[index];
            let row = self.compute(flux);
            self.rows.push(row);
        }
        true
    }

    fn share(&self) -> f64 {
        if self.rows.len() >= self.fluxes.len() {
            1.0
        } else {
            self.rows.len() as f64 / self.fluxes.len() as f64
        }
    }

    fn row(&self, index: usize, _: f64) -> Option<Row> {
        self.rows.get(index).copied()
    }

    fn at(&self, flux: f64) -> Option<Row> {
        Some(self.compute(flux))
    }

    fn method(&self) -> Method {
        Method::PeriodAverage
    }
}
