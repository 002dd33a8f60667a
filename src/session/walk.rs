//! The walk through one lesson: what each message changes, and what must then be done.
//! The page only carries the effects out, so every rule of the walk is tested without a browser.

mod message;

pub use message::{Effect, Message};

use super::record::{Attempt, BlockRecord, Commitment, Here, Record, StoredAnswer, Try};
use crate::prediction::confidence::Confidence;
use crate::prediction::outcome::Came;

/// What a block asks of the reader.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BlockKind {
    /// A prediction; what stands after it is shut until it is committed.
    Predict,
    /// An observation check or a numeric question: tried as often as wanted.
    Ask,
    /// A bench or a board picture: nothing to answer.
    Look,
}

/// One lesson being walked.
#[derive(Debug, Clone, PartialEq)]
pub struct Walk {
    lesson: String,
    blocks: Vec<(String, BlockKind)>,
    record: Record,
    /// Name and beginning of the attempt that the first change will begin. A tab in which nothing
    /// was done keeps no attempt, so that it never hides what was done in another.
    begun: (String, f64),
    asking: Vec<String>,
}

impl Walk {
    /// A walk through the lesson `lesson`, whose blocks in reading order are `blocks`, going on
    /// from `record`. `id` names a new attempt if there is none.
    #[must_use]
    pub fn new(
        lesson: &str,
        blocks: Vec<(String, BlockKind)>,
        record: Record,
        id: &str,
        now: f64,
    ) -> Self {
        Self {
            lesson: lesson.to_owned(),
            blocks,
            record,
            begun: (id.to_owned(), now),
            asking: Vec::new(),
        }
    }

    /// Everything kept.
    #[must_use]
    pub fn record(&self) -> &Record {
        &self.record
    }

    /// What was done in a block in the attempt going on.
    #[must_use]
    pub fn block(&self, block: &str) -> BlockRecord {
        self.attempts()
            .last()
            .and_then(|attempt| attempt.blocks.get(block))
            .cloned()
            .unwrap_or_default()
    }

    /// Commitments made in a block in earlier attempts, and what came of them, oldest first.
    #[must_use]
    pub fn earlier(&self, block: &str) -> Vec<(Commitment, Option<Came>)> {
        let attempts = self.attempts();
        let before = attempts.len().saturating_sub(1);
        attempts[..before]
            .iter()
            .filter_map(|attempt| {
                let kept = attempt.blocks.get(block)?;
                Some((kept.committed.clone()?, kept.came))
            })
            .collect()
    }

    /// Where the reader was when this lesson was last left.
    #[must_use]
    pub fn here(&self) -> Option<&Here> {
        self.record.lessons.get(&self.lesson)?.here.as_ref()
    }

    /// The name of the attempt going on.
    #[must_use]
    pub fn attempt_name(&self) -> String {
        self.attempts()
            .last()
            .map_or_else(|| self.begun.0.clone(), |attempt| attempt.id.clone())
    }

    /// How many attempts came before the one going on.
    #[must_use]
    pub fn attempts_before(&self) -> usize {
        self.attempts().len().saturating_sub(1)
    }

    /// Whether the question "commit for good?" stands open in a block.
    #[must_use]
    pub fn is_asking(&self, block: &str) -> bool {
        self.asking.iter().any(|asking| asking == block)
    }

    /// Predictions committed so far in the attempt going on.
    #[must_use]
    pub fn committed(&self) -> Vec<String> {
        self.attempts()
            .last()
            .map(|attempt| {
                attempt
                    .blocks
                    .iter()
                    .filter(|(_, block)| block.committed.is_some())
                    .map(|(id, _)| id.clone())
                    .collect()
            })
            .unwrap_or_default()
    }

    /// The prediction that must be committed next, if any is left.
    #[must_use]
    pub fn next_prediction(&self) -> Option<&str> {
        let committed = self.committed();
        self.blocks
            .iter()
            .find(|(id, kind)| *kind == BlockKind::Predict && !committed.contains(id))
            .map(|(id, _)| id.as_str())
    }

    /// Whether the part of the page after the prediction `block` stands open: that prediction
    /// and all before it are committed.
    #[must_use]
    pub fn is_open_after(&self, block: &str) -> bool {
        let committed = self.committed();
        for (id, kind) in &self.blocks {
            if *kind == BlockKind::Predict && !committed.contains(id) {
                return false;
            }
            if id == block {
                return true;
            }
        }
        false
    }

