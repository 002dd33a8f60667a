//! Floor 4: work done in the background. A [`Job`] is a run of a slow set-up or a quantity sought
//! from one; [`Order`] and [`Reply`] travel between the page and whoever works, as [`Parcel`]s of
//! text and plain numbers; the [`Engine`] works in slices; the [`Dispatch`] decides who works on
//! what; the [`Memory`] keeps answers for those who ask again.
//! Must not know the DOM, workers or clocks: the time is told to it.

mod dispatch;
#[cfg(not(coldfringe_part = "page"))]
mod engine;
mod job;
mod memory;
mod parcel;
#[cfg(target_arch = "wasm32")]
mod post;
mod reply;

pub use dispatch::{Client, Dispatch, HandNumber, JobNumber, Step};
#[cfg(not(coldfringe_part = "page"))]
pub use engine::Engine;
pub use job::{Answer, Job};
pub use memory::Memory;
pub use parcel::{Order, Parcel, ParcelError};
pub use reply::{News, Reply};
