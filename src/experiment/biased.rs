//! What is seen inside a loop with a voltage: its current-voltage curve with the bias on it, its voltage
//! against flux with the working point, and the feedback loop round it.
//!
//! All curves come from runs of the set-ups, over places that do not depend on the cursor: picture and
//! chart agree, whoever answers for a slow set-up answers for these too, and a moving cursor asks for
//! nothing new where it can be helped.

use super::parameter::ParameterValue;
use super::shunted::{self, Device};
use super::{
    ExperimentError, FeedbackLoop, Inside, OperatingPoint, Setup, Trace, WorkingPoint, run,
};

/// Biases of a curve that rests until a sharp corner, of one with hysteresis, and of one rounded by noise.
const SHARP: u32 = 400;
const HYSTERETIC: u32 = 120;
const ROUNDED: u32 = 80;

/// Biases at which the voltage is known at every flux, where noise makes a single curve costly.
const BIASES: u32 = 32;

/// Places of a period in flux.
const PLACES: u32 = 64;

/// Moments of a feedback loop.
const MOMENTS: u32 = 600;

/// Place of the bias in a set-up that has one.
const BIAS: usize = shunted::OWN;

/// The loop of a set-up in another of the set-ups with a shunted loop, answered for by the same.
fn as_kind(setup: &Setup, kind: &str) -> Result<Setup, ExperimentError> {
    let mut other = Setup::new(kind)?;
    for (parameter, value) in setup.parameters().take(shunted::OWN) {
        if let ParameterValue::Number(value) = value {
            other.set_si(parameter.name, *value)?;
        }
    }
    Ok(other.answered_by(setup.answers()))
}

/// Even places from zero to an end.
fn places(to: f64, count: u32) -> Vec<f64> {
    (0..=count)
        .map(|k| to * f64::from(k) / f64::from(count))
        .collect()
}

fn column<'t>(trace: &'t Trace, name: &str) -> &'t [f64] {
    trace.column(name).map_or(&[], |column| &column.values)
}

fn pairs(trace: &Trace, name: &str) -> Vec<(f64, f64)> {
    let values = column(trace, name).iter().copied();
    trace.x.values.iter().copied().zip(values).collect()
}

/// Current against voltage at a flux, at positive or negative bias up to an end.
fn current_voltage(
    setup: &Setup,
    device: &Device,
    flux: f64,
    end: f64,
) -> Result<Vec<(f64, f64)>, ExperimentError> {
    let mut swept = as_kind(setup, "current-voltage")?;
    swept.set_si("flux", flux)?;
    let count = if device.noise > 0.0 {
        ROUNDED
    } else if device.model.beta_c() > 0.0 {
        HYSTERETIC
    } else {
        SHARP
    };
    Ok(pairs(&run(&swept, &places(end, count))?, "voltage"))
}

/// The value at x on the lines between points in order of x, of either direction.
pub(super) fn between(points: &[(f64, f64)], x: f64) -> f64 {
    let inside = |pair: &&[(f64, f64)]| {
        let (a, b) = (pair[0].0, pair[1].0);
        a.min(b) <= x && x <= a.max(b)
    };
    points.windows(2).find(inside).map_or(f64::NAN, |pair| {
        let ((a, left), (b, right)) = (pair[0], pair[1]);
        if (b - a).abs() <= 0.0 {
            right
        } else {
            left + (right - left) * (x - a) / (b - a)
        }
    })
}

/// Current and voltage at a bias and a flux. `flux_moves` says which of them the cursor moves.
pub(super) fn operating_point(
    setup: &Setup,
    bias: f64,
    flux: f64,
    flux_moves: bool,
) -> Result<Inside, ExperimentError> {
    let mut setup = setup.clone();
    let mut device = Device::of(&setup);
    // Random paths, which noise and capacitance together ask for, would take seconds for each curve.
    let leaves_noise_out = device.noise > 0.0 && device.model.beta_c() > 0.0;
    if leaves_noise_out {
        setup.set_si("temperature", 0.0)?;
        device = Device::of(&setup);
    }
    let largest = 2.0 * device.current;
    // A window that stands still while the bias moves within it.
    let mut end = 1.6 * largest;
    while end < 1.02 * bias.abs() {
        end *= 2.0;
    }
    let end = if bias < 0.0 { -end } else { end };
    let curve_at = |flux: f64| current_voltage(&setup, &device, flux, end);
    let mut curve = if flux_moves && device.noise > 0.0 {
        noisy_at(&setup, flux, end)?
    } else {
        curve_at(flux)?
    };
    let voltage = if flux_moves && !leaves_noise_out {
        // The point that the chart shows lies on the curve exactly.
        let voltage = at_bias(&setup, bias)?.at(flux).0;
        let place = curve.partition_point(|point| point.0.abs() < bias.abs());
        curve.insert(place, (bias, voltage));
        voltage
    } else {
        between(&curve, bias)
    };
    Ok(Inside::OperatingPoint(OperatingPoint {
        bias,
        flux,
        flux_moves,
        voltage,
        largest,
        resistance: 0.5 * device.resistance,
        end,
        curve,
        whole: curve_at(0.0)?,
        half: curve_at(0.5)?,
        leaves_noise_out,
    }))
}

/// Voltage and slope over a period of flux at one bias.
struct Period {
    values: Vec<f64>,
    slopes: Vec<f64>,
    trace: Trace,
}

/// The voltage against flux at a bias.
fn at_bias(setup: &Setup, bias: f64) -> Result<Period, ExperimentError> {
    let mut fixed = as_kind(setup, "voltage-flux")?;
    fixed.set_si("bias-current", bias)?;
    let trace = run(&fixed, &places(1.0, PLACES))?;
    Ok(Period {
        values: column(&trace, "voltage").to_vec(),
        slopes: column(&trace, "transfer").to_vec(),
        trace,
    })
}

