//! What a message changes, and what must then be done.

use super::Work;
use super::answer::written;
use crate::homework::assignment::SOLUTION;
use crate::homework::{Entry, Judgement, Kind};
use crate::prediction::Confidence;
use crate::session::Attempt;

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

impl Work {
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
