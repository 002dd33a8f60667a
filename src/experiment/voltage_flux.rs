//! A shunted loop at a fixed bias: voltage against applied flux, its slope and its noise.

mod noisy;
mod quiet;
mod random;
mod swinging;

use std::cell::OnceCell;

use super::description::{
    ColumnDescription, Look, ParameterDescription, ParameterKind, Physics, ReadingDescription,
    SetupDescription, in_slices,
};
use super::scale::AxisScale;
use super::setup::Setup;
use super::shunted::{self, Device, PARAMETERS as LOOP};
use super::single_junction::reading;
use super::sweep::Slices;
use super::{ExperimentError, Inside, Method, Reading, View, biased, screened_loop};
use crate::constants::{BOLTZMANN, FLUX_QUANTUM};
use crate::numerics::minimise;
use noisy::NoisyCurve;
use quiet::QuietCurve;
use random::RandomCurve;
use swinging::SwingingCurve;

/// Place of the bias among the parameters.
const BIAS: usize = shunted::OWN;
/// Place of the effective area.
const AREA: usize = shunted::OWN + 1;

pub(super) const DESCRIPTION: SetupDescription = SetupDescription {
    kind: "voltage-flux",
    summary: "a loop with two shunted junctions at a fixed bias current: voltage against applied flux, its slope, and its noise",
    parameters: &[
        LOOP[0],
        LOOP[1],
        LOOP[2],
        LOOP[3],
        LOOP[4],
        LOOP[5],
        LOOP[6],
        shunted::BIAS,
        ParameterDescription {
            name: "effective-area",
            kind: ParameterKind::Quantity,
            unit: "m^2",
            from: 1e-14,
            to: 1.0,
            default: "0.01 mm^2",
            words: "flux through the loop over the field that causes it",
        },
    ],
    x: ColumnDescription {
        name: "flux",
        unit: "Phi0",
        words: "applied flux",
    },
    other_x: &[],
    columns: &[
        ColumnDescription {
            name: "voltage",
            unit: "V",
            words: "voltage",
        },
        ColumnDescription {
            name: "transfer",
            unit: "V/Phi0",
            words: "slope of the voltage against flux",
        },
        ColumnDescription {
            name: "voltage-noise",
            unit: "V^2/Hz",
            words: "voltage noise at low frequency",
        },
        ColumnDescription {
            name: "flux-noise",
            unit: "Phi0/sqrt(Hz)",
            words: "flux noise: root of the voltage noise over the slope",
        },
        ColumnDescription {
            name: "voltage-error",
            unit: "V",
            words: "estimated error of the voltage",
        },
    ],
    readings: &[
        ReadingDescription {
            name: "maximum",
            unit: "V",
            words: "largest voltage",
        },
        ReadingDescription {
            name: "minimum",
            unit: "V",
            words: "smallest voltage",
        },
        ReadingDescription {
            name: "swing",
            unit: "V",
            words: "largest less smallest voltage",
        },
        ReadingDescription {
            name: "period",
            unit: "Phi0",
            words: "period of the voltage in applied flux",
        },
        ReadingDescription {
            name: "steepest-flux",
            unit: "Phi0",
            words: "applied flux at which the voltage rises most steeply",
        },
        ReadingDescription {
            name: "steepest-transfer",
            unit: "V/Phi0",
            words: "slope there",
        },
        ReadingDescription {
            name: "best-flux",
            unit: "Phi0",
            words: "applied flux of the least flux noise, on the rising side (with noise only)",
        },
        ReadingDescription {
            name: "transfer",
            unit: "V/Phi0",
            words: "slope of the voltage at the best flux",
        },
        ReadingDescription {
            name: "transfer-error",
            unit: "V/Phi0",
            words: "estimated error of that slope",
        },
        ReadingDescription {
            name: "voltage-noise",
            unit: "V^2/Hz",
            words: "voltage noise at the best flux",
        },
        ReadingDescription {
            name: "flux-noise",
            unit: "Phi0/sqrt(Hz)",
            words: "flux noise at the best flux",
        },
        ReadingDescription {
            name: "flux-noise-error",
            unit: "Phi0/sqrt(Hz)",
            words: "estimated error of that flux noise",
        },
        ReadingDescription {
            name: "noise-energy",
            unit: "J/Hz",
            words: "noise energy at the best flux: flux noise squared over twice the inductance",
        },
        ReadingDescription {
            name: "noise-energy-relative",
            unit: "",
            words: "noise energy at the best flux, in kB T L/R",
        },
        ReadingDescription {
            name: "field-noise",
            unit: "T/sqrt(Hz)",
            words: "field noise at the best flux: flux noise over the effective area",
        },
        shunted::BETA_L,
        shunted::BETA_C,
        shunted::NOISE_PARAMETER,
    ],
    physics: Physics {
        conflict: |setup| shunted::conflict(setup, Some(setup.number(BIAS))),
        work: in_slices(begin),
        views: &[View::Loop, View::OperatingPoint, View::WorkingPoint],
        inside: Look::at_once(inside),
        axes: |_| {
            vec![AxisScale {
                name: "flux",
                label: "applied flux",
                unit: "Phi0",
                si_per_unit: 1.0,
            }]
        },
        window: |_| (0.0, 2.0),
        warnings: |_| Vec::new(),
        reach: |_| 1e6,
        folded: None,
    },
};

