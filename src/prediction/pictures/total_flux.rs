//! Wrong pictures of the total flux in a screened loop without bias. The flux F is in quanta.

use super::{BY_HAND, Picture};
use crate::experiment::Setup;

pub(super) const PICTURES: &[Picture] = &[
    Picture {
        name: "takes-all-flux",
        words: "a loop that lets the flux in without a word",
        question: "Does the loop's own current make no flux at all?",
        look_at: "Move the flux towards a half and watch the circulating current.",
        freedom: BY_HAND,
    },
    Picture {
        name: "whole-quanta",
        words: "a staircase of whole quanta",
        question: "Is there really no phase across the junctions while a current runs through them?",
        look_at: "Move the flux towards a half and watch the total in the words of the picture.",
        freedom: BY_HAND,
    },
    Picture {
        name: "keeps-all-out",
        words: "a loop that never lets any flux in",
        question: "How large would the current have to be to keep two quanta out?",
        look_at: "Move the flux past a half and watch the circulating current turn round.",
        freedom: BY_HAND,
    },
];

pub(super) fn curve(picture: &str, setup: &Setup, x: &[f64]) -> Vec<f64> {
    let quantum = setup.axis("flux").map_or(1.0, |axis| axis.si_per_unit);
    x.iter()
        .map(|flux| match picture {
            "takes-all-flux" => *flux,
            // The state with fewer quanta at exactly a half, as the model has it.
            "whole-quanta" => (flux / quantum - 0.5).ceil() * quantum,
            // "keeps-all-out"
            _ => 0.0,
        })
        .collect()
}
