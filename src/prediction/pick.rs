//! A choice: among curves, each computed from a picture, or among statements. The order is
//! shuffled for each reader, and stays the same for that reader.

use super::pictures::{self, MODEL, Picture};
use super::verdict::Verdict;
use crate::numerics::splitmix::SplitMix64;

/// What is said about a choice among curves.
#[derive(Debug, Clone, PartialEq)]
pub struct PickAssessment {
    /// Right, a wrong picture by name, or different (when the picture is not known).
    pub verdict: Verdict,
    /// The first sentence.
    pub headline: String,
    /// The idea behind the chosen curve, asked back.
    pub question: Option<&'static str>,
    /// What to move and watch.
    pub look_at: Option<&'static str>,
}

/// Assesses the choice of a curve by the name of its picture (`model` is the computed one).
#[must_use]
pub fn assess_curve(kind: &str, column: &str, picture: &str) -> PickAssessment {
    if picture == MODEL {
        return PickAssessment {
            verdict: Verdict::Right,
            headline: "This is the computed curve.".to_owned(),
            question: None,
            look_at: None,
        };
    }
    match pictures::find(kind, column, picture) {
        Some(Picture {
            name,
            words,
            question,
            look_at,
            ..
        }) => PickAssessment {
            verdict: Verdict::WrongPicture(name),
            headline: format!("You chose {words}."),
            question: Some(question),
            look_at: Some(look_at),
        },
        None => PickAssessment {
            verdict: Verdict::Different,
            headline: "You chose another curve than the computed one.".to_owned(),
            question: None,
            look_at: None,
        },
    }
}

/// The curves on offer: the computed one first, then each wrong picture that is named and known.
/// Show them in the order that [`shuffled`] gives.
#[must_use]
pub fn curves(kind: &str, column: &str, names: &[String]) -> Vec<&'static str> {
    let mut offered = vec![MODEL];
    for name in names {
        if let Some(picture) = pictures::find(kind, column, name)
            && !offered.contains(&picture.name)
        {
            offered.push(picture.name);
        }
    }
    offered
}

/// The numbers from 0 to `count` less one, in an order that depends on `seed` alone. Whole-number
/// arithmetic only, so that every machine gives the same order.
#[must_use]
pub fn shuffled(count: usize, seed: u64) -> Vec<usize> {
    let mut order: Vec<usize> = (0..count).collect();
    let mut generator = SplitMix64::new(seed);
    for last in (1..count).rev() {
        let chosen = generator.draw() % (last as u64 + 1);
        order.swap(last, chosen as usize);
    }
    order
}

/// A seed from text, e.g. a reader's own random mark with the lesson's and the block's name
/// (64-bit FNV-1a, Fowler, Noll and Vo).
#[must_use]
pub fn seed(text: &str) -> u64 {
    text.bytes().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
    })
}
