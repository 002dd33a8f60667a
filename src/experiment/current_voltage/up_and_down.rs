//! Voltage against bias with capacitance and without noise: the bias is swept away from zero and
//! back, and the loop remembers.

use super::slices::{Row, UNKNOWN};
use crate::experiment::Method;
use crate::experiment::sweep::share;
use crate::model::shunted_loop::ShuntedLoop;
use crate::model::underdamped::{Branch, Underdamped};

/// Points of one slice.
const SLICE: usize = 8;

#[derive(Debug)]
pub(super) struct UpAndDown {
    state: Underdamped,
    flux: f64,
    biases: Vec<f64>,
    /// Places of the biases, least size first; of either sign, so that each sign is one sweep.
    order: Vec<usize>,
    rows: Vec<Row>,
    /// Points computed on the way up, and on the way down.
    up: usize,
    down: usize,
}

impl UpAndDown {
    pub(super) fn new(device: &ShuntedLoop, flux: f64, biases: &[f64]) -> Self {
        let mut order: Vec<usize> = (0..biases.len()).collect();
        let negative = |k: &usize| biases[*k] < 0.0;
        order.sort_by(|a, b| {
            negative(a)
                .cmp(&negative(b))
                .then(biases[*a].abs().total_cmp(&biases[*b].abs()))
        });
        Self {
            state: Underdamped::new(device),
            flux,
            biases: biases.to_vec(),
            rows: vec![UNKNOWN; biases.len()],
            order,
            up: 0,
            down: 0,
        }
    }

    pub(super) fn step(&mut self) {
        for _ in 0..SLICE {
            let count = self.order.len();
            if self.up < count {
                let place = self.order[self.up];
                self.up += 1;
                let up = self
                    .state
                    .mean(self.biases[place], self.flux, Branch::Rising);
                self.rows[place] = Row {
                    rising: up.voltage,
                    falling: f64::NAN,
                    error: up.error,
                    method: Method::PeriodAverage,
                };
            } else if self.down < count {
                self.down += 1;
                let place = self.order[count - self.down];
                let down = self
                    .state
                    .mean(self.biases[place], self.flux, Branch::Falling);
                let row = &mut self.rows[place];
                row.falling = down.voltage;
                row.error = row.error.max(down.error);
            }
        }
    }

    pub(super) fn share(&self) -> f64 {
        share(self.up + self.down, 2 * self.order.len())
    }

    pub(super) fn row(&self, index: usize) -> Row {
        self.rows.get(index).copied().unwrap_or(UNKNOWN)
    }
}
