//! The head of a page in one file: every file that it names is put in place of its name, and the policy allows just these
//! texts, by their digests.

use anyhow::{Context as _, Result, bail};
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use coldfringe::page::islands;
use sha2::{Digest as _, Sha256};

use super::luggage::{Bound, Luggage, script, text};
use super::tags::{attribute, resolve};
use crate::site::Site;

/// What a page in one file does at its start.
const OPEN: &str = include_str!("open.js");

/// Holds the place of the policy until its digests are known.
pub(super) const POLICY_PLACE: &str = "coldfringe-policy";

/// The head of a page while its files are put in.
pub(super) struct Head<'a> {
    site: &'a Site,
    path: &'a str,
    luggage: Option<&'a Luggage>,
    styles: Vec<String>,
    scripts: Vec<String>,
    /// The model that the page names.
    pub(super) model: Option<&'a Bound>,
    pub(super) has_worker: bool,
}

impl<'a> Head<'a> {
    /// Nothing put in yet.
    pub(super) fn new(site: &'a Site, path: &'a str, luggage: Option<&'a Luggage>) -> Self {
        Self {
            site,
            path,
            luggage,
            styles: Vec::new(),
            scripts: Vec::new(),
            model: None,
            has_worker: false,
        }
    }

    /// A file that the page names, and its path.
    fn file(&self, reference: &str) -> Result<(String, Vec<u8>)> {
        let path = resolve(self.path, reference)?;
        let bytes = self
            .site
            .file(&path)
            .with_context(|| format!("names `{reference}`, which the site has not"))?;
        Ok((path, bytes))
    }

    /// What stands in place of a tag of the head; none when it stays.
    pub(super) fn tag(&mut self, tag: &str) -> Result<Option<String>> {
        let value = |name: &str| attribute(tag, name);
        let needed = |name: &str| value(name).with_context(|| format!("{tag} lacks {name}"));
        if value("http-equiv").is_some() {
            return Ok(Some(format!(
                "<meta http-equiv=\"Content-Security-Policy\" content=\"{POLICY_PLACE}\">"
            )));
        }
        if tag.starts_with("<link") {
            return Ok(Some(match needed("rel")?.as_str() {
                "stylesheet" => {
                    let style = self.style(&needed("href")?)?;
                    let html = format!("<style>{style}</style>");
                    self.styles.push(style);
                    html
                }
                "icon" => {
                    let (_, bytes) = self.file(&needed("href")?)?;
                    format!(
                        "<link rel=\"icon\" href=\"{}\">",
                        address("image/svg+xml", &bytes)
                    )
                }
                // The model comes along at the end of the page.
                "modulepreload" => {
                    self.bring(&needed("href")?)?;
                    String::new()
                }
                "preload" => String::new(),
                other => bail!("{tag}: a link of kind `{other}` is not known here"),
            }));
        }
        if let Some(source) = value("src") {
            let (path, bytes) = self.file(&source)?;
            if path != "assets/start.js" {
                bail!("{tag}: the script `{path}` is not known here");
            }
            let Some(luggage) = self.luggage else {
                bail!("{tag}: a live page needs the compiled model");
            };
            // One text, so that the digest of one is enough; what is run first stands first.
            let before = luggage.extra.as_deref().unwrap_or_default();
            let start = script(&format!("{OPEN}{before}{}", text(&bytes)?))?;
            let html = format!("<script>{start}");
            self.scripts.push(start);
            return Ok(Some(html));
        }
        if value("name").as_deref() == Some(islands::WORKER) {
            self.has_worker = true;
            if let Some(luggage) = self.luggage {
                self.scripts.push(luggage.worker.clone());
            }
            return Ok(Some(format!(
                "<meta name=\"{}\" content=\"\">",
                islands::WORKER
            )));
        }
        Ok(None)
    }

    /// Brings the model along whose script a page names.
    fn bring(&mut self, reference: &str) -> Result<()> {
        let name = reference.rsplit('/').next().unwrap_or_default();
        let model = self
            .luggage
            .and_then(|luggage| luggage.models.get(name))
            .with_context(|| format!("the compiled model has no file `{name}`"))?;
        self.scripts.push(model.glue.clone());
        self.model = Some(model);
        Ok(())
    }

    /// A style sheet with its own files put in.
    fn style(&self, reference: &str) -> Result<String> {
        let (path, bytes) = self.file(reference)?;
        let mut whole = String::new();
        let sheet = text(&bytes)?.replace("\r\n", "\n");
        if sheet.to_ascii_lowercase().contains("</style") {
            bail!("`{path}` holds `</style`, which would end it inside a page");
        }
        let mut rest = sheet.as_str();
        while let Some((before, after)) = rest.split_once("url(") {
            let (named, tail) = after
                .split_once(')')
                .with_context(|| format!("`{path}` has a `url(` without an end"))?;
            let named = named.trim().trim_matches(['"', '\'']);
            whole.push_str(before);
            if named.starts_with("data:") {
                whole.push_str(&format!("url(\"{named}\")"));
            } else {
                let file = resolve(&path, named)?;
                let kind = match file.rsplit_once('.') {
                    Some((_, "woff2")) => "font/woff2",
                    Some((_, "svg")) => "image/svg+xml",
                    Some((_, "png")) => "image/png",
                    _ => bail!("`{path}` names `{named}`, a kind of file that is not known here"),
                };
                let bytes = self
                    .site
                    .file(&file)
                    .with_context(|| format!("`{path}` names `{named}`, which the site has not"))?;
                whole.push_str(&format!("url(\"{}\")", address(kind, &bytes)));
            }
            rest = tail;
        }
        whole.push_str(rest);
        Ok(whole)
    }

    /// What the page may load and do: run its own texts, start workers from itself, and nothing else.
    pub(super) fn policy(&self) -> String {
        let digests = |texts: &[String]| -> String {
            texts
                .iter()
                .map(|text| allowed(text))
                .collect::<Vec<_>>()
                .join(" ")
        };
        let styles = digests(&self.styles);
        let mut policy = format!(
            "default-src 'none'; style-src {styles}; img-src data: blob:; font-src data:; base-uri 'none'; form-action 'none'"
        );
        if self.model.is_some() {
            policy.push_str(&format!(
                "; script-src {} 'wasm-unsafe-eval'",
                digests(&self.scripts)
            ));
        }
        if self.has_worker {
            policy.push_str("; worker-src blob:");
        }
        policy
    }
}

/// What the policy says of a text: its digest.
fn allowed(text: &str) -> String {
    format!("'sha256-{}'", STANDARD.encode(Sha256::digest(text)))
}

/// A file as an address that holds it.
fn address(kind: &str, bytes: &[u8]) -> String {
    format!("data:{kind};base64,{}", STANDARD.encode(bytes))
}

#[cfg(test)]
mod tests {
    use super::*;

    // The digest of the empty text is known from the standard of the digest (FIPS 180-4).
    #[test]
    fn a_text_is_allowed_by_its_digest() {
        assert_eq!(
            allowed(""),
            "'sha256-47DEQpj8HBSa+/TImW+5JCeuQeRkm5NMpJWZG3hSuFU='"
        );
    }
}
