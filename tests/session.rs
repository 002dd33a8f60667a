//! Tests of a reader's walk and of what is kept of it: the state machine, records of all versions, and their written form.
#![cfg(not(target_arch = "wasm32"))]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test stops at the first surprise"
)]

mod course;

mod session {
    mod any;
    mod records;
    mod walk;
    mod written_form;
}
