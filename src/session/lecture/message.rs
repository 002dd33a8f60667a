//! What goes into a lecture and what comes out of it: messages and effects.

use super::LectureRecord;
use crate::session::record::Attempt;

/// Something that happened.
#[derive(Debug, Clone, PartialEq)]
pub enum Message {
    /// Go on.
    Forward {
        /// Now, in milliseconds since 1970.
        at: f64,
        /// Whether the pen is still tracing.
        is_tracing: bool,
        /// Whether there is more of this screen below.
        is_more: bool,
    },
    /// Go back.
    Back {
        /// Now.
        at: f64,
        /// Whether there is more of this screen above.
        is_more: bool,
    },
    /// The presenter's window asks the hall's to go on, or back.
    Wish {
        /// `forward` or `back`.
        what: &'static str,
        /// Now.
        at: f64,
    },
    /// Go to the first stage.
    First {
        /// Now.
        at: f64,
    },
    /// Go to the furthest stage shown so far.
    Furthest {
        /// Now.
        at: f64,
    },
    /// The address says where to be.
    Address {
        /// What stands behind the `#`.
        text: String,
        /// Now.
        at: f64,
    },
    /// Cover the screen, or uncover it.
    Blank {
        /// With `black` or `paper`.
        with: &'static str,
        /// Now.
        at: f64,
    },
    /// A hand more, or one less.
    Hand {
        /// For which option, counted from 0.
        option: usize,
        /// Whether it is taken away.
        less: bool,
        /// Now.
        at: f64,
    },
    /// A count was typed.
    Count {
        /// For which option, counted from 0.
        option: usize,
        /// How many.
        count: u32,
        /// Now.
        at: f64,
    },
    /// What was typed as a count is none.
    Uncounted,
    /// Switch something on or off, by its name.
    Switch {
        /// What: `dark`, `clock`, `quiet-keys`, `counts`, `advice`.
        what: String,
        /// Now.
        at: f64,
    },
    /// Put the sketch on the pad aside, so that another volunteer can draw.
    PutAside {
        /// The block.
        block: String,
        /// The sketch as text.
        sketch: String,
        /// Now.
        at: f64,
    },
    /// What stands on the screen itself (a sketch, a marker, sliders) changed.
    Worked {
        /// How it stands.
        attempt: Attempt,
        /// Now.
        at: f64,
    },
    /// Another window of the same lecture has kept something.
    News(LectureRecord),
    /// Begin a new lecture of this lesson: votes and reveals start anew.
    StartAgain {
        /// A new random name.
        id: String,
        /// Now.
        at: f64,
    },
    /// Leave the lecture for the lesson.
    Leave,
}

/// Something to be done.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Effect {
    /// Keep the lecture.
    Save,
    /// Show everything as it now stands.
    Show,
    /// Let the pen be done.
    FinishPen,
    /// Show more of this screen: below (`true`) or above.
    Scroll(bool),
    /// Show the lecture from its start.
    Restart,
    /// Go to the lesson's own page.
    Leave,
}