    /// Takes a message in and says what must be done.
    pub fn update(&mut self, message: Message) -> Vec<Effect> {
        match message {
            Message::Draft { block, answer, at } => {
                self.change(&block, at, |kept| kept.draft = answer)
            }
            Message::Sure { block, sure, at } => {
                self.change(&block, at, |kept| kept.sure = Some(sure))
            }
            Message::Reason { block, reason, at } => {
                self.change(&block, at, |kept| kept.reason = Some(reason))
            }
            Message::Commit {
                block,
                missing,
                reasons,
            } => self.commit(block, missing, reasons),
            Message::Confirm { block, at } => self.confirm(block, at),
            Message::KeepWorking { block } => {
                self.stop_asking(&block);
                vec![Effect::Refresh(block)]
            }
            Message::Meant { block, picture } => {
                self.kept(&block).meant = Some(picture);
                vec![Effect::Save, Effect::Refresh(block)]
            }
            Message::Tried { block, text, at } => {
                self.kept(&block).tries.push(Try { text, at });
                vec![Effect::Save, Effect::Refresh(block)]
            }
            Message::Met { block, challenge } => {
                if self.kept(&block).meet(challenge) {
                    vec![Effect::Save, Effect::Refresh(block)]
                } else {
                    Vec::new()
                }
            }
            Message::Came { block, came } => {
                let kept = self.kept(&block);
                if kept.committed.is_none() || kept.came == Some(came) {
                    return Vec::new();
                }
                kept.came = Some(came);
                vec![Effect::Save, Effect::LookBack]
            }
            Message::Set { block, sliders, at } => {
                let kept = self.kept(&block);
                kept.sliders = sliders;
                kept.changed = at;
                vec![Effect::Save]
            }
            Message::Moved {
                step,
                number,
                share,
                at,
            } => self.moved(step, number, share, at),
            Message::StartAgain { id, at } => {
                let lesson = self.record.lessons.get_or_default(&self.lesson);
                lesson.here = Some(Here {
                    at,
                    ..Here::default()
                });
                lesson.attempts.push(Attempt::new(&id, at));
                self.asking.clear();
                vec![Effect::Save, Effect::Restart]
            }
            Message::Unveil { block, at } => self.unveil(block, at),
            Message::OtherTab { record } => self.other_tab(&record),
            Message::TakeIn { record } => {
                let mut effects = self.other_tab(&record);
                effects.insert(0, Effect::Save);
                effects
            }
        }
    }

    /// Takes the question "commit for good?" back and says whether it stood open.
    fn stop_asking(&mut self, block: &str) -> bool {
        let open = self.is_asking(block);
        self.asking.retain(|asking| asking != block);
        open
    }

    fn attempts(&self) -> &[Attempt] {
        self.record
            .lessons
            .get(&self.lesson)
            .map_or(&[], |lesson| lesson.attempts.as_slice())
    }

    fn kept(&mut self, block: &str) -> &mut BlockRecord {
        self.record
            .current(&self.lesson, &self.begun.0, self.begun.1)
            .blocks
            .get_or_default(block)
    }

    /// Who has only opened the lesson has not begun it, so its first step alone is not kept.
    fn moved(&mut self, step: String, number: u32, share: f64, at: f64) -> Vec<Effect> {
        let seen = match self.here() {
            None if number < 2 => return Vec::new(),
            Some(here) if here.step == step && (here.share - share).abs() < 0.01 => {
                return Vec::new();
            }
            known => known.map_or(0, |here| here.seen).max(number),
        };
        let lesson = self.record.lessons.get_or_default(&self.lesson);
        lesson.here = Some(Here {
            step,
            share,
            seen,
            at,
        });
        vec![Effect::Save]
    }

    /// A draft may change only until it is committed.
    fn change(
        &mut self,
        block: &str,
        at: f64,
        change: impl FnOnce(&mut BlockRecord),
    ) -> Vec<Effect> {
        let kept = self.kept(block);
        if kept.committed.is_some() {
            return Vec::new();
        }
        change(kept);
        kept.changed = at;
        let mut effects = vec![Effect::Save];
        if self.stop_asking(block) {
            effects.push(Effect::Refresh(block.to_owned()));
        }
        effects
    }

    fn commit(&mut self, block: String, missing: Option<String>, reasons: usize) -> Vec<Effect> {
        let kept = self.kept(&block);
        if kept.committed.is_some() {
            return Vec::new();
        }
        let problem = if let Some(missing) = missing {
            missing
        } else if kept.draft.is_none() {
            "There is no prediction here yet: make one first, however rough.".to_owned()
        } else if reasons > 0 && kept.reason.is_none() {
            "Pick the reason that is nearest to your own.".to_owned()
        } else if kept.sure.is_none() {
            "Say how sure you are: a guess is welcome.".to_owned()
        } else {
            self.asking.push(block.clone());
            return vec![Effect::AskToConfirm(block)];
        };
        vec![Effect::Problem(block, problem)]
    }

    fn confirm(&mut self, block: String, at: f64) -> Vec<Effect> {
        if !self.stop_asking(&block) {
            return Vec::new();
        }
        let kept = self.kept(&block);
        if kept.committed.is_none()
            && let (Some(answer), Some(sure)) = (kept.draft.clone(), kept.sure)
        {
            kept.committed = Some(Commitment {
                answer,
                sure,
                reason: kept.reason,
                at,
            });
            return vec![Effect::Save, Effect::Reveal(block), Effect::Open];
        }
        Vec::new()
    }

    fn unveil(&mut self, block: String, at: f64) -> Vec<Effect> {
        let kept = self.kept(&block);
        if kept.committed.is_some() {
            return Vec::new();
        }
        kept.committed = Some(Commitment {
            answer: kept.draft.clone().unwrap_or_else(StoredAnswer::nothing),
            sure: Confidence::Guess,
            reason: None,
            at,
        });
        vec![Effect::Save, Effect::Reveal(block), Effect::Open]
    }

    fn other_tab(&mut self, record: &Record) -> Vec<Effect> {
        let before: Vec<(String, BlockRecord)> = self
            .blocks
            .iter()
            .map(|(id, _)| (id.clone(), self.block(id)))
            .collect();
        let attempts = self.attempts().len();
        self.record.merge(record);
        if self.attempts().len() != attempts {
            return vec![Effect::Restart];
        }
        let mut effects: Vec<Effect> = before
            .iter()
            .filter(|(id, was)| self.block(id) != *was)
            .map(|(id, _)| Effect::Refresh(id.clone()))
            .collect();
        if !effects.is_empty() {
            effects.extend([Effect::Open, Effect::LookBack]);
        }
        effects
    }
}