fn inside(setup: &Setup, view: View, flux: f64) -> Result<Inside, ExperimentError> {
    let bias = setup.number(BIAS);
    match view {
        View::OperatingPoint => biased::operating_point(setup, bias, flux, true),
        View::WorkingPoint => biased::working_point(setup, bias, Some(flux)),
        // The loop at rest.
        _ => Ok(screened_loop::inside(setup, flux)),
    }
}

/// Multiplications allowed for one point of the stationary equation before random paths are
/// cheaper: some tenths of a second.
const MOST_COST: f64 = 5e8;

/// Damping parameter at which hysteresis begins for a junction alone: the orbit from saddle to saddle exists
/// below the critical current (M. Levi, F. Hoppensteadt and W. Miranker, Q. Appl. Math. 36, 167 (1978), from memory).
const HYSTERESIS: f64 = 0.7;

/// Slopes below this, in I0 R/Φ0, are what rounding leaves of none.
const NO_SLOPE: f64 = 1e-10;

/// One way to the curve, filled in step by step. All for positive bias.
trait Curve: std::fmt::Debug {
    /// Does a few milliseconds of work; false when this method does not reach here.
    fn step(&mut self) -> bool;
    /// The share of the work done; exactly 1 when all is.
    fn share(&self) -> f64;
    /// What is known of the value number `index` of x, at that flux.
    fn row(&self, index: usize, flux: f64) -> Option<Row>;
    /// What is known at any flux.
    fn at(&self, flux: f64) -> Option<Row>;
    /// The method behind what is known at a flux.
    fn method(&self, flux: f64) -> Method;
}

/// A run: the method in use, and what it is used on.
#[derive(Debug)]
struct Run {
    task: Task,
    curve: Option<Box<dyn Curve>>,
    /// Once the work is done.
    readings: OnceCell<Vec<Reading>>,
}

/// Chooses the method: noise-free at 0 K, the stationary equation where it reaches, else random
/// paths.
pub(super) fn begin(setup: &Setup, x: &[f64]) -> Box<dyn Slices> {
    let task = Task::of(setup, x);
    let curve = first_method(&task);
    Box::new(Run {
        task,
        curve,
        readings: OnceCell::new(),
    })
}

fn first_method(task: &Task) -> Option<Box<dyn Curve>> {
    let device = &task.device;
    if device.noise <= 0.0 {
        if device.model.beta_c() > 0.0 {
            return Some(Box::new(SwingingCurve::new(task)));
        }
        return Some(Box::new(QuietCurve::new(task)?));
    }
    match NoisyCurve::new(task) {
        Some(curve) => Some(Box::new(curve)),
        None => random_paths(task),
    }
}

/// The method that reaches everywhere where there is noise.
fn random_paths(task: &Task) -> Option<Box<dyn Curve>> {
    Some(Box::new(RandomCurve::new(task)?))
}

impl Slices for Run {
    fn slice(&mut self) {
        if let Some(curve) = &mut self.curve
            && !curve.step()
        {
            self.curve = random_paths(&self.task);
        }
    }

    fn share(&self) -> f64 {
        self.curve.as_ref().map_or(1.0, |curve| curve.share())
    }

