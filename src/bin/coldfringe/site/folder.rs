//! The site in a folder of the file system, written so that nobody ever sees half of it.

use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context as _, Result, bail};

use super::Site;

/// The file that marks a folder as written by this command, so that it may be replaced.
const MARK: &str = ".coldfringe-site";

impl Site {
    /// Writes the site into a folder: beside it first, then by renaming, so that nobody ever sees
    /// half of it. A folder with other things in it is not touched.
    pub(crate) fn write(&self, out: &Path) -> Result<()> {
        let name = out
            .file_name()
            .with_context(|| format!("`{}` is not the name of a folder", out.display()))?
            .to_string_lossy()
            .into_owned();
        if out.exists() && !may_replace(out)? {
            bail!(
                "`{}` holds files that are not a built notebook; choose an empty folder, or a new name",
                out.display()
            );
        }
        let parent = match out.parent() {
            Some(parent) if !parent.as_os_str().is_empty() => parent.to_path_buf(),
            _ => PathBuf::from("."),
        };
        fs::create_dir_all(&parent)
            .with_context(|| format!("cannot make the folder `{}`", parent.display()))?;
        let beside = parent.join(format!(".{name}.new-{}", std::process::id()));
        let old = parent.join(format!(".{name}.old-{}", std::process::id()));
        let written = self.write_files(&beside).and_then(|()| {
            if out.exists() {
                fs::rename(out, &old)
                    .with_context(|| format!("cannot replace `{}`", out.display()))?;
            }
            fs::rename(&beside, out).with_context(|| format!("cannot write `{}`", out.display()))
        });
        if written.is_err() {
            // Put back what was there, and leave nothing half-written.
            if old.exists() && !out.exists() {
                let _kept = fs::rename(&old, out);
            }
            let _gone = fs::remove_dir_all(&beside);
            return written;
        }
        if old.exists() {
            fs::remove_dir_all(&old)
                .with_context(|| format!("cannot remove `{}`", old.display()))?;
        }
        Ok(())
    }

    fn write_files(&self, folder: &Path) -> Result<()> {
        for (path, bytes) in &self.files {
            let file = folder.join(path);
            if let Some(parent) = file.parent() {
                fs::create_dir_all(parent)
                    .with_context(|| format!("cannot make the folder `{}`", parent.display()))?;
            }
            fs::write(&file, bytes)
                .with_context(|| format!("cannot write `{}`", file.display()))?;
        }
        fs::write(folder.join(MARK), "written by coldfringe build\n")
            .with_context(|| format!("cannot write into `{}`", folder.display()))
    }
}

/// Whether a folder is empty or was written by this command.
fn may_replace(folder: &Path) -> Result<bool> {
    if !folder.is_dir() {
        return Ok(false);
    }
    if folder.join(MARK).is_file() {
        return Ok(true);
    }
    let mut entries = fs::read_dir(folder)
        .with_context(|| format!("cannot read the folder `{}`", folder.display()))?;
    Ok(entries.next().is_none())
}
