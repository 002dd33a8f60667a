//! The bundles: the library compiled for wasm, and the scripts that bind it to the browser. There are three: the page's own
//! part for lessons and lectures, the same with what assignments need for their pages, and the part that computes slow
//! set-ups in a worker, for the pages that need it.
//!
//! No optimiser is run on the result: the one found on a search path may break the file (an old one does), and the page
//! stays within its budget without.

mod bind;
mod part;

use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};

use sha2::{Digest as _, Sha256};

use crate::toolchain::{TARGET, Toolchain, ToolchainError};
use crate::{child, place, say};
use bind::bind;
pub(crate) use part::{Form, Part};

/// The version of the binding tool that is linked into this command, kept equal to the manifest by a test.
pub(crate) const BINDGEN: &str = "0.2.130";

/// Changes when the way from compiled wasm to bundle does, so that what was made the old way is made again.
const RECIPE: &str = "4";

/// The names of the two files of a bundle. Both names carry a digest of both contents, so a browser
/// that kept one of them never pairs it with another build's.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct BundleNames {
    /// File name of the script. As a module, its default export starts the wasm; else the function that it defines.
    pub(crate) script: String,
    /// File name of the wasm.
    pub(crate) wasm: String,
}

/// Why no bundle was made.
#[derive(Debug, thiserror::Error)]
pub(crate) enum BundleError {
    /// No compiler for wasm.
    #[error(transparent)]
    Toolchain(#[from] ToolchainError),
    /// A folder is missing.
    #[error(transparent)]
    Place(#[from] place::PlaceError),
    /// The compiler failed.
    #[error("the library does not build for wasm: {0}")]
    Compile(#[from] child::ChildError),
    /// Crate and tool do not fit.
    #[error(
        "Cargo.lock holds wasm-bindgen {locked}, but this command was built with the tool of version {BINDGEN}: set both to the same exact version in Cargo.toml"
    )]
    Mismatch {
        /// The version that Cargo.lock holds.
        locked: String,
    },
    /// The binding tool failed.
    #[error("the script for the wasm could not be made: {0:#}")]
    Bind(anyhow::Error),
    /// The script is written in another way than this command knows.
    #[error(
        "the script for the wasm does not give `{0}` where it is looked for: the binding tool's way of writing has changed, so mend `shorten` in bundle/bind.rs"
    )]
    Unnamed(String),
    /// The script wants files that the bundle does not hold.
    #[error(
        "a crate adds script files of its own to the bundle, which the page does not serve: take `#[wasm_bindgen(module = …)]` and `inline_js` out, or drop the crate"
    )]
    Snippets,
    /// A file could not be read or written.
    #[error("{path}: {source}; check that the folder exists and can be written")]
    File {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
}

fn at(path: &Path) -> impl FnOnce(std::io::Error) -> BundleError {
    let path = path.to_path_buf();
    move |source| BundleError::File { path, source }
}

/// The names of all bundles.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Bundles {
    /// The page's.
    pub(crate) page: BundleNames,
    /// That of an assignment's page.
    pub(crate) homework: BundleNames,
    /// The worker's.
    pub(crate) worker: BundleNames,
}

/// Builds all bundles, if anything changed since the last time, and puts their files into the folder `assets`.
///
/// # Errors
/// When there is no compiler for wasm, the library does not build, or a file cannot be written.
pub(crate) fn build(assets: &Path, form: Form) -> Result<Bundles, BundleError> {
    check_lock(&place::project()?)?;
    let toolchain = Toolchain::find()?;
    // Two commands at once would take each other's half-made files.
    let lock = place::wasm_target()?.join("bundle.lock");
    fs::create_dir_all(place::wasm_target()?).map_err(at(&lock))?;
    let held = fs::File::create(&lock).map_err(at(&lock))?;
    held.lock().map_err(at(&lock))?;
    // At the same time: the last step of each, optimising across crates, keeps only one processor busy.
    let (page, homework, worker) = std::thread::scope(|scope| {
        let worker = scope.spawn(|| build_part(&toolchain, Part::Worker, form, assets));
        let homework = scope.spawn(|| build_part(&toolchain, Part::Homework, form, assets));
        // Nothing is fetched of pages in one file: one part does for all of them.
        let page = (form == Form::Module).then(|| build_part(&toolchain, Part::Page, form, assets));
        (page, homework.join(), worker.join())
    });
    let worker = worker.unwrap_or_else(|panic| std::panic::resume_unwind(panic));
    let homework = homework.unwrap_or_else(|panic| std::panic::resume_unwind(panic));
    let homework = homework?;
    Ok(Bundles {
        page: page.unwrap_or_else(|| Ok(homework.clone()))?,
        homework,
        worker: worker?,
    })
}

