//! The run of a feedback loop in slices: the voltage at the nodes first, then the loop moment by moment.

use super::curve::Curve;
use super::{BANDWIDTH, BIAS, DESCRIPTION, POINT, applied, window};
use crate::experiment::parameter::ParameterValue;
use crate::experiment::setup::Setup;
use crate::experiment::single_junction::reading;
use crate::experiment::sweep::Slices;
use crate::experiment::{Method, Reading, shunted, voltage_flux};
use crate::model::flux_locked_loop::{FluxLockedLoop, Held};

use core::f64::consts::TAU;

/// Places of a period at which the voltage is computed; cubics with its slopes between.
const NODES: u32 = 256;

/// Steps of the integration in one slice.
const STEPS_IN_SLICE: f64 = 2e4;

/// Moments of the window at which the readings look.
const LOOKS: u32 = 400;

/// The voltage at the nodes first, then the loop moment by moment.
#[derive(Debug)]
struct Run {
    setup: Setup,
    sensor: Box<dyn Slices>,
    curve: Option<Curve>,
    /// The moments to come to, in order of time, each with its place among the values of x (none for a moment of the
    /// readings alone).
    moments: Vec<(f64, Option<usize>)>,
    next: usize,
    held: Held,
    /// Feedback flux at each x.
    feedback: Vec<f64>,
    x: Vec<f64>,
    largest_error: f64,
    slipped: f64,
}

/// Begins the run: nothing is computed yet.
pub(super) fn begin(setup: &Setup, x: &[f64]) -> Box<dyn Slices> {
    let places: Vec<f64> = (0..NODES)
        .map(|k| f64::from(k) / f64::from(NODES))
        .collect();
    // Its first parameters are the same, with the same ranges; what is refused there has been refused here.
    let mut sensor = setup.clone();
    if let Ok(mut same) = Setup::new("voltage-flux") {
        for (parameter, value) in setup.parameters().take(BIAS + 1) {
            if let ParameterValue::Number(value) = value {
                let _ = same.set_si(parameter.name, *value);
            }
        }
        sensor = same;
    }
    let (_, end) = window(setup);
    let mut moments: Vec<(f64, Option<usize>)> = (1..=LOOKS)
        .map(|k| (end * f64::from(k) / f64::from(LOOKS), None))
        .chain(
            x.iter()
                .enumerate()
                .map(|(place, time)| (*time, Some(place))),
        )
        .collect();
    moments.sort_by(|one, other| one.0.total_cmp(&other.0));
    Box::new(Run {
        setup: setup.clone(),
        sensor: voltage_flux::begin(&sensor, &places),
        curve: None,
        moments,
        next: 0,
        held: Held {
            time: 0.0,
            feedback: 0.0,
        },
        feedback: vec![f64::NAN; x.len()],
        x: x.to_vec(),
        largest_error: 0.0,
        slipped: 0.0,
    })
}

/// The integrator's rate for each volt, signed so that the feedback holds the working point.
fn gain(setup: &Setup, curve: &Curve) -> f64 {
    let slope = curve.at(setup.number(POINT)).1;
    if curve.fastest > 0.0 {
        (TAU * setup.number(BANDWIDTH) / curve.fastest).copysign(slope)
    } else {
        0.0
    }
}

impl Slices for Run {
    fn slice(&mut self) {
        let Some(curve) = &self.curve else {
            if self.sensor.share() < 1.0 {
                self.sensor.slice();
            }
            if self.sensor.share() >= 1.0 {
                let columns = self.sensor.columns();
                if let [values, slopes, ..] = columns.as_slice() {
                    self.curve = Some(Curve::new(values, slopes));
                }
            }
            return;
        };
        let voltage = |flux: f64| curve.at(flux).0;
        let servo =
            FluxLockedLoop::new(&voltage, self.setup.number(POINT), gain(&self.setup, curve));
        let setup = &self.setup;
        let signal = |time: f64| applied(setup, time);
        let piece = STEPS_IN_SLICE / (TAU * setup.number(BANDWIDTH) * 5.0);
        let (_, end) = window(setup);
        let until = self.held.time + piece;
        while let Some((time, place)) = self.moments.get(self.next).copied() {
            let to = time.min(until);
            if to > self.held.time {
                self.held = servo.follow(self.held, to, &signal, curve.fastest);
            }
            if time > until {
                return;
            }
            self.next += 1;
            if let Some(slot) = place.and_then(|place| self.feedback.get_mut(place)) {
                *slot = if time < 0.0 { 0.0 } else { self.held.feedback };
            } else if time <= end {
                let error = signal(time) + self.held.feedback;
                self.largest_error = self.largest_error.max(error.abs());
                self.slipped = error.round();
            }
        }
    }

    fn share(&self) -> f64 {
        if self.curve.is_none() {
            return 0.9 * self.sensor.share().min(0.999);
        }
        if self.next >= self.moments.len() {
            return 1.0;
        }
        0.9 + 0.1 * self.next as f64 / self.moments.len() as f64
    }

    fn columns(&self) -> Vec<Vec<f64>> {
        let mut columns = vec![Vec::with_capacity(self.x.len()); DESCRIPTION.columns.len()];
        for (time, feedback) in self.x.iter().zip(&self.feedback) {
            let given = applied(&self.setup, *time);
            let error = given + feedback;
            let voltage = self.curve.as_ref().map_or(f64::NAN, |curve| {
                curve.at(self.setup.number(POINT) + error).0
            });
            for (column, value) in columns.iter_mut().zip([-feedback, given, error, voltage]) {
                column.push(value);
            }
        }
        columns
    }

    fn methods(&self) -> Vec<Method> {
        let method = self.sensor.methods().first().copied();
        vec![method.unwrap_or(Method::None); self.x.len()]
    }

    fn readings(&self) -> Vec<Reading> {
        let mut readings = shunted::parameters_read(&shunted::Device::of(&self.setup));
        readings.retain(|reading| DESCRIPTION.reading(reading.name).is_some());
        let Some(curve) = self.curve.as_ref().filter(|_| self.share() >= 1.0) else {
            return readings;
        };
        let point = self.setup.number(POINT);
        let gain = gain(&self.setup, curve);
        let voltage = |flux: f64| curve.at(flux).0;
        let (rise, fall) = FluxLockedLoop::new(&voltage, point, gain).slew_limits(4 * NODES);
        let slope = curve.at(point).1;
        readings.extend([
            reading("transfer", "V/Phi0", slope),
            reading("loop-bandwidth", "Hz", (gain * slope).abs() / TAU),
            reading("slew-limit", "Phi0/s", rise.min(fall)),
            reading("largest-error", "Phi0", self.largest_error),
            reading("slipped-quanta", "", self.slipped),
        ]);
        readings
    }

    fn warnings(&self) -> Vec<String> {
        let mut warnings = self.sensor.warnings();
        if let Some(curve) = &self.curve {
            let slope = curve.at(self.setup.number(POINT)).1.abs();
            if slope < 0.1 * curve.fastest {
                warnings.push(
                    "the voltage has little or no slope at this working-flux, so that the feedback holds it badly or not at all"
                        .to_string(),
                );
            }
        }
        warnings
    }
}
