//! Marks from raw answers. Nothing in a receipt is trusted but what the student typed, chose or
//! drew: the numbers are drawn again from the identifier, the answers computed again, and every
//! rule applied again.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

use super::assignment::{Assignment, Rules, SOLUTION};
use super::judge::{Expected, Judgement, TaskError, meant};
use super::kept_runs;
use super::receipt::{Entry, Kind};
use super::variant::Variant;
use crate::fields::FieldError;
use crate::prediction::Confidence;

/// An assignment with its computed questions: each is computed once for all students who have
/// the same numbers in it.
#[derive(Debug)]
pub struct Paper<'a> {
    assignment: &'a Assignment,
    uses: Vec<Vec<usize>>,
    computed: Mutex<BTreeMap<Numbers, Arc<Expected>>>,
}

/// Wrong answers longer than this (in bytes) are not kept: a sketch is not given by slip twice.
const SHORT: usize = 200;

/// A question by its place, with the places of the values it uses.
pub(super) type Numbers = (usize, Vec<usize>);

/// Why a question of an assignment cannot be computed.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum PaperError {
    /// The question is not readable.
    #[error("the question `{task}` cannot be read: {error}")]
    Spec {
        /// The question.
        task: String,
        /// What is wrong.
        error: FieldError,
    },
    /// The answer cannot be computed.
    #[error("the question `{task}` cannot be computed: {error}")]
    Task {
        /// The question.
        task: String,
        /// What is wrong.
        error: Box<TaskError>,
    },
}

impl<'a> Paper<'a> {
    /// Nothing computed yet.
    #[must_use]
    pub fn new(assignment: &'a Assignment) -> Self {
        Self {
            assignment,
            uses: assignment
                .tasks
                .iter()
                .map(|task| assignment.uses(task))
                .collect(),
            computed: Mutex::default(),
        }
    }

    /// The assignment.
    #[must_use]
    pub fn assignment(&self) -> &'a Assignment {
        self.assignment
    }

    /// The places of the values that a question uses, for one variant: equal for students who
    /// have the same question.
    #[must_use]
    pub fn numbers(&self, task: usize, variant: &Variant) -> Vec<usize> {
        let uses = self.uses.get(task).map_or(&[][..], Vec::as_slice);
        uses.iter()
            .map(|draw| variant.chosen.get(*draw).copied().unwrap_or(0))
            .collect()
    }

    /// Every variant of one question: one variant of the whole for each, the other draws at their
    /// first value. At most `most`, in order.
    #[must_use]
    pub fn variants(&self, task: usize, most: usize) -> Vec<Variant> {
        let uses = self.uses.get(task).map_or(&[][..], Vec::as_slice);
        self.assignment.variants(uses, most)
    }

    /// A question of a variant, computed.
    ///
    /// # Errors
    /// When it cannot be computed.
    pub fn expected(&self, task: usize, variant: &Variant) -> Result<Arc<Expected>, PaperError> {
        let key = (task, self.numbers(task, variant));
        let found = |computed: &BTreeMap<Numbers, Arc<Expected>>| computed.get(&key).cloned();
        let lock = || self.computed.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(expected) = found(&lock()) {
            return Ok(expected);
        }
        // Computed without the lock: two may compute the same, but neither waits for the other.
        let Some(question) = self.assignment.tasks.get(task) else {
            return Err(PaperError::Task {
                task: task.to_string(),
                error: Box::new(TaskError::NoQuestion),
            });
        };
        let block = self
            .assignment
            .block(question, variant)
            .map_err(|error| PaperError::Spec {
                task: question.id.clone(),
                error,
            })?;
        let expected = Arc::new(
            Expected::with(&self.assignment.slug, &block, kept_runs::setup).map_err(|error| {
                PaperError::Task {
                    task: question.id.clone(),
                    error: Box::new(error),
                }
            })?,
        );
        lock().insert(key, Arc::clone(&expected));
        Ok(expected)
    }
}

/// What became of an assignment.
#[derive(Debug, Clone, PartialEq)]
pub struct Marks {
    /// Each question, in the order of the assignment.
    pub tasks: Vec<TaskMark>,
    /// Entries about questions that the assignment does not have.
    pub strangers: usize,
}

