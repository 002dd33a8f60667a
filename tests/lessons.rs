//! Tests of the lessons: the format and its mistakes, and every number, chart and challenge in them.
#![cfg(not(target_arch = "wasm32"))]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test stops at the first surprise"
)]

mod course;

mod lessons {
    mod by_hand;
    mod challenges;
    mod charts;
    mod format;
    mod mistakes;
    mod numbers;
    mod told;
}
