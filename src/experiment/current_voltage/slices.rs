//! The voltage of a loop against its bias, a few points at a time.

use std::cell::OnceCell;

use super::FLUX;
use super::random::RandomCurve;
use super::up_and_down::UpAndDown;
use crate::experiment::setup::Setup;
use crate::experiment::shunted::{self, Device};
use crate::experiment::single_junction::reading;
use crate::experiment::sweep::{Slices, share};
use crate::experiment::{Method, Reading};
use crate::model::running::Running;
use crate::model::thermal::Thermal;
use crate::model::underdamped::Underdamped;
use crate::numerics::refined_curve::{Node, RefinedCurve};

/// Up to so many biases every one is computed; of more, a curve is drawn through nodes.
const FEW: usize = 40;

/// Error of that curve, in I0 R.
const TOLERANCE: f64 = 2e-6;

/// The most nodes of that curve.
const MOST_NODES: usize = 600;

/// Noise-free points of one slice.
const SLICE: usize = 128;

/// What is known at one bias, in I0 R, for the rising and the falling bias.
#[derive(Debug, Clone, Copy)]
pub(super) struct Row {
    pub(super) rising: f64,
    pub(super) falling: f64,
    pub(super) error: f64,
    pub(super) method: Method,
}

pub(super) const UNKNOWN: Row = Row {
    rising: f64::NAN,
    falling: f64::NAN,
    error: f64::NAN,
    method: Method::None,
};

/// Begins the run: the method follows from temperature and capacitance.
pub(super) fn begin(setup: &Setup, x: &[f64]) -> Box<dyn Slices> {
    let device = Device::of(setup);
    let task = Task {
        device,
        flux: setup.number(FLUX),
        biases: x.iter().map(|x| x / device.current).collect(),
    };
    let way = Way::choose(&task);
    Box::new(Run {
        task,
        way,
        limits: OnceCell::new(),
    })
}

#[derive(Debug)]
struct Task {
    device: Device,
    flux: f64,
    /// In I0.
    biases: Vec<f64>,
}

#[derive(Debug)]
struct Run {
    task: Task,
    way: Way,
    /// Critical and return current in I0, once they were asked for.
    limits: OnceCell<(f64, f64)>,
}

/// The way to the curve.
#[derive(Debug)]
enum Way {
    /// Without noise and capacitance, every point by itself.
    Quiet(Box<Running>, Vec<Row>),
    /// Without noise but with capacitance: up and down.
    Hysteretic(Box<UpAndDown>),
    /// With noise, every point by itself.
    Few(Box<Thermal>, Vec<Row>),
    /// With noise, a curve through nodes.
    Many(Box<Thermal>, RefinedCurve),
    /// With noise where the stationary equation does not reach.
    Random(RandomCurve),
    /// No method reaches here.
    Nowhere,
}

impl Way {
    fn choose(task: &Task) -> Self {
        let device = &task.device;
        let way = if device.noise > 0.0 {
            match Thermal::new(&device.model, device.noise) {
                Ok(thermal) => Some(Self::stationary(
                    task,
                    thermal.with_cost(shunted::MOST_COST),
                )),
                Err(_) => Some(Self::random(task)),
            }
        } else if device.model.beta_c() > 0.0 {
            Some(Self::Hysteretic(Box::new(UpAndDown::new(
                &device.model,
                task.flux,
                &task.biases,
            ))))
        } else {
            Running::new(&device.model).map(|running| Self::Quiet(Box::new(running), Vec::new()))
        };
        way.unwrap_or(Self::Nowhere)
    }

    fn stationary(task: &Task, thermal: Thermal) -> Self {
        let thermal = Box::new(thermal);
        if task.biases.len() <= FEW {
            return Self::Few(thermal, Vec::new());
        }
        let (low, high) = ends(&task.biases);
        Self::Many(thermal, RefinedCurve::new(low, high, TOLERANCE, MOST_NODES))
    }

    fn random(task: &Task) -> Self {
        Self::Random(RandomCurve::new(&task.device, task.flux, &task.biases))
    }
}

