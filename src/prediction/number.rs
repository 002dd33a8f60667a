//! A number with a unit: read, judged on full precision, and met with the likely slip where
//! exactly one explains it. What cannot be read costs no try.

mod made;
mod wanted;

use super::slips::Slip;
use crate::decimal::shortest;
use crate::experiment::{ExperimentError, Setup, Sought, seek, sought_unit};
use crate::quantity::{
    Dimension, Parsed, QuantityError, Unit, parse_quantity, parse_unit, show, shown_unit,
};

use made::made_by_slips;
use wanted::Wanted;

pub use wanted::NumberExpectation;

/// A numeric question.
#[derive(Debug, Clone)]
pub struct NumberTask<'a> {
    /// The device asked about.
    pub setup: &'a Setup,
    /// What is asked for.
    pub answer: &'a Sought,
    /// The unit beside the box, taken when none is typed; empty for a pure number.
    pub unit: &'a str,
    /// Largest relative error that counts as right, e.g. `0.02`.
    pub within: f64,
    /// Names of the slips that may be recognised (see [`Slip`]).
    pub slips: &'a [String],
}

/// What became of a typed number.
#[derive(Debug, Clone, PartialEq)]
pub enum NumberVerdict {
    /// Within the tolerance.
    Right,
    /// Outside it; the slip that explains it, if exactly one does.
    Differs(Option<Slip>),
    /// Of another kind than what is asked, e.g. a field for a flux. Costs no try.
    OtherKind,
    /// Cannot be read. Costs no try.
    Unread,
}

/// What is said about a typed number.
#[derive(Debug, Clone, PartialEq)]
pub struct NumberAssessment {
    /// What became of it.
    pub verdict: NumberVerdict,
    /// The first sentence.
    pub headline: String,
    /// How it was understood, e.g. `Read as 2.07 fWb.`
    pub read_as: Option<String>,
    /// Remarks: a unit taken for granted, too few figures.
    pub notes: Vec<String>,
}

impl NumberAssessment {
    /// Whether this uses up a try.
    #[must_use]
    pub fn counts(&self) -> bool {
        matches!(
            self.verdict,
            NumberVerdict::Right | NumberVerdict::Differs(_)
        )
    }

    /// Headline and remarks in one: what is said of a text that uses up no try.
    #[must_use]
    pub fn in_one(self) -> String {
        let mut words = vec![self.headline];
        words.extend(self.notes);
        words.join(" ")
    }
}