    fn columns(&self) -> Vec<Vec<f64>> {
        self.task.columns(|index, flux| {
            self.curve
                .as_ref()
                .and_then(|curve| curve.row(index, flux))
                .unwrap_or(UNKNOWN)
        })
    }

    fn methods(&self) -> Vec<Method> {
        let method = |flux: &f64| {
            self.curve
                .as_ref()
                .map_or(Method::None, |curve| curve.method(self.task.sign * flux))
        };
        self.task.x.iter().map(method).collect()
    }

    fn readings(&self) -> Vec<Reading> {
        match &self.curve {
            Some(curve) if curve.share() >= 1.0 => self
                .readings
                .get_or_init(|| self.task.readings(|flux| curve.at(flux).unwrap_or(UNKNOWN)))
                .clone(),
            _ => shunted::parameters_read(&self.task.device),
        }
    }

    fn warnings(&self) -> Vec<String> {
        if self.task.device.model.beta_c() > HYSTERESIS {
            vec![
                "with so much capacitance the loop may keep two voltages at one bias; shown is the one reached from rest"
                    .to_string(),
            ]
        } else {
            Vec::new()
        }
    }
}

/// A loop at a bias, as all methods need it. A negative bias gives the negative voltage of the positive
/// one at the mirrored flux; the methods see positive bias only.
#[derive(Debug, Clone)]
struct Task {
    device: Device,
    /// Size of the bias in I0.
    bias: f64,
    /// −1 for a negative bias.
    sign: f64,
    area: f64,
    x: Vec<f64>,
}

/// The voltage state at one flux, in normalised units.
#[derive(Debug, Clone, Copy)]
struct Row {
    voltage: f64,
    transfer: f64,
    noise: f64,
    voltage_error: f64,
    transfer_error: f64,
    noise_error: f64,
}

impl Row {
    /// Root of the noise over the slope: none without noise, and beyond bounds where slope or noise are not three times
    /// their errors.
    fn flux_noise(&self) -> f64 {
        let told =
            self.transfer.abs() > 3.0 * self.transfer_error && self.noise > 3.0 * self.noise_error;
        if self.noise <= 0.0 && self.noise_error <= 0.0 {
            0.0
        } else if told {
            self.noise.sqrt() / self.transfer.abs()
        } else if self.transfer.is_nan() {
            f64::NAN
        } else {
            f64::INFINITY
        }
    }

    /// Relative error of the flux noise: of a root over a slope.
    fn flux_noise_error(&self) -> f64 {
        let slope = self.transfer_error / self.transfer;
        let noise = 0.5 * self.noise_error / self.noise;
        (slope * slope + noise * noise).sqrt()
    }
}

/// A flux at which nothing is known yet.
const UNKNOWN: Row = Row {
    voltage: f64::NAN,
    transfer: f64::NAN,
    noise: f64::NAN,
    voltage_error: f64::NAN,
    transfer_error: f64::NAN,
    noise_error: f64::NAN,
};

impl Task {
    fn of(setup: &Setup, x: &[f64]) -> Self {
        let device = Device::of(setup);
        let bias = setup.number(BIAS) / device.current;
        Self {
            device,
            bias: bias.abs(),
            sign: if bias < 0.0 { -1.0 } else { 1.0 },
            area: setup.number(AREA),
            x: x.to_vec(),
        }
    }

    /// The columns from what a method knows at each place and flux.
    fn columns(&self, known: impl Fn(usize, f64) -> Row) -> Vec<Vec<f64>> {
        let mut columns = vec![Vec::with_capacity(self.x.len()); DESCRIPTION.columns.len()];
        for (index, flux) in self.x.iter().enumerate() {
            let row = self.row(*flux, |flux| known(index, flux));
            let volts = self.device.voltage();
            let noise = row.noise * self.device.voltage_noise();
            let transfer = row.transfer * volts;
            let cells = [
                row.voltage * volts,
                transfer,
                noise,
                row.flux_noise() * (self.device.voltage_noise().sqrt() / volts),
                row.voltage_error * volts,
            ];
            for (column, cell) in columns.iter_mut().zip(cells) {
                column.push(cell);
            }
        }
        columns
    }