fn build_part(
    toolchain: &Toolchain,
    part: Part,
    form: Form,
    assets: &Path,
) -> Result<BundleNames, BundleError> {
    let compiled = compile(toolchain, part)?;
    let shelf = part.shelf(form)?;
    let stamp = shelf.join("made-from");
    let source = digest(&[
        &fs::read(&compiled).map_err(at(&compiled))?,
        BINDGEN.as_bytes(),
        RECIPE.as_bytes(),
    ]);
    let names = match finished(&stamp, &source) {
        Some(names) => names,
        None => {
            let names = bind(&compiled, &shelf, part.name(), form)?;
            let text = format!("{source} {} {}", names.script, names.wasm);
            fs::write(&stamp, text).map_err(at(&stamp))?;
            report(toolchain, &shelf, &names)?;
            names
        }
    };
    fs::create_dir_all(assets).map_err(at(assets))?;
    for name in [&names.script, &names.wasm] {
        let to = assets.join(name);
        if !to.exists() {
            let beside = assets.join(format!(".{name}.part"));
            fs::copy(shelf.join(name), &beside).map_err(at(&beside))?;
            fs::rename(&beside, &to).map_err(at(&to))?;
        }
    }
    Ok(names)
}

/// Crate and tool exchange a private format: only equal versions fit.
fn check_lock(project: &Path) -> Result<(), BundleError> {
    let path = project.join("Cargo.lock");
    let text = fs::read_to_string(&path).map_err(at(&path))?;
    match locked_version(&text, "wasm-bindgen") {
        Some(version) if version == BINDGEN => Ok(()),
        other => Err(BundleError::Mismatch {
            locked: other.unwrap_or("no version").to_owned(),
        }),
    }
}

/// The version of a package in the text of a lock file.
fn locked_version<'a>(lock: &'a str, package: &str) -> Option<&'a str> {
    let mut lines = lock
        .lines()
        .skip_while(|line| *line != format!("name = \"{package}\""));
    lines.next()?;
    lines
        .next()?
        .strip_prefix("version = \"")?
        .strip_suffix('"')
}

/// Compiles a part of the library for wasm and returns the file.
fn compile(toolchain: &Toolchain, part: Part) -> Result<PathBuf, BundleError> {
    say::progress(&format!(
        "building {} for wasm with {}",
        part.words(),
        toolchain.name
    ));
    let profile = part.profile();
    let mut cargo = toolchain.cargo("rustc", part.flags())?;
    cargo.args(["--quiet", "--lib", "--profile", profile]);
    child::show(cargo.args(part.library()))?;
    Ok(place::wasm_target()?
        .join(TARGET)
        .join(profile)
        .join("coldfringe.wasm"))
}

/// The names from the last run, if it was made from the same source and the files are still there.
fn finished(stamp: &Path, source: &str) -> Option<BundleNames> {
    let text = fs::read_to_string(stamp).ok()?;
    let mut words = text.split(' ');
    if words.next()? != source {
        return None;
    }
    let names = BundleNames {
        script: words.next()?.to_owned(),
        wasm: words.next()?.to_owned(),
    };
    let folder = stamp.parent()?;
    (folder.join(&names.script).is_file() && folder.join(&names.wasm).is_file()).then_some(names)
}

/// SHA-256 of the parts one after the other, in hexadecimal digits.
pub(crate) fn digest(parts: &[&[u8]]) -> String {
    let mut hasher = Sha256::new();
    for part in parts {
        hasher.update(part);
    }
    hasher
        .finalize()
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}

fn report(toolchain: &Toolchain, shelf: &Path, names: &BundleNames) -> Result<(), BundleError> {
    for name in [&names.script, &names.wasm] {
        let path = shelf.join(name);
        let bytes = fs::read(&path).map_err(at(&path))?;
        let zipped = gzipped(&bytes).map_err(at(&path))?;
        say::progress(&format!(
            "{name}: {} bytes, {} gzipped ({})",
            bytes.len(),
            zipped.len(),
            toolchain.name
        ));
    }
    Ok(())
}

/// Bytes after `gzip -9`: what a web host sends of a file.
///
/// # Errors
/// Only what writing into memory may fail with.
pub(crate) fn gzipped(bytes: &[u8]) -> std::io::Result<Vec<u8>> {
    let mut encoder = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::best());
    encoder.write_all(bytes)?;
    encoder.finish()
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]
mod tests {
    use super::*;

    #[test]
    fn the_lock_file_and_the_linked_tool_have_one_version() {
        let lock = fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/Cargo.lock")).unwrap();
        assert_eq!(locked_version(&lock, "wasm-bindgen"), Some(BINDGEN));
        assert_eq!(
            locked_version(&lock, "wasm-bindgen-cli-support"),
            Some(BINDGEN)
        );
        assert_eq!(locked_version(&lock, "no-such-package"), None);
    }

    #[test]
    fn a_stamp_from_another_source_is_not_believed() {
        let folder = std::env::temp_dir().join(format!("coldfringe-stamp-{}", std::process::id()));
        fs::create_dir_all(&folder).unwrap();
        let stamp = folder.join("made-from");
        fs::write(&stamp, "abc a.js a.wasm").unwrap();
        assert_eq!(finished(&stamp, "abc"), None, "the files are not there");
        fs::write(folder.join("a.js"), "").unwrap();
        fs::write(folder.join("a.wasm"), "").unwrap();
        assert!(finished(&stamp, "abc").is_some());
        assert_eq!(finished(&stamp, "abd"), None);
        fs::remove_dir_all(&folder).unwrap();
    }
}
