//! Budgets: what a reader's browser has to fetch.

use anyhow::Context as _;

use super::bench::Bench;
use super::tally::Tally;
use crate::{bundle, say};

/// The wasm may weigh this much after `gzip -9`, in bytes.
const WASM: u64 = 250_000;
/// A lesson's page with its style, scripts and wasm may weigh this much after `gzip -9`, in bytes.
const PAGE: u64 = 350_000;

/// The wasm, and every lesson's page with all it fetches, keep to their budgets.
pub(super) fn check(bench: &Bench) -> anyhow::Result<Tally> {
    // Built anew: an old site would be weighed in place of this one.
    let site = bench.build_site()?;
    let mut shared = 0;
    let mut wasm = 0;
    let mut pages = Vec::new();
    for file in super::site::files(&site)? {
        let path = site.join(&file);
        let size = bundle::gzipped(&path).with_context(|| path.display().to_string())?;
        match file.extension().and_then(|ending| ending.to_str()) {
            Some("wasm") => wasm += size,
            Some("css" | "js") => shared += size,
            Some("html") if file.starts_with("lessons") => pages.push((file, size)),
            _ => {}
        }
    }
    anyhow::ensure!(
        wasm > 0 && shared > 0 && !pages.is_empty(),
        "the site in {} lacks wasm, scripts or lessons",
        site.display()
    );
    let mut tally = within("the wasm", wasm, WASM);
    say::line(&format!("scripts and styles: {shared} bytes gzipped"));
    for (file, size) in pages {
        tally += within(
            &format!("{} with all it fetches", file.display()),
            size + shared + wasm,
            PAGE,
        );
    }
    Ok(tally)
}

fn within(what: &str, size: u64, budget: u64) -> Tally {
    let passed = size <= budget;
    say::line(&format!(
        "{what}: {size} bytes gzipped, budget {budget}{}",
        if passed { "" } else { ": TOO LARGE" }
    ));
    Tally::of(passed)
}
