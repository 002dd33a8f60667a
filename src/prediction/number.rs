//! A number with a unit: read, judged on full precision, and met with the likely slip where
//! exactly one explains it. What cannot be read costs no try.

use super::slips::{Slip, SlipNumbers};
use crate::decimal::shortest;
use crate::experiment::{ExperimentError, Setup, Sought, run, seek, sought_unit};
use crate::quantity::{Dimension, Parsed, QuantityError, Unit, parse_quantity, parse_unit, show};

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

/// A numeric question with its answer, and what its slips make of it, computed once for all that
/// may be typed. Where only one text is to be judged, [`assess_number`] asks less of the model.
#[derive(Debug, Clone)]
pub struct NumberExpectation {
    wanted: Wanted,
    slips: Vec<(Slip, f64)>,
}

impl NumberExpectation {
    /// Computes the answer and the slips.
    ///
    /// # Errors
    /// When the question itself cannot be answered: see [`NumberTaskError`].
    pub fn new(task: &NumberTask<'_>) -> Result<Self, NumberTaskError> {
        let wanted = Wanted::new(task)?;
        let slips = made_by_slips(task, wanted.value)?;
        Ok(Self { wanted, slips })
    }

    /// Assesses a typed number.
    #[must_use]
    pub fn assess(&self, text: &str) -> NumberAssessment {
        let slips = || Ok::<_, std::convert::Infallible>(self.slips.clone());
        match self.wanted.judge(text, slips) {
            Ok(assessment) => assessment,
            Err(never) => match never {},
        }
    }

    /// The value of a text in SI units, if it is of the kind that is asked for.
    #[must_use]
    pub fn reads(&self, text: &str) -> Option<f64> {
        let parsed = parse_quantity(text).ok()?;
        match &parsed.unit {
            Some(typed) if typed.dimension != self.wanted.default.dimension => None,
            Some(_) => Some(parsed.si),
            None => Some(parsed.value * self.wanted.default.factor),
        }
    }

    /// The right value in words, with its unit.
    #[must_use]
    pub fn words(&self) -> String {
        let wanted = &self.wanted;
        show(wanted.value / wanted.base_unit.factor, wanted.base, 4)
    }

    /// The right value in SI units.
    #[must_use]
    pub fn value(&self) -> f64 {
        self.wanted.value
    }

    /// The values that the listed slips make of it, in SI units.
    #[must_use]
    pub fn slips(&self) -> &[(Slip, f64)] {
        &self.slips
    }

    /// A value in SI units as somebody would type it, in the unit beside the box.
    #[must_use]
    pub fn written(&self, value: f64, figures: u32) -> String {
        let number = show(value / self.wanted.default.factor, "", figures);
        format!("{number} {}", self.wanted.beside)
            .trim_end()
            .to_owned()
    }
}

/// What is asked for, in numbers.
#[derive(Debug, Clone)]
struct Wanted {
    base: &'static str,
    base_unit: Unit,
    default: Unit,
    beside: String,
    within: f64,
    value: f64,
}

impl Wanted {
    fn new(task: &NumberTask<'_>) -> Result<Self, NumberTaskError> {
        let (base, base_unit, default) = units(task)?;
        listed(task)?;
        let value = seek(task.setup, task.answer)? * base_unit.factor;
        Ok(Self {
            base,
            base_unit,
            default,
            beside: task.unit.to_owned(),
            within: task.within,
            value,
        })
    }

