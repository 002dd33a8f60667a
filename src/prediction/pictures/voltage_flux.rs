//! Wrong pictures of the voltage of a shunted loop against flux at a fixed bias, and of its slope. The true voltage has
//! its minima at whole quanta and its maxima at half quanta. The flux is in quanta.

use super::{
    ANY_HEIGHT, ANY_WIDTH, BY_HAND, Picture, PictureError, cosine, model, parameter, sine,
};
use crate::experiment::Setup;

/// Places of a period at which the true curve is asked for. All pictures share one run there.
const PLACES: u16 = 240;

/// Pictures of the voltage.
pub(super) const PICTURES: &[Picture] = &[
    Picture {
        name: "in-phase",
        words: "a voltage that goes up and down with the critical current",
        question: "The bias stays the same. If more of it passes without a voltage, does the voltage rise or fall?",
        look_at: "Compare the critical currents at a whole and at half a quantum with the bias.",
        freedom: BY_HAND,
    },
    Picture {
        name: "two-quanta",
        words: "a period of two quanta of applied flux",
        question: "After one whole quantum has been applied, is anything in the loop different?",
        look_at: "Move the flux by one quantum and read the critical current.",
        freedom: BY_HAND,
    },
    Picture {
        name: "half-quantum-period",
        words: "a period of half a quantum",
        question: "Is the loop the same at half a quantum as at none?",
        look_at: "Move the flux from zero to a half and watch where the voltage begins.",
        freedom: BY_HAND,
    },
    Picture {
        name: "flat",
        words: "a voltage that does not feel the flux",
        question: "At this bias, do the junctions carry the same share of it at every flux?",
        look_at: "Move the flux and watch the whole curve of voltage against bias.",
        freedom: ANY_HEIGHT,
    },
    Picture {
        name: "down-to-zero",
        words: "a voltage that vanishes at every whole quantum",
        question: "At a whole quantum, is the bias smaller or larger than the critical current?",
        look_at: "Move the bias above and below the largest critical current.",
        freedom: BY_HAND,
    },
    Picture {
        name: "smooth-wave",
        words: "a voltage at nearly every flux, in a smooth wave",
        question: "Where the bias is below the critical current, what is the voltage?",
        look_at: "Lower the bias and watch the foot of the curve.",
        freedom: BY_HAND,
    },
    Picture {
        name: "fast-wave",
        words: "the fast swing of the voltage in time, drawn along the flux",
        question: "How often does the voltage swing while the flux goes through one quantum? What does a slow voltmeter show?",
        look_at: "Hold the flux still: does the reading move?",
        freedom: ANY_WIDTH,
    },
];

/// Pictures of the slope.
pub(super) const SLOPE: &[Picture] = &[Picture {
    name: "largest-at-the-top",
    words: "the place where the voltage itself is largest",
    question: "At the top of the curve, what does a small change of flux do to the voltage?",
    look_at: "Move the flux a little to both sides of the top and read the voltage.",
    freedom: ANY_HEIGHT,
}];

pub(super) fn curves(
    picture: &str,
    setup: &Setup,
    x: &[f64],
) -> Result<Vec<Vec<f64>>, PictureError> {
    let bias = parameter(setup, "bias-current");
    if picture == "flat" {
        return Ok(vec![vec![
            0.5 * parameter(setup, "shunt-resistance") * bias;
            x.len()
        ]]);
    }
    let period = Period::of(setup)?;
    let (low, high) = period.ends();
    let curve = |height: &dyn Fn(f64) -> f64| x.iter().map(|flux| height(*flux)).collect();
    Ok(vec![match picture {
        "in-phase" => curve(&|flux| period.at(flux + 0.5)),
        "two-quanta" => curve(&|flux| period.at(0.5 * flux)),
        "half-quantum-period" => curve(&|flux| period.at(2.0 * flux)),
        "down-to-zero" => curve(&|flux| high * sine(flux).abs()),
        "smooth-wave" => curve(&|flux| low + 0.5 * (high - low) * (1.0 - cosine(2.0 * flux))),
        "fast-wave" => curve(&|flux| 0.5 * high * (1.0 - cosine(8.0 * flux))),
        // "largest-at-the-top": as steep at its most as the true curve, but in step with the voltage.
        _ => {
            let steepest = period.steepest();
            curve(&|flux| steepest * (period.at(flux) - low) / (high - low).max(f64::MIN_POSITIVE))
        }
    }])
}

/// One period of the true curve, straight between its places.
struct Period {
    values: Vec<f64>,
}

impl Period {
    fn of(setup: &Setup) -> Result<Self, PictureError> {
        let places: Vec<f64> = (0..PLACES)
            .map(|k| f64::from(k) / f64::from(PLACES))
            .collect();
        Ok(Self {
            values: model(setup, "voltage", &places)?,
        })
    }

    fn at(&self, flux: f64) -> f64 {
        let count = self.values.len();
        let place = (flux - flux.floor()) * count as f64;
        let left = place.floor();
        let value = |k: usize| self.values.get(k % count).copied().unwrap_or(f64::NAN);
        let (from, to) = (value(left as usize), value(left as usize + 1));
        from + (place - left) * (to - from)
    }

    fn ends(&self) -> (f64, f64) {
        self.values
            .iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
                (low.min(*value), high.max(*value))
            })
    }

    fn steepest(&self) -> f64 {
        let next = self.values.iter().cycle().skip(1);
        let rise = self.values.iter().zip(next).map(|(one, next)| next - one);
        rise.fold(0.0_f64, f64::max) * self.values.len() as f64
    }
}
