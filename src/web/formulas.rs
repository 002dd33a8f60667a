//! Formulas on the page.

use wasm_bindgen::JsCast;
use web_sys::Element;

/// Formulas wider than the screen are scrolled; the keyboard must reach those, and only those.
pub(crate) fn reach_wide(main: &Element) {
    let Ok(formulas) = main.query_selector_all("math") else {
        return;
    };
    for index in 0..formulas.length() {
        let Some(formula) = formulas
            .get(index)
            .and_then(|node| node.dyn_into::<Element>().ok())
        else {
            continue;
        };
        let _ = if formula.scroll_width() > formula.client_width() {
            formula.set_attribute("tabindex", "0")
        } else {
            formula.remove_attribute("tabindex")
        };
    }
}
