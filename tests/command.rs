//! Tests of the command: curves and set-ups as a user asks for them, and what it refuses.
#![cfg(not(target_arch = "wasm32"))]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test stops at the first surprise"
)]

mod command {
    mod curve;
    mod hand;
    mod refusals;
}
