//! Tests of predictions: sketches, numbers, statements, what is recognised in them and what is said.
#![cfg(not(target_arch = "wasm32"))]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stdout,
    reason = "a test stops at the first surprise and shows its table"
)]

mod course;
mod hands;

mod prediction {
    mod choices;
    mod lessons;
    mod modes;
    mod numbers;
    mod painting;
    mod pictures;
    mod rates;
    mod sketch;
    mod words;
}
