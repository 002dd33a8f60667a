//! Voltage against flux without noise: values and slopes at even places of a period, a cubic between two of them where
//! the curve is smooth, and every point by itself beside its corners.

use std::cell::RefCell;

use super::points::Points;
use super::{Curve, Row, Task};
use crate::experiment::Method;
use crate::model::running::Running;

/// Points of one slice.
const SLICE: usize = 128;

/// Places of a period. The error of the cubic falls with the fourth power of their number.
const PLACES: usize = 256;

/// The largest estimated error of the cubic, in I0 R.
const TOLERANCE: f64 = 1e-8;

#[derive(Debug)]
pub(super) struct QuietCurve {
    bias: f64,
    symmetric: bool,
    solver: RefCell<Solver>,
    points: Points,
}

/// Finds states, and keeps those at the places of a period.
#[derive(Debug)]
struct Solver {
    running: Running,
    places: Vec<Option<Row>>,
}

impl QuietCurve {
    /// Nothing when the loop's critical current cannot be computed.
    pub(super) fn new(task: &Task) -> Option<Self> {
        Some(Self {
            bias: task.bias,
            symmetric: task.device.model.is_symmetric(),
            solver: RefCell::new(Solver {
                running: Running::new(&task.device.model)?,
                places: vec![None; PLACES],
            }),
            points: Points::new(task),
        })
    }

    fn compute(&self, flux: f64) -> Row {
        let in_period = flux - flux.floor();
        if self.symmetric && in_period > 0.5 {
            // The voltage of a symmetric loop is even.
            return mirrored(self.within(1.0 - in_period));
        }
        self.within(in_period)
    }

    /// At a flux from 0 to 1.
    fn within(&self, flux: f64) -> Row {
        let cell = (flux * PLACES as f64).floor();
        let start = cell as usize + PLACES;
        let nodes = [
            self.place(start - 1),
            self.place(start),
            self.place(start + 1),
            self.place(start + 2),
        ];
        let width = 1.0 / PLACES as f64;
        // A cubic through every other place misses the one between by sixteen times as much.
        let miss = |a: &Row, between: &Row, b: &Row| {
            let middle = 0.5 * (a.voltage + b.voltage) + 0.25 * width * (a.transfer - b.transfer);
            (middle - between.voltage).abs() / 16.0
        };
        let [before, left, right, after] = &nodes;
        let error = miss(before, left, right).max(miss(left, right, after));
        let slips = nodes.iter().all(|node| node.voltage > 0.0);
        if !slips || error > TOLERANCE || error.is_nan() {
            return self.alone(flux);
        }
        let t = flux * PLACES as f64 - cell;
        let (from, to) = (left.transfer * width, right.transfer * width);
        let rise = right.voltage - left.voltage;
        let (second, third) = (3.0 * rise - 2.0 * from - to, from + to - 2.0 * rise);
        Row {
            voltage: left.voltage + t * (from + t * (second + t * third)),
            transfer: (from + t * (2.0 * second + t * 3.0 * third)) / width,
            noise: 0.0,
            noise_error: 0.0,
            transfer_error: 0.0,
            voltage_error: error + left.voltage_error.max(right.voltage_error),
        }
    }

    /// At one of the places, counted round the period.
    fn place(&self, index: usize) -> Row {
        let index = index % PLACES;
        if self.symmetric && 2 * index > PLACES {
            return mirrored(self.place(PLACES - index));
        }
        let kept = self.solver.borrow().places.get(index).copied().flatten();
        kept.unwrap_or_else(|| {
            let row = self.alone(index as f64 / PLACES as f64);
            if let Some(place) = self.solver.borrow_mut().places.get_mut(index) {
                *place = Some(row);
            }
            row
        })
    }

    fn alone(&self, flux: f64) -> Row {
        let found = self.solver.borrow_mut().running.at(self.bias, flux);
        Row {
            voltage: found.voltage,
            transfer: found.transfer,
            noise: 0.0,
            noise_error: 0.0,
            transfer_error: 0.0,
            voltage_error: found.error,
        }
    }
}

/// The row of the opposite flux.
fn mirrored(row: Row) -> Row {
    Row {
        transfer: -row.transfer,
        ..row
    }
}

impl Curve for QuietCurve {
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
