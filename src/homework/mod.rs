//! Floor 6: homework. Must not know the DOM.
//!
//! An [`Assignment`] is a lesson file of questions whose numbers are drawn for each student: the
//! [`variant`] follows from the course, the assignment and the student's identifier alone. What a
//! student does is kept as a list of raw answers in a [`receipt`]. The page judges them at once
//! with the same code with which [`marking`] later judges them again, from nothing but those
//! answers.
//!
//! The honest limit: a receipt is written by the student's own machine. Its chain of digests shows
//! that it was edited; it does not stop somebody who computes the digests anew.

pub mod assignment;
#[cfg(not(target_arch = "wasm32"))]
pub mod demo;
#[cfg(not(target_arch = "wasm32"))]
pub mod grading;
pub mod identifier;
pub mod judge;
mod kept_runs;
pub mod marking;
pub mod receipt;
#[cfg(not(target_arch = "wasm32"))]
pub mod roster;
#[cfg(not(target_arch = "wasm32"))]
pub mod table;
#[cfg(not(target_arch = "wasm32"))]
pub mod template;
pub mod variant;

pub use assignment::{Assignment, Draw, Rules, Task};
pub use identifier::{Identifier, IdentifierError};
pub use judge::{Expected, Judgement};
pub use marking::{Marks, Paper, TaskMark, mark};
pub use receipt::{Entry, Kind, Receipt, ReceiptError};
pub use variant::Variant;
