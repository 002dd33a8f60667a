//! Whether a formula can be read.

use pulldown_latex::{Parser, Storage};

/// Commands that define others. They are refused: a definition that calls itself never ends.
const DEFINITIONS: [&str; 8] = [
    "\\def",
    "\\edef",
    "\\gdef",
    "\\xdef",
    "\\let",
    "\\futurelet",
    "\\newcommand",
    "\\renewcommand",
];

/// What is wrong with a formula, in a few words; none when it can be read.
#[must_use]
pub fn formula_error(tex: &str) -> Option<String> {
    if tex.trim().is_empty() {
        return Some("the formula is empty".to_owned());
    }
    if let Some(command) = definition(tex) {
        return Some(format!("`{command}`: definitions are not taken"));
    }
    // The reader of formulas is not proven to bear every text, and a lesson file may hold any;
    // a panic there is one more mistake of the file, not the end of the command.
    let outcome = std::panic::catch_unwind(|| {
        let storage = Storage::new();
        Parser::new(tex, &storage)
            .find_map(|event| event.err())
            .map(|error| first_line(&error.to_string()))
    });
    outcome.unwrap_or_else(|_| Some("it cannot be read".to_owned()))
}

fn definition(tex: &str) -> Option<&'static str> {
    DEFINITIONS.into_iter().find(|command| {
        tex.match_indices(command).any(|(at, _)| {
            !tex[at + command.len()..].starts_with(|next: char| next.is_ascii_alphabetic())
        })
    })
}

/// The first line of the error, and the piece of the formula that it points at.
fn first_line(error: &str) -> String {
    let what = error
        .lines()
        .next()
        .unwrap_or("it cannot be read")
        .trim_start_matches("parsing error: ");
    let near = error
        .lines()
        .filter_map(|line| line.strip_prefix('│'))
        .map(str::trim)
        .find(|text| !text.is_empty() && !text.starts_with('^'));
    match near {
        Some(near) => format!("{what}, near `{near}`"),
        None => what.to_owned(),
    }
}