/// Why a numeric question cannot be checked: the fault of the question, not of the reader.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum NumberTaskError {
    /// The model does not give what is asked for.
    #[error(transparent)]
    Experiment(#[from] ExperimentError),
    /// The unit beside the box cannot be read.
    #[error("the unit beside the box: {0}")]
    Unit(#[from] QuantityError),
    /// The unit beside the box is not a unit of what is asked for.
    #[error("the unit `{unit}` beside the box does not measure what is asked for; try `{instead}`")]
    OtherKind {
        /// The unit.
        unit: String,
        /// A unit that does.
        instead: String,
    },
    /// A slip that is not known.
    #[error("the slip `{0}` is not known; known are: {known}", known = Slip::names())]
    UnknownSlip(String),
}

/// Assesses a typed number.
///
/// # Errors
/// When the question itself cannot be answered: see [`NumberTaskError`]. What the reader typed
/// never makes an error.
pub fn assess_number(
    task: &NumberTask<'_>,
    text: &str,
) -> Result<NumberAssessment, NumberTaskError> {
    let wanted = Wanted::new(task)?;
    wanted.judge(text, || made_by_slips(task, wanted.value))
}

/// Whether texts can be judged once the answer is known: `wanted`, in the SI unit of what is asked.
///
/// # Errors
/// When the unit beside the box does not fit, or the slips cannot be computed.
pub fn check_task(task: &NumberTask<'_>, wanted: f64) -> Result<(), NumberTaskError> {
    let (_, base_unit, _) = units(task)?;
    made_by_slips(task, wanted * base_unit.factor)?;
    Ok(())
}

/// Why a text cannot be judged in a box with this unit beside it, in a sentence; none when it
/// can. The model is not asked.
#[must_use]
pub fn unreadable(text: &str, beside: &str) -> Option<String> {
    let parsed = match parse_quantity(text) {
        Ok(parsed) => parsed,
        Err(error) => return Some(sentence(&error.to_string())),
    };
    let (typed, default) = (parsed.unit?, unit(beside).ok()?);
    (typed.dimension != default.dimension).then(|| other_kind(&typed, &default, beside).headline)
}

/// The computed value in words, e.g. `1.14 mT`.
///
/// # Errors
/// When the question itself cannot be answered: see [`NumberTaskError`].
pub fn answer_words(task: &NumberTask<'_>) -> Result<String, NumberTaskError> {
    let base = sought_unit(task.setup, task.answer)?;
    Ok(show(seek(task.setup, task.answer)?, base, 4))
}

/// The right value, and each value that a listed slip makes of it, in the SI unit of what is
/// asked: for checking that a question's slips can be told apart.
///
/// # Errors
/// When the question itself cannot be answered: see [`NumberTaskError`].
pub fn slip_values(task: &NumberTask<'_>) -> Result<(f64, Vec<(Slip, f64)>), NumberTaskError> {
    let wanted = seek(task.setup, task.answer)?;
    Ok((wanted, made_by_slips(task, wanted)?))
}

/// The rule beside the box, e.g. `Within 2 % counts.`
#[must_use]
pub fn rule(within: f64) -> String {
    let percent = (within * 1000.0).round() / 10.0;
    format!("Within {} % counts.", shortest(percent))
}

/// The SI unit of what is asked, as words and as a unit, and the unit beside the box.
fn units(task: &NumberTask<'_>) -> Result<(&'static str, Unit, Unit), NumberTaskError> {
    let base = sought_unit(task.setup, task.answer)?;
    let base_unit = unit(base)?;
    let default = unit(task.unit)?;
    if default.dimension != base_unit.dimension {
        return Err(NumberTaskError::OtherKind {
            unit: task.unit.to_owned(),
            instead: base.to_owned(),
        });
    }
    Ok((base, base_unit, default))
}

fn unit(text: &str) -> Result<Unit, QuantityError> {
    if text.trim().is_empty() {
        Ok(Unit {
            symbol: String::new(),
            factor: 1.0,
            dimension: Dimension::NONE,
        })
    } else {
        parse_unit(text)
    }
}

fn other_kind(typed: &Unit, default: &Unit, asked: &str) -> NumberAssessment {
    let kind = |unit: &Unit| {
        unit.dimension.words().map_or_else(
            || format!("something in {}", shown_unit(&unit.symbol)),
            str::to_owned,
        )
    };
    let asked = if asked.is_empty() {
        "no unit".to_owned()
    } else {
        shown_unit(asked)
    };
    NumberAssessment {
        verdict: NumberVerdict::OtherKind,
        headline: format!(
            "That is {}; {} is asked ({asked}).",
            kind(typed),
            kind(default)
        ),
        read_as: None,
        notes: vec!["This costs no try.".to_owned()],
    }
}

fn notes(parsed: &Parsed, unit: &str) -> Vec<String> {
    let mut notes = Vec::new();
    if !unit.is_empty() {
        if parsed.unit.is_none() {
            notes.push(format!(
                "No unit was given; {} was taken.",
                shown_unit(unit)
            ));
        }
        // A zero has no figures.
        if parsed.significant_figures < 2 && parsed.value.abs() > 0.0 {
            notes.push("One figure says little; give two or three.".to_owned());
        }
    }
    notes
}

/// A message as a sentence of its own.
fn sentence(message: &str) -> String {
    let mut letters = message.chars();
    let mut text: String = letters
        .next()
        .map(|first| first.to_ascii_uppercase().to_string())
        .unwrap_or_default();
    text.push_str(letters.as_str());
    if !text.ends_with(['.', '?']) {
        text.push('.');
    }
    text
}
