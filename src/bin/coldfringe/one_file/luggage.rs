//! What a live page in one file brings along at its end: the compiled model and the text of the worker, packed.

use std::collections::BTreeMap;

use anyhow::{Context as _, Result, bail};
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;

use crate::bundle::gzipped;
use crate::site::Model;

/// The text of a worker before and after what was compiled for it.
const WORKER_HEAD: &str = include_str!("worker_head.js");
const WORKER_FOOT: &str = include_str!("worker_foot.js");

/// What every live page in one file brings along.
#[derive(Debug)]
pub(crate) struct Luggage {
    /// The compiled models by the name of the script that a page of the site fetches: not every page has the same.
    pub(super) models: BTreeMap<String, Bound>,
    /// The text of the worker, with what was compiled for it.
    pub(super) worker: String,
    /// A further script, run before everything else, if any.
    pub(super) extra: Option<String>,
}

/// A compiled model and its script.
#[derive(Debug)]
pub(super) struct Bound {
    /// The script that binds the page to the model.
    pub(super) glue: String,
    /// The model, packed.
    wasm: String,
}

impl Luggage {
    /// Packs a model whose scripts are classic ones; none when the model is left out.
    ///
    /// # Errors
    /// When a file of the model is missing, or its text cannot stand in a page.
    pub(crate) fn pack(model: &Model, extra: Option<&str>) -> Result<Option<Self>> {
        let Some(bundle) = &model.bundle else {
            return Ok(None);
        };
        let file = |name: &str| {
            let found = model.files.iter().find(|(known, _)| known == name);
            found
                .map(|(_, bytes)| bytes.as_slice())
                .with_context(|| format!("the compiled model has no file `{name}`"))
        };
        let worker_script = text(file(&format!("{}.js", bundle.worker))?)?;
        let worker_wasm = packed(file(&format!("{}.wasm", bundle.worker))?)?;
        let worker =
            format!("{WORKER_HEAD}const packed = \"{worker_wasm}\";\n{worker_script}{WORKER_FOOT}");
        let mut models = BTreeMap::new();
        for (name, bytes) in &model.files {
            let stem = name.strip_suffix(".js");
            if let Some(stem) = stem.filter(|stem| **stem != bundle.worker) {
                let bound = Bound {
                    glue: script(text(bytes)?)?,
                    wasm: packed(file(&format!("{stem}.wasm"))?)?,
                };
                models.insert(name.clone(), bound);
            }
        }
        Ok(Some(Self {
            models,
            worker: script(&worker)?,
            extra: extra.map(script).transpose()?,
        }))
    }

    /// What stands at the end of a live page.
    pub(super) fn html(&self, model: &Bound, has_worker: bool) -> String {
        let worker = if has_worker {
            format!(
                "<script type=\"text/plain\" id=\"coldfringe-worker\">{}</script>\n",
                self.worker
            )
        } else {
            String::new()
        };
        format!(
            "<script type=\"text/plain\" id=\"coldfringe-wasm\">{}</script>\n{worker}<script>{}</script>\n",
            model.wasm, model.glue
        )
    }
}

/// Bytes as a text of letters and digits, after packing.
fn packed(bytes: &[u8]) -> Result<String> {
    Ok(STANDARD.encode(gzipped(bytes)?))
}

/// A file as text.
pub(super) fn text(bytes: &[u8]) -> Result<&str> {
    std::str::from_utf8(bytes).context("a file for the page is not UTF-8 text")
}

/// A script's text as a browser will read it inside a page.
pub(super) fn script(text: &str) -> Result<String> {
    let text = text.replace("\r\n", "\n");
    let lower = text.to_ascii_lowercase();
    if lower.contains("</script") || lower.contains("<!--") {
        bail!("a script holds `</script` or `<!--`, which would end it inside a page");
    }
    Ok(text)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_script_that_would_end_in_a_page_is_refused() {
        assert!(script("let a = '</SCRIPT>'").is_err());
        assert!(script("a <!-- b").is_err());
        assert_eq!(script("a\r\nb").ok().as_deref(), Some("a\nb"));
    }
}
