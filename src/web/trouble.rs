//! When something goes wrong in the page: an error that says what was missing, and a panic that
//! shows a readable message instead of a dead page. The reader's work is safe either way, because
//! it is kept at every change.

use wasm_bindgen::JsValue;

/// What went wrong between the page and the script.
#[derive(Debug, Clone, thiserror::Error)]
pub(crate) enum Trouble {
    /// The page lacks an element.
    #[error("the page lacks {0}; it was perhaps built by another version: build the site again")]
    Missing(&'static str),
    /// An island's JSON could not be read.
    #[error("the block {block} could not be read ({reason}); build the site again")]
    Island {
        /// The block's identifier.
        block: String,
        /// What the reader of JSON said.
        reason: String,
    },
    /// The page was rendered for another version of the script.
    #[error("the page and its script are of different versions: build the site again")]
    OtherVersion,
    /// There is nothing to draw on.
    #[error("this browser gives the page no canvas to draw on")]
    NoCanvas,
    /// The browser refused something.
    #[error("the browser refused: {0}")]
    Browser(String),
    /// The model could not compute something.
    #[error("{0}")]
    Model(String),
}

impl From<JsValue> for Trouble {
    fn from(value: JsValue) -> Self {
        let text = value
            .as_string()
            .or_else(|| {
                js_sys::Reflect::get(&value, &JsValue::from_str("message"))
                    .ok()
                    .and_then(|message| message.as_string())
            })
            .unwrap_or_else(|| "an error without words".to_owned());
        Self::Browser(text)
    }
}

/// Errors of the model, its texts and its pictures, all shown to the reader as they are.
macro_rules! from_model {
    ($($error:ty),+ $(,)?) => {$(
        impl From<$error> for Trouble {
            fn from(error: $error) -> Self {
                Self::Model(error.to_string())
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
