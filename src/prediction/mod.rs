//! Floor 4: predictions, and what can be said about them.
//! Must not know lesson text or the DOM.

pub mod sketch;
mod sketch_text;

pub use sketch::{Origin, Sample, Side, Sketch, SketchGrid};
pub use sketch_text::SketchTextError;
