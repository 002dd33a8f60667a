//! Handing files to the reader, and taking them from there.

use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Blob, BlobPropertyBag, HtmlAnchorElement, HtmlCanvasElement, HtmlInputElement, Url};

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
        .map_err(|_| Trouble::missing("links"))?;
    anchor.set_href(url);
    anchor.set_download(name);
    anchor.click();
    Ok(())
}

/// Reads the file that was chosen in an input and hands its text on; none when it is larger than
/// `largest`, in bytes, and would only hold the page up.
pub(crate) fn chosen(
    input: &HtmlInputElement,
    largest: f64,
    then: impl FnOnce(Option<String>) + 'static,
) -> Outcome {
    let get = |from: &JsValue, name: &str| js_sys::Reflect::get(from, &name.into());
    let file = get(&get(input, "files")?, "0")?;
    if file.is_undefined() {
        return Ok(());
    }
    if get(&file, "size")?.as_f64().unwrap_or(0.0) > largest {
        input.set_value("");
        then(None);
        return Ok(());
    }
    let read: js_sys::Function = get(&file, "text")?.dyn_into()?;
    let text: js_sys::Promise = read.call0(&file)?.dyn_into()?;
    let input = input.clone();
    let then = Closure::once_into_js(move |text: JsValue| {
        // The same file may be chosen again.
        input.set_value("");
        then(Some(text.as_string().unwrap_or_default()));
    });
    let method: js_sys::Function = get(&text, "then")?.dyn_into()?;
    method.call1(&text, &then)?;
    Ok(())
}
