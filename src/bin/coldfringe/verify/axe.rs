//! The accessibility checker, fetched once into the cache.

use std::fs;
use std::path::PathBuf;

use anyhow::Context as _;
use sha2::{Digest as _, Sha256};

use crate::{child, debian_package, place, say};

const VERSION: &str = "4.14.1";

/// SHA-256 of the checker's script: what is run is what was looked at.
const DIGEST: &str = "29348999450cdf2849a8e70b7912fc2da85a849da39c0d0d5394f51d4a9ed95c";

/// The checker's script: from the cache, or fetched by `npm`, which is installed if need be.
pub(super) fn script() -> anyhow::Result<PathBuf> {
    let folder = place::cache()?.join(format!("axe-core-{VERSION}"));
    let script = folder.join("node_modules/axe-core/axe.min.js");
    if !script.is_file() {
        if place::on_path("npm").is_none() {
            debian_package::install(
                &["npm"],
                "fetching the accessibility checker axe-core needs npm",
            )?;
        }
        say::progress(&format!(
            "fetching axe-core {VERSION} into {}",
            folder.display()
        ));
        fs::create_dir_all(&folder).with_context(|| folder.display().to_string())?;
        child::read(
            child::command("npm", &folder)
                .args(["install", "--silent", "--no-save", "--ignore-scripts", "--prefix"])
                .arg(&folder)
                .arg(format!("axe-core@{VERSION}")),
        )
        .with_context(|| {
            format!("axe-core could not be fetched; try by hand: npm install --prefix {} axe-core@{VERSION}", folder.display())
        })?;
    }
    let bytes = fs::read(&script).with_context(|| script.display().to_string())?;
    let digest: String = Sha256::digest(&bytes)
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect();
    anyhow::ensure!(
        digest == DIGEST,
        "{} is not the script that was looked at (its digest is {digest}): remove the folder and try again",
        script.display()
    );
    Ok(script)
}
