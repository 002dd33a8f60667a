//! A loop with two shunted junctions as a sensor in a feedback loop: output and error against time.

use super::description::{
    ColumnDescription, Look, ParameterDescription, ParameterKind, Physics, ReadingDescription,
    SetupDescription, in_slices, told,
};
use super::scale::AxisScale;
use super::setup::{ParameterValue, Setup};
use super::shunted::{self, PARAMETERS as LOOP};
use super::single_junction::reading;
use super::sweep::Slices;
use super::{Method, Reading, View, biased, screened_loop, voltage_flux};
use crate::decimal::power;
use crate::model::flux_locked_loop::{FluxLockedLoop, Held};
use crate::numerics::elementary::sin;

use core::f64::consts::TAU;

const BIAS: usize = shunted::OWN;
const POINT: usize = shunted::OWN + 1;
const BANDWIDTH: usize = shunted::OWN + 2;
const SIGNAL: usize = shunted::OWN + 3;
const AMPLITUDE: usize = shunted::OWN + 4;
const FREQUENCY: usize = shunted::OWN + 5;

/// Places of a period at which the voltage is computed; cubics with its slopes between.
const NODES: u32 = 256;

/// Longest time that is followed, in periods of a tone at the loop's bandwidth.
const LONGEST: f64 = 2e5;

/// Steps of the integration in one slice.
const STEPS_IN_SLICE: f64 = 2e4;

/// Moments of the window at which the readings look.
const LOOKS: u32 = 400;

pub(super) const DESCRIPTION: SetupDescription = SetupDescription {
    kind: "flux-locked-loop",
    summary: told(
        "a loop with two shunted junctions held at a working point by feedback through an integrator: output and error against time; its voltage is taken to follow the flux at once",
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
            name: "working-flux",
            kind: ParameterKind::Quantity,
            unit: "Phi0",
            from: -1.0,
            to: 1.0,
            default: "0.25 Phi0",
            words: told("flux at which the loop is held"),
        },
        ParameterDescription {
            name: "bandwidth",
            kind: ParameterKind::Quantity,
            unit: "Hz",
            from: 1.0,
            to: 100e6,
            default: "100 kHz",
            words: told(
                "frequency up to which the feedback would follow small signals at the steepest place of the voltage; sets the integrator",
            ),
        },
        ParameterDescription {
            name: "signal",
            kind: ParameterKind::Choice(&["sine", "ramp", "step"]),
            unit: "",
            from: 0.0,
            to: 0.0,
            default: "sine",
            words: told(
                "how the applied flux changes: as a sine, evenly (by the amplitude in a period), or by one step after a quarter of a period",
            ),
        },
        ParameterDescription {
            name: "amplitude",
            kind: ParameterKind::Quantity,
            unit: "Phi0",
            from: 0.0,
            to: 1000.0,
            default: "3 Phi0",
            words: told("amplitude of the sine, rise in a period, or height of the step"),
        },
        ParameterDescription {
            name: "frequency",
            kind: ParameterKind::Quantity,
            unit: "Hz",
            from: 1e-3,
            to: 100e6,
            default: "1 kHz",
            words: told("frequency of the signal; for a ramp or step one over the time scale"),
        },
    ],
    x: ColumnDescription {
        name: "time",
        unit: "s",
        words: "time",
    },
    other_x: &[],
    columns: &[
        ColumnDescription {
            name: "output-flux",
            unit: "Phi0",
            words: "output: the feedback flux, sign turned",
        },
        ColumnDescription {
            name: "applied-flux",
            unit: "Phi0",
            words: "applied flux",
        },
        ColumnDescription {
            name: "error-flux",
            unit: "Phi0",
            words: "applied flux less output",
        },
        ColumnDescription {
            name: "voltage",
            unit: "V",
            words: "voltage of the sensor",
        },
    ],
    readings: &[
        ReadingDescription {
            name: "transfer",
            unit: "V/Phi0",
            words: told("slope at the working point: voltage against flux"),
        },
        ReadingDescription {
            name: "loop-bandwidth",
            unit: "Hz",
            words: told(
                "bandwidth: the loop follows small signals at its working point up to this frequency",
            ),
        },
        ReadingDescription {
            name: "slew-limit",
            unit: "Phi0/s",
            words: told("fastest flux change followed: by the loop, up or down"),
        },
        ReadingDescription {
            name: "largest-error",
            unit: "Phi0",
            words: told("largest error: its size within two periods of the signal"),
        },
        ReadingDescription {
            name: "slipped-quanta",
            unit: "",
            words: told("quanta slipped: by the loop, after two periods of the signal"),
        },
        shunted::BETA_L,
        shunted::NOISE_PARAMETER,
    ],
    physics: Physics {
        conflict,
        work: in_slices(begin, shunted::known),
        views: &[View::Loop, View::FeedbackLoop],
        inside: Look::at_once(|setup, view, time| {
            let point = setup.number(POINT);
            match view {
                View::FeedbackLoop => biased::feedback_loop(setup, time, window(setup).1, point),
                // The loop at rest at its working point.
                _ => Ok(screened_loop::inside(setup, point)),
            }
        }),
        axes: |setup| {
            let (_, to) = window(setup);
            let (unit, si_per_unit) = [("s", 1.0), ("ms", 1e-3), ("us", 1e-6)]
                .into_iter()
                .find(|(_, step)| to >= *step)
                .unwrap_or(("ns", 1e-9));
            vec![AxisScale {
                name: "time",
                label: "time",
                unit,
                si_per_unit,
            }]
        },
        window,
        warnings: |_| Vec::new(),
        reach: |setup| LONGEST / setup.number(BANDWIDTH),
        folded: None,
    },
};