impl Period {
    /// Voltage and slope at a flux: the cubic with the slopes of the places about it.
    fn at(&self, flux: f64) -> (f64, f64) {
        let count = f64::from(PLACES);
        let place = (flux - flux.floor()) * count;
        let left = place.floor().min(count - 1.0);
        let t = place - left;
        let index = left as usize;
        let node = |index: usize| {
            let value = self.values.get(index).copied().unwrap_or(f64::NAN);
            let slope = self.slopes.get(index).copied().unwrap_or(f64::NAN);
            (value, slope / count)
        };
        let ((a, da), (b, db)) = (node(index), node(index + 1));
        let bend = 3.0 * (b - a) - 2.0 * da - db;
        let twist = 2.0 * (a - b) + da + db;
        (
            a + t * (da + t * (bend + t * twist)),
            (da + t * (2.0 * bend + 3.0 * t * twist)) * count,
        )
    }

    fn reading(&self, name: &str) -> Option<f64> {
        let found = self.trace.readings.iter().find(|read| read.name == name);
        found.map(|read| read.value)
    }
}

/// A curve rounded by noise at any flux, from the voltage at every flux of some biases.
fn noisy_at(setup: &Setup, flux: f64, end: f64) -> Result<Vec<(f64, f64)>, ExperimentError> {
    let mut nodes = vec![(0.0, 0.0)];
    for bias in places(end, BIASES).into_iter().skip(1) {
        nodes.push((bias, at_bias(setup, bias)?.at(flux).0));
    }
    Ok(smooth(&nodes))
}

/// A smooth curve through points at even places: a cubic with the mean slope of both sides, or none
/// where they differ in sign.
fn smooth(nodes: &[(f64, f64)]) -> Vec<(f64, f64)> {
    const PIECES: u32 = 5;
    let rise = |index: usize| match (nodes.get(index), nodes.get(index + 1)) {
        (Some(a), Some(b)) => Some(b.1 - a.1),
        _ => None,
    };
    // The harmonic mean keeps a rising curve rising (F. N. Fritsch and J. Butland, SIAM J. Sci. Stat.
    // Comput. 5, 300 (1984), from memory).
    let slope = |index: usize| {
        let before = index.checked_sub(1).and_then(rise);
        match (before, rise(index)) {
            (Some(before), Some(after)) if before * after > 0.0 => {
                2.0 * before * after / (before + after)
            }
            (Some(_), Some(_)) | (None, None) => 0.0,
            (Some(only), None) | (None, Some(only)) => only,
        }
    };
    let mut points = Vec::with_capacity(nodes.len() * PIECES as usize);
    for (index, pair) in nodes.windows(2).enumerate() {
        let ((a, left), (b, right)) = (pair[0], pair[1]);
        let (from, to) = (slope(index), slope(index + 1));
        let rise = right - left;
        for piece in 0..PIECES {
            let t = f64::from(piece) / f64::from(PIECES);
            let bend = 3.0 * rise - 2.0 * from - to;
            let twist = from + to - 2.0 * rise;
            points.push((a + t * (b - a), left + t * (from + t * (bend + t * twist))));
        }
    }
    points.extend(nodes.last());
    points
}

/// The working point at a bias and a flux; at the flux of the least flux noise when none is given.
pub(super) fn working_point(
    setup: &Setup,
    bias: f64,
    flux: Option<f64>,
) -> Result<Inside, ExperimentError> {
    let period = at_bias(setup, bias)?;
    let flux = flux
        .or_else(|| period.reading("best-flux"))
        .or_else(|| period.reading("steepest-flux"))
        .unwrap_or(0.0);
    let (voltage, transfer) = period.at(flux);
    let noise = column(&period.trace, "voltage-noise");
    // One period of it, and its logarithm is smooth enough for lines.
    let fluxes = places(1.0, PLACES);
    let spectra: Vec<(f64, f64)> = fluxes.iter().copied().zip(noise.iter().copied()).collect();
    Ok(Inside::WorkingPoint(WorkingPoint {
        bias,
        flux,
        voltage,
        transfer,
        noise: between(&spectra, flux - flux.floor()).sqrt(),
        noisiest: noise.iter().copied().fold(0.0, f64::max).sqrt(),
        curve: periods(&period, flux),
    }))
}

/// One and a half periods of a curve; they stand still while the flux stays between two whole quanta.
fn periods(period: &Period, flux: f64) -> Vec<(f64, f64)> {
    let from = flux.floor() - 0.25;
    (0..=3 * PLACES)
        .map(|k| {
            let flux = from + 0.5 * f64::from(k) / f64::from(PLACES);
            (flux, period.at(flux).0)
        })
        .collect()
}

/// The feedback loop at a time.
pub(super) fn feedback_loop(
    setup: &Setup,
    time: f64,
    end: f64,
    working_flux: f64,
) -> Result<Inside, ExperimentError> {
    // Beyond its usual window a moment is computed for itself.
    let moments = if (0.0..=end).contains(&time) {
        places(end, MOMENTS)
    } else {
        vec![time, time]
    };
    let trace = run(setup, &moments)?;
    let at = |name: &str| between(&pairs(&trace, name), time);
    let bias = setup.number(BIAS);
    let period = at_bias(setup, bias)?;
    let error = at("error-flux");
    Ok(Inside::FeedbackLoop(FeedbackLoop {
        time,
        working_flux,
        applied: at("applied-flux"),
        output: at("output-flux"),
        error,
        voltage: at("voltage"),
        held: period.at(working_flux).0,
        curve: periods(&period, working_flux + error),
    }))
}
