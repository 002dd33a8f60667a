//! A compiler for wasm: found on the machine, fetched, or made.
//!
//! Three ways, in this order:
//! 1. the Rust at hand already has the standard library for `wasm32-unknown-unknown`;
//! 2. `rustup target add` fetches it;
//! 3. Debian's own Rust compiles its standard library for wasm once, into a private folder of the cache.
//!
//! `COLDFRINGE_TOOLCHAIN=debian` goes to the third way at once, `=rustup` never goes there.

mod debian;
mod sysroot;

use std::env;
use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::{child, debian_package, place, say};

/// The target that browsers run.
pub(crate) const TARGET: &str = "wasm32-unknown-unknown";

/// Why there is no compiler for wasm. Every message says what to do.
#[derive(Debug, thiserror::Error)]
pub(crate) enum ToolchainError {
    /// A folder is missing.
    #[error(transparent)]
    Place(#[from] place::PlaceError),
    /// Debian's Rust could not be installed.
    #[error(
        "no Rust here can compile for wasm, and `rustup target add {TARGET}` did not bring it.\n{0}"
    )]
    Package(#[from] debian_package::PackageError),
    /// A command that makes the standard library failed.
    #[error("the standard library for wasm could not be built: {0}")]
    Child(#[from] child::ChildError),
    /// The rustup way was asked for and failed.
    #[error(
        "`rustup target add {TARGET}` did not bring the target, and COLDFRINGE_TOOLCHAIN=rustup allows no other way: unset it, or run that command where the network allows"
    )]
    OnlyRustup,
    /// An installed package lacks a file.
    #[error(
        "the Debian package {package} holds no {file}: reinstall it with `apt-get install --reinstall {package}`"
    )]
    Incomplete {
        /// The package.
        package: &'static str,
        /// The end of the missing file's path.
        file: &'static str,
    },
    /// Debian's Rust is too old for this crate.
    #[error(
        "Debian's Rust is {found}, but {needed} or newer is needed: enable the distribution's security updates in its apt sources, then run `apt-get update && apt-get install rustc-web`"
    )]
    TooOld {
        /// The version found.
        found: String,
        /// The oldest version that will do.
        needed: &'static str,
    },
    /// A file could not be written to the cache.
    #[error(
        "{path} could not be written: {source}; free some space or set COLDFRINGE_CACHE to another folder"
    )]
    Write {
        /// The file or folder.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
}

/// A cargo and a rustc that compile for wasm.
#[derive(Debug, Clone)]
pub(crate) struct Toolchain {
    /// Which it is, for people: "rustc 1.95.0 by rustup".
    pub(crate) name: String,
    cargo: PathBuf,
    /// Debian's compilers and the private standard library; none where the Rust at hand does it.
    apart: Option<Apart>,
}

/// What a cargo must be told so as to use a compiler that is not the default one.
#[derive(Debug, Clone)]
struct Apart {
    rustc: PathBuf,
    rustdoc: PathBuf,
    sysroot: PathBuf,
}

impl Toolchain {
    /// Finds a compiler for wasm, or makes one. Says what it installs and why.
    ///
    /// # Errors
    /// When none of the ways is open; the message says what the person should run.
    pub(crate) fn find() -> Result<Toolchain, ToolchainError> {
        let wish = env::var("COLDFRINGE_TOOLCHAIN").unwrap_or_default();
        let project = place::project()?;
        if wish != "debian" {
            if let Some(toolchain) = at_hand(&project) {
                return Ok(toolchain);
            }
            if rustup_brings_the_target(&project)
                && let Some(toolchain) = at_hand(&project)
            {
                return Ok(toolchain);
            }
            if wish == "rustup" {
                return Err(ToolchainError::OnlyRustup);
            }
            say::progress(
                "turning to Debian's Rust, whose source package lets its standard library be compiled for wasm",
            );
        }
        let compiler = debian::Compiler::installed()?;
        let sysroot = sysroot::ready(&compiler)?;
        Ok(Toolchain {
            name: format!("rustc {} by Debian", compiler.version),
            cargo: compiler.cargo,
            apart: Some(Apart {
                rustc: compiler.rustc,
                rustdoc: compiler.rustdoc,
                sysroot,
            }),
        })
    }

