//! A student's work on an assignment: what each message changes, and what must then be done. The
//! page only carries the effects out. What counts is decided by [`crate::homework::marking`], the
//! same code that marks the receipt.

use std::cell::RefCell;
use std::rc::Rc;

use super::standing::TaskStanding;
use crate::decimal;
use crate::fields::FieldError;
use crate::homework::assignment::SOLUTION;
use crate::homework::marking::{mark_task, most_tries};
use crate::homework::{
    Assignment, Entry, Expected, Identifier, IdentifierError, Judgement, Kind, Receipt, Variant,
};
use crate::lesson::spec::{Ask, Block};
use crate::named::Named;
use crate::prediction::Confidence;
use crate::prediction::number::NumberAssessment;
use crate::session::{Attempt, Commitment, StoredAnswer};

/// Something that happened.
#[derive(Debug, Clone, PartialEq)]
pub enum Message {
    /// A number was sent off. What its question expects must be known by then: [`Work::know`].
    Tried {
        /// The question's place in the assignment.
        task: usize,
        /// What was typed.
        text: String,
        /// Now, in milliseconds since 1970.
        at: f64,
    },
    /// The next hint is wanted. The last is the worked solution, and is asked about first.
    Hint {
        /// The question.
        task: usize,
        /// Now.
        at: f64,
    },
    /// The worked solution is wanted, and the question closed.
    Solution {
        /// The question.
        task: usize,
        /// Now.
        at: f64,
    },
    /// Something changed in the predictions.
    Worked {
        /// What was done in all of them.
        attempt: Attempt,
        /// Now.
        at: f64,
    },
}

/// Something to be done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Effect {
    /// Keep the work.
    Save,
    /// Show a question as it now stands.
    Refresh(usize),
    /// An answer costs nothing and is not kept: say why.
    Refuse(usize, String),
    /// A number counts: announce what came of it.
    Announce(usize, String),
    /// Show a hint of a question, by its number from 1.
    ShowHint(usize, usize),
    /// Ask whether the worked solution is really wanted.
    AskForSolution(usize),
}

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

    /// Takes a message in and says what must be done.
    pub fn update(&mut self, message: Message) -> Vec<Effect> {
        match message {
            Message::Tried { task, text, at } => self.tried(task, &text, at),
            Message::Hint { task, at } => self.hint(task, at),
            Message::Solution { task, at } => {
                if self.standing(task).closed {
                    return Vec::new();
                }
                self.add(task, Kind::Hint, &SOLUTION.to_string(), None, at);
                vec![
                    Effect::Save,
                    Effect::Refresh(task),
                    Effect::ShowHint(task, SOLUTION),
                ]
            }
            Message::Worked { attempt, at } => self.worked(&attempt, at),
        }
    }

    fn tried(&mut self, task: usize, text: &str, at: f64) -> Vec<Effect> {
        let Some(expected) = self.expected(task) else {
            return Vec::new();
        };
        let standing = self.standing(task);
        if standing.closed {
            return vec![Effect::Refresh(task)];
        }
        let refuse = |words: String| vec![Effect::Refuse(task, words)];
        if text.trim().is_empty() {
            return refuse("Type a value first.".to_owned());
        }
        let Some(assessment) = self.assess(task, text) else {
            return Vec::new();
        };
        if expected.judge(text) == Judgement::Unread {
            return refuse(assessment.in_one());
        }
        if standing.mark.has_given(&expected, text) {
            return refuse("You gave this value before. It costs no try.".to_owned());
        }
        self.add(task, Kind::Answer, text.trim(), None, at);
        vec![
            Effect::Save,
            Effect::Refresh(task),
            Effect::Announce(task, assessment.headline),
        ]
    }

    fn hint(&mut self, task: usize, at: f64) -> Vec<Effect> {
        let standing = self.standing(task);
        // Before anything was computed the hints opened are counted all the same.
        let opened = self.hints(task);
        if standing.closed {
            // Nothing hangs on it any more, and it is no help that was had.
            return vec![Effect::ShowHint(task, SOLUTION)];
        }
        if opened + 1 >= SOLUTION {
            return vec![Effect::AskForSolution(task)];
        }
        let next = opened + 1;
        self.add(task, Kind::Hint, &next.to_string(), None, at);
        vec![
            Effect::Save,
            Effect::Refresh(task),
            Effect::ShowHint(task, next),
        ]
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

    fn worked(&mut self, attempt: &Attempt, at: f64) -> Vec<Effect> {
        let mut effects = vec![Effect::Save];
        let ids: Vec<String> = self
            .assignment
            .tasks
            .iter()
            .map(|task| task.id.clone())
            .collect();
        for (task, id) in ids.iter().enumerate() {
            let Some(kept) = attempt.blocks.get(id) else {
                continue;
            };
            let has = |work: &Self, kind| work.of_task(task).iter().any(|entry| entry.kind == kind);
            if let Some(committed) = &kept.committed
                && !has(self, Kind::Answer)
            {
                let text = written(&committed.answer);
                self.add(task, Kind::Answer, &text, Some(committed.sure), at);
                effects.push(Effect::Refresh(task));
            }
            if let Some(meant) = &kept.meant
                && !has(self, Kind::Meant)
            {
                self.add(task, Kind::Meant, meant, None, at);
                effects.push(Effect::Refresh(task));
            }
        }
        effects
    }

    fn add(&mut self, task: usize, kind: Kind, text: &str, sure: Option<Confidence>, at: f64) {
        let Some(id) = self.assignment.tasks.get(task).map(|task| task.id.clone()) else {
            return;
        };
        let last = match self.entries.last() {
            Some(last) => last.at,
            None => {
                self.began = at;
                0
            }
        };
        // A clock that was set back meanwhile does not undo the order of what was done.
        let seconds = ((at - self.began) / 1000.0) as u32;
        self.entries.push(Entry {
            at: seconds.max(last),
            task: id,
            kind,
            text: text.to_owned(),
            sure,
        });
    }
}

/// An answer to a prediction as a receipt writes it.
fn written(answer: &StoredAnswer) -> String {
    match answer {
        StoredAnswer::Sketch(text) | StoredAnswer::Choice(text) | StoredAnswer::Number(text) => {
            text.clone()
        }
        StoredAnswer::Mark(at) => decimal::shortest(*at),
    }
}

/// And read back.
fn stored(ask: &Ask, text: &str) -> Option<StoredAnswer> {
    Some(match ask {
        Ask::Sketch { .. } => StoredAnswer::Sketch(text.to_owned()),
        Ask::PickCurve { .. } | Ask::PickStatement { .. } | Ask::MarkBoard { .. } => {
            StoredAnswer::Choice(text.to_owned())
        }
        Ask::MarkAxis { .. } => StoredAnswer::Mark(decimal::parse(text.trim())?),
        Ask::Number(_) => StoredAnswer::Number(text.to_owned()),
    })
}
