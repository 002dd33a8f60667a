//! The proof that an assignment is fair: every variant of every question is computed, and the
//! right answer and every slip that may be named lie far enough apart.

use std::ops::Range;

use super::super::judge::Expected;
use super::super::marking::Paper;
use super::AssignmentFile;
use super::physical::{axis_unit, other_unit, unphysical};
use super::records::{off_chart, records};
use crate::lesson::diagnostic::{Diagnostic, Diagnostics, Mistake};
use crate::lesson::spec::{Ask, Block};

/// The right answer and each slip differ by more than so many tolerances.
const APART: f64 = 5.0;
/// Most variants of one question that are computed.
const MOST: usize = 10_000;

/// What the check of an assignment looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Report {
    /// Questions.
    pub tasks: usize,
    /// Computed variants, of all questions together.
    pub computed: usize,
    /// Computed variants of records.
    pub records: usize,
    /// How many different students there can be: the product of all draws.
    pub variants: u128,
    /// Whether some question has more variants than were computed.
    pub cut: bool,
}

impl AssignmentFile {
    /// Computes every variant of every question. Mistakes are told at the question's first line;
    /// one variant is enough to tell them. Nothing is computed in a file that has mistakes.
    #[must_use]
    pub fn check(&self) -> (Report, Vec<Diagnostic>) {
        let mut report = Report {
            tasks: self.assignment.tasks.len(),
            variants: self
                .assignment
                .draws
                .iter()
                .map(|draw| draw.values.len() as u128)
                .product(),
            ..Report::default()
        };
        let mut diagnostics = Diagnostics::new(&self.source);
        if !self.diagnostics.is_empty() {
            return (report, Vec::new());
        }
        let paper = Paper::new(&self.assignment);
        for (place, task) in self.assignment.tasks.iter().enumerate() {
            let variants = paper.variants(place, MOST);
            report.cut |= variants.len() == MOST;
            let span = self.places.get(place).cloned().unwrap_or(0..0);
            let within = within(self, place);
            let uses = self.assignment.uses(task);
            let mut first = None;
            for variant in variants {
                report.computed += 1;
                let drawn = || self.assignment.drawn(&uses, &variant);
                let found = match paper.expected(place, &variant) {
                    Err(error) => Some((Mistake::AnswerNotComputable, error.to_string())),
                    Ok(expected) => {
                        let block = self.assignment.block(task, &variant).ok();
                        let odd = block.and_then(|block| {
                            let unit = axis_unit(&block);
                            other_unit(unit, *first.get_or_insert(unit))
                                .or_else(|| unphysical(&block, Some(&expected)))
                        });
                        odd.map(|message| (Mistake::BadDraw, message))
                            .or_else(|| unfair(&expected, within))
                    }
                };
                if let Some((mistake, message)) = found {
                    tell(mistake, span, &message, &drawn(), &mut diagnostics);
                    break;
                }
            }
        }
        for record in records(&self.lesson, &self.assignment.draws) {
            let uses = self.assignment.uses(&record);
            let variants = self.assignment.variants(&uses, MOST);
            report.cut |= variants.len() == MOST;
            report.records += variants.len();
            let odd = variants.into_iter().find_map(|variant| {
                Some((off_chart(&self.assignment, &record, &variant)?, variant))
            });
            if let Some((message, variant)) = odd {
                tell(
                    Mistake::AnswerOutsideChart,
                    self.place_of("record", &record.id),
                    &message,
                    &self.assignment.drawn(&uses, &variant),
                    &mut diagnostics,
                );
            }
        }
        (report, diagnostics.finish())
    }
}

fn tell(
    mistake: Mistake,
    span: Range<usize>,
    message: &str,
    drawn: &str,
    diagnostics: &mut Diagnostics<'_>,
) {
    let message = if drawn.is_empty() {
        message.to_owned()
    } else {
        format!("for {drawn}: {message}")
    };
    diagnostics.add(
        mistake,
        span,
        message,
        match mistake {
            Mistake::TooClose => "take away one of the two slips, or make `within` smaller",
            Mistake::AnswerOutsideChart => "widen the axis, or lessen the noise",
            Mistake::BadDraw => "draw from values for which the device is sane and the model holds",
            _ => "draw from other values, or ask for something else",
        },
    );
}

/// The tolerance of a numeric question.
fn within(file: &AssignmentFile, place: usize) -> f64 {
    match super::questions(&file.lesson).nth(place) {
        Some(Block::Question(question)) => question.number.within,
        Some(Block::Predict(prediction)) => match &prediction.ask {
            Ask::Number(number) => number.within,
            Ask::MarkAxis { within, .. } => *within,
            _ => 0.0,
        },
        _ => 0.0,
    }
}

/// Two values that may be taken for one another.
fn unfair(expected: &Expected, within: f64) -> Option<(Mistake, String)> {
    match expected {
        Expected::Number(number) => {
            let right = number.value();
            let mut values = vec![("the right answer", right)];
            values.extend(
                number
                    .slips()
                    .iter()
                    .map(|(slip, value)| (slip.name(), *value)),
            );
            close_pair(&values, |a, b| APART * within * a.abs().max(b.abs()))
        }
        Expected::Place(place) => {
            let mut values = vec![("the right place", place.answer())];
            values.extend(
                place
                    .slips()
                    .iter()
                    .map(|(at, picture)| (picture.as_str(), *at)),
            );
            close_pair(&values, |_, _| APART * within)
        }
        Expected::Statement { right: None, .. } => Some((
            Mistake::NotOneRight,
            "no option is the right one".to_owned(),
        )),
        Expected::Sketch(..) | Expected::Curve { .. } | Expected::Statement { .. } => None,
    }
}

fn close_pair(
    values: &[(&str, f64)],
    least: impl Fn(f64, f64) -> f64,
) -> Option<(Mistake, String)> {
    for (place, (name, value)) in values.iter().enumerate() {
        for (other, at) in values.iter().skip(place + 1) {
            if name != other && (value - at).abs() <= least(*value, *at) {
                return Some((
                    Mistake::TooClose,
                    format!("`{name}` and `{other}` are less than {APART} tolerances apart"),
                ));
            }
        }
    }
    None
}