fn window(setup: &Setup) -> (f64, f64) {
    (0.0, 2.0 / setup.number(FREQUENCY))
}

fn conflict(setup: &Setup) -> Option<String> {
    if window(setup).1 > LONGEST / setup.number(BANDWIDTH) {
        return Some(format!(
            "the signal is more than {} times slower than the loop, which then follows it exactly: raise the frequency or lower the bandwidth",
            power(0.5 * LONGEST, 0)
        ));
    }
    shunted::conflict(setup, Some(setup.number(BIAS)))
}

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

/// The voltage over a period, by values and slopes at equal places.
#[derive(Debug, Clone)]
struct Curve {
    nodes: Vec<(f64, f64)>,
    fastest: f64,
}

impl Curve {
    fn new(values: &[f64], slopes: &[f64]) -> Self {
        // Cubics between nodes may be a little steeper than at them.
        let steepest = slopes
            .iter()
            .fold(0.0_f64, |most, slope| most.max(slope.abs()));
        Self {
            nodes: values.iter().copied().zip(slopes.iter().copied()).collect(),
            fastest: steepest,
        }
    }

    fn node(&self, place: f64) -> (f64, f64) {
        let count = self.nodes.len() as f64;
        let place = place - count * (place / count).floor();
        self.nodes
            .get(place as usize)
            .copied()
            .unwrap_or((f64::NAN, f64::NAN))
    }

    /// Value and slope.
    fn at(&self, flux: f64) -> (f64, f64) {
        let count = self.nodes.len() as f64;
        let place = (flux - flux.floor()) * count;
        let left = place.floor();
        let t = place - left;
        let ((a, da), (b, db)) = (self.node(left), self.node(left + 1.0));
        let (da, db) = (da / count, db / count);
        let bend = 3.0 * (b - a) - 2.0 * da - db;
        let twist = 2.0 * (a - b) + da + db;
        (
            a + t * (da + t * (bend + t * twist)),
            (da + t * (2.0 * bend + 3.0 * t * twist)) * count,
        )
    }
}

fn begin(setup: &Setup, x: &[f64]) -> Box<dyn Slices> {
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

/// The applied flux at a time; nothing before the start.
fn applied(setup: &Setup, time: f64) -> f64 {
    let amplitude = setup.number(AMPLITUDE);
    let turns = setup.number(FREQUENCY) * time;
    if turns <= 0.0 {
        return 0.0;
    }
    match setup.at(SIGNAL) {
        Some(ParameterValue::Choice("ramp")) => amplitude * turns,
        Some(ParameterValue::Choice("step")) if turns < 0.25 => 0.0,
        Some(ParameterValue::Choice("step")) => amplitude,
        _ => amplitude * sin(TAU * turns),
    }
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
