//! When something goes wrong in the page: an error that says what was missing, and a panic that
//! shows a readable message instead of a dead page. The reader's work is safe either way, because
//! it is kept at every change.

use std::fmt;

use wasm_bindgen::JsValue;

/// What went wrong between the page and the script: a sentence of ours as a string of the browser's,
/// or whatever the browser threw. That is one small number to wasm, where every other call may fail
/// and each passes its trouble on: errors with a variant for each cause made the page larger by
/// kilobytes.
#[derive(Debug, Clone)]
pub(crate) struct Trouble(JsValue);

impl Trouble {
    /// A trouble in words, without a full stop.
    pub(crate) fn new(words: &str) -> Self {
        Self(JsValue::from_str(words))
    }

    /// The page lacks an element.
    pub(crate) fn missing(what: &str) -> Self {
        Self::new(&format!(
            "the page lacks {what}; it was perhaps built by another version: build the site again"
        ))
    }

    /// An island's JSON could not be read.
    pub(crate) fn island(block: &str, reason: &str) -> Self {
        Self::new(&format!(
            "the block {block} could not be read ({reason}); build the site again"
        ))
    }

    /// The page was rendered for another version of the script.
    pub(crate) fn other_version() -> Self {
        Self::new("the page and its script are of different versions: build the site again")
    }

    /// There is nothing to draw on.
    pub(crate) fn no_canvas() -> Self {
        Self::new("this browser gives the page no canvas to draw on")
    }
}

impl From<JsValue> for Trouble {
    fn from(thrown: JsValue) -> Self {
        Self(thrown)
    }
}

impl fmt::Display for Trouble {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(ours) = self.0.as_string() {
            return to.write_str(&ours);
        }
        let message = js_sys::Reflect::get(&self.0, &JsValue::from_str("message"))
            .ok()
            .and_then(|message| message.as_string());
        to.write_str("the browser refused: ")?;
        to.write_str(message.as_deref().unwrap_or("an error without words"))
    }
}

/// Errors of the model, its texts and its pictures, all shown to the reader as they are.
macro_rules! from_model {
    ($($error:ty),+ $(,)?) => {$(
        impl From<$error> for Trouble {
            fn from(error: $error) -> Self {
                Self::new(&error.to_string())
            }
        }
    )+};
}

from_model!(
    crate::experiment::ExperimentError,
    crate::experiment::SetupError,
    crate::figure::FigureError,
    crate::prediction::number::NumberTaskError,
    crate::prediction::pictures::PictureError,
    crate::quantity::QuantityError,
    crate::session::PlotError,
);

impl From<Trouble> for JsValue {
    fn from(trouble: Trouble) -> Self {
        js_sys::Error::new(&trouble.to_string()).into()
    }
}

/// Results of talking to the page.
pub(crate) type Outcome<T = ()> = Result<T, Trouble>;

/// Installs the panic hook: the message goes to the console for whoever mends it, and a plain
/// sentence to the reader.
pub(crate) fn install() {
    std::panic::set_hook(Box::new(|info| {
        console_error_panic_hook::hook(info);
        show(
            "The notebook has stopped because of a mistake in it. Your work is kept: reload the page to go on.",
        );
        if let Some(root) = web_sys::window()
            .and_then(|window| window.document())
            .and_then(|document| document.document_element())
        {
            let _ = root.set_attribute("data-state", "stopped");
        }
    }));
}

/// Shows a sentence in the page's place for troubles, and nothing else changes.
pub(crate) fn show(message: &str) {
    let place = web_sys::window()
        .and_then(|window| window.document())
        .and_then(|document| document.get_element_by_id("trouble"));
    if let Some(place) = place {
        place.set_text_content(Some(message));
        let _ = place.remove_attribute("hidden");
    }
}

/// Reports a trouble that stops only the thing at hand.
pub(crate) fn report(trouble: &Trouble) {
    web_sys::console::warn_1(&JsValue::from_str(&trouble.to_string()));
    show(&format!("{trouble}."));
}
