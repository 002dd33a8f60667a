//! Pages that are one file each: everything a page loads stands in the page itself, so that it works from disk, by a
//! double click, without a network.
//!
//! A page of the site is taken as it was rendered. In its head every file that it names is put in place of its name, and
//! the policy then allows just these texts, by their digests. At its end stand the compiled model and the text of the
//! worker, packed. Links to pages that do not come along become plain words.

mod tags;

use std::collections::BTreeMap;

use anyhow::{Context as _, Result, bail};
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use coldfringe::page::html::escape;
use coldfringe::page::islands;
use sha2::{Digest as _, Sha256};

use crate::bundle::gzipped;
use crate::site::{Model, Site};
use tags::{attribute, resolve, rewrite};

/// What a page in one file does at its start.
const OPEN: &str = include_str!("one_file/open.js");
/// The text of a worker before and after what was compiled for it.
const WORKER_HEAD: &str = include_str!("one_file/worker_head.js");
const WORKER_FOOT: &str = include_str!("one_file/worker_foot.js");

/// What every live page in one file brings along.
#[derive(Debug)]
pub(crate) struct Luggage {
    /// The compiled models by the name of the script that a page of the site fetches: not every page has the same.
    models: BTreeMap<String, Bound>,
    /// The text of the worker, with what was compiled for it.
    worker: String,
    /// A further script, run before everything else, if any.
    extra: Option<String>,
}

/// A compiled model and its script.
#[derive(Debug)]
struct Bound {
    /// The script that binds the page to the model.
    glue: String,
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
}

/// Bytes as a text of letters and digits, after packing.
fn packed(bytes: &[u8]) -> Result<String> {
    Ok(STANDARD.encode(gzipped(bytes)?))
}

fn text(bytes: &[u8]) -> Result<&str> {
    std::str::from_utf8(bytes).context("a file for the page is not UTF-8 text")
}

/// A script's text as a browser will read it inside a page.
fn script(text: &str) -> Result<String> {
    let text = text.replace("\r\n", "\n");
    let lower = text.to_ascii_lowercase();
    if lower.contains("</script") || lower.contains("<!--") {
        bail!("a script holds `</script` or `<!--`, which would end it inside a page");
    }
    Ok(text)
}

/// What the policy says of a text: its digest.
fn allowed(text: &str) -> String {
    format!("'sha256-{}'", STANDARD.encode(Sha256::digest(text)))
}

/// A file as an address that holds it.
fn address(kind: &str, bytes: &[u8]) -> String {
    format!("data:{kind};base64,{}", STANDARD.encode(bytes))
}

/// Makes one file of the page at `path` of a site. `link` gives, for a page of the site by its path, the name under which
/// it stands beside this one; pages it does not know are not there, and links to them become plain words.
///
/// # Errors
/// When the page names a file that the site has not, or in a way that is not known here.
pub(crate) fn one_file(
    site: &Site,
    path: &str,
    luggage: Option<&Luggage>,
    link: impl Fn(&str) -> Option<String>,
) -> Result<String> {
    let page = site
        .file(path)
        .with_context(|| format!("the site has no page `{path}`"))?;
    let (head, rest) = text(&page)?
        .split_once("</head>")
        .with_context(|| format!("`{path}` has no head"))?;
    let (body, end) = rest
        .rsplit_once("</body>")
        .with_context(|| format!("`{path}` has no end"))?;
    let mut kept = Head::new(site, path, luggage);
    let head =
        rewrite(head, |tag| kept.tag(tag)).with_context(|| format!("the head of `{path}`"))?;
    let mut is_unlinked = false;
    let body = rewrite(body, |tag| body_tag(tag, path, &link, &mut is_unlinked))
        .with_context(|| format!("the page `{path}`"))?;
    let luggage = match (luggage, kept.model) {
        (Some(luggage), Some(model)) => luggage.html(model, kept.has_worker),
        _ => String::new(),
    };
    // The digests are known only now.
    let head = head.replacen(POLICY_PLACE, &kept.policy(), 1);
    Ok(format!("{head}</head>{body}{luggage}</body>{end}"))
}

impl Luggage {
    /// What stands at the end of a live page.
    fn html(&self, model: &Bound, has_worker: bool) -> String {
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

/// Holds the place of the policy until its digests are known.
const POLICY_PLACE: &str = "coldfringe-policy";

/// The head of a page while its files are put in.
struct Head<'a> {
    site: &'a Site,
    path: &'a str,
    luggage: Option<&'a Luggage>,
    styles: Vec<String>,
    scripts: Vec<String>,
    /// The model that the page names.
    model: Option<&'a Bound>,
    has_worker: bool,
}

impl<'a> Head<'a> {
    fn new(site: &'a Site, path: &'a str, luggage: Option<&'a Luggage>) -> Self {
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
    fn tag(&mut self, tag: &str) -> Result<Option<String>> {
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
    fn policy(&self) -> String {
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

/// What stands in place of a tag of the body; none when it stays.
fn body_tag(
    tag: &str,
    path: &str,
    link: &impl Fn(&str) -> Option<String>,
    is_unlinked: &mut bool,
) -> Result<Option<String>> {
    if tag == "</a>" && std::mem::take(is_unlinked) {
        return Ok(Some("</span>".to_owned()));
    }
    if let Some(source) = attribute(tag, "src")
        && !source.starts_with("data:")
    {
        bail!("{tag}: a picture or script in the text is not known here");
    }
    let Some(reference) = attribute(tag, "href") else {
        return Ok(None);
    };
    if reference.starts_with('#') {
        return Ok(None);
    }
    if !tag.starts_with("<a ") {
        bail!("{tag}: only a link in the text may name another page");
    }
    let (page, place) = match reference.split_once('#') {
        Some((page, place)) => (page, format!("#{place}")),
        None => (reference.as_str(), String::new()),
    };
    Ok(Some(match link(&resolve(path, page)?) {
        Some(name) => tag.replacen(
            &format!("href=\"{}\"", escape(&reference)),
            &format!("href=\"{}{}\"", escape(&name), escape(&place)),
            1,
        ),
        None => {
            *is_unlinked = true;
            "<span>".to_owned()
        }
    }))
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

    // The digest of the empty text is known from the standard of the digest (FIPS 180-4).
    #[test]
    fn a_text_is_allowed_by_its_digest() {
        assert_eq!(
            allowed(""),
            "'sha256-47DEQpj8HBSa+/TImW+5JCeuQeRkm5NMpJWZG3hSuFU='"
        );
    }
}
