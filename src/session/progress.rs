//! How far a reader has come, lesson by lesson, and how sure the reader was over all of them.

use super::record::{LessonRecord, Record};
use crate::prediction::confidence::Confidence;

/// How far a lesson has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stage {
    /// Nothing was done in it.
    NotBegun,
    /// Something was done.
    Begun,
    /// All predictions are committed, and the last step was reached.
    Done,
}

/// How far a reader has come in one lesson.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Progress {
    /// How far, in a word.
    pub stage: Stage,
    /// Predictions committed in the attempt going on.
    pub committed: usize,
    /// Whether there was an attempt before it.
    pub is_again: bool,
    /// The step where the reader is, counted from 0; none when nothing was done.
    pub step: Option<usize>,
    /// How many steps were reached.
    pub reached: usize,
    /// When something was last done, in milliseconds since 1970.
    pub at: f64,
}

impl LessonRecord {
    /// How far this lesson has come. `steps` are its steps in order: the anchor, and how many
    /// predictions must be committed before the step opens. `predictions` is how many it asks for.
    #[must_use]
    pub fn progress(&self, steps: &[(String, usize)], predictions: usize) -> Progress {
        let going_on = self.attempts.last();
        let mut at = self.here.as_ref().map_or(0.0, |here| here.at);
        let (mut committed, mut is_touched) = (0, false);
        for block in going_on.iter().flat_map(|attempt| attempt.blocks.values()) {
            is_touched = true;
            committed += usize::from(block.committed.is_some());
            let made = block.committed.as_ref().map_or(0.0, |made| made.at);
            at = at.max(block.changed).max(made);
            for one in &block.tries {
                at = at.max(one.at);
            }
        }
        let open = |needs: usize| needs <= committed;
        let place = self.here.as_ref().and_then(|here| {
            steps
                .iter()
                .position(|(anchor, needs)| *anchor == here.step && open(*needs))
        });
        // A record that knows no place: as far as the committed predictions have opened.
        let opened = steps.iter().rposition(|(_, needs)| open(*needs));
        let begun = is_touched || place.is_some();
        let seen = self.here.as_ref().map_or(0, |here| here.seen as usize);
        let stage = if begun && committed >= predictions && seen >= steps.len() {
            Stage::Done
        } else if begun {
            Stage::Begun
        } else {
            Stage::NotBegun
        };
        let step = place.or_else(|| opened.filter(|_| begun && self.here.is_none()));
        let reached = match stage {
            Stage::NotBegun => 0,
            Stage::Begun => step.map_or(0, |step| step + 1).max(seen),
            Stage::Done => steps.len(),
        };
        Progress {
            stage,
            committed,
            is_again: self.attempts.len() > 1,
            step,
            reached,
            at,
        }
    }
}

impl Record {
    /// How sure the reader was when each prediction was made for the first time, beside how many
    /// of them held: for each confidence, how many predictions, and how many held. Later attempts
    /// have seen the answer and do not count; those whose outcome is open do not either.
    #[must_use]
    pub fn calibration(&self) -> [(Confidence, u32, u32); 3] {
        let mut table = Confidence::ALL.map(|sure| (sure, 0, 0));
        for lesson in self.lessons.values() {
            let mut counted: Vec<&str> = Vec::new();
            for (id, block) in lesson.attempts.iter().flat_map(|one| one.blocks.iter()) {
                let Some(committed) = &block.committed else {
                    continue;
                };
                if counted.contains(&id.as_str()) {
                    continue;
                }
                counted.push(id);
                let Some(came) = block.came.filter(|came| *came != super::Came::Open) else {
                    continue;
                };
                for (sure, all, held) in &mut table {
                    if *sure == committed.sure {
                        *all += 1;
                        *held += u32::from(came.held());
                    }
                }
            }
        }
        table
    }

    /// The same in one sentence; none while there is nothing to say.
    #[must_use]
    pub fn calibration_words(&self) -> Option<String> {
        let mut parts = Vec::new();
        for (sure, all, held) in self.calibration().iter().rev() {
            if *all > 0 {
                parts.push(format!("{}, {held} of {all}", sure.when()));
            }
        }
        (!parts.is_empty()).then(|| {
            format!(
                "How often it came as you said, at first sight: {}.",
                parts.join("; ")
            )
        })
    }
}