impl Task {
    /// One point with noise; its slope in the bias besides.
    ///
    /// Nothing where the stationary equation does not reach.
    fn noisy(&self, thermal: &mut Thermal, bias: f64) -> Option<(Row, f64)> {
        // A negative bias gives the negative voltage of the positive one at the mirrored flux.
        let sign = if bias < 0.0 { -1.0 } else { 1.0 };
        let point = thermal.solve(bias.abs(), sign * self.flux).ok()?;
        let row = Row {
            rising: sign * point.voltage,
            falling: sign * point.voltage,
            error: point.voltage_error,
            method: Method::FokkerPlanck,
        };
        Some((row, point.resistance))
    }
}

impl Slices for Run {
    fn slice(&mut self) {
        let task = &self.task;
        match &mut self.way {
            Way::Quiet(running, rows) => {
                let from = rows.len();
                for bias in task.biases.iter().skip(from).take(SLICE) {
                    let found = running.at(*bias, task.flux);
                    rows.push(Row {
                        rising: found.voltage,
                        falling: found.voltage,
                        error: found.error,
                        method: Method::PeriodAverage,
                    });
                }
            }
            Way::Hysteretic(sweep) => sweep.step(),
            Way::Few(thermal, rows) => {
                if let Some(bias) = task.biases.get(rows.len()) {
                    match task.noisy(thermal, *bias) {
                        Some((row, _)) => rows.push(row),
                        None => self.way = Way::random(task),
                    }
                }
            }
            Way::Many(thermal, curve) => {
                if let Some(bias) = curve.next_place() {
                    match task.noisy(thermal, bias) {
                        Some((row, slope)) => curve.add(Node {
                            x: bias,
                            value: row.rising,
                            slope,
                        }),
                        None => self.way = Way::random(task),
                    }
                }
            }
            Way::Random(curve) => curve.step(),
            Way::Nowhere => {}
        }
    }

    fn share(&self) -> f64 {
        match &self.way {
            Way::Quiet(_, rows) | Way::Few(_, rows) => share(rows.len(), self.task.biases.len()),
            Way::Hysteretic(sweep) => sweep.share(),
            Way::Many(_, curve) => curve.share(),
            Way::Random(curve) => curve.share(),
            Way::Nowhere => 1.0,
        }
    }

    fn columns(&self) -> Vec<Vec<f64>> {
        let volts = self.task.device.voltage();
        let mut columns = vec![Vec::new(); super::DESCRIPTION.columns.len()];
        for row in self.rows() {
            let error = row.error + self.task.device.error_left_out();
            let cells = [row.rising, row.falling, error];
            for (column, cell) in columns.iter_mut().zip(cells) {
                column.push(cell * volts);
            }
        }
        columns
    }

    fn methods(&self) -> Vec<Method> {
        self.rows().map(|row| row.method).collect()
    }

    fn readings(&self) -> Vec<Reading> {
        let device = &self.task.device;
        let (critical, back) = *self.limits.get_or_init(|| {
            let mut state = Underdamped::new(&device.model);
            let flux = self.task.flux;
            (
                state.critical_current(flux, 1.0),
                state.return_current(flux),
            )
        });
        let mut readings = vec![
            reading("critical-current", "A", critical * device.current),
            reading("return-current", "A", back * device.current),
            reading("resistance", "ohm", 0.5 * device.resistance),
            reading("characteristic-voltage", "V", device.voltage()),
        ];
        readings.extend(shunted::parameters_read(device));
        readings
    }

    fn warnings(&self) -> Vec<String> {
        Vec::new()
    }
}

impl Run {
    fn rows(&self) -> impl Iterator<Item = Row> + '_ {
        self.task
            .biases
            .iter()
            .enumerate()
            .map(|(index, bias)| match &self.way {
                Way::Quiet(_, rows) | Way::Few(_, rows) => {
                    rows.get(index).copied().unwrap_or(UNKNOWN)
                }
                Way::Hysteretic(sweep) => sweep.row(index),
                Way::Many(_, curve) => curve.at(*bias).map_or(UNKNOWN, |voltage| Row {
                    rising: voltage,
                    falling: voltage,
                    error: curve.error(),
                    method: Method::FokkerPlanck,
                }),
                Way::Random(curve) => curve.at(*bias),
                Way::Nowhere => UNKNOWN,
            })
    }
}

/// The least and the largest.
pub(super) fn ends(biases: &[f64]) -> (f64, f64) {
    biases
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), bias| {
            (low.min(*bias), high.max(*bias))
        })
}
