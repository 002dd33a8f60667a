//! Tests of the set-ups in SI units: readings, quantities sought, scales, warnings, answers to bad input, and what is seen inside.
#![cfg(not(target_arch = "wasm32"))]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test stops at the first surprise"
)]

mod setups {
    mod descriptions;
    mod hand;
    mod input;
    mod insides;
    mod rf;
    mod seeking;
    mod static_devices;
    mod voltage;
}
