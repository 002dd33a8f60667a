//! Debian's own Rust, which comes with the source of its standard library.

use std::path::{Path, PathBuf};

use super::ToolchainError;
use crate::{child, debian_package};

/// The oldest compiler that will do, as `rust-version` in the manifest says.
const OLDEST: (&str, [u32; 2]) = ("1.89", [1, 89]);

const PACKAGES: [&str; 4] = ["rustc-web", "cargo-web", "rust-web-src", "rust-web-llvm"];

/// Debian's compiler and its tools, by their full paths: rustup's of the same names may stand before them on the search path.
#[derive(Debug, Clone)]
pub(super) struct Compiler {
    /// `cargo`.
    pub(super) cargo: PathBuf,
    /// `rustc`.
    pub(super) rustc: PathBuf,
    /// `rustdoc`, of the same version: a mixture breaks documentation tests.
    pub(super) rustdoc: PathBuf,
    /// The version, as in "1.96.0".
    pub(super) version: String,
}

impl Compiler {
    /// Installs what is missing of Debian's Rust and finds its programs.
    pub(super) fn installed() -> Result<Compiler, ToolchainError> {
        debian_package::install(
            &PACKAGES,
            "a Rust whose standard library can be compiled for wasm",
        )?;
        install_linker()?;
        let rustc = file("rustc-web", "/usr/bin/rustc")?;
        let version = version_of(&rustc)?;
        Ok(Compiler {
            cargo: file("cargo-web", "/usr/bin/cargo")?,
            rustdoc: file("rustc-web", "/usr/bin/rustdoc")?,
            rustc,
            version,
        })
    }
}

/// The compiler calls `rust-lld`, a link into a package that is only recommended.
fn install_linker() -> Result<(), ToolchainError> {
    let link = file("rust-web-llvm", "/bin/rust-lld")?;
    if link.exists() {
        return Ok(());
    }
    let package = std::fs::read_link(&link)
        .ok()
        .and_then(|target| {
            target
                .file_name()
                .map(|name| name.to_string_lossy().into_owned())
        })
        .unwrap_or_else(|| "lld".to_owned());
    debian_package::install(&[&package], "the linker for wasm")?;
    Ok(())
}

fn file(package: &'static str, ending: &'static str) -> Result<PathBuf, ToolchainError> {
    debian_package::file_of(package, ending).ok_or(ToolchainError::Incomplete {
        package,
        file: ending,
    })
}

fn version_of(rustc: &Path) -> Result<String, ToolchainError> {
    let text = child::read(child::command(rustc, Path::new("/")).arg("--version"))?;
    // "rustc 1.96.0 (…)"
    let version = text
        .split_whitespace()
        .nth(1)
        .unwrap_or("unknown")
        .to_owned();
    let numbers: Vec<u32> = version
        .split('.')
        .filter_map(|part| part.parse().ok())
        .collect();
    if numbers.as_slice() < OLDEST.1.as_slice() {
        return Err(ToolchainError::TooOld {
            found: version,
            needed: OLDEST.0,
        });
    }
    Ok(version)
}
