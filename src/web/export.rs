//! Handing files to the reader.

use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Blob, BlobPropertyBag, HtmlAnchorElement, HtmlCanvasElement, Url};

use super::dom;
use super::trouble::{Outcome, Trouble};

/// How long a text stays in memory for the browser to fetch, in milliseconds.
const RELEASE: i32 = 30_000;

/// Hands a text to the reader as a file.
pub(crate) fn download(name: &str, kind: &str, text: &str) -> Outcome {
    let parts = js_sys::Array::of1(&JsValue::from_str(text));
    let options = BlobPropertyBag::new();
    options.set_type(kind);
    let blob = Blob::new_with_str_sequence_and_options(&parts, &options)?;
    let url = Url::create_object_url_with_blob(&blob)?;
    follow(name, &url)?;
    // Browsers may begin to read only after this call: the text is let go a little later.
    let release = Closure::once_into_js(move || {
        let _ = Url::revoke_object_url(&url);
    });
    dom::window()?
        .set_timeout_with_callback_and_timeout_and_arguments_0(release.unchecked_ref(), RELEASE)?;
    Ok(())
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
