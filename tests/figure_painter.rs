//! Painting: what reaches a backend, in SVG and in pixels.
#![cfg(not(target_arch = "wasm32"))]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test stops at the first surprise"
)]

mod figure_painter {
    mod backend;
    mod files;
}
