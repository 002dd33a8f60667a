//! How long the worker's pieces of work take, measured where they run.

use js_sys::{Array, Date, Function, Reflect};
use wasm_bindgen::prelude::wasm_bindgen;
use wasm_bindgen::{JsCast, JsValue};

use crate::kernels::{KERNELS, Kernel};

/// The names of the pieces of work that can be timed.
#[wasm_bindgen(js_name = coldfringe_kernels)]
#[must_use]
pub fn kernels() -> Array {
    KERNELS
        .iter()
        .map(|kernel| JsValue::from_str(kernel.name))
        .collect()
}

/// Milliseconds that so many repetitions of a piece of work take; nothing when it is not known or
/// cannot be done.
#[wasm_bindgen(js_name = coldfringe_measure)]
#[must_use]
pub fn measure(kernel: &str, repetitions: u32) -> Option<f64> {
    let kernel = Kernel::find(kernel)?;
    let began = now();
    for _ in 0..repetitions {
        std::hint::black_box(kernel.run().ok()?);
    }
    Some(now() - began)
}

/// The finest clock there is, in milliseconds.
fn now() -> f64 {
    let read = || -> Option<f64> {
        let clock = Reflect::get(&js_sys::global(), &JsValue::from_str("performance")).ok()?;
        let now = Reflect::get(&clock, &JsValue::from_str("now")).ok()?;
        now.dyn_ref::<Function>()?.call0(&clock).ok()?.as_f64()
    };
    read().unwrap_or_else(Date::now)
}
