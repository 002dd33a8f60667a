//! The body of a block as a table of TOML, mistakes told in words for those who write lessons.

use std::ops::Range;

use toml::Spanned;
use toml::de::DeTable;

use crate::lesson::diagnostic::{Diagnostics, Mistake};

/// Parses the body of a block. Mistakes of TOML itself are noted; then there is no table.
pub(crate) fn parse<'a>(
    body: Range<usize>,
    diagnostics: &mut Diagnostics<'a>,
) -> Option<Spanned<DeTable<'a>>> {
    let text = diagnostics.source().get(body.clone())?;
    let (table, errors) = DeTable::parse_recoverable(text);
    // One slip often trips the parser several times; the first places are the telling ones.
    for error in errors.iter().take(3) {
        let span = error.span().unwrap_or(0..0);
        let message = error.message();
        let mend = if message.contains("escape") {
            "put text that holds backslashes in single quotes: '$\\Phi_0$'"
        } else if message.contains("duplicate key") {
            "keep one of the two"
        } else {
            "write one `key = value` a line, text in quotes, lists in [ ], tables in { }"
        };
        let first = message.lines().next().unwrap_or("not TOML");
        diagnostics.add(
            Mistake::BadToml,
            body.start + span.start..body.start + span.end,
            format!("this is not TOML: {first}"),
            mend,
        );
    }
    errors.is_empty().then_some(table)
}
