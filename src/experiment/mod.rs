//! Floor 3: named set-ups with SI parameters in, traces and readings out.
//! Must not know drawing.

mod inside;
mod spec;
mod trace;

pub use inside::{EnergyBranch, Inside};
pub use spec::{SetupSpec, Sought};
pub use trace::{Column, Reading, Trace};
