//! coldfringe: a teaching notebook for superconducting quantum interference.

pub mod constants;
pub mod experiment;
pub mod figure;
pub mod lesson;
pub mod model;
pub mod numerics;
pub mod page;
pub mod prediction;
pub mod quantity;
pub mod session;
pub mod spelling;
#[cfg(target_arch = "wasm32")]
pub mod web;
