//! Budgets: what a reader's browser has to fetch.

use anyhow::Context as _;

use super::tally::Tally;
use crate::{bundle, place, say};

/// The wasm may weigh this much after `gzip -9`, in bytes.
const WASM: u64 = 250_000;

/// The wasm keeps to its budget.
pub(super) fn check() -> anyhow::Result<Tally> {
    let assets = place::wasm_target()?.join("weighed");
    let names = bundle::build(&assets)?;
    let path = assets.join(&names.wasm);
    let size = bundle::gzipped(&path).with_context(|| path.display().to_string())?;
    Ok(within("the wasm", size, WASM))
}

fn within(what: &str, size: u64, budget: u64) -> Tally {
    let passed = size <= budget;
    say::line(&format!(
        "{what}: {size} bytes gzipped, budget {budget}{}",
        if passed { "" } else { ": TOO LARGE" }
    ));
    Tally::of(passed)
}
