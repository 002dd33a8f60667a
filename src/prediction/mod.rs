//! Floor 4: predictions, and what can be said about them.
//! Must not know lesson text or the DOM.
//!
//! A reader commits an [`Answer`] with a [`Confidence`]. What is said about it comes from
//! [`assess`](assess::assess) for a sketch, [`pick`] for a choice of curve, [`mark`] for a marker
//! and [`number`] for a typed value; each compares with the model, and with the curves of
//! [`pictures`], only then.

mod answer;
pub mod assess;
mod compare;
pub mod confidence;
pub mod features;
mod fit;
mod jumps;
pub mod mark;
pub mod number;
pub mod pick;
pub mod pictures;
mod resample;
pub mod sketch;
mod slips;
mod verdict;
mod words;

pub use answer::Answer;
pub use assess::{Assessment, Expectation, SketchTask, assess};
pub use compare::{Aspect, Finding, Grade, compare};
pub use confidence::{Confidence, sure_but_different};
pub use features::{Features, features};
pub use mark::{MarkAssessment, MarkTask, assess_mark};
pub use number::{NumberAssessment, NumberTask, NumberTaskError, NumberVerdict, assess_number};
pub use pictures::{MODEL, Picture, PictureError};
pub use resample::{EvenCurve, PLACES};
pub use sketch::{FULL_SCALE, Origin, Sample, Side, Sketch, SketchGrid, SketchTextError};
pub use slips::Slip;
pub use verdict::Verdict;
