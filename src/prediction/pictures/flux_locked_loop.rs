//! Wrong pictures of the output of a sensor held by feedback, against time. The true output follows the applied flux as
//! long as the flux is not too fast; after a slip it is off by whole quanta. Fluxes are in quanta.

use super::{BY_HAND, Picture, PictureError, cosine, model, sine};
use crate::experiment::Setup;

use core::f64::consts::PI;

pub(super) const PICTURES: &[Picture] = &[
    Picture {
        name: "still-periodic",
        words: "the sensor's own periodic answer, as it is without feedback",
        question: "When the applied flux grows, what does the feedback do to the flux in the loop?",
        look_at: "Compare the applied flux with the error: how much of it is left in the loop?",
        freedom: BY_HAND,
    },
    Picture {
        name: "held-within-half-a-quantum",
        words: "an output that can go no further than half a quantum",
        question: "The flux in the loop hardly moves. What is there to stop the feedback from going on?",
        look_at: "Raise the amplitude of a slow signal and watch the output.",
        freedom: BY_HAND,
    },
    Picture {
        name: "begins-anew",
        words: "an output that begins anew with every quantum",
        question: "Does the loop ever see the whole quantum go by, if the feedback takes it away as it comes?",
        look_at: "Follow the output past one quantum.",
        freedom: BY_HAND,
    },
    Picture {
        name: "never-slips",
        words: "an output that follows whatever comes",
        question: "The feedback needs a voltage to move, and the sensor gives no more than its swing. How fast can it go?",
        look_at: "Compare the slew limit with how fast the applied flux changes.",
        freedom: BY_HAND,
    },
];

pub(super) fn curves(
    picture: &str,
    setup: &Setup,
    x: &[f64],
) -> Result<Vec<Vec<f64>>, PictureError> {
    let mut applied = model(setup, "applied-flux", x)?;
    for flux in &mut applied {
        *flux = match picture {
            // As steep at zero as the true output.
            "still-periodic" => sine(*flux) * cosine(*flux) / PI,
            "held-within-half-a-quantum" => flux.clamp(-0.5, 0.5),
            "begins-anew" => *flux - flux.trunc(),
            // "never-slips"
            _ => *flux,
        };
    }
    Ok(vec![applied])
}
