//! Floor 5: the lesson. The text format ([`text`]) and the typed lesson ([`spec`]).
//! Must not know HTML or the DOM.
//!
//! The text format is read natively only, when the site is built; the browser gets the typed
//! blocks as JSON.

pub mod plan;
pub mod read;
pub mod spec;

#[cfg(not(target_arch = "wasm32"))]
mod blocks;
#[cfg(not(target_arch = "wasm32"))]
pub mod diagnostic;
#[cfg(not(target_arch = "wasm32"))]
pub mod report;
#[cfg(not(target_arch = "wasm32"))]
pub mod text;

#[cfg(not(target_arch = "wasm32"))]
pub(crate) use blocks::is_name;
#[cfg(not(target_arch = "wasm32"))]
pub use diagnostic::{Diagnostic, Mistake};
#[cfg(not(target_arch = "wasm32"))]
pub use text::parse;
