//! Wrong pictures of the voltage of a shunted loop against its bias. The true curve is zero up to the critical current
//! at the applied flux, leaves it steeply and bends towards the straight line of the shunts; noise rounds its foot.

use super::{BY_HAND, Picture, PictureError, model, parameter};
use crate::experiment::{Setup, run};
use crate::numerics::elementary::{cbrt, cos};

use core::f64::consts::TAU;

pub(super) const PICTURES: &[Picture] = &[
    Picture {
        name: "other-extreme",
        words: "the curve for half a quantum more",
        question: "With this flux applied, how much of its critical current does the loop keep?",
        look_at: "Move the flux by half a quantum and watch where the voltage begins.",
        freedom: BY_HAND,
    },
    Picture {
        name: "resistor",
        words: "the straight line of the shunts alone",
        question: "What do the junctions carry as long as there is no voltage?",
        look_at: "Follow the curve from no bias at all to where the voltage begins.",
        freedom: BY_HAND,
    },
    Picture {
        name: "shifted-line",
        words: "the straight line of the shunts, begun at the critical current",
        question: "When the phases run fast, how much do the junctions carry on average?",
        look_at: "Compare the curve far out with the voltage of the shunts alone.",
        freedom: BY_HAND,
    },
    Picture {
        name: "swings-along",
        words: "a voltage that swings to and fro as the bias rises",
        question: "The voltage does swing, but in time, and very fast. What does a slow voltmeter show of it?",
        look_at: "Follow one curve from left to right: does it ever fall?",
        freedom: BY_HAND,
    },
    Picture {
        name: "no-noise",
        words: "the curve without noise",
        question: "A little below the critical current, what may a kick of noise do to the phases?",
        look_at: "Lower the temperature to zero and watch the foot of the curve.",
        freedom: BY_HAND,
    },
    Picture {
        name: "moved-by-noise",
        words: "a sharp curve that noise has moved to a smaller bias",
        question: "The kicks differ in size. Do they all set the phases going at one and the same bias?",
        look_at: "Raise the temperature and watch the foot of the curve.",
        freedom: BY_HAND,
    },
];

pub(super) fn curves(
    picture: &str,
    setup: &Setup,
    column: &str,
    x: &[f64],
) -> Result<Vec<Vec<f64>>, PictureError> {
    let resistance = 0.5 * parameter(setup, "shunt-resistance");
    let current = 0.5
        * (parameter(setup, "critical-current-left") + parameter(setup, "critical-current-right"));
    let with = |name: &str, value: f64| {
        let mut changed = setup.clone();
        changed.set_si(name, value).map(|()| changed)
    };
    let moved = || with("flux", parameter(setup, "flux") + 0.5);
    Ok(vec![match picture {
        "other-extreme" => model(&moved()?, column, x)?,
        "resistor" => x.iter().map(|bias| resistance * bias).collect(),
        "shifted-line" => {
            let critical = critical_current(setup, x)?;
            let beyond = |bias: &f64| resistance * (bias.abs() - critical).max(0.0);
            x.iter().map(|bias| beyond(bias).copysign(*bias)).collect()
        }
        "swings-along" => {
            // To and fro between the curve and the other extreme, once for each critical current of a junction.
            let own = model(setup, column, x)?;
            let other = model(&moved()?, column, x)?;
            let share = |bias: f64| 0.5 - 0.5 * cos(TAU * bias / current);
            x.iter()
                .zip(own.iter().zip(&other))
                .map(|(bias, (own, other))| own + share(*bias) * (other - own))
                .collect()
        }
        "no-noise" => model(&with("temperature", 0.0)?, column, x)?,
        // "moved-by-noise"
        _ => {
            // By the distance from the critical current at which the ridge that holds the phases
            // has sunk to about the thermal energy: Γ^(2/3) of it.
            let noise = noise_parameter(setup, x)?;
            let shift = 2.0 * current * cbrt(noise * noise);
            let places: Vec<f64> = x.iter().map(|bias| bias + shift.copysign(*bias)).collect();
            model(&with("temperature", 0.0)?, column, &places)?
        }
    }])
}

fn critical_current(setup: &Setup, x: &[f64]) -> Result<f64, PictureError> {
    read(setup, x, "critical-current")
}

fn noise_parameter(setup: &Setup, x: &[f64]) -> Result<f64, PictureError> {
    read(setup, x, "noise-parameter")
}

/// A reading of the run that the curve itself needs, so that nothing more is computed for it.
fn read(setup: &Setup, x: &[f64], name: &str) -> Result<f64, PictureError> {
    let readings = run(setup, x)?.readings;
    let found = readings.iter().find(|reading| reading.name == name);
    Ok(found.map_or(f64::NAN, |reading| reading.value))
}
