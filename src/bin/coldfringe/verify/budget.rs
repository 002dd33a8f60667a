//! Budgets: what a reader's browser has to fetch.

use anyhow::Context as _;

use super::bench::Bench;
use super::tally::Tally;
use crate::{bundle, say};

/// The wasm of the page may weigh this much after `gzip -9`, in bytes. It holds the quick physics of every kind of
/// device; with four kinds it was held to 250 kB.
const WASM: u64 = 320_000;
/// The same for the wasm of the worker, which only pages with a slow set-up fetch.
const WORKER: u64 = 260_000;
/// A lesson's page with its style, scripts and wasm may weigh this much after `gzip -9`, in bytes.
const PAGE: u64 = 360_000;
/// The same for the page of an assignment: it has a style sheet of its own, and all hints and solutions in it.
const ASSIGNMENT: u64 = 380_000;

/// Both files of wasm, and every lesson's page with all it fetches before it is live, keep to their budgets.
pub(super) fn check(bench: &Bench) -> anyhow::Result<Tally> {
    // Built anew: an old site would be weighed in place of this one.
    let site = bench.build_site()?;
    let mut shared = 0;
    let mut wasm = 0;
    let mut worker = 0;
    let mut workbook = 0;
    let mut pages = Vec::new();
    for file in super::site::files(&site)? {
        let path = site.join(&file);
        let size = bundle::gzipped(&path).with_context(|| path.display().to_string())?;
        let is_worker = file.file_name().is_some_and(|name| {
            name.to_string_lossy()
                .starts_with(bundle::Part::Worker.name())
        });
        match file.extension().and_then(|ending| ending.to_str()) {
            // Fetched later, and only by the pages that need it.
            Some("js") if is_worker => {}
            Some("wasm") if is_worker => worker += size,
            Some("wasm") => {
                wasm += size;
                lean(&std::fs::read(&path)?)?;
            }
            Some("css") if file.ends_with("workbook.css") => workbook += size,
            Some("css" | "js") => shared += size,
            // Sheets and notes are paper: they fetch no script.
            Some("html") if file.starts_with("lessons") && file.ends_with("index.html") => {
                pages.push((file, size, PAGE));
            }
            Some("html") if file.starts_with("lessons") && file.ends_with("lecture.html") => {
                pages.push((file, size, PAGE));
            }
            Some("html") if file.starts_with("homework") => {
                pages.push((file, size, ASSIGNMENT));
            }
            _ => {}
        }
    }
    anyhow::ensure!(
        wasm > 0 && worker > 0 && shared > 0 && !pages.is_empty(),
        "the site in {} lacks wasm, scripts or lessons",
        site.display()
    );
    let mut tally = within("the page's wasm", wasm, WASM);
    tally += within("the worker's wasm", worker, WORKER);
    say::line(&format!("scripts and styles: {shared} bytes gzipped"));
    for (file, size, most) in pages {
        let own = if most == ASSIGNMENT { workbook } else { 0 };
        tally += within(
            &format!("{} with all it fetches", file.display()),
            size + own + shared + wasm,
            most,
        );
    }
    Ok(tally)
}

/// Refuses a page that brings the standard library's tables for reading and writing numbers with decimals: the browser
/// does both, through `decimal`.
fn lean(wasm: &[u8]) -> anyhow::Result<()> {
    // The first entries of the tables of powers of five (reading) and of ten (writing).
    for (entry, what) in [
        (0xeef4_53d6_923b_d65a_u64, "reads"),
        (0xe61a_cf03_3d1a_45df, "writes"),
    ] {
        let has = wasm.windows(8).any(|part| part == entry.to_le_bytes());
        anyhow::ensure!(
            !has,
            "something in the page {what} a number with decimals by the standard library (`{{}}` of an f64, `f64::clamp`, \
             `parse`); use `decimal` or `order::within`: it saves 10 kB"
        );
    }
    Ok(())
}

fn within(what: &str, size: u64, budget: u64) -> Tally {
    let passed = size <= budget;
    say::line(&format!(
        "{what}: {size} bytes gzipped, budget {budget}{}",
        if passed { "" } else { ": TOO LARGE" }
    ));
    Tally::of(passed)
}
