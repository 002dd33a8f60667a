//! Times that the benchmark of the page reads: from what the reader did until it is drawn.

use js_sys::{Function, Object, Reflect};
use wasm_bindgen::{JsCast, JsValue};

use super::dom;

/// The time now, in milliseconds since the page was opened.
pub(crate) fn now() -> Option<f64> {
    Some(dom::window().ok()?.performance()?.now())
}

/// Notes under a name what has taken from `began` until now.
pub(crate) fn took(name: &str, began: Option<f64>) {
    let Some(performance) = dom::window().ok().and_then(|window| window.performance()) else {
        return;
    };
    let Some(began) = began else { return };
    // `performance.measure(name, {start})`: the method with options is called by name, since only
    // its older form is bound.
    let options = Object::new();
    let _ = Reflect::set(
        &options,
        &JsValue::from_str("start"),
        &JsValue::from_f64(began),
    );
    if let Ok(method) = Reflect::get(&performance, &JsValue::from_str("measure"))
        && let Ok(method) = method.dyn_into::<Function>()
    {
        let _ = method.call2(&performance, &JsValue::from_str(name), &options);
    }
}
