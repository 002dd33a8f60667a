//! The command, run to its end.

use std::ffi::OsStr;
use std::process::Command;

use super::page::Checked;

/// Runs the command; what it says in the end is the error if it fails.
pub(crate) fn run(arguments: impl IntoIterator<Item = impl AsRef<OsStr>>) -> Checked {
    let done = Command::new(env!("CARGO_BIN_EXE_coldfringe"))
        .args(arguments)
        .output()?;
    if done.status.success() {
        Ok(())
    } else {
        Err(String::from_utf8_lossy(&done.stderr).into_owned().into())
    }
}