/// What became of one question.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct TaskMark {
    /// Points earned.
    pub points: f64,
    /// Tries used.
    pub tries: u32,
    /// Whether it was answered right.
    pub right: bool,
    /// Whether somebody was certain of a wrong answer.
    pub sure_and_wrong: bool,
    /// Whether a sketch was taken for what the student said was meant.
    pub asked: bool,
    /// Names of the slips and wrong pictures that explain wrong answers, oldest first.
    pub slips: Vec<String>,
    /// The wrong answers themselves, as typed.
    pub wrong: Vec<String>,
    /// The greatest hint opened, from 1; 0 for none.
    pub hints: usize,
    /// Tries made after the question was closed: the page takes none.
    pub late: u32,
    /// Whether a sketch waits for what the student says was meant.
    pub waiting: bool,
}

impl Marks {
    /// The sum of the points.
    #[must_use]
    pub fn points(&self) -> f64 {
        self.tasks.iter().map(|task| task.points).sum()
    }
}

/// Marks the answers of one student.
///
/// # Errors
/// When a question cannot be computed: a fault of the assignment.
pub fn mark(paper: &Paper<'_>, variant: &Variant, entries: &[Entry]) -> Result<Marks, PaperError> {
    let assignment = paper.assignment();
    let mut tasks = Vec::new();
    for (place, task) in assignment.tasks.iter().enumerate() {
        let own: Vec<&Entry> = entries
            .iter()
            .filter(|entry| entry.task == task.id)
            .collect();
        if own.is_empty() {
            tasks.push(TaskMark::default());
            continue;
        }
        let expected = paper.expected(place, variant)?;
        tasks.push(mark_task(
            &expected,
            &assignment.rules,
            f64::from(task.points),
            &own,
        ));
    }
    let strangers = entries
        .iter()
        .filter(|entry| assignment.task(&entry.task).is_none())
        .count();
    Ok(Marks { tasks, strangers })
}

/// Marks one question from its entries, in order.
#[must_use]
pub fn mark_task(expected: &Expected, rules: &Rules, points: f64, entries: &[&Entry]) -> TaskMark {
    let mut mark = TaskMark::default();
    for entry in entries {
        let closed = mark.is_closed(expected, rules);
        match entry.kind {
            Kind::Hint => {
                let number = entry.text.parse().unwrap_or(0);
                mark.hints = mark.hints.max(number);
            }
            Kind::Meant if mark.waiting => {
                mark.waiting = false;
                mark.settle(meant(&entry.text), rules, points, entry);
            }
            Kind::Meant => {}
            Kind::Answer if closed => mark.late += 1,
            Kind::Answer => {
                if mark.has_given(expected, &entry.text) {
                    // The same again is a slip of the finger, and free.
                    continue;
                }
                let judgement = expected.judge(&entry.text);
                match judgement {
                    Judgement::Unread => continue,
                    Judgement::Asked(_) => {
                        mark.waiting = true;
                        mark.asked = true;
                        mark.tries += 1;
                    }
                    judgement => {
                        mark.tries += 1;
                        mark.settle(judgement, rules, points, entry);
                    }
                }
            }
        }
    }
    mark
}

/// How often a question may be tried.
#[must_use]
pub fn most_tries(expected: &Expected, rules: &Rules) -> u32 {
    if expected.tried_again() {
        rules.tries
    } else {
        1
    }
}

impl TaskMark {
    fn settle(&mut self, judgement: Judgement, rules: &Rules, points: f64, entry: &Entry) {
        match judgement {
            Judgement::Right => {
                self.right = true;
                let share = if self.tries <= rules.full {
                    1.0
                } else {
                    rules.later
                };
                self.points = points * share;
            }
            Judgement::Wrong(slip) => {
                self.slips.extend(slip);
                self.sure_and_wrong |= entry.sure == Some(Confidence::Certain);
                if entry.kind == Kind::Answer && entry.text.len() <= SHORT {
                    self.wrong.push(entry.text.clone());
                }
            }
            Judgement::Asked(_) | Judgement::Unread => {}
        }
    }

    /// Whether nothing can be earned any more.
    #[must_use]
    pub fn is_closed(&self, expected: &Expected, rules: &Rules) -> bool {
        self.right || self.tries >= most_tries(expected, rules) || self.hints >= SOLUTION
    }

    /// Whether the same wrong answer was given before.
    #[must_use]
    pub fn has_given(&self, expected: &Expected, text: &str) -> bool {
        self.wrong.iter().any(|wrong| expected.is_same(wrong, text))
    }

    /// Whether it was right at the first try, without the solution.
    #[must_use]
    pub fn right_at_once(&self) -> bool {
        self.right && self.tries == 1
    }
}
