//! Links: everything a page refers to is in the site.

use std::collections::BTreeSet;
use std::path::{Component, Path, PathBuf};

use anyhow::Context as _;

use super::bench::Bench;
use super::tally::Tally;
use crate::say;

/// Every `href` and `src` of every page, and every `url(…)` of every style sheet, leads to a file of the site and to a
/// place in it; none is absolute and none names another host, so the site works from any folder of any host.
pub(super) fn check(bench: &Bench) -> anyhow::Result<Tally> {
    let site = bench.site()?;
    let files = super::site::files(&site)?;
    let mut checked = 0_u64;
    let mut faults = Vec::new();
    for file in &files {
        let path = site.join(file);
        let references = match path.extension().and_then(|ending| ending.to_str()) {
            Some("html") => in_page(&read(&path)?),
            Some("css") => in_style(&read(&path)?),
            _ => continue,
        };
        for reference in references {
            checked += 1;
            if let Err(fault) = resolve(&site, &files, file, &reference) {
                faults.push(format!("{}: `{reference}` {fault}", file.display()));
            }
        }
    }
    for fault in &faults {
        say::line(fault);
    }
    say::line(&format!("{checked} links in {} files", files.len()));
    Ok(Tally::of(faults.is_empty() && checked > 0))
}

fn read(path: &Path) -> anyhow::Result<String> {
    std::fs::read_to_string(path).with_context(|| path.display().to_string())
}

/// What is wrong with a reference made in `from`, if anything.
fn resolve(
    site: &Path,
    files: &BTreeSet<PathBuf>,
    from: &Path,
    reference: &str,
) -> Result<(), String> {
    if reference.starts_with("data:") {
        return Ok(());
    }
    if reference.starts_with('/')
        || reference
            .split(['/', '?', '#'])
            .next()
            .is_some_and(|head| head.contains(':'))
    {
        return Err("is absolute: write it relative to the page".to_owned());
    }
    let (path, fragment) = reference
        .split_once('#')
        .map_or((reference, None), |(path, fragment)| (path, Some(fragment)));
    let path = path.split('?').next().unwrap_or_default();
    let mut target = if path.is_empty() {
        from.to_path_buf()
    } else {
        let base = from.parent().unwrap_or(Path::new(""));
        normal(&base.join(path)).ok_or("leads out of the site")?
    };
    if path.ends_with('/') || target.as_os_str().is_empty() {
        target.push("index.html");
    }
    if !files.contains(&target) {
        return Err("is not in the site".to_owned());
    }
    if let Some(fragment) = fragment.filter(|fragment| !fragment.is_empty()) {
        let text = read(&site.join(&target)).map_err(|error| error.to_string())?;
        if !attributes(&text, "id")
            .iter()
            .any(|identifier| identifier == fragment)
        {
            return Err(format!("names a place that {} has not", target.display()));
        }
    }
    Ok(())
}

/// A path without `.` and `..`; none if it climbs above its root.
fn normal(path: &Path) -> Option<PathBuf> {
    let mut plain = PathBuf::new();
    for part in path.components() {
        match part {
            Component::Normal(name) => plain.push(name),
            Component::CurDir => {}
            Component::ParentDir => {
                if !plain.pop() {
                    return None;
                }
            }
            Component::RootDir | Component::Prefix(_) => return None,
        }
    }
    Some(plain)
}

fn in_page(text: &str) -> Vec<String> {
    let mut references = attributes(text, "href");
    references.extend(attributes(text, "src"));
    references
}

/// The values of an attribute in every start tag of a page. Pages are written by one renderer, which quotes every value.
fn attributes(text: &str, name: &str) -> Vec<String> {
    let mut values = Vec::new();
    for tag in text.split('<').skip(1) {
        if !tag.starts_with(|first: char| first.is_ascii_alphabetic()) {
            continue;
        }
        let mut rest = tag;
        // Attribute by attribute, so that a value that holds the text ` href="` or `>` is not taken for one.
        while let Some((head, after)) = rest.split_once("=\"") {
            if head.contains('>') {
                break;
            }
            let Some((value, tail)) = after.split_once('"') else {
                break;
            };
            if head.rsplit(char::is_whitespace).next() == Some(name) {
                values.push(
                    value
                        .replace("&amp;", "&")
                        .replace("&quot;", "\"")
                        .replace("&#39;", "'"),
                );
            }
            rest = tail;
        }
    }
    values
}

fn in_style(text: &str) -> Vec<String> {
    text.split("url(")
        .skip(1)
        .filter_map(|rest| rest.split_once(')'))
        .map(|(reference, _)| reference.trim().trim_matches(['"', '\'']).to_owned())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn attributes_are_read_one_by_one() {
        let page = "<a title=\"x > href=&quot;no&quot;\" href=\"a/b?c&amp;d#e\">text href=\"no\"</a><p class=\"href\">1 < 2</p><img src=\"p.png\">";
        assert_eq!(in_page(page), ["a/b?c&d#e", "p.png"]);
        assert_eq!(in_style("a{background:url( 'x.svg' )}"), ["x.svg"]);
    }

    #[test]
    fn wrong_references_are_named() {
        let files: BTreeSet<PathBuf> = ["index.html", "lessons/a/index.html", "assets/s.css"]
            .iter()
            .map(PathBuf::from)
            .collect();
        let site = Path::new("/nowhere");
        let from = Path::new("lessons/a/index.html");
        for good in [
            "../../assets/s.css",
            "../../",
            "../../index.html",
            "./",
            "../../assets/s.css?v=1",
            "data:,x",
        ] {
            assert_eq!(resolve(site, &files, from, good), Ok(()), "{good}");
        }
        for bad in [
            "../b/",
            "/assets/s.css",
            "//host/x",
            "https://host/x",
            "mailto:x",
            "../../../x",
            "s.css",
        ] {
            assert!(resolve(site, &files, from, bad).is_err(), "{bad}");
        }
    }
}
