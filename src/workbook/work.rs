//! A student's work on an assignment: what each message changes, and what must then be done. The
//! page only carries the effects out. What counts is decided by [`crate::homework::marking`], the
//! same code that marks the receipt.

mod answer;
mod update;

use std::cell::RefCell;
use std::rc::Rc;

use super::standing::TaskStanding;
use crate::fields::FieldError;
use crate::homework::marking::{mark_task, most_tries};
use crate::homework::{
    Assignment, Entry, Expected, Identifier, IdentifierError, Kind, Receipt, Variant,
};
use crate::lesson::spec::Block;
use crate::named::Named;
use crate::prediction::Confidence;
use crate::prediction::number::NumberAssessment;
use crate::session::{Attempt, Commitment};

use answer::stored;

pub use update::{Effect, Message};

/// One student's work on an assignment.
#[derive(Debug, Clone)]
pub struct Work {
    assignment: Assignment,
    typed: String,
    student: Identifier,
    variant: Variant,
    entries: Vec<Entry>,
    /// When the first entry was made, in milliseconds since 1970.
    began: f64,
    expected: Vec<Option<Rc<Expected>>>,
    /// How questions stood after so many entries about them: a sketch is not judged twice.
    stood: RefCell<Vec<Option<(usize, TaskStanding)>>>,
}

impl Work {
    /// Work at which nothing was done yet. `typed` is the identifier as typed.
    ///
    /// # Errors
    /// When it is no identifier.
    pub fn new(assignment: Assignment, typed: &str) -> Result<Self, IdentifierError> {
        let student = Identifier::new(typed)?;
        let variant = Variant::of(&assignment, &student);
        Ok(Self {
            expected: vec![None; assignment.tasks.len()],
            stood: RefCell::new(vec![None; assignment.tasks.len()]),
            assignment,
            typed: typed.trim().to_owned(),
            student,
            variant,
            entries: Vec::new(),
            began: 0.0,
        })
    }

    /// Work to go on with, now. `began` says when its first entry was made, if that is known here.
    ///
    /// # Errors
    /// When the receipt's identifier is none.
    pub fn resume(
        assignment: Assignment,
        receipt: Receipt,
        began: Option<f64>,
        now: f64,
    ) -> Result<Self, IdentifierError> {
        let mut work = Self::new(assignment, &receipt.student)?;
        let last = receipt.entries.last().map_or(0, |entry| entry.at);
        // Taken up elsewhere, time goes on from where it was left.
        work.began = began.unwrap_or(now - f64::from(last) * 1000.0);
        work.entries = receipt.entries;
        Ok(work)
    }

    /// The assignment, with its draws open.
    #[must_use]
    pub fn assignment(&self) -> &Assignment {
        &self.assignment
    }

    /// The identifier as typed.
    #[must_use]
    pub fn typed(&self) -> &str {
        &self.typed
    }

    /// The identifier in its one form.
    #[must_use]
    pub fn student(&self) -> &Identifier {
        &self.student
    }

    /// The student's numbers.
    #[must_use]
    pub fn variant(&self) -> &Variant {
        &self.variant
    }

    /// What was done, in order.
    #[must_use]
    pub fn entries(&self) -> &[Entry] {
        &self.entries
    }

    /// A question with the student's numbers.
    ///
    /// # Errors
    /// When it is not the JSON of a block, which the check of the file excludes.
    pub fn block(&self, task: usize) -> Option<Result<Block, FieldError>> {
        let task = self.assignment.tasks.get(task)?;
        Some(self.assignment.block(task, &self.variant))
    }

    /// What a question expects, if it was computed.
    #[must_use]
    pub fn expected(&self, task: usize) -> Option<Rc<Expected>> {
        self.expected.get(task).cloned().flatten()
    }

    /// Takes in what a question expects.
    pub fn know(&mut self, task: usize, expected: Expected) {
        if let Some(place) = self.expected.get_mut(task) {
            *place = Some(Rc::new(expected));
        }
    }

    /// The receipt as it stands.
    #[must_use]
    pub fn receipt(&self) -> Receipt {
        let mut values = Named::new();
        for (place, draw) in self.assignment.draws.iter().enumerate() {
            let value = self.variant.value(&self.assignment, place);
            values.insert(draw.name.clone(), value.unwrap_or_default().to_owned());
        }
        Receipt {
            program: env!("CARGO_PKG_VERSION").to_owned(),
            course: self.assignment.course.clone(),
            assignment: self.assignment.slug.clone(),
            version: self.assignment.version,
            student: self.typed.clone(),
            values,
            entries: self.entries.clone(),
        }
    }

