//! Results to a file or to standard output, whole or not at all.

use std::ffi::OsString;
use std::fs;
use std::io::{IsTerminal as _, Write as _};
use std::path::Path;

use anyhow::{Context as _, bail};

/// Writes a file beside its place and then renames it, so that no half-written file stands there.
pub(crate) fn file(path: &Path, bytes: &[u8]) -> anyhow::Result<()> {
    let Some(name) = path.file_name() else {
        bail!("--out {} names no file", path.display());
    };
    if path.is_dir() {
        bail!("--out {} is a folder; name a file in it", path.display());
    }
    let folder = match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    if !folder.is_dir() {
        bail!(
            "--out {}: there is no folder {}; make it first",
            path.display(),
            folder.display()
        );
    }
    let mut part = OsString::from(".");
    part.push(name);
    part.push(format!(".{}.part", std::process::id()));
    let part = folder.join(part);
    let written = fs::write(&part, bytes).and_then(|()| fs::rename(&part, path));
    if written.is_err() {
        // The half-written file is ours; that it may be gone already is no second fault.
        let _ = fs::remove_file(&part);
    }
    written.with_context(|| format!("--out {} could not be written", path.display()))
}

/// Writes to standard output. A reader that has closed it has had enough; that is no error.
pub(crate) fn standard_output(bytes: &[u8]) -> anyhow::Result<()> {
    let mut out = std::io::stdout().lock();
    if out.is_terminal() && bytes.starts_with(b"\x89PNG") {
        bail!("a bitmap picture cannot be shown in a terminal; give --out FILE");
    }
    match out.write_all(bytes).and_then(|()| out.flush()) {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
            Err(error).context("standard output could not be written")
        }
        _ => Ok(()),
    }
}