    /// A cargo call for wasm: `cargo SUBCOMMAND --target wasm32-unknown-unknown …`, with its own build folder
    /// and `flags` for the compiler.
    ///
    /// # Errors
    /// When the project's folder is not found.
    pub(crate) fn cargo(
        &self,
        subcommand: &str,
        flags: &[&str],
    ) -> Result<Command, ToolchainError> {
        let mut command = child::command(&self.cargo, &place::project()?);
        let mut flags: Vec<OsString> = flags.iter().map(OsString::from).collect();
        // Flags meant for native code would break the wasm build.
        command.env_remove("RUSTFLAGS");
        if let Some(apart) = &self.apart {
            command
                .env_remove("RUSTUP_TOOLCHAIN")
                .env("RUSTC", &apart.rustc)
                .env("RUSTDOC", &apart.rustdoc);
            let mut sysroot = OsString::from("--sysroot=");
            sysroot.push(&apart.sysroot);
            flags.push(sysroot);
        }
        if !flags.is_empty() {
            command.env("CARGO_ENCODED_RUSTFLAGS", child::encoded_flags(&flags));
        }
        command
            .arg(subcommand)
            .args(["--target", TARGET])
            .env("CARGO_TARGET_DIR", place::wasm_target()?);
        Ok(command)
    }

    /// A linter call for wasm, where this toolchain has the linter: Debian's is a package of its own.
    ///
    /// # Errors
    /// When the project's folder is not found or the package cannot be installed.
    pub(crate) fn clippy(&self) -> Result<Command, ToolchainError> {
        let mut command = self.cargo("clippy", &[])?;
        if self.apart.is_some() {
            debian_package::install(&["rust-web-clippy"], "the linter for wasm code")?;
            let package = "rust-web-clippy";
            let file = "/bin/cargo-clippy";
            let clippy = debian_package::file_of(package, file)
                .ok_or(ToolchainError::Incomplete { package, file })?;
            // Called by its path: `cargo clippy` would take the first cargo-clippy it finds, which may be rustup's.
            let mut direct = child::command(&clippy, &place::project()?);
            for (name, value) in command.get_envs() {
                match value {
                    Some(value) => direct.env(name, value),
                    None => direct.env_remove(name),
                };
            }
            direct.env("CARGO", &self.cargo).args(command.get_args());
            command = direct;
        }
        Ok(command)
    }
}

/// The Rust at hand, where it has the standard library for wasm.
fn at_hand(project: &Path) -> Option<Toolchain> {
    let folder = child::read(child::command("rustc", project).args([
        "--print",
        "target-libdir",
        "--target",
        TARGET,
    ]))
    .ok()?;
    let has_core = std::fs::read_dir(folder.trim())
        .ok()?
        .flatten()
        .any(|entry| entry.file_name().to_string_lossy().starts_with("libcore-"));
    let version = child::read(child::command("rustc", project).arg("--version")).ok()?;
    has_core.then(|| Toolchain {
        name: version.trim().to_owned(),
        cargo: PathBuf::from("cargo"),
        apart: None,
    })
}

/// Asks rustup for the target. A failure is an answer: many machines cannot fetch it.
fn rustup_brings_the_target(project: &Path) -> bool {
    let Some(rustup) = place::on_path("rustup") else {
        say::progress("this Rust has no standard library for wasm and no rustup to add it");
        return false;
    };
    say::progress(&format!(
        "this Rust has no standard library for wasm: running `rustup target add {TARGET}`"
    ));
    match child::read(child::command(rustup, project).args(["target", "add", TARGET])) {
        Ok(_) => true,
        Err(error) => {
            say::progress(&format!("rustup cannot fetch it here: {error}"));
            false
        }
    }
}
