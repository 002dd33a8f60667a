//! The command, run as people run it.

use std::process::{Command, Output};

/// Runs the command.
pub(super) fn coldfringe(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_coldfringe"))
        .args(arguments)
        .output()
        .unwrap()
}

/// Runs the command and gives what it writes; it must not fail.
pub(super) fn text(arguments: &[&str]) -> String {
    let output = coldfringe(arguments);
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(output.status.success(), "{arguments:?}: {said}");
    String::from_utf8(output.stdout).unwrap()
}

/// Checks that the command fails, writes no result, and names every part on standard error.
pub(super) fn refused(arguments: &[&str], parts: &[&str]) {
    let output = coldfringe(arguments);
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(!output.status.success(), "{arguments:?}");
    assert!(output.stdout.is_empty(), "{arguments:?}");
    assert!(!said.contains("panicked"), "{arguments:?}: {said}");
    for part in parts {
        assert!(
            said.contains(part),
            "{arguments:?}: \"{said}\" lacks \"{part}\""
        );
    }
}
