//! Floor 1: numbers in decimal digits, read and written.
//!
//! Rust's own way takes tables of a tenth of what a page may weigh, and every browser can do it too;
//! so in wasm the browser is asked. Both are exact: a text gives the nearest number, and the shortest
//! text that gives a number back is unique. Nothing else in the library may read or write a
//! number that is not whole (`{}` of one does): `cargo verify` looks for those tables in the page.

/// The number that digits, at most one point among them, and a sign and a power of ten (`e-6`), if
/// there are any, stand for; infinite when it is too large. None for any other text.
#[must_use]
pub fn parse(text: &str) -> Option<f64> {
    let mut has_digit = false;
    let plain = text.bytes().all(|byte| {
        has_digit |= byte.is_ascii_digit();
        matches!(byte, b'0'..=b'9' | b'.' | b'e' | b'E' | b'+' | b'-')
    });
    if !plain || !has_digit {
        return None;
    }
    numbers::parse(text)
}

#[cfg(not(target_arch = "wasm32"))]
mod numbers {
    pub(super) fn parse(text: &str) -> Option<f64> {
        text.parse().ok()
    }
}

#[cfg(target_arch = "wasm32")]
mod numbers {
    pub(super) fn parse(text: &str) -> Option<f64> {
        let number = js_sys::Number::from(wasm_bindgen::JsValue::from_str(text)).value_of();
        (!number.is_nan()).then_some(number)
    }
}
