//! A shunted loop at a fixed bias: voltage against applied flux, its slope and its noise.

mod best_flux;
mod noisy;
mod points;
mod quiet;
mod random;
mod swinging;
mod task;

use std::cell::OnceCell;

use super::description::{
    ColumnDescription, Look, ParameterDescription, ParameterKind, Physics, ReadingDescription,
    SetupDescription, in_slices, told,
};
use super::scale::AxisScale;
use super::setup::Setup;
use super::shunted::{self, PARAMETERS as LOOP};
use super::sweep::Slices;
use super::{ExperimentError, Inside, Method, Reading, View, biased, screened_loop};
use best_flux::BestFlux;
use noisy::NoisyCurve;
use quiet::QuietCurve;
use random::RandomCurve;
use swinging::SwingingCurve;
use task::{Row, Task, UNKNOWN};

/// Place of the bias among the parameters.
const BIAS: usize = shunted::OWN;
/// Place of the effective area.
const AREA: usize = shunted::OWN + 1;

pub(super) const DESCRIPTION: SetupDescription = SetupDescription {
    kind: "voltage-flux",
    summary: told(
        "a loop with two shunted junctions at a fixed bias current: voltage against applied flux, its slope, and its noise",
    ),
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
            words: told("flux through the loop over the field that causes it"),
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
            words: told("largest voltage"),
        },
        ReadingDescription {
            name: "minimum",
            unit: "V",
            words: told("smallest voltage"),
        },
        ReadingDescription {
            name: "swing",
            unit: "V",
            words: told("largest less smallest voltage"),
        },
        ReadingDescription {
            name: "period",
            unit: "Phi0",
            words: told("period in applied flux: of the voltage"),
        },
        ReadingDescription {
            name: "steepest-flux",
            unit: "Phi0",
            words: told("steepest flux: applied flux at which the voltage rises most steeply"),
        },
        ReadingDescription {
            name: "steepest-transfer",
            unit: "V/Phi0",
            words: told("steepest slope: of the voltage, at the steepest flux"),
        },
        ReadingDescription {
            name: "voltage-step",
            unit: "V",
            words: told(
                "voltage step: its change at the steepest flux for a thousandth of a quantum",
            ),
        },
        ReadingDescription {
            name: "best-flux",
            unit: "Phi0",
            words: told(
                "best flux: applied flux of the least flux noise, on the rising side (with noise only)",
            ),
        },
        ReadingDescription {
            name: "transfer",
            unit: "V/Phi0",
            words: told("slope at the best flux: of the voltage"),
        },
        ReadingDescription {
            name: "transfer-error",
            unit: "V/Phi0",
            words: told("estimated error of the slope: at the best flux"),
        },
        ReadingDescription {
            name: "voltage-noise",
            unit: "V^2/Hz",
            words: told("voltage noise: at the best flux"),
        },
        ReadingDescription {
            name: "flux-noise",
            unit: "Phi0/sqrt(Hz)",
            words: told("flux noise: at the best flux"),
        },
        ReadingDescription {
            name: "flux-noise-error",
            unit: "Phi0/sqrt(Hz)",
            words: told("error of the flux noise: estimated"),
        },
        ReadingDescription {
            name: "noise-energy",
            unit: "J/Hz",
            words: told(
                "noise energy: at the best flux, flux noise squared over twice the inductance",
            ),
        },
        ReadingDescription {
            name: "noise-energy-relative",
            unit: "",
            words: told("noise energy in kB T L/R: at the best flux"),
        },
        ReadingDescription {
            name: "field-noise",
            unit: "T/sqrt(Hz)",
            words: told("field noise: at the best flux, flux noise over the effective area"),
        },
        shunted::BETA_L,
        shunted::BETA_C,
        shunted::NOISE_PARAMETER,
    ],
    physics: Physics {
        conflict: |setup| shunted::conflict(setup, Some(setup.number(BIAS))),
        work: in_slices(begin, shunted::known),
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

/// Damping parameter at which hysteresis begins for a junction alone: the orbit from saddle to saddle exists
/// below the critical current (M. Levi, F. Hoppensteadt and W. Miranker, Q. Appl. Math. 36, 167 (1978), from memory).
const HYSTERESIS: f64 = 0.7;

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
    /// Whether what is known has errors of chance.
    fn scatters(&self) -> bool {
        false
    }
}

/// A run: the method in use, and what it is used on.
#[derive(Debug)]
struct Run {
    task: Task,
    curve: Option<Box<dyn Curve>>,
    /// After random paths, the search for their best flux by a method without their scatter.
    best: Option<BestFlux>,
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
        best: None,
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

/// Share of the work that is done when the curve is, while its best flux is still looked for.
const CURVE_SHARE: f64 = 0.95;

impl Run {
    /// What the curve knows at a flux.
    fn known(&self, flux: f64) -> Row {
        let curve = self.curve.as_ref();
        curve.and_then(|curve| curve.at(flux)).unwrap_or(UNKNOWN)
    }

    fn curve_is_done(&self) -> bool {
        self.curve.as_ref().is_none_or(|curve| curve.share() >= 1.0)
    }

    /// Does some more of the curve, by random paths where the method in use does not reach.
    fn draw(&mut self) {
        if let Some(curve) = &mut self.curve
            && !curve.step()
        {
            self.curve = random_paths(&self.task);
        }
        if self.curve_is_done() && self.curve.as_ref().is_some_and(|curve| curve.scatters()) {
            self.best = BestFlux::new(&self.task, || self.task.quietest(|flux| self.known(flux)));
        }
    }
}

impl Slices for Run {
    fn slice(&mut self) {
        match &mut self.best {
            Some(best) => best.step(),
            None => self.draw(),
        }
    }

    fn share(&self) -> f64 {
        let Some(curve) = &self.curve else {
            return 1.0;
        };
        match &self.best {
            Some(best) if best.is_done() => 1.0,
            Some(_) => CURVE_SHARE,
            None if curve.share() < 1.0 => CURVE_SHARE * curve.share(),
            None => 1.0,
        }
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
        if self.curve.is_none() || self.share() < 1.0 {
            return shunted::parameters_read(&self.task.device);
        }
        self.readings
            .get_or_init(|| {
                let found = self.best.as_ref().and_then(BestFlux::found);
                self.task.readings(|flux| self.known(flux), found)
            })
            .clone()
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
