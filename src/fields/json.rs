//! From a JSON text to a value: by the library natively, by the browser in wasm.

#[cfg(target_arch = "wasm32")]
use serde_json::Map;
use serde_json::Value;

use super::FieldError;

/// The value that a text stands for, or what is wrong with it.
#[cfg(not(target_arch = "wasm32"))]
pub(super) fn parse(text: &str) -> Result<Value, FieldError> {
    serde_json::from_str(text).map_err(|error| FieldError::NotJson(error.to_string()))
}

/// In wasm the browser's own reader is asked: another would have to be fetched with the page.
#[cfg(target_arch = "wasm32")]
pub(super) fn parse(text: &str) -> Result<Value, FieldError> {
    match js_sys::JSON::parse(text) {
        Ok(value) => Ok(taken(&value)),
        Err(error) => {
            let words = js_sys::Error::from(error).message();
            Err(FieldError::NotJson(words.into()))
        }
    }
}

/// A value of the browser as one of ours.
#[cfg(target_arch = "wasm32")]
fn taken(value: &wasm_bindgen::JsValue) -> Value {
    if let Some(text) = value.as_string() {
        Value::String(text)
    } else if let Some(number) = value.as_f64() {
        let whole = number as u64;
        // The browser knows one kind of number only.
        if (whole as f64).to_bits() == number.to_bits() {
            Value::from(whole)
        } else {
            Value::from(number)
        }
    } else if let Some(flag) = value.as_bool() {
        Value::Bool(flag)
    } else if js_sys::Array::is_array(value) {
        let list = js_sys::Array::from(value);
        Value::Array(list.iter().map(|value| taken(&value)).collect())
    } else if let Some(object) = wasm_bindgen::JsCast::dyn_ref::<js_sys::Object>(value) {
        let mut map = Map::new();
        for pair in js_sys::Object::entries(object).iter() {
            let pair = js_sys::Array::from(&pair);
            map.insert(
                pair.get(0).as_string().unwrap_or_default(),
                taken(&pair.get(1)),
            );
        }
        Value::Object(map)
    } else {
        Value::Null
    }
}
