//! Where an axis is marked: steps of 1, 2 or 5 times a power of ten; on an axis in flux quanta
//! quarters and halves instead of fifths, and whole numbers where they fit.

use crate::decimal::{fixed, power};

/// The marks of one axis.
#[derive(Debug, Clone, PartialEq)]
pub struct Ticks {
    /// Places with words.
    pub major: Vec<f64>,
    /// The words, one for each place.
    pub words: Vec<String>,
    /// Places with a fine line only (major places not among them).
    pub minor: Vec<f64>,
}

/// A step with its finer division and the number of decimals that writes it.
struct Step {
    size: f64,
    parts: u32,
    decimals: usize,
}

/// The smallest good step not below `least`.
fn step(least: f64, quanta: bool) -> Step {
    // The decade is found by multiplying: exact enough, and the same bits on every machine.
    let mut decade = 1.0_f64;
    let mut decimals = 0_i32;
    while decade > least && decimals < 300 {
        decade /= 10.0;
        decimals += 1;
    }
    while decade * 10.0 <= least && decimals > -300 {
        decade *= 10.0;
        decimals -= 1;
    }
    // Below ten quanta a step is a quarter, a half, one, two, five; in general 1, 2, 5.
    let fractions = quanta && decade < 0.5;
    let ladder: [(f64, u32, i32); 4] = if fractions {
        [(1.0, 5, 0), (2.5, 5, 1), (5.0, 5, 0), (10.0, 4, -1)]
    } else {
        [
            (1.0, if quanta { 4 } else { 5 }, 0),
            (2.0, 4, 0),
            (5.0, 5, 0),
            (10.0, 5, -1),
        ]
    };
    let (factor, parts, extra) = ladder
        .into_iter()
        .find(|(factor, _, _)| factor * decade >= least * (1.0 - 1e-9))
        .unwrap_or((10.0, 5, -1));
    Step {
        size: factor * decade,
        parts,
        decimals: usize::try_from((decimals + extra).max(0)).unwrap_or(0),
    }
}

/// A number as axes write it: a true minus sign, no negative zero.
#[must_use]
pub fn number(value: f64, decimals: usize) -> String {
    let text = fixed(value.abs(), decimals);
    let zero = text.chars().all(|letter| matches!(letter, '0' | '.'));
    if value < 0.0 && !zero {
        format!("\u{2212}{text}")
    } else {
        text
    }
}

/// Marks between two finite ends, at most `most` (at least 2) with words.
#[must_use]
pub fn ticks(from: f64, to: f64, most: usize, quanta: bool) -> Ticks {
    let most = most.max(2);
    let mut least = (to - from) / most as f64;
    if quanta && to - from >= 2.5 && least < 1.0 && most >= 4 {
        // Whole quanta are what is counted; parts of them are left to the fine lines.
        least = 1.0;
    }
    let step = step(least, quanta);
    let edge = (to - from) * 1e-9;
    let places = |size: f64| {
        let first = ((from - edge) / size).ceil();
        let last = ((to + edge) / size).floor();
        let count = (last - first).clamp(-1.0, 1000.0) as i64;
        (0..=count).map(move |index| first + index as f64)
    };
    let major: Vec<f64> = places(step.size).map(|index| index * step.size).collect();
    // Far from one, a power of ten is written out instead of a row of noughts.
    let largest = from.abs().max(to.abs());
    let plain = largest < 1e6 && step.size >= 1e-5;
    let words = major
        .iter()
        .map(|&value| {
            if plain {
                number(value, step.decimals)
            } else {
                power(value, 2).replace('-', "\u{2212}")
            }
        })
        .collect();
    let parts = f64::from(step.parts);
    let fine = step.size / parts;
    let minor = places(fine)
        .filter(|index| (index / parts - (index / parts).round()).abs() > 1e-6)
        .map(|index| index * fine)
        .collect();
    Ticks {
        major,
        words,
        minor,
    }
}
