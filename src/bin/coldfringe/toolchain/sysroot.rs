//! A private sysroot: Debian's standard library compiled once for wasm, kept in the cache.
//!
//! No system folder is written to. The folder holds the libraries for wasm and a link to the native ones, so that the
//! compiler finds both under one `--sysroot`.

use std::fs;
use std::path::{Path, PathBuf};

use super::debian::Compiler;
use super::{TARGET, ToolchainError};
use crate::{child, place, say};

/// The name of the empty crate whose build makes cargo compile the standard library.
const SEED: &str = "standard-library-seed";

/// The sysroot for this compiler, built if it is not in the cache yet.
pub(super) fn ready(compiler: &Compiler) -> Result<PathBuf, ToolchainError> {
    let cache = place::cache()?;
    let finished = cache.join(format!("sysroot-{}", compiler.version));
    if is_for(compiler, &finished) {
        return Ok(finished);
    }
    say::progress(&format!(
        "compiling the standard library of rustc {} for wasm, once, into {}",
        compiler.version,
        finished.display()
    ));
    // Built beside and renamed at the end, so that a broken attempt is never taken for a finished one.
    let work = cache.join(format!(
        "sysroot-{}.making-{}",
        compiler.version,
        std::process::id()
    ));
    remove(&work)?;
    let libraries = build(compiler, &work.join("seed"))?;
    let sysroot = work.join("sysroot");
    let wasm = sysroot.join("lib/rustlib").join(TARGET).join("lib");
    make_folder(&wasm)?;
    for library in libraries {
        if let Some(name) = library.file_name() {
            let copy = wasm.join(name);
            fs::copy(&library, &copy)
                .map_err(|source| ToolchainError::Write { path: copy, source })?;
        }
    }
    link_native(compiler, &sysroot)?;
    let stamp = sysroot.join("compiler");
    fs::write(&stamp, identity(compiler)?).map_err(|source| ToolchainError::Write {
        path: stamp,
        source,
    })?;
    remove(&finished)?;
    fs::rename(&sysroot, &finished).map_err(|source| ToolchainError::Write {
        path: finished.clone(),
        source,
    })?;
    remove(&work)?;
    Ok(finished)
}

/// Libraries fit one build of the compiler only: the version's full text names it.
fn identity(compiler: &Compiler) -> Result<String, ToolchainError> {
    Ok(child::read(
        child::command(&compiler.rustc, Path::new("/")).arg("-vV"),
    )?)
}

fn is_for(compiler: &Compiler, sysroot: &Path) -> bool {
    let stamp = fs::read_to_string(sysroot.join("compiler")).unwrap_or_default();
    !stamp.is_empty() && identity(compiler).is_ok_and(|identity| identity == stamp)
}

/// Builds an empty crate together with the standard library and returns the library files.
fn build(compiler: &Compiler, seed: &Path) -> Result<Vec<PathBuf>, ToolchainError> {
    let source = seed.join("src");
    make_folder(&source)?;
    let manifest = format!(
        "[package]\nname = \"{SEED}\"\nversion = \"0.0.0\"\nedition = \"2021\"\n\n[workspace]\n"
    );
    for (path, text) in [
        (seed.join("Cargo.toml"), manifest),
        (source.join("lib.rs"), String::new()),
    ] {
        fs::write(&path, text).map_err(|source| ToolchainError::Write { path, source })?;
    }
    // RUSTC_BOOTSTRAP: a stable cargo builds the standard library only when told so.
    // Bitcode: link-time optimisation of the page's code reaches into the standard library.
    child::show(
        child::command(&compiler.cargo, seed)
            .args([
                "build",
                "--release",
                "-Z",
                "build-std=std,panic_abort,test",
                "--target",
                TARGET,
            ])
            .env_remove("RUSTUP_TOOLCHAIN")
            .env_remove("RUSTFLAGS")
            .env("CARGO_TARGET_DIR", seed.join("target"))
            .env("CARGO_ENCODED_RUSTFLAGS", "-Cembed-bitcode=yes")
            .env("RUSTC", &compiler.rustc)
            .env("RUSTDOC", &compiler.rustdoc)
            .env("RUSTC_BOOTSTRAP", "1"),
    )?;
    let built = seed.join("target").join(TARGET).join("release/deps");
    let own = format!("lib{}", SEED.replace('-', "_"));
    let entries = fs::read_dir(&built).map_err(|source| ToolchainError::Write {
        path: built,
        source,
    })?;
    Ok(entries
        .flatten()
        .map(|entry| entry.path())
        .filter(|path| {
            let is_library = path
                .extension()
                .is_some_and(|ending| ending == "rlib" || ending == "rmeta");
            let name = path
                .file_name()
                .map(|name| name.to_string_lossy().into_owned())
                .unwrap_or_default();
            is_library && !name.starts_with(&own)
        })
        .collect())
}

/// Links the native part of the compiler's own sysroot into the private one.
fn link_native(compiler: &Compiler, sysroot: &Path) -> Result<(), ToolchainError> {
    let own =
        child::read(child::command(&compiler.rustc, Path::new("/")).args(["--print", "sysroot"]))?;
    let identity = identity(compiler)?;
    let Some(host) = identity
        .lines()
        .find_map(|line| line.strip_prefix("host: "))
    else {
        return Ok(());
    };
    let target = Path::new(own.trim()).join("lib/rustlib").join(host);
    let link = sysroot.join("lib/rustlib").join(host);
    link_folder(&target, &link).map_err(|source| ToolchainError::Write { path: link, source })
}

#[cfg(unix)]
fn link_folder(target: &Path, link: &Path) -> std::io::Result<()> {
    std::os::unix::fs::symlink(target, link)
}

/// Debian is the only system that comes here, and it is a Unix.
#[cfg(not(unix))]
fn link_folder(_target: &Path, _link: &Path) -> std::io::Result<()> {
    Err(std::io::ErrorKind::Unsupported.into())
}

fn make_folder(path: &Path) -> Result<(), ToolchainError> {
    fs::create_dir_all(path).map_err(|source| ToolchainError::Write {
        path: path.to_path_buf(),
        source,
    })
}

fn remove(path: &Path) -> Result<(), ToolchainError> {
    match fs::remove_dir_all(path) {
        Err(source) if source.kind() != std::io::ErrorKind::NotFound => {
            Err(ToolchainError::Write {
                path: path.to_path_buf(),
                source,
            })
        }
        _ => Ok(()),
    }
}
