//! Wrong pictures of two junctions round a hole, without screening. With F the flux through the
//! loop and f the flux through one junction, both in quanta, the true critical current is
//! `|I1 exp(i pi F) + I2 exp(-i pi F)| |sin(pi f) / (pi f)|`.

use super::{ANY_HEIGHT, ANY_WIDTH, BY_HAND, Picture, PictureError, cosine, parameter, sinc};
use crate::constants::FLUX_QUANTUM;
use crate::experiment::Setup;

pub(super) const PICTURES: &[Picture] = &[
    Picture {
        name: "junction-period",
        words: "a period set by the area of one junction",
        question: "Which area sets the spacing: the loop's or the junction's?",
        look_at: "Move the loop area alone, then the width alone, and watch the spacing.",
        freedom: BY_HAND,
    },
    Picture {
        name: "squared",
        words: "the square of the sum, as for the brightness of light",
        question: "Do currents add as they are, or is their square what we measure?",
        look_at: "Move the field to a quarter quantum and read the length of the sum.",
        freedom: BY_HAND,
    },
    Picture {
        name: "minimum-at-whole-quantum",
        words: "a minimum where the loop holds a whole quantum",
        question: "With no field at all, do the two currents help or hinder each other?",
        look_at: "Set the field to zero and look at the two phasors.",
        freedom: BY_HAND,
    },
    Picture {
        name: "falling-maxima",
        words: "fringes that die away from one quantum to the next",
        question: "What is different in a narrow pair after one whole quantum in the loop?",
        look_at: "Move the field from zero to one quantum and compare the two phasors.",
        freedom: BY_HAND,
    },
    Picture {
        name: "no-fringes",
        words: "two currents that simply add",
        question: "Can the phases of the two currents differ when there is flux in the loop?",
        look_at: "Move the field to half a quantum and look at the two phasors.",
        freedom: ANY_HEIGHT,
    },
    Picture {
        name: "signed-cosine",
        words: "the sum of the phasors with its sign",
        question: "Can the largest current that a pair carries be less than nothing?",
        look_at: "Move the field past half a quantum and watch the length of the sum.",
        freedom: BY_HAND,
    },
    Picture {
        name: "single-slit",
        words: "what a single wide slit does",
        question: "Does the current cross the whole width of the loop, or only at two places?",
        look_at: "Move the width of the junctions and watch the maxima.",
        freedom: BY_HAND,
    },
    Picture {
        name: "sum-instead-of-product",
        words: "fringes and the junction's own pattern, added",
        question: "What is left of the fringes where each junction carries nothing?",
        look_at: "Move the field until each junction holds a whole quantum, and look at the phasors.",
        freedom: BY_HAND,
    },
    Picture {
        name: "zeros-despite-unequal",
        words: "fringes that reach zero though the junctions differ",
        question: "Can a short phasor take all of a long one away?",
        look_at: "Move the field to half a quantum and look at what is left of the longer phasor.",
        freedom: BY_HAND,
    },
    Picture {
        name: "weaker-decides",
        words: "a pair in which the weaker junction sets the limit for both",
        question: "Without field, what stops the stronger junction from carrying all it can?",
        look_at: "Set the field to zero and read the sum of the two phasors.",
        freedom: BY_HAND,
    },
];

pub(super) fn curves(
    picture: &str,
    setup: &Setup,
    x: &[f64],
) -> Result<Vec<Vec<f64>>, PictureError> {
    let left = parameter(setup, "critical-current-left");
    let right = parameter(setup, "critical-current-right");
    let loop_area = parameter(setup, "loop-area");
    let junction_area = parameter(setup, "width") * parameter(setup, "magnetic-thickness");
    let sum = left + right;
    // |I1 exp(i pi F) + I2 exp(-i pi F)|^2 = (I1 - I2)^2 + 4 I1 I2 cos^2(pi F).
    let resultant = |c: f64| ((left - right) * (left - right) + 4.0 * left * right * c * c).sqrt();
    let values = x
        .iter()
        .map(|field| {
            let through_loop = field * loop_area / FLUX_QUANTUM;
            let through_junction = field * junction_area / FLUX_QUANTUM;
            let envelope = sinc(through_junction).abs();
            let fringes = resultant(cosine(through_loop)) * envelope;
            match picture {
                "junction-period" => resultant(cosine(through_junction)),
                "squared" => fringes * fringes / sum,
                "minimum-at-whole-quantum" => resultant(cosine(through_loop + 0.5)) * envelope,
                "falling-maxima" => {
                    // Each maximum half as high as the one before.
                    fringes * crate::numerics::elementary::pow(0.5, through_loop.abs())
                }
                "no-fringes" => sum * envelope,
                "signed-cosine" => sum * cosine(through_loop) * envelope,
                "sum-instead-of-product" => {
                    0.5 * (resultant(cosine(through_loop)) + sum * envelope)
                }
                "zeros-despite-unequal" => sum * cosine(through_loop).abs() * envelope,
                "weaker-decides" => 2.0 * left.min(right) * cosine(through_loop).abs() * envelope,
                // "single-slit": the loop's flux in a single slit's pattern.
                _ => sum * sinc(through_loop).abs(),
            }
        })
        .collect();
    Ok(vec![values])
}

/// Wrong pictures of the envelope of the fringes.
pub(super) const ENVELOPE: &[Picture] = &[
    Picture {
        name: "envelope-of-the-loop",
        words: "an envelope set by the area of the loop",
        question: "Which area holds a whole quantum where every local current of a junction cancels?",
        look_at: "Move the loop area alone and watch where the fringes die.",
        freedom: BY_HAND,
    },
    Picture {
        name: "equal-fringes",
        words: "fringes that all keep their height",
        question: "What does the field do within each junction, whatever the loop does?",
        look_at: "Move the field until each junction holds a whole quantum.",
        freedom: ANY_HEIGHT,
    },
    Picture {
        name: "sum-instead-of-product",
        words: "the top of fringes and slow pattern, added",
        question: "What can the fringes add where each junction carries nothing?",
        look_at: "Move the field until each junction holds a whole quantum, and look at the phasors.",
        freedom: BY_HAND,
    },
    Picture {
        name: "fades-away",
        words: "an envelope that falls and never returns",
        question: "After its first zero, what does the pattern of one slit do?",
        look_at: "Move the field past one quantum in each junction and watch the fringes come back.",
        freedom: ANY_WIDTH,
    },
];

/// Half-height of the central lobe, `|sin(pi f) / (pi f)| = 1/2`.
const HALF_HEIGHT: f64 = 0.603_354_5;

pub(super) fn envelopes(picture: &str, setup: &Setup, x: &[f64]) -> Vec<Vec<f64>> {
    let sum =
        parameter(setup, "critical-current-left") + parameter(setup, "critical-current-right");
    let loop_area = parameter(setup, "loop-area");
    let junction_area = parameter(setup, "width") * parameter(setup, "magnetic-thickness");
    let envelope = |field: &f64| match picture {
        "envelope-of-the-loop" => sum * sinc(field * loop_area / FLUX_QUANTUM).abs(),
        // The fringes reach one half by themselves, and the slow pattern adds its own half.
        "sum-instead-of-product" => {
            0.5 * sum * (1.0 + sinc(field * junction_area / FLUX_QUANTUM).abs())
        }
        "fades-away" => {
            let far = field * junction_area / FLUX_QUANTUM / HALF_HEIGHT;
            sum / (1.0 + far * far)
        }
        // "equal-fringes"
        _ => sum,
    };
    vec![x.iter().map(envelope).collect()]
}
