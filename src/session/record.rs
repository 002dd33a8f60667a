//! What is kept of a reader's work: every attempt at every lesson, with drafts, commitments and
//! tries. The written form is JSON with a version. Nothing computed by the model is kept, so a
//! record holds no curve and no right answer; only whether a committed prediction held.

use serde::Serialize;

use super::lecture::LectureRecord;
use super::read;
use crate::fields;
use crate::named::Named;
use crate::prediction::confidence::Confidence;
use crate::prediction::outcome::Came;

/// Version of the written form. A reader of another version leaves the text as it is. A field that
/// may be left out, and that a reader who does not know it may lose without harm, is added without
/// a new version.
pub const VERSION: u32 = 1;

/// Everything kept for one reader.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Record {
    /// Version of the written form.
    pub version: u32,
    /// Lesson slug to what was done in it.
    pub lessons: Named<LessonRecord>,
    /// Lesson slug to the last lecture given of it. Nothing of it counts as the reader's own work.
    #[serde(skip_serializing_if = "Named::is_empty")]
    pub lectures: Named<LectureRecord>,
}

impl Default for Record {
    fn default() -> Self {
        Self {
            version: VERSION,
            lessons: Named::new(),
            lectures: Named::new(),
        }
    }
}

/// All attempts at one lesson, oldest first.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct LessonRecord {
    /// The attempts; the last one is going on.
    pub attempts: Vec<Attempt>,
    /// Where the reader is in the lesson.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub here: Option<Here>,
}

/// A place in a lesson.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Here {
    /// The anchor of the step that is being read; empty at the start.
    pub step: String,
    /// How far down that step, as a share of its height.
    pub share: f64,
    /// The last step that was reached in this attempt, counted from 1.
    pub seen: u32,
    /// When, in milliseconds since 1970.
    pub at: f64,
}

/// One attempt at a lesson.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Attempt {
    /// A random name, so that two tabs can tell their attempts apart.
    pub id: String,
    /// When it began, in milliseconds since 1970.
    pub started: f64,
    /// Block identifier to what was done there.
    pub blocks: Named<BlockRecord>,
}

/// What was done in one block.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct BlockRecord {
    /// The answer as it stands, not yet committed; at a bench with a painted profile, the painting.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub draft: Option<StoredAnswer>,
    /// How sure the reader says to be.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sure: Option<Confidence>,
    /// Which reason was picked, counted from 0.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reason: Option<u32>,
    /// The commitment; once there it stays.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub committed: Option<Commitment>,
    /// What the reader said to have meant, when asked after the reveal.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub meant: Option<String>,
    /// Whether the committed prediction held.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub came: Option<Came>,
    /// Where the sliders of a bench stand, in their own units; empty when they were not moved.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub sliders: Vec<f64>,
    /// Tries at a numeric question or an observation, oldest first.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub tries: Vec<Try>,
    /// Challenges met at a bench, counted from 0.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub met: Vec<u32>,
    /// When draft or sliders last changed, in milliseconds since 1970; the later draft wins a merge.
    pub changed: f64,
}

/// An answer as kept.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum StoredAnswer {
    /// A sketch in its text encoding.
    Sketch(String),
    /// The identifier of a statement, of a part of the board, or of a picture.
    Choice(String),
    /// A place on an axis, in the axis's unit.
    Mark(f64),
    /// A number as typed, with its unit.
    Number(String),
}

/// A committed prediction.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Commitment {
    /// The answer.
    pub answer: StoredAnswer,
    /// How sure the reader was.
    pub sure: Confidence,
    /// The reason picked, if any was offered.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reason: Option<u32>,
    /// When, in milliseconds since 1970.
    pub at: f64,
}

/// One try at a question.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Try {
    /// What was typed or chosen.
    pub text: String,
    /// When, in milliseconds since 1970.
    pub at: f64,
}

/// What became of the text found in storage.
#[derive(Debug, Clone, PartialEq)]
pub struct Loaded {
    /// The record to go on with.
    pub record: Record,
    /// Set when the text could not be used; it must be put aside, not overwritten.
    pub unusable: Option<Kept>,
}

/// Why a stored text could not be used.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Kept {
    /// The text is not a record at all.
    #[error(
        "the saved work in this browser could not be read ({reason}); it has been put aside unchanged, and you can save it to a file"
    )]
    Unreadable {
        /// What the reader of JSON said.
        reason: String,
    },
    /// The text was written by another version.
    #[error(
        "the saved work in this browser was written by another version of the notebook (format {found}, this one knows {VERSION}); it has been put aside unchanged, and you can save it to a file"
    )]
    OtherVersion {
        /// The version found.
        found: u32,
    },
}

impl Record {
    /// Reads a record from storage. Never fails: what cannot be used is reported beside a fresh
    /// record.
    #[must_use]
    pub fn load(text: Option<&str>) -> Loaded {
        let fresh = |unusable| Loaded {
            record: Self::default(),
            unusable,
        };
        let Some(text) = text else {
            return fresh(None);
        };
        // The version is looked at first: a record of another version need not fit ours.
        let read = fields::read(text, |fields| match fields.whole("version") {
            VERSION => Ok(read::record(fields)),
            other => Err(other),
        });
        match read {
            Ok(Ok(record)) => Loaded {
                record,
                unusable: None,
            },
            Ok(Err(found)) => fresh(Some(Kept::OtherVersion { found })),
            Err(error) => fresh(Some(Kept::Unreadable {
                reason: error.to_string(),
            })),
        }
    }

    /// The written form.
    #[must_use]
    pub fn text(&self) -> String {
        serde_json::to_string(self).unwrap_or_default()
    }

    /// The attempt going on in a lesson, begun if there is none.
    pub fn current(&mut self, lesson: &str, id: &str, now: f64) -> &mut Attempt {
        let attempts = &mut self.lessons.get_or_default(lesson).attempts;
        if attempts.is_empty() {
            attempts.push(Attempt::new(id, now));
        }
        let last = attempts.len() - 1;
        &mut attempts[last]
    }
}

impl Commitment {
    /// A sketch that somebody drew in a lecture.
    #[must_use]
    pub fn of_sketch(text: String) -> Self {
        Self {
            answer: StoredAnswer::Sketch(text),
            sure: Confidence::Guess,
            reason: None,
            at: 0.0,
        }
    }
}

impl StoredAnswer {
    /// No answer: what is committed when a truth is revealed before anybody has answered.
    #[must_use]
    pub fn nothing() -> Self {
        Self::Choice(String::new())
    }
}

impl Attempt {
    /// An attempt at which nothing was done yet.
    #[must_use]
    pub fn new(id: &str, started: f64) -> Self {
        Self {
            id: id.to_owned(),
            started,
            blocks: Named::new(),
        }
    }
}