    /// Judges a text; what the slips make of the value is asked for only when it is wrong.
    fn judge<E>(
        &self,
        text: &str,
        slips: impl FnOnce() -> Result<Vec<(Slip, f64)>, E>,
    ) -> Result<NumberAssessment, E> {
        let parsed = match parse_quantity(text) {
            Ok(parsed) => parsed,
            Err(error) => {
                return Ok(NumberAssessment {
                    verdict: NumberVerdict::Unread,
                    headline: sentence(&error.to_string()),
                    read_as: None,
                    notes: vec!["This costs no try.".to_owned()],
                });
            }
        };
        if let Some(typed) = &parsed.unit
            && typed.dimension != self.default.dimension
        {
            return Ok(other_kind(typed, &self.default, &self.beside));
        }
        let given = match &parsed.unit {
            Some(_) => parsed.si,
            None => parsed.value * self.default.factor,
        };
        let figures = parsed.significant_figures.clamp(2, 9);
        let read_as = Some(format!(
            "Read as {}.",
            show(given / self.base_unit.factor, self.base, figures)
        ));
        let notes = notes(&parsed, &self.beside);
        if close(given, self.value, self.within) {
            return Ok(NumberAssessment {
                verdict: NumberVerdict::Right,
                headline: "This agrees with the computed value.".to_owned(),
                read_as,
                notes,
            });
        }
        let mut fitting: Vec<Slip> = slips()?
            .into_iter()
            .filter(|(_, value)| close(given, *value, self.within))
            .map(|(slip, _)| slip)
            .collect();
        fitting.dedup();
        let slip = match fitting.as_slice() {
            [only] => Some(*only),
            _ => None,
        };
        Ok(NumberAssessment {
            headline: slip.map_or_else(
                || "This differs from the computed value.".to_owned(),
                |slip| slip.words(given / self.value),
            ),
            verdict: NumberVerdict::Differs(slip),
            read_as,
            notes,
        })
    }
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

/// What each listed slip makes of the right value.
fn made_by_slips(task: &NumberTask<'_>, wanted: f64) -> Result<Vec<(Slip, f64)>, NumberTaskError> {
    let numbers = slip_numbers(task, wanted)?;
    Ok(listed(task)?
        .into_iter()
        .flat_map(|slip| {
            slip.values(&numbers)
                .into_iter()
                .map(move |value| (slip, value))
        })
        .collect())
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

fn listed(task: &NumberTask<'_>) -> Result<Vec<Slip>, NumberTaskError> {
    task.slips
        .iter()
        .map(|name| Slip::from_name(name).ok_or_else(|| NumberTaskError::UnknownSlip(name.clone())))
        .collect()
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

fn close(given: f64, wanted: f64, within: f64) -> bool {
    // Where the wanted value is zero, the tolerance counts as it stands.
    let limit = if wanted.abs() > 0.0 {
        within.abs() * wanted.abs()
    } else {
        within.abs()
    };
    // A value typed exactly at the limit counts.
    (given - wanted).abs() <= limit * (1.0 + 1e-9)
}

fn other_kind(typed: &Unit, default: &Unit, asked: &str) -> NumberAssessment {
    let kind = |unit: &Unit| {
        unit.dimension
            .words()
            .map_or_else(|| format!("something in {}", unit.symbol), str::to_owned)
    };
    let asked = if asked.is_empty() {
        "no unit".to_owned()
    } else {
        super::words::shown_unit(asked)
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
                super::words::shown_unit(unit)
            ));
        }
        if parsed.significant_figures < 2 {
            notes.push("One figure says little; give two or three.".to_owned());
        }
    }
    notes
}

/// What the computed slips need from the model; what the set-up does not have stays unknown.
fn slip_numbers(task: &NumberTask<'_>, wanted: f64) -> Result<SlipNumbers, NumberTaskError> {
    let setup = task.setup;
    let junction = setup
        .get_si("width")
        .zip(setup.get_si("magnetic-thickness"))
        .map(|(width, thickness)| width * thickness);
    let largest = match task.answer {
        Sought::At { column, .. } => largest(setup, column)?,
        Sought::Reading { .. } if sought_unit(setup, task.answer)? == "A" => {
            largest(setup, "critical-current")?
        }
        _ => None,
    };
    Ok(SlipNumbers {
        wanted,
        largest,
        loop_over_junction: setup
            .get_si("loop-area")
            .zip(junction)
            .map(|(whole, junction)| whole / junction),
        wire: setup
            .get_si("wire-radius")
            .zip(setup.get_si("penetration-depth-wire"))
            .zip(setup.get_si("penetration-depth-solder"))
            .map(|((radius, wire), solder)| [radius, wire, solder]),
    })
}

/// Value of a column without field.
fn largest(setup: &Setup, column: &str) -> Result<Option<f64>, NumberTaskError> {
    Ok(run(setup, &[0.0])?
        .column(column)
        .and_then(|column| column.values.first().copied()))
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
