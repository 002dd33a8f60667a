//! Tests of the library in a browser.

#![cfg(target_arch = "wasm32")]
#![allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]

use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};

wasm_bindgen_test_configure!(run_in_browser);

mod parity;

/// The browser computes the bits that the native test finds too: both compare with one file.
#[wasm_bindgen_test]
fn the_browser_computes_the_recorded_bits() {
    parity::assert_recorded();
}
