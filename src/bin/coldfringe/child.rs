//! Child processes: a clean environment, output that is both shown and kept, and errors that name the command.

use std::ffi::OsString;
use std::io::{BufRead as _, BufReader};
use std::path::Path;
use std::process::{Command, ExitStatus, Stdio};

use crate::say;

/// Why a child process gave nothing usable.
#[derive(Debug, thiserror::Error)]
pub(crate) enum ChildError {
    /// The program could not be started.
    #[error(
        "`{command}` could not be started: {source}; is the program installed and on the search path?"
    )]
    NotStarted {
        /// The command as one would type it.
        command: String,
        /// What the system said.
        source: std::io::Error,
    },
    /// The program ended with a failure.
    #[error("`{command}` failed ({status}){}", said(.output))]
    Failed {
        /// The command as one would type it.
        command: String,
        /// How it ended.
        status: ExitStatus,
        /// The last of what it wrote, where it was not shown already.
        output: String,
    },
}

fn said(output: &str) -> String {
    let lines: Vec<&str> = output
        .lines()
        .filter(|line| !line.trim().is_empty())
        .collect();
    let last = &lines[lines.len().saturating_sub(12)..];
    if last.is_empty() {
        String::new()
    } else {
        format!("; it said:\n{}", last.join("\n"))
    }
}

/// Variables that cargo sets for the program it runs and that mislead a cargo started from there.
fn is_left_by_cargo(name: &str) -> bool {
    const NAMES: [&str; 12] = [
        "CARGO",
        "CARGO_BUILD_TARGET",
        "CARGO_CRATE_NAME",
        "CARGO_ENCODED_RUSTFLAGS",
        "CARGO_PRIMARY_PACKAGE",
        "CARGO_RUSTC_CURRENT_DIR",
        "CARGO_TARGET_TMPDIR",
        "LD_LIBRARY_PATH",
        "OUT_DIR",
        "RUSTC",
        "RUSTDOC",
        "RUST_RECURSION_COUNT",
    ];
    NAMES.contains(&name)
        || name.starts_with("CARGO_PKG_")
        || name.starts_with("CARGO_MANIFEST_")
        || name.starts_with("CARGO_BIN_")
}

/// A command in `folder` without what the surrounding cargo left in the environment.
pub(crate) fn command(program: impl AsRef<Path>, folder: &Path) -> Command {
    let mut command = Command::new(program.as_ref());
    command.current_dir(folder).stdin(Stdio::null());
    for (name, _) in std::env::vars_os() {
        if name.to_str().is_some_and(is_left_by_cargo) {
            command.env_remove(name);
        }
    }
    command
}

/// The command as one would type it.
pub(crate) fn typed(command: &Command) -> String {
    std::iter::once(command.get_program())
        .chain(command.get_args())
        .map(|word| word.to_string_lossy())
        .collect::<Vec<_>>()
        .join(" ")
}

/// Runs a command silently and returns its standard output.
///
/// # Errors
/// When it cannot be started or fails; the error carries the last lines it wrote.
pub(crate) fn read(command: &mut Command) -> Result<String, ChildError> {
    let output = command.output().map_err(|source| ChildError::NotStarted {
        command: typed(command),
        source,
    })?;
    if output.status.success() {
        Ok(String::from_utf8_lossy(&output.stdout).into_owned())
    } else {
        let mut text = String::from_utf8_lossy(&output.stdout).into_owned();
        text.push_str(&String::from_utf8_lossy(&output.stderr));
        Err(ChildError::Failed {
            command: typed(command),
            status: output.status,
            output: text,
        })
    }
}

/// Runs a command with its output shown on standard error, so that standard output stays the caller's.
///
/// # Errors
/// When it cannot be started or fails.
pub(crate) fn show(command: &mut Command) -> Result<(), ChildError> {
    command.stdout(std::io::stderr());
    let status = command.status().map_err(|source| ChildError::NotStarted {
        command: typed(command),
        source,
    })?;
    if status.success() {
        Ok(())
    } else {
        Err(ChildError::Failed {
            command: typed(command),
            status,
            output: String::new(),
        })
    }
}

/// How a shown command ended and what it wrote to standard output.
#[derive(Debug)]
pub(crate) struct Heard {
    /// Whether it ended well.
    pub(crate) success: bool,
    /// All it wrote to standard output.
    pub(crate) output: String,
}

/// Runs a command, shows its standard output as it comes, and keeps it. A failing command is an answer here.
///
/// # Errors
/// When it cannot be started.
pub(crate) fn hear(command: &mut Command) -> Result<Heard, ChildError> {
    let not_started = |command: &Command, source| ChildError::NotStarted {
        command: typed(command),
        source,
    };
    let mut child = command
        .stdout(Stdio::piped())
        .spawn()
        .map_err(|source| not_started(command, source))?;
    let mut output = String::new();
    if let Some(pipe) = child.stdout.take() {
        let mut reader = BufReader::new(pipe);
        let mut bytes = Vec::new();
        while reader
            .read_until(b'\n', &mut bytes)
            .is_ok_and(|count| count > 0)
        {
            let text = String::from_utf8_lossy(&bytes);
            say::line(text.trim_end_matches(['\r', '\n']));
            output.push_str(&text);
            bytes.clear();
        }
    }
    let status = child
        .wait()
        .map_err(|source| not_started(command, source))?;
    Ok(Heard {
        success: status.success(),
        output,
    })
}

/// Joins compiler flags as cargo reads them from `CARGO_ENCODED_RUSTFLAGS`: with the unit separator, so that paths may hold spaces.
pub(crate) fn encoded_flags(flags: &[OsString]) -> OsString {
    let mut joined = OsString::new();
    for (index, flag) in flags.iter().enumerate() {
        if index > 0 {
            joined.push("\u{1f}");
        }
        joined.push(flag);
    }
    joined
}
