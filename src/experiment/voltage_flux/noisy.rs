//! Voltage against flux with thermal noise, without random numbers: one series over the period.

use super::{Curve, Row, Task};
use crate::experiment::Method;
use crate::experiment::shunted;
use crate::model::thermal::FluxCurve;

/// Error allowed of the voltage, in I0 R.
const TOLERANCE: f64 = 1e-6;

#[derive(Debug)]
pub(super) struct NoisyCurve {
    curve: FluxCurve,
    /// The method does not reach here.
    beyond: bool,
}

impl NoisyCurve {
    /// Nothing for a loop that this method does not reach: one with capacitance.
    pub(super) fn new(task: &Task) -> Option<Self> {
        let device = &task.device;
        let curve = FluxCurve::new(&device.model, task.bias, device.noise, TOLERANCE).ok()?;
        Some(Self {
            curve: curve.with_cost(shunted::MOST_COST),
            beyond: false,
        })
    }
}

impl Curve for NoisyCurve {
    fn step(&mut self) -> bool {
        self.beyond = self.curve.step().is_err();
        !self.beyond
    }

    fn share(&self) -> f64 {
        self.curve.share()
    }

    fn row(&self, _: usize, flux: f64) -> Option<Row> {
        self.at(flux)
    }

    fn at(&self, flux: f64) -> Option<Row> {
        let point = self.curve.at(flux)?;
        Some(Row {
            voltage: point.voltage,
            transfer: point.transfer,
            noise: point.noise,
            voltage_error: point.voltage_error,
            transfer_error: point.transfer_error,
            noise_error: point.noise_error,
        })
    }

    fn method(&self, _: f64) -> Method {
        Method::FokkerPlanck
    }
}
