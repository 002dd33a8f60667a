//! Wrong pictures of two stray contacts along a wire whose own current threads the skins between them. With F the flux
//! between the contacts in quanta, the true critical current is `|I1 exp(i pi F) + I2 exp(-i pi F)|`.

use super::{ANY_HEIGHT, ANY_WIDTH, BY_HAND, Picture, PictureError, cosine, parameter, sinc};
use crate::constants::{FLUX_QUANTUM, VACUUM_PERMEABILITY};
use crate::experiment::Setup;

use core::f64::consts::TAU;

pub(super) const PICTURES: &[Picture] = &[
    Picture {
        name: "no-response",
        words: "contacts that do not feel the current along the wire",
        question: "What does a current along the wire make round about it?",
        look_at: "Move the current along the wire and watch the two phasors.",
        freedom: ANY_HEIGHT,
    },
    Picture {
        name: "weakens",
        words: "contacts that weaken and do not recover",
        question: "Once the phasors have turned all the way round, what is left of the change?",
        look_at: "Move the current along the wire by one period and compare the two phasors.",
        freedom: ANY_WIDTH,
    },
    Picture {
        name: "one-wide-contact",
        words: "what one contact all along the wire does",
        question: "Does the current cross at two places, or all the way between them?",
        look_at: "Move the current along the wire by one period and look at the two phasors.",
        freedom: BY_HAND,
    },
    Picture {
        name: "minima-reach-zero",
        words: "two contacts that cancel, as if they were equal",
        question: "Can the shorter phasor cancel the longer one?",
        look_at: "Move the current along the wire by half a period and look at the two phasors.",
        freedom: BY_HAND,
    },
    Picture {
        name: "sheet-of-current",
        words: "the field of a flat sheet of current, half of it on each side",
        question: "How much field does a round wire make inside itself, when all its current flows at the surface?",
        look_at: "At the bench, read the field of one period, and the current that makes it.",
        freedom: BY_HAND,
    },
    Picture {
        name: "longer-for-longer",
        words: "a period that grows with the distance of the contacts",
        question: "Does more distance between the contacts catch more flux or less?",
        look_at: "Move the distance of the contacts and watch the period.",
        freedom: BY_HAND,
    },
];

/// Half height of the pattern of one slit, in quanta.
const HALF_HEIGHT: f64 = 0.603_354_5;

/// Contacts of the usual bead are this far apart, in metres.
const USUAL_SPACING: f64 = 0.1e-3;

pub(super) fn curves(
    picture: &str,
    setup: &Setup,
    x: &[f64],
) -> Result<Vec<Vec<f64>>, PictureError> {
    let left = parameter(setup, "critical-current-left");
    let right = parameter(setup, "critical-current-right");
    let spacing = parameter(setup, "contact-spacing");
    let skins =
        parameter(setup, "penetration-depth-wire") + parameter(setup, "penetration-depth-solder");
    // Quanta between the contacts for one ampere: B = mu0 I / (2 pi r) through spacing times skins.
    let quanta = VACUUM_PERMEABILITY / (TAU * parameter(setup, "wire-radius")) * spacing * skins
        / FLUX_QUANTUM;
    let sum = left + right;
    let resultant = |flux: f64| {
        let c = cosine(flux);
        ((left - right) * (left - right) + 4.0 * left * right * c * c).sqrt()
    };
    let upside_down = (USUAL_SPACING / spacing) * (USUAL_SPACING / spacing);
    let values = x
        .iter()
        .map(|current| {
            let flux = current * quanta;
            let share = flux / HALF_HEIGHT;
            match picture {
                "no-response" => sum,
                "weakens" => sum / (1.0 + share * share),
                "one-wide-contact" => sum * sinc(flux).abs(),
                "minima-reach-zero" => sum * cosine(flux).abs(),
                "sheet-of-current" => resultant(0.5 * flux),
                // "longer-for-longer": the spacing enters upside down, against the usual bead's.
                _ => resultant(flux * upside_down),
            }
        })
        .collect();
    Ok(vec![values])
}
