//! Putting texts at the placeholders of a file, and finding one's way back from the text made.
//! `@{name}` stands for a computed value in a lesson, and for a drawn one in an assignment.

use std::ops::Range;

use super::super::diagnostic::{Diagnostics, Mistake};
use super::split::RawBlock;

/// Opens a placeholder; it is closed by `}`.
const OPENS: &str = "@{";

/// A file being filled: which parts of it give way to what.
#[derive(Debug)]
pub(crate) struct Filling<'a> {
    source: &'a str,
    changes: Vec<(Range<usize>, String)>,
}

/// The text made, and where its parts come from.
#[derive(Debug)]
pub(crate) struct Filled {
    pub(crate) text: String,
    /// Parts in order: where in the text, where in the file, and whether it stands there letter
    /// by letter.
    parts: Vec<(Range<usize>, Range<usize>, bool)>,
}

impl<'a> Filling<'a> {
    pub(crate) fn new(source: &'a str) -> Self {
        Self {
            source,
            changes: Vec::new(),
        }
    }

    /// Lets a part of the file give way to another text.
    pub(crate) fn replace(&mut self, span: Range<usize>, with: String) {
        self.changes.push((span, with));
    }

    /// Puts a text at every placeholder. `texts` holds names and texts, `kind` is the kind of block
    /// that makes them. A placeholder with another name is told.
    pub(crate) fn put(
        &mut self,
        kind: &str,
        texts: &[(String, String)],
        diagnostics: &mut Diagnostics<'_>,
    ) {
        for (at, _) in self.source.match_indices(OPENS) {
            let inside = at + OPENS.len();
            let rest = self.source.get(inside..).unwrap_or_default();
            let closed = rest
                .find(['}', '\n'])
                .filter(|end| rest[*end..].starts_with('}'));
            let Some(length) = closed else {
                diagnostics.add(
                    Mistake::UnknownPlaceholder,
                    at..inside,
                    "this placeholder is not closed",
                    format!("write the name of a `{kind}` block and `}}` after it"),
                );
                continue;
            };
            let name = rest[..length].trim();
            let span = at..inside + length + 1;
            match texts.iter().find(|(known, _)| known == name) {
                Some((_, text)) => self.replace(span, text.clone()),
                None => diagnostics.add(
                    Mistake::UnknownPlaceholder,
                    span,
                    format!("no `{kind}` block is called `{name}`"),
                    if texts.is_empty() {
                        format!("add a block that opens with three backticks and `{kind} {name}`")
                    } else {
                        let known: Vec<&str> =
                            texts.iter().map(|(name, _)| name.as_str()).collect();
                        format!("known are: {}", known.join(", "))
                    },
                ),
            }
        }
    }

    pub(crate) fn finish(mut self) -> Filled {
        self.changes.sort_by_key(|(span, _)| span.start);
        let mut filled = Filled {
            text: String::new(),
            parts: Vec::new(),
        };
        let mut at = 0;
        for (span, with) in &self.changes {
            // A placeholder within a block that has given way is gone with it.
            if span.start < at {
                continue;
            }
            filled.push(self.source, at..span.start, None);
            filled.push(self.source, span.clone(), Some(with));
            at = span.end;
        }
        filled.push(self.source, at..self.source.len(), None);
        filled
    }
}

/// Whether a text has a placeholder.
pub(crate) fn has_placeholder(source: &str) -> bool {
    source.contains(OPENS)
}

/// A block with its fences and the end of its last line.
pub(crate) fn whole(source: &str, raw: &RawBlock) -> Range<usize> {
    let rest = source.get(raw.body.end..).unwrap_or_default();
    let end = if raw.closed {
        rest.find('\n')
            .map_or(source.len(), |at| raw.body.end + at + 1)
    } else {
        raw.body.end
    };
    raw.opening.start..end
}

impl Filled {
    fn push(&mut self, source: &str, span: Range<usize>, with: Option<&str>) {
        let from = self.text.len();
        self.text
            .push_str(with.unwrap_or_else(|| source.get(span.clone()).unwrap_or_default()));
        self.parts
            .push((from..self.text.len(), span, with.is_none()));
    }

    /// A place in the text made, as a place in the file.
    pub(crate) fn back(&self, span: &Range<usize>) -> Range<usize> {
        let place = |at: usize, end: bool| {
            let part = self.parts.iter().find(|(made, _, _)| {
                made.contains(&at) || (end && made.end == at && made.start < at)
            });
            match part {
                Some((made, file, true)) => file.start + (at - made.start),
                Some((_, file, false)) if end => file.end,
                Some((_, file, false)) => file.start,
                None => self.parts.last().map_or(0, |(_, file, _)| file.end),
            }
        };
        let start = place(span.start, false);
        start..place(span.end, true).max(start)
    }
}

#[cfg(test)]
mod tests {
    use super::super::super::diagnostic::{Diagnostics, Mistake};
    use super::Filling;

    fn texts() -> Vec<(String, String)> {
        [("width", "8 µm"), ("length", "12 µm")]
            .map(|(name, text)| (name.to_owned(), text.to_owned()))
            .to_vec()
    }

    #[test]
    fn texts_are_put_in_and_places_found_again() {
        let source = "gone\nw = @{width}, l = @{ length }.\n";
        let mut diagnostics = Diagnostics::new(source);
        let mut filling = Filling::new(source);
        filling.replace(0..5, "new text\n".to_owned());
        filling.put("draw", &texts(), &mut diagnostics);
        let filled = filling.finish();
        assert_eq!(diagnostics.count(), 0);
        assert_eq!(filled.text, "new text\nw = 8 µm, l = 12 µm.\n");
        // The last full stop.
        let at = filled.text.len() - 2;
        assert_eq!(&source[filled.back(&(at..at + 1))], ".");
        let l = filled.text.find("l =").unwrap_or(0);
        assert_eq!(&source[filled.back(&(l..l + 8))], "l = @{ length }");
        assert_eq!(filled.back(&(2..4)), 0..5);
    }

    #[test]
    fn a_name_that_nothing_stands_behind_is_told() {
        let source = "@{depth} and @{width";
        let mut diagnostics = Diagnostics::new(source);
        Filling::new(source).put("value", &texts(), &mut diagnostics);
        let found = diagnostics.finish();
        let places: Vec<_> = found
            .iter()
            .map(|it| (it.mistake, it.span.clone()))
            .collect();
        assert_eq!(
            places,
            [
                (Mistake::UnknownPlaceholder, 0..8),
                (Mistake::UnknownPlaceholder, 13..15)
            ]
        );
        assert!(found[0].mend.contains("width"));
    }
}
