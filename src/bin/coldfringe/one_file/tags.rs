//! Reading the tags of a page as the renderer writes them.

use anyhow::{Context as _, Result, bail};

/// Writes a text anew, tag by tag; what is between the tags stays. Pages are written by one renderer, which quotes every
/// value and writes `<` in every text as an entity.
pub(super) fn rewrite(
    html: &str,
    mut change: impl FnMut(&str) -> Result<Option<String>>,
) -> Result<String> {
    let mut whole = String::with_capacity(html.len());
    let mut rest = html;
    while let Some(start) = rest.find('<') {
        let (before, from) = rest.split_at(start);
        whole.push_str(before);
        let mut is_quoted = false;
        let end = from
            .find(|letter: char| {
                is_quoted ^= letter == '"';
                letter == '>' && !is_quoted
            })
            .context("a tag has no end")?;
        let (tag, tail) = from.split_at(end + 1);
        match change(tag)? {
            Some(other) => whole.push_str(&other),
            None => whole.push_str(tag),
        }
        rest = tail;
    }
    whole.push_str(rest);
    Ok(whole)
}

/// The value of an attribute of a tag.
pub(super) fn attribute(tag: &str, name: &str) -> Option<String> {
    let mut rest = tag;
    while let Some((head, after)) = rest.split_once("=\"") {
        let (value, tail) = after.split_once('"')?;
        if head.rsplit(char::is_whitespace).next() == Some(name) {
            return Some(
                value
                    .replace("&lt;", "<")
                    .replace("&gt;", ">")
                    .replace("&quot;", "\"")
                    .replace("&#39;", "'")
                    .replace("&amp;", "&"),
            );
        }
        rest = tail;
    }
    None
}

/// The path in the site of what the file at `from` names.
pub(super) fn resolve(from: &str, reference: &str) -> Result<String> {
    let named = reference.split('?').next().unwrap_or_default();
    if named.contains(':') || named.starts_with('/') {
        bail!("names `{reference}`, which is not in the site");
    }
    let mut parts: Vec<&str> = from.split('/').collect();
    parts.pop();
    for part in named.split('/') {
        match part {
            "" | "." => {}
            ".." => {
                parts
                    .pop()
                    .with_context(|| format!("names `{reference}`, which leads out of the site"))?;
            }
            other => parts.push(other),
        }
    }
    if named.is_empty() || named.ends_with('/') {
        parts.push("index.html");
    }
    Ok(parts.join("/"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tags_are_told_from_what_is_in_them() -> Result<()> {
        let html = "<p title=\"a > b\">1 &lt; 2 <a href=\"x\">y</a></p>";
        let mut seen = Vec::new();
        let same = rewrite(html, |tag| {
            seen.push(tag.to_owned());
            Ok(None)
        })?;
        assert_eq!(same, html);
        assert_eq!(
            seen,
            ["<p title=\"a > b\">", "<a href=\"x\">", "</a>", "</p>"]
        );
        assert_eq!(
            attribute("<a title=\" href=&quot;no\" href=\"a?b&amp;c\">", "href").as_deref(),
            Some("a?b&c")
        );
        assert!(rewrite("<p title=\"", |_| Ok(None)).is_err());
        Ok(())
    }

    #[test]
    fn references_lead_to_paths_of_the_site() -> Result<()> {
        let from = "lessons/one-slit/index.html";
        for (reference, path) in [
            ("../two-slits/", "lessons/two-slits/index.html"),
            ("lecture.html", "lessons/one-slit/lecture.html"),
            ("../../index.html", "index.html"),
            ("../../assets/style.css?v=1", "assets/style.css"),
        ] {
            assert_eq!(resolve(from, reference)?, path);
        }
        for bad in ["https://host/x", "/x", "../../../x", "mailto:x"] {
            assert!(resolve(from, bad).is_err(), "{bad}");
        }
        Ok(())
    }
}
