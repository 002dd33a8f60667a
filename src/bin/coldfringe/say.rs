//! What the command says: results on standard output, progress and trouble on standard error.

use std::io::Write as _;

/// Writes one line to standard output. A closed pipe is the reader's choice and no error.
pub(crate) fn line(text: &str) {
    let mut out = std::io::stdout().lock();
    let _ = writeln!(out, "{text}").and_then(|()| out.flush());
}

/// Writes one line of progress to standard error.
pub(crate) fn progress(text: &str) {
    let _ = writeln!(std::io::stderr().lock(), "coldfringe: {text}");
}

/// Writes one line of trouble to standard error, as it stands.
pub(crate) fn trouble(text: &str) {
    let _ = writeln!(std::io::stderr().lock(), "{text}");
}
