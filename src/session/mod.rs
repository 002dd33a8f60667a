//! Floor 6: a reader's walk through a lesson, as a pure state machine: messages in, effects out.
//! What is kept between visits is a [`Record`]; what happens is decided by [`Walk::update`].
//! Must not know the DOM.

pub mod lecture;
mod merge;
mod methods;
mod plot;
mod read;
mod record;
mod walk;

pub use plot::{Plot, PlotError};
pub use record::{
    Attempt, BlockRecord, Commitment, Kept, LessonRecord, Loaded, Record, StoredAnswer, Try,
    VERSION,
};
pub use walk::{BlockKind, Effect, Message, Walk};
