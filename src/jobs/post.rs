//! Parcels as values of the browser: an array of the text and of typed arrays, whose memory is
//! handed over and not copied a second time.

use js_sys::{Array, Float64Array};
use wasm_bindgen::{JsCast, JsValue};

use super::Parcel;

impl Parcel {
    /// The parcel as a message, and what is handed over with it.
    #[must_use]
    pub fn message(&self) -> (JsValue, JsValue) {
        let message = Array::of1(&JsValue::from_str(&self.text));
        let handed = Array::new();
        for list in &self.numbers {
            let list = Float64Array::from(list.as_slice());
            handed.push(&list.buffer());
            message.push(&list);
        }
        (message.into(), handed.into())
    }

    /// Reads a message; what is no parcel gives an empty one, which no reader accepts.
    #[must_use]
    pub fn from_message(message: &JsValue) -> Self {
        let message = Array::from(message);
        Self {
            text: message.get(0).as_string().unwrap_or_default(),
            numbers: message
                .iter()
                .skip(1)
                .filter_map(|list| list.dyn_into::<Float64Array>().ok())
                .map(|list| list.to_vec())
                .collect(),
        }
    }
}
