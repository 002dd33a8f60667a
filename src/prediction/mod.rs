//! Floor 4: predictions, and what can be said about them.
//! Must not know lesson text or the DOM.
//!
//! A reader commits an answer with a [`Confidence`]. What is said about it comes from
//! [`assess`](assess::assess) for a sketch, [`pick`] for a choice of curve, [`mark`] for a marker
//! and [`number`] for a typed value; each compares with the model, and with the curves of
//! [`pictures`], only then.
//!
//! Example: a pair of junctions drawn as if each maximum were lower than the one before.
//!
//! ```
//! use coldfringe::experiment::Setup;
//! use coldfringe::prediction::{Sketch, SketchGrid, SketchTask, Verdict, assess};
//!
//! let pair = Setup::new("junction-pair")?;
//! let task = SketchTask {
//!     setup: &pair,
//!     column: "critical-current",
//!     x: pair.axis("loop-flux").ok_or("no such axis")?,
//!     y: pair.column_scale("critical-current", "relative")?,
//!     grid: SketchGrid::new(-2.0, 2.0, 0.0, 1.1, 33),
//!     pictures: &[],
//! };
//! let mut sketch = Sketch::new(task.grid);
//! for (flux, share) in [(0.0, 1.0), (0.5, 0.0), (1.0, 0.5), (1.5, 0.0), (2.0, 0.25)] {
//!     sketch.tap(flux, share);
//!     sketch.tap(-flux, share);
//! }
//! let said = assess(&task, &sketch)?;
//! assert_eq!(said.verdict, Verdict::WrongPicture("falling-maxima"));
//! assert_eq!(said.headline, "Your curve shows fringes that die away from one quantum to the next.");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

pub mod assess;
mod compare;
pub mod confidence;
pub mod features;
mod fit;
mod jumps;
pub mod mark;
pub mod number;
pub mod outcome;
pub mod pick;
pub mod pictures;
mod resample;
pub mod sketch;
mod slips;
mod verdict;
mod words;

pub use assess::{Assessment, Expectation, SketchTask, assess};
pub use compare::{Aspect, Finding, Grade, compare};
pub use confidence::{Confidence, sure_but_different};
pub use features::{Features, features};
pub use mark::{MarkAssessment, MarkTask, assess_mark};
pub use number::{
    NumberAssessment, NumberExpectation, NumberTask, NumberTaskError, NumberVerdict, assess_number,
};
pub use pictures::{MODEL, Picture, PictureError};
pub use resample::{EvenCurve, PLACES};
pub use sketch::{FULL_SCALE, Origin, Sample, Side, Sketch, SketchGrid, SketchTextError};
pub use slips::Slip;
pub use verdict::Verdict;
pub use words::unfinished;
