//! Wrong pictures of one junction in a field. With f the flux through the junction in quanta,
//! the true critical current of an even junction is `I0 |sin(pi f) / (pi f)|`; of any other it is
//! the magnitude of the Fourier transform of its current profile.

use super::{
    ANY_WIDTH, BY_HAND, Picture, PictureError, cosine, model, parameter, profile, sinc, sine,
};
use crate::constants::FLUX_QUANTUM;
use crate::experiment::Setup;

pub(super) const PICTURES: &[Picture] = &[
    Picture {
        name: "shadow",
        words: "a shadow that fades and never returns",
        question: "What do the local currents do once their phases have turned all the way round?",
        look_at: "Move the field and watch the local arrows cancel, and then outnumber each other again.",
        freedom: ANY_WIDTH,
    },
    Picture {
        name: "two-slits",
        words: "what two narrow slits alone do",
        question: "Does the current cross at two places, or all along the width?",
        look_at: "Move the field and watch how many local arrows take part.",
        freedom: BY_HAND,
    },
    Picture {
        name: "squared",
        words: "the square of the sum, as for the brightness of light",
        question: "Do currents add as they are, or is their square what we measure?",
        look_at: "Move the field to one and a half quanta and read the sum of the arrows.",
        freedom: BY_HAND,
    },
    Picture {
        name: "half-quantum-zeros",
        words: "a pattern with its zeros at half quanta",
        question: "Do all local currents cancel after half a turn of the phase, or after a whole one?",
        look_at: "Move the field to half a quantum and see which arrows are left over.",
        freedom: BY_HAND,
    },
    Picture {
        name: "equal-lobes",
        words: "a pattern whose lobes all keep their height",
        question: "After one and a half turns of the phase, what share of the width is not cancelled?",
        look_at: "Move the field through the second lobe and count the arrows that cancel.",
        freedom: BY_HAND,
    },
    Picture {
        name: "signed",
        words: "the sum of the currents with its sign",
        question: "Can the largest current that a junction carries be less than nothing?",
        look_at: "Move the field past the first zero and watch the sum turn round.",
        freedom: BY_HAND,
    },
    Picture {
        name: "narrow-centre",
        words: "a pattern whose central lobe is no wider than the others",
        question: "How far is it from the middle to the first zero, and on to the second?",
        look_at: "Move the field from zero to one quantum, then from one to two.",
        freedom: BY_HAND,
    },
    Picture {
        name: "wider-for-wider",
        words: "a pattern that grows wider with the junction",
        question: "Which junction catches more flux in the same field, the wide or the narrow one?",
        look_at: "Move the width and watch where the first zero goes.",
        freedom: BY_HAND,
    },
    Picture {
        name: "same-pattern",
        words: "the pattern of an even junction",
        question: "When half of the arrows are longer than the rest, do they still cancel in the same field?",
        look_at: "Change the profile alone and watch the first zero.",
        freedom: BY_HAND,
    },
    Picture {
        name: "same-side-lobes",
        words: "the pattern of an even junction, only drawn narrower or wider",
        question: "What carries the current at the top of the first side lobe, and how much of it is left over?",
        look_at: "Change the profile and read the height of the first side lobe.",
        freedom: BY_HAND,
    },
    Picture {
        name: "opposite-profile",
        words: "the pattern of the opposite junction, strong where this one is weak",
        question: "Which two parts turn against each other fastest: those far apart or those close together?",
        look_at: "Move current from the middle to the edges and watch the first zero.",
        freedom: BY_HAND,
    },
];

/// Half-height of the central lobe, `|sin(pi f) / (pi f)| = 1/2`.
const HALF_HEIGHT: f64 = 0.603_354_5;
/// `pi f` at the first side lobe, the first root of `tan x = x` above zero. The lobes of
/// `|sin x / x|` have the heights `1 / sqrt(1 + x^2)`.
const FIRST_LOBE: f64 = 4.493_409_5;

pub(super) fn curves(
    picture: &str,
    setup: &Setup,
    x: &[f64],
) -> Result<Vec<Vec<f64>>, PictureError> {
    let current = parameter(setup, "critical-current");
    let width = parameter(setup, "width");
    let area = width * parameter(setup, "magnetic-thickness");
    // What the reader compares with is the usual junction of this kind.
    let usual = Setup::new(setup.description().kind)?;
    let stretch = parameter(&usual, "width") / width;
    if picture == "opposite-profile" {
        let mut opposite = setup.clone();
        opposite.set_densities("profile", &profile::opposite(setup)?)?;
        return Ok(vec![model(&opposite, "critical-current", x)?]);
    }
    let first_minimum = if picture == "same-side-lobes" {
        profile::first_minimum(setup)?
    } else {
        1.0
    };
    let values = x
        .iter()
        .map(|field| {
            let f = field * area / FLUX_QUANTUM;
            current
                * match picture {
                    "shadow" => 1.0 / (1.0 + (f / HALF_HEIGHT) * (f / HALF_HEIGHT)),
                    "two-slits" => cosine(f).abs(),
                    "squared" => sinc(f) * sinc(f),
                    "half-quantum-zeros" => sinc(2.0 * f).abs(),
                    "equal-lobes" if f.abs() < 1.0 => cosine(f / 2.0),
                    "equal-lobes" => sine(f).abs(),
                    "signed" => sinc(f),
                    "narrow-centre" => {
                        let lobe = FIRST_LOBE * f;
                        cosine(f).abs() / (1.0 + lobe * lobe).sqrt()
                    }
                    "same-pattern" => sinc(f).abs(),
                    "same-side-lobes" => sinc(f / first_minimum).abs(),
                    // "wider-for-wider": the width enters upside down.
                    _ => sinc(f * stretch * stretch).abs(),
                }
        })
        .collect();
    Ok(vec![values])
}
