//! Wrong pictures of the tank's voltage against static flux. The true one, on a step, is a triangle with its top at
//! whole quanta and its bottom at half quanta.

use super::{ANY_HEIGHT, BY_HAND, Picture, PictureError, model};
use crate::experiment::Setup;

pub(super) const PICTURES: &[Picture] = &[
    Picture {
        name: "no-response",
        words: "a tank that does not feel the loop",
        question: "What does it cost the loop to let a quantum in and out again?",
        look_at: "Move the flux and watch how far the coil swings before the loop jumps.",
        freedom: ANY_HEIGHT,
    },
    Picture {
        name: "loss-at-every-flux",
        words: "a tank that loses the same at every flux",
        question: "How far must the coil swing at a whole quantum before the loop jumps, and how far at a half?",
        look_at: "Move the flux from zero to a half and watch where the way of a cycle meets the ends of a branch.",
        freedom: ANY_HEIGHT,
    },
    Picture {
        name: "half-quantum-period",
        words: "a period of half a quantum",
        question: "Is the loop the same at half a quantum as at none?",
        look_at: "Move the flux from zero to a half and read the voltage.",
        freedom: BY_HAND,
    },
    Picture {
        name: "largest-at-half-quantum",
        words: "a voltage that is largest at half a quantum",
        question: "At half a quantum, does the loop jump after a small swing or after a large one?",
        look_at: "Move the flux to a half and read the swing.",
        freedom: BY_HAND,
    },
];

pub(super) fn curves(
    picture: &str,
    setup: &Setup,
    x: &[f64],
) -> Result<Vec<Vec<f64>>, PictureError> {
    let column = "tank-voltage";
    let moved = |place: &dyn Fn(f64) -> f64| {
        let places: Vec<f64> = x.iter().map(|flux| place(*flux)).collect();
        model(setup, column, &places)
    };
    Ok(vec![match picture {
        "no-response" => moved(&|_| 0.0)?,
        "loss-at-every-flux" => moved(&|_| 0.5)?,
        "half-quantum-period" => moved(&|flux| 2.0 * flux)?,
        // "largest-at-half-quantum"
        _ => moved(&|flux| flux + 0.5)?,
    }])
}