    /// A name for the receipt's file: letters, digits and hyphens only.
    #[must_use]
    pub fn file_name(&self) -> String {
        let plain: String = self
            .student
            .as_str()
            .chars()
            .map(|letter| {
                if letter.is_ascii_alphanumeric() {
                    letter
                } else {
                    '-'
                }
            })
            .collect();
        format!("receipt-{}-{plain}.json", self.assignment.slug)
    }

    fn of_task(&self, task: usize) -> Vec<&Entry> {
        let id = self.assignment.tasks.get(task).map(|task| task.id.as_str());
        self.entries
            .iter()
            .filter(|entry| Some(entry.task.as_str()) == id)
            .collect()
    }

    /// The last answer to a question.
    #[must_use]
    pub fn last_answer(&self, task: usize) -> Option<&str> {
        self.of_task(task)
            .into_iter()
            .rfind(|entry| entry.kind == Kind::Answer)
            .map(|entry| entry.text.as_str())
    }

    /// How a question stands.
    #[must_use]
    pub fn standing(&self, task: usize) -> TaskStanding {
        let own = self.of_task(task);
        let points = self
            .assignment
            .tasks
            .get(task)
            .map_or(0, |task| task.points);
        let rules = &self.assignment.rules;
        let Some(expected) = self.expected.get(task).and_then(Option::as_ref) else {
            return TaskStanding::unknown(points, !own.is_empty());
        };
        let mut stood = self.stood.borrow_mut();
        let Some(stood) = stood.get_mut(task) else {
            return TaskStanding::unknown(points, false);
        };
        if let Some((count, standing)) = stood
            && *count == own.len()
        {
            return standing.clone();
        }
        let mark = mark_task(expected, rules, f64::from(points), &own);
        let closed = mark.is_closed(expected, rules) && !mark.waiting;
        let standing = TaskStanding::new(mark, most_tries(expected, rules), points, closed);
        *stood = Some((own.len(), standing.clone()));
        standing
    }

    /// Whether something was done in a question that is not yet judged.
    #[must_use]
    pub fn wants(&self, task: usize) -> bool {
        self.expected(task).is_none() && !self.of_task(task).is_empty()
    }

    /// What is said about a number typed for a question; none when it is none of numbers, or not
    /// known yet.
    #[must_use]
    pub fn assess(&self, task: usize, text: &str) -> Option<NumberAssessment> {
        match self.expected.get(task)?.as_deref()? {
            Expected::Number(expected) => Some(expected.assess(text)),
            _ => None,
        }
    }

    /// The computed value of a numeric question in words.
    #[must_use]
    pub fn truth(&self, task: usize) -> Option<String> {
        match self.expected.get(task)?.as_deref()? {
            Expected::Number(expected) => Some(expected.words()),
            _ => None,
        }
    }

    /// What the predictions go on from: drafts that are kept, and above them what was committed.
    #[must_use]
    pub fn attempt(&self, drafts: Option<&Attempt>) -> Attempt {
        let mut attempt = drafts
            .cloned()
            .unwrap_or_else(|| Attempt::new("", self.began));
        // The order of options hangs on this name: everywhere the same for a student.
        self.student.as_str().clone_into(&mut attempt.id);
        attempt.started = self.began;
        for (place, task) in self.assignment.tasks.iter().enumerate() {
            let kept = attempt.blocks.get_or_default(&task.id);
            kept.committed = None;
            kept.meant = None;
            kept.came = None;
            let Some(Ok(Block::Predict(prediction))) = self.block(place) else {
                continue;
            };
            let own = self.of_task(place);
            let Some(answer) = own.iter().find(|entry| entry.kind == Kind::Answer) else {
                continue;
            };
            kept.committed = stored(&prediction.ask, &answer.text).map(|made| Commitment {
                answer: made,
                sure: answer.sure.unwrap_or(Confidence::Guess),
                reason: kept.reason,
                at: self.began + f64::from(answer.at) * 1000.0,
            });
            kept.meant = own
                .iter()
                .find(|entry| entry.kind == Kind::Meant)
                .map(|entry| entry.text.clone());
        }
        attempt
    }

    /// The greatest hint of a question that was opened, from 1; 0 for none.
    #[must_use]
    pub fn hints(&self, task: usize) -> usize {
        self.of_task(task)
            .iter()
            .filter(|entry| entry.kind == Kind::Hint)
            .filter_map(|entry| entry.text.parse().ok())
            .max()
            .unwrap_or(0)
    }
}
