//! Tests of the physics and its solvers, one phenomenon a file: against tables and published values, in limits, by
//! symmetries and by independent methods.
#![cfg(not(target_arch = "wasm32"))]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test stops at the first surprise"
)]

mod golden;

mod model {
    mod flux_locked_loop;
    mod golden_shapes;
    mod golden_statics;
    mod langevin;
    mod long_junction;
    mod rf_loop;
    mod rf_readout;
    mod running;
    mod screened_loop;
    mod sensor;
    mod slits;
    mod thermal;
    mod underdamped;
    mod vector_sine;
    mod weak_noise;
}
