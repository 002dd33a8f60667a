//! The lessons and the site made from them.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use anyhow::Context as _;

use super::bench::Bench;
use super::tally::Tally;
use crate::{child, say};

/// Every lesson is free of mistakes.
pub(super) fn lessons(bench: &Bench) -> anyhow::Result<Tally> {
    let heard = child::hear(bench.coldfringe().args(["lessons", "check"]))?;
    Ok(Tally::of(heard.success))
}

/// The site builds and holds a page for every lesson.
pub(super) fn build(bench: &Bench) -> anyhow::Result<Tally> {
    let site = bench.build_site()?;
    let mut lessons = 0;
    for entry in std::fs::read_dir(bench.project.join("lessons"))
        .context("the folder of the lessons")?
        .flatten()
    {
        let path = entry.path();
        if path.extension().is_some_and(|ending| ending == "md") {
            lessons += 1;
        }
    }
    let pages = files(&site)?
        .iter()
        .filter(|file| file.starts_with("lessons") && file.ends_with("index.html"))
        .count();
    say::line(&format!("{lessons} lesson files, {pages} lesson pages"));
    Ok(Tally::of(pages == lessons && lessons > 0))
}

/// Every file of a folder, by its path from there.
pub(super) fn files(folder: &Path) -> anyhow::Result<BTreeSet<PathBuf>> {
    let mut files = BTreeSet::new();
    let mut waiting = vec![PathBuf::new()];
    while let Some(part) = waiting.pop() {
        let here = folder.join(&part);
        for entry in std::fs::read_dir(&here).with_context(|| here.display().to_string())? {
            let entry = entry.with_context(|| here.display().to_string())?;
            let path = part.join(entry.file_name());
            if entry.path().is_dir() {
                waiting.push(path);
            } else {
                files.insert(path);
            }
        }
    }
    Ok(files)
}
