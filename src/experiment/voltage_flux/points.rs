//! A curve that is computed point by point: the fluxes asked for, and what was found.

use super::{Row, Task};
use crate::experiment::sweep;

#[derive(Debug)]
pub(super) struct Points {
    fluxes: Vec<f64>,
    rows: Vec<Row>,
}

impl Points {
    /// Nothing found yet.
    pub(super) fn new(task: &Task) -> Self {
        Self {
            fluxes: task.x.iter().map(|flux| task.sign * flux).collect(),
            rows: Vec::with_capacity(task.x.len()),
        }
    }

    /// The next fluxes, as many as a slice takes.
    pub(super) fn next(&self, slice: usize) -> Vec<f64> {
        let open = self.fluxes.iter().skip(self.rows.len());
        open.take(slice).copied().collect()
    }

    /// What was found at the next flux.
    pub(super) fn add(&mut self, row: Row) {
        self.rows.push(row);
    }

    pub(super) fn share(&self) -> f64 {
        sweep::share(self.rows.len(), self.fluxes.len())
    }

    pub(super) fn row(&self, index: usize) -> Option<Row> {
        self.rows.get(index).copied()
    }
}
