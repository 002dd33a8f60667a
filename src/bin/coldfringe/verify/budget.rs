//! Budgets: what a reader's browser has to fetch.

use anyhow::Context as _;

use super::bench::Bench;
use super::tally::Tally;
use crate::{bundle, say};

/// The wasm of the page may weigh this much after `gzip -9`, in bytes. It holds the quick physics of every kind of
/// device; with four kinds it was held to 250 kB.
const WASM: u64 = 312_000;
/// The same for the wasm of the worker, which only pages with a slow set-up fetch.
const WORKER: u64 = 260_000;
/// A lesson's page with its style, scripts and wasm may weigh this much after `gzip -9`, in bytes.
const PAGE: u64 = 350_000;
/// The same for the page of an assignment, which has a wasm of its own: it draws numbers, judges, and writes receipts.
const ASSIGNMENT: u64 = 380_000;

/// Places in the lists of what is fetched: for lessons and lectures, for assignments, for the worker.
const LESSONS: usize = 0;
const ASSIGNMENTS: usize = 1;
const WORKERS: usize = 2;

/// All files of wasm, and every page of a lesson or an assignment with all it fetches before it is live, keep to their
/// budgets.
pub(super) fn check(bench: &Bench) -> anyhow::Result<Tally> {
    // Built anew: an old site would be weighed in place of this one.
    let site = bench.build_site()?;
    let mut shared = 0;
    let mut own = [0; 3];
    let mut wasm = [0; 3];
    let mut pages = Vec::new();
    for file in super::site::files(&site)? {
        let path = site.join(&file);
        let bytes = std::fs::read(&path).with_context(|| path.display().to_string())?;
        let size = bundle::gzipped(&bytes)?.len() as u64;
        let name = file.file_name().unwrap_or_default().to_string_lossy();
        let is_of = |part: bundle::Part| name.starts_with(&format!("{}-", part.name()));
        // The name of the page's own part begins those of the others, and so is looked for last.
        let whose = if is_of(bundle::Part::Worker) {
            Some(WORKERS)
        } else if is_of(bundle::Part::Homework) || name == "workbook.css" {
            Some(ASSIGNMENTS)
        } else if is_of(bundle::Part::Page) || name == "lecture.css" {
            Some(LESSONS)
        } else {
            None
        };
        match (file.extension().and_then(|ending| ending.to_str()), whose) {
            (Some("wasm"), Some(whose)) => {
                wasm[whose] += size;
                if whose != WORKERS {
                    lean(&bytes)?;
                }
            }
            // Asked for when the page is live, and by the browser itself.
            _ if file.as_os_str() == crate::offline::KEEPER => {}
            (Some("css" | "js"), Some(whose)) => own[whose] += size,
            (Some("css" | "js"), None) => shared += size,
            // Sheets and notes are paper: they fetch no script.
            (Some("html"), _) if file.starts_with("homework") => {
                pages.push((file, size, ASSIGNMENTS));
            }
            (Some("html"), _)
                if file.starts_with("lessons")
                    && (file.ends_with("index.html") || file.ends_with("lecture.html")) =>
            {
                pages.push((file, size, LESSONS));
            }
            _ => {}
        }
    }
    anyhow::ensure!(
        wasm.iter().all(|size| *size > 0) && shared > 0 && !pages.is_empty(),
        "the site in {} lacks wasm, scripts or lessons",
        site.display()
    );
    let mut tally = within("the page's wasm", wasm[LESSONS], WASM);
    tally += within("the worker's wasm", wasm[WORKERS], WORKER);
    say::line(&format!(
        "scripts and styles of all pages: {shared} bytes gzipped"
    ));
    for (file, size, whose) in pages {
        tally += within(
            &format!("{} with all it fetches", file.display()),
            size + shared + own[whose] + wasm[whose],
            if whose == ASSIGNMENTS {
                ASSIGNMENT
            } else {
                PAGE
            },
        );
    }
    Ok(tally)
}

/// Refuses a page that brings the standard library's tables for reading numbers with decimals: the browser does it,
/// through `decimal`.
fn lean(wasm: &[u8]) -> anyhow::Result<()> {
    // The first entry of the table of powers of five.
    let entry = 0xeef4_53d6_923b_d65a_u64.to_le_bytes();
    let reads = wasm.windows(8).any(|part| part == entry);
    anyhow::ensure!(
        !reads,
        "something in the page reads a number with decimals by the standard library (`parse`); use `decimal`: it saves 6 kB"
    );
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
