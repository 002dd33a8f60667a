//! Where things are: the project's folder, its build folder, and the cache for what is made once a machine.

use std::env;
use std::path::{Path, PathBuf};

/// Why a folder could not be found.
#[derive(Debug, thiserror::Error)]
pub(crate) enum PlaceError {
    /// The current folder is not inside the project.
    #[error(
        "no coldfringe project around the current folder {0}: change to the folder that holds its Cargo.toml, \
         src and lessons, and try again"
    )]
    OutsideProject(PathBuf),
    /// There is no current folder.
    #[error("the current folder cannot be read: {0}; change to the project's folder and try again")]
    CurrentFolder(std::io::Error),
    /// Neither a cache variable nor a home folder is set.
    #[error(
        "no place for the cache: set HOME, XDG_CACHE_HOME or COLDFRINGE_CACHE to a folder that can be written"
    )]
    Cache,
}

/// The project's folder: the nearest one at or above the current folder that holds this package.
///
/// # Errors
/// When the current folder is outside the project.
pub(crate) fn project() -> Result<PathBuf, PlaceError> {
    let here = env::current_dir().map_err(PlaceError::CurrentFolder)?;
    here.ancestors()
        .find(|folder| is_project(folder))
        .map(Path::to_path_buf)
        .ok_or(PlaceError::OutsideProject(here))
}

fn is_project(folder: &Path) -> bool {
    std::fs::read_to_string(folder.join("Cargo.toml")).is_ok_and(|manifest| {
        manifest
            .lines()
            .any(|line| line.trim() == "name = \"coldfringe\"")
    }) && folder.join("src").is_dir()
}

/// The folder for native builds: `CARGO_TARGET_DIR`, or `target` in the project.
///
/// # Errors
/// When the current folder is outside the project.
pub(crate) fn native_target() -> Result<PathBuf, PlaceError> {
    let project = project()?;
    Ok(match non_empty("CARGO_TARGET_DIR") {
        Some(folder) => project.join(folder),
        None => project.join("target"),
    })
}

/// The folder for wasm builds, apart from the native one: two compilers in one folder rebuild everything each time.
///
/// # Errors
/// When the current folder is outside the project.
pub(crate) fn wasm_target() -> Result<PathBuf, PlaceError> {
    Ok(native_target()?.join("wasm"))
}

/// The folder for what is made once a machine and kept between builds:
/// `COLDFRINGE_CACHE`, or `coldfringe` in `XDG_CACHE_HOME` or `~/.cache`.
///
/// # Errors
/// When no variable names a place.
pub(crate) fn cache() -> Result<PathBuf, PlaceError> {
    if let Some(folder) = non_empty("COLDFRINGE_CACHE") {
        return std::path::absolute(folder).map_err(PlaceError::CurrentFolder);
    }
    non_empty("XDG_CACHE_HOME")
        .or_else(|| non_empty("HOME").map(|home| home.join(".cache")))
        .map(|folder| folder.join("coldfringe"))
        .ok_or(PlaceError::Cache)
}

/// The first program of this name on the search path.
pub(crate) fn on_path(program: &str) -> Option<PathBuf> {
    env::split_paths(&env::var_os("PATH")?)
        .map(|folder| folder.join(program))
        .find(|candidate| candidate.is_file())
}

fn non_empty(variable: &str) -> Option<PathBuf> {
    env::var_os(variable)
        .filter(|value| !value.is_empty())
        .map(PathBuf::from)
}
