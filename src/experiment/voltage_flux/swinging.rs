//! Voltage against flux with capacitance and without noise. Where a state of rest exists the loop
//! is in it: the bias is raised from zero at each flux.

use std::cell::RefCell;

use super::points::Points;
use super::{Curve, Row, Task};
use crate::experiment::Method;
use crate::model::underdamped::{Branch, Underdamped};

/// Points of one slice.
const SLICE: usize = 4;

/// Half the distance over which slopes are taken, in flux quanta.
const SIDE: f64 = 2e-4;

#[derive(Debug)]
pub(super) struct SwingingCurve {
    bias: f64,
    state: RefCell<Underdamped>,
    points: Points,
}

impl SwingingCurve {
    pub(super) fn new(task: &Task) -> Self {
        Self {
            bias: task.bias,
            state: RefCell::new(Underdamped::new(&task.device.model)),
            points: Points::new(task),
        }
    }

    fn compute(&self, flux: f64) -> Row {
        let mut state = self.state.borrow_mut();
        let mut mean = |flux: f64| state.mean(self.bias, flux, Branch::Rising);
        let (before, here, after) = (mean(flux - SIDE), mean(flux), mean(flux + SIDE));
        Row {
            voltage: here.voltage,
            transfer: (after.voltage - before.voltage) / (2.0 * SIDE),
            noise: 0.0,
            noise_error: 0.0,
            voltage_error: here.error,
            transfer_error: (after.error + before.error) / (2.0 * SIDE),
        }
    }
}

impl Curve for SwingingCurve {
    fn step(&mut self) -> bool {
        for flux in self.points.next(SLICE) {
            let row = self.compute(flux);
            self.points.add(row);
        }
        true
    }

    fn share(&self) -> f64 {
        self.points.share()
    }

    fn row(&self, index: usize, _: f64) -> Option<Row> {
        self.points.row(index)
    }

    fn at(&self, flux: f64) -> Option<Row> {
        Some(self.compute(flux))
    }

    fn method(&self, _: f64) -> Method {
        Method::PeriodAverage
    }
}
