//! Floor 7: an assignment as a page to work through. Rendered at build time ([`page`], native
//! only) with its drawn values left open; filled for one student by the script, which carries out
//! what [`Work`] decides. Must not know the DOM, files or servers.

#[cfg(not(target_arch = "wasm32"))]
mod fill;
pub mod head;
pub mod marks;
#[cfg(not(target_arch = "wasm32"))]
pub mod page;
mod standing;
mod take_up;
#[cfg(not(target_arch = "wasm32"))]
mod task;
mod work;

#[cfg(not(target_arch = "wasm32"))]
pub use page::workbook_page;
pub use standing::{Sum, TaskStanding};
pub use take_up::{NotTaken, take_up};
pub use work::{Effect, Message, Work};
