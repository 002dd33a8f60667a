//! Wrong pictures of the total flux in a loop with one junction on a rising sweep. Fluxes are in quanta.

use super::{ANY_HEIGHT, BY_HAND, Picture, PictureError, model};
use crate::experiment::Setup;

pub(super) const PICTURES: &[Picture] = &[
    Picture {
        name: "no-response",
        words: "a loop that lets all flux in, since one junction has nothing to interfere with",
        question: "Round a closed loop, which phase must the junction's own phase fit?",
        look_at: "Move the applied flux a little from zero and read the circulating current.",
        freedom: ANY_HEIGHT,
    },
    Picture {
        name: "jump-at-half-quantum",
        words: "a loop that always finds its lowest state",
        question: "Just past half a quantum, what lies between the loop and its lower state?",
        look_at: "Move the applied flux past a half and watch the valley that the ball is in.",
        freedom: BY_HAND,
    },
    Picture {
        name: "whole-quanta",
        words: "a loop that holds whole quanta exactly",
        question: "Which current would hold all of the flux out, and can the junction carry it?",
        look_at: "Move the applied flux a little from zero and read the total.",
        freedom: BY_HAND,
    },
];

pub(super) fn curves(
    picture: &str,
    setup: &Setup,
    x: &[f64],
) -> Result<Vec<Vec<f64>>, PictureError> {
    if picture == "no-response" {
        return Ok(vec![x.to_vec()]);
    }
    if picture == "whole-quanta" {
        return Ok(vec![
            x.iter().map(|applied| (applied - 0.5).ceil()).collect(),
        ]);
    }
    // Of the states on the two sweeps the one nearest to the whole number of quanta that is applied.
    let rising = model(setup, "total-flux-rising", x)?;
    let falling = model(setup, "total-flux-falling", x)?;
    let lowest = x
        .iter()
        .zip(rising.iter().zip(&falling))
        .map(|(applied, (up, down))| {
            let quanta = (applied - 0.5).ceil();
            if (up - quanta).abs() <= (down - quanta).abs() {
                *up
            } else {
                *down
            }
        });
    Ok(vec![lowest.collect()])
}
