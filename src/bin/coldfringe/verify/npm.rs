//! Scripts of the checks that come from the registry of npm, fetched once into the cache.

use std::fs;
use std::path::PathBuf;

use anyhow::Context as _;

use crate::{bundle, child, debian_package, place, say};

/// A script out of a package.
#[derive(Debug, Clone, Copy)]
pub(super) struct Script {
    /// The package's name.
    package: &'static str,
    /// Its version.
    version: &'static str,
    /// The script in the package.
    file: &'static str,
    /// What it is, in words.
    what: &'static str,
    /// SHA-256 of the script: what is run is what was looked at.
    digest: &'static str,
}

/// The accessibility checker.
pub(super) const AXE: Script = Script {
    package: "axe-core",
    version: "4.14.1",
    file: "axe.min.js",
    what: "the accessibility checker",
    digest: "29348999450cdf2849a8e70b7912fc2da85a849da39c0d0d5394f51d4a9ed95c",
};

/// A run-time as course systems have it.
pub(super) const RUN_TIME: Script = Script {
    package: "scorm-again",
    version: "3.4.3",
    file: "dist/scorm-again.min.js",
    what: "a run-time of course systems",
    digest: "f30f4574fea51d7c61dd03c90a1bf1e4edc71fbc2ffaeb0b271c83b81e63ec84",
};

impl Script {
    /// The script's file: from the cache, or fetched by `npm`, which is installed if need be.
    pub(super) fn path(self) -> anyhow::Result<PathBuf> {
        let Self {
            package, version, ..
        } = self;
        let folder = place::cache()?.join(format!("{package}-{version}"));
        let script = folder.join("node_modules").join(package).join(self.file);
        if !script.is_file() {
            if place::on_path("npm").is_none() {
                debian_package::install(
                    &["npm"],
                    &format!("fetching {} {package} needs npm", self.what),
                )?;
            }
            say::progress(&format!(
                "fetching {package} {version} into {}",
                folder.display()
            ));
            fs::create_dir_all(&folder).with_context(|| folder.display().to_string())?;
            child::read(
                child::command("npm", &folder)
                    .args(["install", "--silent", "--no-save", "--ignore-scripts", "--prefix"])
                    .arg(&folder)
                    .arg(format!("{package}@{version}")),
            )
            .with_context(|| {
                format!(
                    "{package} could not be fetched; try by hand: npm install --prefix {} {package}@{version}",
                    folder.display()
                )
            })?;
        }
        let bytes = fs::read(&script).with_context(|| script.display().to_string())?;
        let digest = bundle::digest(&[&bytes]);
        anyhow::ensure!(
            digest == self.digest,
            "{} is not the script that was looked at (its digest is {digest}): remove the folder and try again",
            script.display()
        );
        Ok(script)
    }
}
