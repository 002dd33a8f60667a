//! Handing files to the reader.

use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Blob, BlobPropertyBag, HtmlAnchorElement, HtmlCanvasElement, Url};

use super::dom;
use super::trouble::{Outcome, Trouble};

/// Hands a text to the reader as a file.
pub(crate) fn download(name: &str, kind: &str, text: &str) -> Outcome {
    let parts = js_sys::Array::of1(&JsValue::from_str(text));
    let options = BlobPropertyBag::new();
    options.set_type(kind);
    let blob = Blob::new_with_str_sequence_and_options(&parts, &options)?;
    let url = Url::create_object_url_with_blob(&blob)?;
    let result = follow(name, &url);
    Url::revoke_object_url(&url)?;
    result
}

/// Hands a canvas to the reader as a PNG file.
pub(crate) fn download_canvas(name: &str, canvas: &HtmlCanvasElement) -> Outcome {
    follow(name, &canvas.to_data_url_with_type("image/png")?)
}

fn follow(name: &str, url: &str) -> Outcome {
    let anchor: HtmlAnchorElement = dom::element("a", "")?
        .dyn_into()
        .map_err(|_| Trouble::Missing("links"))?;
    anchor.set_href(url);
    anchor.set_download(name);
    anchor.click();
    Ok(())
}
