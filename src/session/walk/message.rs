//! What goes into a walk and what comes out of it: messages and effects.

use crate::prediction::confidence::Confidence;
use crate::prediction::outcome::Came;
use crate::session::record::{Record, StoredAnswer};

/// Something that happened.
#[derive(Debug, Clone, PartialEq)]
pub enum Message {
    /// The draft of a prediction changed.
    Draft {
        /// The block.
        block: String,
        /// The draft; none when it was cleared.
        answer: Option<StoredAnswer>,
        /// Now, in milliseconds since 1970.
        at: f64,
    },
    /// The reader said how sure.
    Sure {
        /// The block.
        block: String,
        /// How sure.
        sure: Confidence,
        /// Now.
        at: f64,
    },
    /// The reader picked a reason.
    Reason {
        /// The block.
        block: String,
        /// Which, counted from 0.
        reason: u32,
        /// Now.
        at: f64,
    },
    /// The commit button was pressed. `missing` says what the answer lacks, if anything.
    Commit {
        /// The block.
        block: String,
        /// What is still missing from the answer, in a sentence.
        missing: Option<String>,
        /// How many reasons the block offers.
        reasons: usize,
    },
    /// The question "commit for good?" was answered with yes.
    Confirm {
        /// The block.
        block: String,
        /// Now.
        at: f64,
    },
    /// The question "commit for good?" was answered with no.
    KeepWorking {
        /// The block.
        block: String,
    },
    /// After the reveal the reader said which picture was meant.
    Meant {
        /// The block.
        block: String,
        /// The picture.
        picture: String,
    },
    /// A question was answered. Only a readable answer is sent here.
    Tried {
        /// The block.
        block: String,
        /// The answer.
        text: String,
        /// Now.
        at: f64,
    },
    /// A challenge at a bench was met.
    Met {
        /// The block.
        block: String,
        /// Which, counted from 0.
        challenge: u32,
    },
    /// It has turned out whether a committed prediction held.
    Came {
        /// The block.
        block: String,
        /// What came of it.
        came: Came,
    },
    /// The sliders of a bench came to rest.
    Set {
        /// The block.
        block: String,
        /// Where they stand; none when the bench was set back to its start.
        sliders: Vec<f64>,
        /// Now.
        at: f64,
    },
    /// The reader has gone on to another place of the lesson.
    Moved {
        /// The anchor of the step.
        step: String,
        /// Its number, counted from 1.
        number: u32,
        /// How far down it, as a share of its height.
        share: f64,
        /// Now.
        at: f64,
    },
    /// Start this lesson again; earlier attempts are kept.
    StartAgain {
        /// A new random name.
        id: String,
        /// Now.
        at: f64,
    },
    /// In a lecture: show the truth beside the answer as it stands, or beside none.
    Unveil {
        /// The block.
        block: String,
        /// Now.
        at: f64,
    },
    /// Another tab has saved.
    OtherTab {
        /// What it saved.
        record: Record,
    },
    /// The reader has handed in a record saved before.
    TakeIn {
        /// What was read from the file.
        record: Record,
    },
}

/// Something to be done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Effect {
    /// Keep the record.
    Save,
    /// Show a block as it now stands.
    Refresh(String),
    /// Trace the truth of a block beside the commitment.
    Reveal(String),
    /// Say what is missing, beside the block's commit button.
    Problem(String, String),
    /// Put the question "commit for good?".
    AskToConfirm(String),
    /// Open and shut the parts of the page.
    Open,
    /// Show how sure the reader was beside what came.
    LookBack,
    /// Show the lesson from its start.
    Restart,
}