    /// The row at an applied flux, for whatever sign of the bias.
    fn row(&self, flux: f64, at: impl Fn(f64) -> Row) -> Row {
        let row = at(self.sign * flux);
        Row {
            voltage: self.sign * row.voltage,
            transfer: if row.transfer.abs() < NO_SLOPE {
                0.0
            } else {
                row.transfer
            },
            voltage_error: row.voltage_error + self.device.error_left_out(),
            ..row
        }
    }

    /// The readings, from a curve that is known everywhere.
    fn readings(&self, at: impl Fn(f64) -> Row) -> Vec<Reading> {
        const GRID: u32 = 256;
        let at = |flux: f64| self.row(flux, &at);
        // A period that begins where the voltage of a symmetric loop is smallest.
        let place = |k: u32| f64::from(k) / f64::from(GRID);
        let mut lowest = (0.0, f64::INFINITY);
        let mut highest = (0.0, f64::NEG_INFINITY);
        let mut steepest = (0.0, f64::NEG_INFINITY);
        let mut quietest = (0.0, f64::INFINITY);
        let quiet = |flux: f64| {
            let row = at(flux);
            // The least of many values that have errors would be the luckiest, not the best: error counts too.
            if row.transfer > 0.0 {
                row.flux_noise() * (1.0 + row.flux_noise_error())
            } else {
                f64::INFINITY
            }
        };
        for k in 0..GRID {
            let flux = place(k);
            let row = at(flux);
            if row.voltage < lowest.1 {
                lowest = (flux, row.voltage);
            }
            if row.voltage > highest.1 {
                highest = (flux, row.voltage);
            }
            if row.transfer > steepest.1 {
                steepest = (flux, row.transfer);
            }
            let noise = quiet(flux);
            if noise < quietest.1 {
                quietest = (flux, noise);
            }
        }
        let near = |place: f64, f: &dyn Fn(f64) -> f64| {
            let step = 1.0 / f64::from(GRID);
            minimise::brent(f, place - step, place + step, 1e-10).0
        };
        let volts = self.device.voltage();
        let lowest = at(near(lowest.0, &|flux| at(flux).voltage)).voltage * volts;
        let highest = at(near(highest.0, &|flux| -at(flux).voltage)).voltage * volts;
        let steepest = near(steepest.0, &|flux| -at(flux).transfer);
        let mut readings = vec![
            reading("maximum", "V", highest),
            reading("minimum", "V", lowest),
            reading("swing", "V", highest - lowest),
            reading("period", "Phi0", 1.0),
        ];
        if highest > lowest {
            readings.push(reading("steepest-flux", "Phi0", steepest));
            readings.push(reading(
                "steepest-transfer",
                "V/Phi0",
                at(steepest).transfer * volts,
            ));
        }
        if self.device.noise > 0.0 && quietest.1.is_finite() {
            let best = near(quietest.0, &quiet);
            self.read_noise(best, at(best), &mut readings);
        }
        readings.extend(shunted::parameters_read(&self.device));
        readings
    }

    /// What noise and slope at the best flux give.
    fn read_noise(&self, flux: f64, row: Row, readings: &mut Vec<Reading>) {
        let device = &self.device;
        let transfer = row.transfer * device.voltage();
        let noise = row.noise * device.voltage_noise();
        let flux_noise = noise.sqrt() / transfer;
        let webers = flux_noise * FLUX_QUANTUM;
        let energy = 0.5 * webers * webers / device.inductance;
        let thermal = BOLTZMANN * device.temperature * device.inductance / device.resistance;
        readings.extend([
            reading("best-flux", "Phi0", flux),
            reading("transfer", "V/Phi0", transfer),
            reading(
                "transfer-error",
                "V/Phi0",
                row.transfer_error * device.voltage(),
            ),
            reading("voltage-noise", "V^2/Hz", noise),
            reading("flux-noise", "Phi0/sqrt(Hz)", flux_noise),
            reading(
                "flux-noise-error",
                "Phi0/sqrt(Hz)",
                flux_noise * row.flux_noise_error(),
            ),
            reading("noise-energy", "J/Hz", energy),
            reading("noise-energy-relative", "", energy / thermal),
            reading("field-noise", "T/sqrt(Hz)", webers / self.area),
        ]);
    }
}
