//! How long the worker's pieces of work take, measured where they run.

use js_sys::{Date, Function, Reflect};
use wasm_bindgen::prelude::wasm_bindgen;
use wasm_bindgen::{JsCast, JsValue};

use crate::kernels::{KERNELS, Kernel};

/// The names of the pieces of work that can be timed, as a list of texts.
///
/// # Errors
/// When the list cannot be made.
#[wasm_bindgen(js_name = coldfringe_kernels)]
pub fn kernels() -> Result<JsValue, serde_wasm_bindgen::Error> {
    serde_wasm_bindgen::to_value(&KERNELS.map(|kernel| kernel.name).as_slice())
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
