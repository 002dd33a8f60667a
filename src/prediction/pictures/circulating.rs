//! Wrong pictures of the circulating current of a loop. In the simple picture it is
//! `J = -(F - n) Phi0 / L` with F the applied flux in quanta and n the whole number nearest to
//! it; a positive J raises the flux. The pictures take the height of the jump from the column
//! itself, so they serve the simple column and the computed one alike.

use super::{ANY_HEIGHT, BY_HAND, Picture, PictureError, cosine, model, sine};
use crate::experiment::Setup;

pub(super) const PICTURES: &[Picture] = &[
    Picture {
        name: "keeps-growing",
        words: "a current that grows without end",
        question: "What does it cost the loop to keep more and more flux out?",
        look_at: "Move the flux past half a quantum and watch which energy parabola is lowest.",
        freedom: ANY_HEIGHT,
    },
    Picture {
        name: "jumps-to-zero",
        words: "a current that drops to nothing at each jump",
        question: "Just after one quantum has entered, is the flux in the loop whole without a current?",
        look_at: "Move the flux just past the jump and read the circulating current.",
        freedom: BY_HAND,
    },
    Picture {
        name: "jump-at-whole-quantum",
        words: "a jump where the applied flux is a whole quantum",
        question: "At a whole quantum of applied flux, does the loop need any current at all?",
        look_at: "Move the flux to one quantum and look at the energy parabolas.",
        freedom: BY_HAND,
    },
    Picture {
        name: "largest-at-whole-quantum",
        words: "a current that is largest at whole quanta",
        question: "How much flux must the current make up when a whole quantum is applied?",
        look_at: "Move the flux to one quantum and read the circulating current.",
        freedom: BY_HAND,
    },
    Picture {
        name: "smooth-sine",
        words: "a smooth wave without a jump",
        question: "Can the number of quanta in the loop change little by little?",
        look_at: "Move the flux slowly across half a quantum and watch the occupied state.",
        freedom: BY_HAND,
    },
    Picture {
        name: "wrong-sign",
        words: "a current that helps the applied flux in",
        question: "Does the loop answer a small flux by adding to it, or by opposing it?",
        look_at: "Move the flux a little away from zero and watch the direction of the arrows.",
        freedom: BY_HAND,
    },
    Picture {
        name: "no-current",
        words: "a loop that does not answer",
        question: "What keeps the flux in a closed loop whole when the applied flux is not?",
        look_at: "Move the flux away from zero and read the circulating current.",
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
    // The current just before the jump, with the sign that opposes the flux.
    let limit = model(setup, column, &[0.499_999 * quantum])?
        .first()
        .map_or(0.0, |value| value.abs());
    let each = |shape: &dyn Fn(f64) -> f64| -> Vec<f64> {
        x.iter().map(|flux| limit * shape(flux / quantum)).collect()
    };
    // Minus twice the distance to the nearest whole number: the true shape of the simple picture.
    let saw = |f: f64| -2.0 * (f - (f + 0.5).floor());
    Ok(match picture {
        "keeps-growing" => vec![each(&|f| -2.0 * f)],
        "jumps-to-zero" => vec![
            // Grows again at once, up to the same limit ...
            each(&|f| -2.0 * (f - (2.0 * f).trunc() / 2.0)),
            // ... or rests until the next whole quantum.
            each(&|f| {
                let within = f.abs() - f.abs().floor();
                if within < 0.5 {
                    -2.0 * within * f.signum()
                } else {
                    0.0
                }
            }),
        ],
        "jump-at-whole-quantum" => vec![each(&|f| saw(f / 2.0))],
        "largest-at-whole-quantum" => vec![
            each(&|f| saw(f + 0.5)),
            each(&|f| -saw(f + 0.5)),
            each(&|f| -cosine(2.0 * f)),
            each(&|f| cosine(2.0 * f)),
            each(&|f| -sine(f / 2.0)),
        ],
        "smooth-sine" => vec![each(&|f| -sine(2.0 * f))],
        "wrong-sign" => vec![each(&|f| -saw(f))],
        // "no-current"
        _ => vec![each(&|_| 0.0)],
    })
}
