//! Wrong pictures of the critical current of a screened loop, computed or in the simple picture
//! `2 (I0 - |J|)`. The flux F is in quanta.

use super::{ANY_HEIGHT, BY_HAND, Picture, PictureError, cosine, model, parameter};
use crate::constants::FLUX_QUANTUM;
use crate::experiment::Setup;

pub(super) const PICTURES: &[Picture] = &[
    Picture {
        name: "minima-reach-zero",
        words: "two slits that screen nothing",
        question: "At half a quantum, does the circulating current use up all that a junction can carry?",
        look_at: "Move the loop inductance and watch the minima.",
        freedom: BY_HAND,
    },
    Picture {
        name: "longer-period",
        words: "a period of two quanta of applied flux",
        question: "After one whole quantum has been applied, is anything in the loop different?",
        look_at: "Move the loop inductance and watch the spacing.",
        freedom: BY_HAND,
    },
    Picture {
        name: "maximum-falls",
        words: "a loop that loses some of its largest current to screening",
        question: "With no flux applied, is there anything to screen?",
        look_at: "Set the flux to zero and move the loop inductance.",
        freedom: BY_HAND,
    },
    Picture {
        name: "same-depth",
        words: "a dip to about a half, whatever the loop",
        question: "What do a larger inductance or stronger junctions do to the current that the loop needs?",
        look_at: "Move the loop inductance and watch the minima.",
        freedom: BY_HAND,
    },
    Picture {
        name: "flat",
        words: "a critical current that does not feel the flux",
        question: "Does the circulating current take a share of what the junctions can carry?",
        look_at: "Move the flux to half a quantum and watch the currents in both junctions.",
        freedom: ANY_HEIGHT,
    },
];

pub(super) fn curves(
    picture: &str,
    setup: &Setup,
    column: &str,
    x: &[f64],
) -> Result<Vec<Vec<f64>>, PictureError> {
    let quantum = setup.axis("flux").map_or(1.0, |axis| axis.si_per_unit);
    let sum =
        parameter(setup, "critical-current-left") + parameter(setup, "critical-current-right");
    Ok(vec![match picture {
        "minima-reach-zero" => x
            .iter()
            .map(|flux| sum * cosine(flux / quantum).abs())
            .collect(),
        "longer-period" => {
            let halved: Vec<f64> = x.iter().map(|flux| flux / 2.0).collect();
            model(setup, column, &halved)?
        }
        "maximum-falls" => {
            // The largest current is taken down to the middle of the true swing.
            let ends = model(setup, column, &[0.0, 0.5 * quantum])?;
            let middle = ends.iter().sum::<f64>() / 2.0 / sum;
            let mut values = model(setup, column, x)?;
            for value in &mut values {
                *value *= middle;
            }
            values
        }
        "same-depth" => {
            // The same junctions in the loop whose screening parameter is one.
            let mut usual = setup.clone();
            usual.set_si("loop-inductance", FLUX_QUANTUM / sum)?;
            usual.set_si("left-inductance-fraction", 0.5)?;
            model(&usual, "critical-current", x)?
        }
        // "flat"
        _ => vec![sum; x.len()],
    }])
}
