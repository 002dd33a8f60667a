//! Installing Debian packages, or saying exactly which command the person should run.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::Mutex;

use crate::{child, place, say};

/// Why packages could not be installed. Every message ends with what to do.
#[derive(Debug, thiserror::Error)]
pub(crate) enum PackageError {
    /// This system has no `apt-get`.
    #[error("{why}: install with this system's own package manager what Debian calls {}, then try again", .packages.join(", "))]
    NoAptGet {
        /// What the packages are for.
        why: String,
        /// The packages' names.
        packages: Vec<String>,
    },
    /// Neither the administrator nor `sudo`.
    #[error("{why}: as the administrator run\n    apt-get update && apt-get install --no-install-recommends {}\nthen try again", .packages.join(" "))]
    NotAllowed {
        /// What the packages are for.
        why: String,
        /// The packages' names.
        packages: Vec<String>,
    },
    /// `apt-get install` failed.
    #[error("{why}: {source}\nRead what apt-get said above, then run by hand\n    apt-get install --no-install-recommends {}", .packages.join(" "))]
    Refused {
        /// What the packages are for.
        why: String,
        /// The packages' names.
        packages: Vec<String>,
        /// How the command ended.
        source: child::ChildError,
    },
}

/// How this process may install packages.
enum Right {
    Administrator,
    Sudo(PathBuf),
    None,
}

fn right() -> Right {
    let here = Path::new("/");
    let administrator = child::read(child::command("id", here).arg("-u"))
        .is_ok_and(|identifier| identifier.trim() == "0");
    if administrator {
        return Right::Administrator;
    }
    match place::on_path("sudo") {
        Some(sudo) => Right::Sudo(sudo),
        None => Right::None,
    }
}

/// Whether installing asks nobody for a password.
pub(crate) fn asks_nobody() -> bool {
    matches!(right(), Right::Administrator)
}

/// Held while packages are installed: Debian's tools refuse a second one at a time.
static INSTALLING: Mutex<()> = Mutex::new(());

/// Whether a Debian package is installed.
pub(crate) fn is_installed(package: &str) -> bool {
    child::read(child::command("dpkg-query", Path::new("/")).args([
        "--show",
        "--showformat=${db:Status-Status}",
        package,
    ]))
    .is_ok_and(|status| status == "installed")
}

/// The file of an installed package whose path ends with `ending`.
pub(crate) fn file_of(package: &str, ending: &str) -> Option<PathBuf> {
    let files =
        child::read(child::command("dpkg-query", Path::new("/")).args(["--listfiles", package]))
            .ok()?;
    files
        .lines()
        .find(|file| file.ends_with(ending))
        .map(PathBuf::from)
}

/// Installs those of `packages` that are missing, after saying which and why.
///
/// Nothing that stands is removed for them: a conflict is an error that the person decides on.
///
/// # Errors
/// When the packages cannot be installed from here; the message says which command the person should run.
pub(crate) fn install(packages: &[&str], why: &str) -> Result<(), PackageError> {
    let _one_at_a_time = INSTALLING.lock();
    let missing: Vec<String> = packages
        .iter()
        .filter(|package| !is_installed(package))
        .map(|package| (*package).to_owned())
        .collect();
    if missing.is_empty() {
        return Ok(());
    }
    let Some(apt_get) = place::on_path("apt-get") else {
        return Err(PackageError::NoAptGet {
            why: why.to_owned(),
            packages: missing,
        });
    };
    let right = right();
    if matches!(right, Right::None) {
        return Err(PackageError::NotAllowed {
            why: why.to_owned(),
            packages: missing,
        });
    }
    say::progress(&format!(
        "{why}: installing Debian packages {}",
        missing.join(" ")
    ));
    // A list that cannot be refreshed may still be good enough: the installation decides.
    if let Err(error) = child::read(apt(&right, &apt_get).args(["update", "--quiet"])) {
        say::progress(&format!(
            "the package lists could not all be refreshed, going on: {error}"
        ));
    }
    child::read(
        apt(&right, &apt_get)
            .args([
                "install",
                "--yes",
                "--quiet",
                "--no-install-recommends",
                "--no-remove",
            ])
            .args(&missing),
    )
    .map(|_| ())
    .map_err(|source| PackageError::Refused {
        why: why.to_owned(),
        packages: missing,
        source,
    })
}

fn apt(right: &Right, apt_get: &Path) -> Command {
    let here = Path::new("/");
    let mut command = match right {
        Right::Sudo(sudo) => {
            let mut command = child::command(sudo, here);
            // The person may have to type a password.
            command.stdin(std::process::Stdio::inherit());
            command
                .args(["--", "env", "DEBIAN_FRONTEND=noninteractive"])
                .arg(apt_get);
            command
        }
        Right::Administrator | Right::None => child::command(apt_get, here),
    };
    command.env("DEBIAN_FRONTEND", "noninteractive");
    command
}
