//! coldfringe: a teaching notebook for superconducting quantum interference.

pub mod experiment;
pub mod figure;
pub mod lesson;
pub mod page;
pub mod prediction;
pub mod session;
