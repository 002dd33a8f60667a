//! What the set-ups with a shunted loop share: its parameters, and the way from SI units to the
//! normalised model.

use super::description::{ParameterDescription, ParameterKind, ReadingDescription, told};
use super::scale::AxisScale;
use super::setup::Setup;
use super::single_junction::reading;
use super::{Reading, screened_loop};
use crate::constants::{BOLTZMANN, FLUX_QUANTUM};
use crate::decimal::{fixed, power, shortest};
use crate::model::shunted_loop::ShuntedLoop;

use core::f64::consts::TAU;

const LEFT: usize = 0;
const RIGHT: usize = 1;
const INDUCTANCE: usize = 2;
const LEFT_FRACTION: usize = 3;
const RESISTANCE: usize = 4;
const CAPACITANCE: usize = 5;
const TEMPERATURE: usize = 6;

/// How many parameters the shunted loop has; a set-up's own come after them.
pub(super) const OWN: usize = 7;

/// The parameters of the shunted loop, first in every set-up that has one.
pub(super) const PARAMETERS: [ParameterDescription; OWN] = [
    ParameterDescription {
        default: "5 uA",
        ..screened_loop::PARAMETERS[LEFT]
    },
    ParameterDescription {
        default: "5 uA",
        ..screened_loop::PARAMETERS[RIGHT]
    },
    ParameterDescription {
        default: "200 pH",
        ..screened_loop::PARAMETERS[INDUCTANCE]
    },
    screened_loop::PARAMETERS[LEFT_FRACTION],
    ParameterDescription {
        name: "shunt-resistance",
        kind: ParameterKind::Quantity,
        unit: "ohm",
        from: 1e-3,
        to: 1e5,
        default: "6 ohm",
        words: told("shunt resistance of each junction"),
    },
    ParameterDescription {
        name: "capacitance",
        kind: ParameterKind::Quantity,
        unit: "F",
        from: 0.0,
        to: 1e-9,
        default: "0 F",
        words: told("capacitance of each junction"),
    },
    ParameterDescription {
        name: "temperature",
        kind: ParameterKind::Quantity,
        unit: "K",
        from: 0.0,
        to: 400.0,
        default: "4.2 K",
        words: told("temperature of the shunts; at 0 K there is no noise"),
    },
];

/// A bias as a parameter.
pub(super) const BIAS: ParameterDescription = ParameterDescription {
    name: "bias-current",
    kind: ParameterKind::Quantity,
    unit: "A",
    from: -0.1,
    to: 0.1,
    default: "8 uA",
    words: told("bias current through both junctions together"),
};

/// Screening as a reading.
pub(super) const BETA_L: ReadingDescription = ReadingDescription {
    name: "beta-l",
    unit: "",
    words: told(
        "screening 2 L I0 / Phi0: the screening parameter, I0 the mean critical current of the junctions",
    ),
};

/// Damping as a reading.
pub(super) const BETA_C: ReadingDescription = ReadingDescription {
    name: "beta-c",
    unit: "",
    words: told("damping 2 pi I0 R^2 C / Phi0: the damping parameter"),
};

/// Noise as a reading.
pub(super) const NOISE_PARAMETER: ReadingDescription = ReadingDescription {
    name: "noise-parameter",
    unit: "",
    words: told("noise 2 pi kB T / (I0 Phi0): the noise parameter"),
};

/// Multiplications allowed for one point of the stationary equation before random paths are
/// cheaper: some tenths of a second.
pub(super) const MOST_COST: f64 = 5e8;

/// Within these the methods of the model are known to work.
pub(super) const SCREENING: (f64, f64) = (1e-3, 20.0);
/// The largest damping parameter.
pub(super) const MOST_DAMPING: f64 = 100.0;
/// With noise, a damping parameter below this is left out.
pub(super) const LITTLE_DAMPING: f64 = 0.004;
/// Change of the voltage with the damping parameter, in I0 R: at most (measured without noise, at biases from 1.9 to 3).
const ERROR_PER_DAMPING: f64 = 0.3;
/// The largest noise parameter.
pub(super) const MOST_NOISE: f64 = 20.0;
/// The largest bias, in I0.
pub(super) const MOST_BIAS: f64 = 50.0;
/// The critical currents may differ by this factor.
pub(super) const MOST_UNEQUAL: f64 = 20.0;

/// The shunted loop of a set-up, normalised, and its units.
#[derive(Debug, Clone, Copy)]
pub(super) struct Device {
    /// The loop; without capacitance where that is left out.
    pub(super) model: ShuntedLoop,
    /// β_c of a capacitance that is left out: with noise, one so small that following its own time would take for ever to
    /// show less than the noise hides.
    pub(super) left_out: f64,
    /// I0: the mean critical current, in A.
    pub(super) current: f64,
    /// R: the shunt of each junction, in ohm.
    pub(super) resistance: f64,
    /// L: the inductance of the loop, in H.
    pub(super) inductance: f64,
    /// T, in K.
    pub(super) temperature: f64,
    /// Γ: 2π k_B T/(I0 Φ0).
    pub(super) noise: f64,
}

