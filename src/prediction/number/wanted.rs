//! What a numeric question asks for, computed, and a typed text judged by it.

use super::made::{listed, made_by_slips};
use super::{
    NumberAssessment, NumberTask, NumberTaskError, NumberVerdict, notes, other_kind, sentence,
    units,
};
use crate::experiment::seek;
use crate::prediction::slips::Slip;
use crate::quantity::{Parsed, Unit, parse_quantity, show, typed};

/// A numeric question with its answer, and what its slips make of it, computed once for all that
/// may be typed. Where only one text is to be judged, [`assess_number`](super::assess_number) asks less of the model.
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
        self.wanted.given(&parse_quantity(text).ok()?).ok()
    }

    /// Whether a text, as it was read, is right: as [`NumberExpectation::assess`] judges it, without
    /// the words.
    #[must_use]
    pub fn accepts(&self, parsed: &Parsed) -> bool {
        self.wanted
            .given(parsed)
            .is_ok_and(|given| self.wanted.takes(given))
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
        let number = typed(value / self.wanted.default.factor, figures);
        format!("{number} {}", self.wanted.beside)
            .trim_end()
            .to_owned()
    }
}

/// What is asked for, in numbers.
#[derive(Debug, Clone)]
pub(super) struct Wanted {
    base: &'static str,
    base_unit: Unit,
    default: Unit,
    beside: String,
    within: f64,
    pub(super) value: f64,
}

impl Wanted {
    pub(super) fn new(task: &NumberTask<'_>) -> Result<Self, NumberTaskError> {
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

    /// What was given, in SI units; the unit when it is of another kind than what is asked.
    fn given<'a>(&self, parsed: &'a Parsed) -> Result<f64, &'a Unit> {
        match &parsed.unit {
            Some(typed) if typed.dimension != self.default.dimension => Err(typed),
            Some(_) => Ok(parsed.si),
            None => Ok(parsed.value * self.default.factor),
        }
    }

    /// Whether that is right.
    fn takes(&self, given: f64) -> bool {
        close(given, self.value, self.within)
    }

    /// Judges a text; what the slips make of the value is asked for only when it is wrong.
    pub(super) fn judge<E>(
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
        let given = match self.given(&parsed) {
            Ok(given) => given,
            Err(typed) => return Ok(other_kind(typed, &self.default, &self.beside)),
        };
        let figures = parsed.significant_figures.clamp(2, 9);
        let read_as = Some(format!(
            "Read as {}.",
            show(given / self.base_unit.factor, self.base, figures)
        ));
        let notes = notes(&parsed, &self.beside);
        if self.takes(given) {
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
