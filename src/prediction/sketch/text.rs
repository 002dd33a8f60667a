//! A sketch as a short line of text, for storage and for receipts.
//!
//! The line begins with `s1` (the version) and the number of samples; then come runs, divided by
//! full stops: `-12` for twelve samples that the reader did not give, `p` with two characters for
//! each sample of a stroke, `k` with two characters for a knot, `j` with four for a jump (left,
//! right). Two characters are a number from 0 to 1000 in base 36. Joined samples are not
//! written: they follow from the others.

use thiserror::Error;

use super::{FULL_SCALE, Origin, Sample, SketchGrid};

const VERSION: &str = "s1";
const DIGITS: &[u8; 36] = b"0123456789abcdefghijklmnopqrstuvwxyz";

/// Why a stored sketch cannot be read.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum SketchTextError {
    /// The text is not a sketch of this version.
    #[error("this is not a sketch of version {VERSION}; draw it again")]
    Version,
    /// The sketch was drawn on other axes.
    #[error("the sketch has {found} samples where these axes have {wanted}; draw it again")]
    Length {
        /// Samples that the axes have.
        wanted: usize,
        /// Samples that the text has.
        found: usize,
    },
    /// A run cannot be read.
    #[error("run {run} of the stored sketch cannot be read; draw it again")]
    Run {
        /// Which run, counted from 1.
        run: usize,
    },
    /// The axes are not axes: an end is not finite, or both ends are the same.
    #[error("the axes of the stored sketch have no extent; draw it again")]
    Axes,
}

pub(super) fn encode(samples: &[Option<Sample>]) -> String {
    let mut text = String::from(VERSION);
    text.push_str(&samples.len().to_string());
    let mut empty = 0_usize;
    let mut stroke = false;
    for slot in samples {
        let given = slot.filter(|sample| sample.origin != Origin::Joined);
        if given.is_some() && empty > 0 {
            push_empty(&mut text, empty);
            empty = 0;
        }
        match given {
            None => {
                empty += 1;
                stroke = false;
            }
            Some(sample) => match (sample.origin, sample.after) {
                (_, Some(after)) => {
                    text.push_str(".j");
                    push_value(&mut text, sample.value);
                    push_value(&mut text, after);
                    stroke = false;
                }
                (Origin::Stroke, None) => {
                    if !stroke {
                        text.push_str(".p");
                        stroke = true;
                    }
                    push_value(&mut text, sample.value);
                }
                (_, None) => {
                    text.push_str(".k");
                    push_value(&mut text, sample.value);
                    stroke = false;
                }
            },
        }
    }
    if empty > 0 {
        push_empty(&mut text, empty);
    }
    text
}

pub(super) fn decode(grid: SketchGrid, text: &str) -> Result<Vec<Option<Sample>>, SketchTextError> {
    let extent = |from: f64, to: f64| (to - from).is_finite() && (to - from).abs() > 0.0;
    if !extent(grid.from, grid.to) || !extent(grid.bottom, grid.top) {
        return Err(SketchTextError::Axes);
    }
    let body = text.strip_prefix(VERSION).ok_or(SketchTextError::Version)?;
    let mut runs = body.split('.');
    let wanted = grid.samples();
    let found = runs
        .next()
        .and_then(|count| count.parse::<usize>().ok())
        .ok_or(SketchTextError::Version)?;
    if found != wanted {
        return Err(SketchTextError::Length { wanted, found });
    }
    let mut samples = Vec::with_capacity(wanted);
    for (number, run) in runs.enumerate() {
        read_run(run, wanted - samples.len(), &mut samples)
            .ok_or(SketchTextError::Run { run: number + 1 })?;
        if samples.len() > wanted {
            break;
        }
    }
    if samples.len() == wanted {
        Ok(samples)
    } else {
        Err(SketchTextError::Length {
            wanted,
            found: samples.len(),
        })
    }
}

fn read_run(run: &str, room: usize, samples: &mut Vec<Option<Sample>>) -> Option<()> {
    let (kind, rest) = run.as_bytes().split_first()?;
    let pairs = rest.chunks(2);
    match kind {
        b'-' => {
            let count = run.get(1..)?.parse::<usize>().ok()?;
            if count == 0 || count > room {
                return None;
            }
            samples.resize(samples.len() + count, None);
        }
        b'p' if !rest.is_empty() => {
            for pair in pairs {
                samples.push(Some(Sample {
                    value: read_value(pair)?,
                    after: None,
                    origin: Origin::Stroke,
                }));
            }
        }
        b'k' if rest.len() == 2 => samples.push(Some(Sample {
            value: read_value(rest)?,
            after: None,
            origin: Origin::Knot,
        })),
        b'j' if rest.len() == 4 => {
            let (left, right) = rest.split_at(2);
            samples.push(Some(Sample {
                value: read_value(left)?,
                after: Some(read_value(right)?),
                origin: Origin::Knot,
            }));
        }
        _ => return None,
    }
    Some(())
}

fn push_empty(text: &mut String, count: usize) {
    text.push_str(".-");
    text.push_str(&count.to_string());
}

fn push_value(text: &mut String, value: u16) {
    for digit in [value / 36, value % 36] {
        let digit = DIGITS.get(usize::from(digit)).copied().unwrap_or(b'0');
        text.push(char::from(digit));
    }
}

fn read_value(pair: &[u8]) -> Option<u16> {
    let [high, low] = pair else { return None };
    let digit = |byte: &u8| DIGITS.iter().position(|digit| digit == byte);
    let value = u16::try_from(digit(high)? * 36 + digit(low)?).ok()?;
    (value <= FULL_SCALE).then_some(value)
}
