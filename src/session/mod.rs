//! Floor 6: a reader's walk through a lesson, as a pure state machine: messages in, effects out.
//! What is kept between visits is a [`Record`]; what happens is decided by [`Walk::update`].
//! Must not know the DOM.

mod file;
pub mod lecture;
mod merge;
mod methods;
pub mod paint;
mod plot;
mod progress;
mod read;
mod record;
mod walk;

pub use crate::prediction::outcome::Came;
pub use file::{Gains, Refused};
pub use plot::{Plot, PlotError, Remark, column_words};
pub use progress::{Progress, Stage};
pub use record::{
    Attempt, BlockRecord, Commitment, Here, Kept, LessonRecord, Loaded, Record, StoredAnswer, Try,
    VERSION,
};
pub use walk::{BlockKind, Effect, Message, Walk};
