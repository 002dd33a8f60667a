//! Homework: numbers of each student's own, receipts, marks. Laws that hold whatever the
//! assignment, the published values that its answers come down to, and the command around them.
#![cfg(not(target_arch = "wasm32"))]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test stops at the first surprise"
)]

mod course;

mod homework {
    mod answers;
    mod by_hand;
    mod class;
    mod command;
    mod files;
    mod marks;
    mod receipts;
    mod records;
    mod variants;
}
