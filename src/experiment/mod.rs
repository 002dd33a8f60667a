//! Floor 3: named set-ups with SI parameters in, traces and readings out.
//! Must not know drawing.

mod inside;
mod trace;

pub use inside::{EnergyBranch, Inside};
pub use trace::{Column, Reading, Trace};
