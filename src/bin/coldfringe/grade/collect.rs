//! Finding receipts, and marking them on all cores. Only a short row of each stays in memory.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

use anyhow::{Context as _, Result, bail};
use coldfringe::homework::grading::{Grader, Row};
use coldfringe::homework::receipt;

/// Folders are looked through this deep.
const DEEPEST: usize = 8;

/// What was found.
#[derive(Debug, Default)]
pub(super) struct Found {
    /// Files that end in .json, with the names by which the tables call them.
    pub(super) receipts: Vec<(PathBuf, String)>,
    /// How many other files lay beside them.
    pub(super) left: usize,
}

/// The receipts among files and folders, in the order of their names.
pub(super) fn files(paths: &[PathBuf]) -> Result<Found> {
    let mut found = Found::default();
    for path in paths {
        if path.is_dir() {
            folder(path, path, 0, &mut found)?;
        } else if path.exists() {
            // A file that was named is looked at whatever its ending.
            let name = path
                .file_name()
                .map_or_else(String::new, |name| name.to_string_lossy().into_owned());
            found.receipts.push((path.clone(), name));
        } else {
            bail!("there is no file or folder `{}`", path.display());
        }
    }
    found
        .receipts
        .sort_by(|a, b| (&a.1, &a.0).cmp(&(&b.1, &b.0)));
    found.receipts.dedup();
    Ok(found)
}

fn folder(path: &Path, root: &Path, depth: usize, found: &mut Found) -> Result<()> {
    if depth > DEEPEST {
        return Ok(());
    }
    let entries = fs::read_dir(path)
        .with_context(|| format!("cannot look into the folder `{}`", path.display()))?;
    for entry in entries {
        let entry = entry.with_context(|| format!("cannot look into `{}`", path.display()))?;
        let kind = entry.file_type()?;
        let path = entry.path();
        // Links are not followed: they may lead out of what was handed in.
        if kind.is_dir() {
            folder(&path, root, depth + 1, found)?;
        } else if kind.is_file() && path.extension().is_some_and(|ending| ending == "json") {
            let name = path
                .strip_prefix(root)
                .unwrap_or(&path)
                .to_string_lossy()
                .replace('\\', "/");
            found.receipts.push((path, name));
        } else {
            found.left += 1;
        }
    }
    Ok(())
}

/// Marks all files, on as many threads as there are cores.
pub(super) fn rows(grader: &Grader<'_>, files: &[(PathBuf, String)]) -> Result<Vec<Row>> {
    let next = AtomicUsize::new(0);
    let work = || -> Result<Vec<Row>> {
        let mut rows = Vec::new();
        while let Some((path, name)) = files.get(next.fetch_add(1, Ordering::Relaxed)) {
            let text = read(path);
            let text = text.as_deref().map_err(Clone::clone);
            rows.push(grader.row(name, text)?);
        }
        Ok(rows)
    };
    let threads = thread::available_parallelism().map_or(1, usize::from);
    thread::scope(|scope| {
        let workers: Vec<_> = (0..threads).map(|_| scope.spawn(work)).collect();
        let mut rows = Vec::new();
        for worker in workers {
            match worker.join() {
                Ok(part) => rows.extend(part?),
                Err(_) => bail!("marking broke off; please report this as a fault"),
            }
        }
        Ok(rows)
    })
}

/// The text of a file, or why there is none. A file far too large is not read at all.
fn read(path: &Path) -> Result<String, String> {
    let size = fs::metadata(path).map_err(|error| error.to_string())?.len();
    if size > receipt::LARGEST as u64 {
        return Err(format!(
            "the file has {size} bytes; a receipt has at most {}",
            receipt::LARGEST
        ));
    }
    let bytes = fs::read(path).map_err(|error| error.to_string())?;
    String::from_utf8(bytes).map_err(|_| "the file is not UTF-8 text".to_owned())
}