impl Device {
    /// The device of a set-up whose first parameters are [`PARAMETERS`].
    pub(super) fn of(setup: &Setup) -> Self {
        let current = 0.5 * (setup.number(LEFT) + setup.number(RIGHT));
        let inductance = setup.number(INDUCTANCE);
        let resistance = setup.number(RESISTANCE);
        let temperature = setup.number(TEMPERATURE);
        let beta_c =
            TAU * current * resistance * resistance * setup.number(CAPACITANCE) / FLUX_QUANTUM;
        let left_out = if temperature > 0.0 && beta_c < LITTLE_DAMPING {
            beta_c
        } else {
            0.0
        };
        let model = ShuntedLoop::new(
            setup.number(LEFT),
            setup.number(RIGHT),
            2.0 * inductance * current / FLUX_QUANTUM,
            setup.number(LEFT_FRACTION),
            beta_c - left_out,
        );
        Self {
            // The ranges of the parameters leave no loop that the model refuses.
            model: model.unwrap_or(ShuntedLoop::EQUAL),
            left_out,
            current,
            resistance,
            inductance,
            temperature,
            noise: TAU * BOLTZMANN * temperature / (current * FLUX_QUANTUM),
        }
    }

    /// β_c of the device, left out or not.
    pub(super) fn beta_c(&self) -> f64 {
        self.model.beta_c() + self.left_out
    }

    /// By how much the voltage errs because of what is left out, in I0 R.
    pub(super) fn error_left_out(&self) -> f64 {
        ERROR_PER_DAMPING * self.left_out
    }

    /// I0 R, in V: the unit of voltage of the model.
    pub(super) fn voltage(&self) -> f64 {
        self.current * self.resistance
    }

    /// The model's unit of voltage noise in V²/Hz: (I0 R)² times the unit of time, Φ0/(2π I0 R).
    pub(super) fn voltage_noise(&self) -> f64 {
        self.voltage() * FLUX_QUANTUM / TAU
    }
}

/// What a loop can sense at a working point, in SI units.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sensed {
    /// Slope of the voltage in V/Φ0.
    pub(super) transfer: f64,
    /// Voltage noise in V²/Hz.
    pub(super) noise: f64,
    /// Flux noise in Φ0/√Hz.
    pub(super) flux_noise: f64,
    /// The same in Wb/√Hz.
    pub(super) webers: f64,
    /// Noise energy in J/Hz: flux noise squared over twice the inductance.
    pub(super) energy: f64,
}

impl Device {
    /// From slope and noise in the model's units.
    pub(super) fn sensed(&self, transfer: f64, noise: f64) -> Sensed {
        let transfer = transfer * self.voltage();
        let noise = noise * self.voltage_noise();
        let flux_noise = noise.sqrt() / transfer;
        let webers = flux_noise * FLUX_QUANTUM;
        Sensed {
            transfer,
            noise,
            flux_noise,
            webers,
            energy: 0.5 * webers * webers / self.inductance,
        }
    }
}

/// The readings that follow from the parameters alone.
pub(super) fn parameters_read(device: &Device) -> Vec<Reading> {
    vec![
        reading("beta-l", "", device.model.beta_l()),
        reading("beta-c", "", device.beta_c()),
        reading("noise-parameter", "", device.noise),
    ]
}

/// The same, of a set-up.
pub(super) fn known(setup: &Setup) -> Vec<Reading> {
    parameters_read(&Device::of(setup))
}

/// The scales of a swept bias.
pub(super) fn bias_axes(setup: &Setup) -> Vec<AxisScale> {
    let whole = 2.0 * Device::of(setup).current;
    let (unit, si_per_unit) = match whole {
        whole if whole >= 0.3e-3 => ("mA", 1e-3),
        whole if whole >= 0.3e-6 => ("uA", 1e-6),
        _ => ("nA", 1e-9),
    };
    vec![
        AxisScale {
            name: "bias-current",
            label: "bias current",
            unit,
            si_per_unit,
        },
        AxisScale {
            name: "relative",
            label: "bias current / largest critical current",
            unit: "",
            si_per_unit: whole,
        },
    ]
}

/// Why these parameters together are beyond what the model computes; `bias` is the largest bias in A.
pub(super) fn conflict(setup: &Setup, bias: Option<f64>) -> Option<String> {
    let device = Device::of(setup);
    let (left, right) = (setup.number(LEFT), setup.number(RIGHT));
    let unequal = left.max(right) / left.min(right);
    let beta_l = device.model.beta_l();
    let (least, most) = SCREENING;
    let too_much = |name: &str, value: f64, most: f64, mend: &str| {
        (value > most).then(|| {
            format!(
                "{name} is {}, and only up to {} is computed here: {mend}",
                fixed(value, 3),
                shortest(most)
            )
        })
    };
    if beta_l < least {
        return Some(format!(
            "the screening parameter 2 L I0/Phi0 is {}, and only from {} on is computed here: raise loop-inductance or the critical currents",
            power(beta_l, 1),
            shortest(least)
        ));
    }
    too_much(
        "the ratio of the critical currents",
        unequal,
        MOST_UNEQUAL,
        "make them more alike",
    )
    .or_else(|| {
        too_much(
            "the screening parameter 2 L I0/Phi0",
            beta_l,
            most,
            "lower loop-inductance or the critical currents",
        )
    })
    .or_else(|| {
        too_much(
            "the damping parameter 2 pi I0 R^2 C/Phi0",
            device.beta_c(),
            MOST_DAMPING,
            "lower capacitance or shunt-resistance",
        )
    })
    .or_else(|| {
        too_much(
            "the noise parameter 2 pi kB T/(I0 Phi0)",
            device.noise,
            MOST_NOISE,
            "lower temperature or raise the critical currents",
        )
    })
    .or_else(|| {
        too_much(
            "the bias over the mean critical current",
            bias.unwrap_or(0.0).abs() / device.current,
            MOST_BIAS,
            "lower bias-current",
        )
    })
}
