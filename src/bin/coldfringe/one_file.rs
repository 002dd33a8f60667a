//! Pages that are one file each: everything a page loads stands in the page itself, so that it works from disk, by a
//! double click, without a network.
//!
//! A page of the site is taken as it was rendered. In its head every file that it names is put in place of its name, and
//! the policy then allows just these texts, by their digests. At its end stand the compiled model and the text of the
//! worker, packed. Links to pages that do not come along become plain words.

mod head;
mod luggage;
mod tags;

use anyhow::{Context as _, Result, bail};
use coldfringe::page::html::escape;

use crate::site::Site;
use head::{Head, POLICY_PLACE};
pub(crate) use luggage::Luggage;
use luggage::text;
use tags::{attribute, resolve, rewrite};

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
