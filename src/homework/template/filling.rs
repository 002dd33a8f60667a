//! Putting values into an assignment file, and finding one's way back from the text made.

use std::ops::Range;

use super::super::assignment::Draw;
use crate::lesson::diagnostic::{Diagnostics, Mistake};

/// Opens a placeholder; it is closed by `}`.
const OPENS: &str = "@{";

/// A file being filled: which parts of it give way to what.
#[derive(Debug)]
pub(super) struct Filling<'a> {
    source: &'a str,
    changes: Vec<(Range<usize>, String)>,
}

/// The text made, and where its parts come from.
#[derive(Debug)]
pub(super) struct Filled {
    pub(super) text: String,
    /// Parts in order: where in the text, where in the file, and whether it stands there letter
    /// by letter.
    parts: Vec<(Range<usize>, Range<usize>, bool)>,
}

impl<'a> Filling<'a> {
    pub(super) fn new(source: &'a str) -> Self {
        Self {
            source,
            changes: Vec::new(),
        }
    }

    /// Lets a part of the file give way to another text.
    pub(super) fn replace(&mut self, span: Range<usize>, with: String) {
        self.changes.push((span, with));
    }

    /// Puts the first value of each draw at its placeholders, marked. A placeholder that no draw
    /// has a value for is told.
    pub(super) fn put(&mut self, draws: &[Draw], diagnostics: &mut Diagnostics<'_>) {
        for (at, _) in self.source.match_indices(OPENS) {
            let inside = at + OPENS.len();
            let rest = self.source.get(inside..).unwrap_or_default();
            let Some(length) = rest
                .find(['}', '\n'])
                .filter(|end| rest[*end..].starts_with('}'))
            else {
                diagnostics.add(
                    Mistake::UnknownDraw,
                    at..inside,
                    "this placeholder is not closed",
                    "write the name of a draw and `}` after it: `@{width}`",
                );
                continue;
            };
            let name = rest[..length].trim();
            let span = at..inside + length + 1;
            match draws.iter().position(|draw| draw.name == name) {
                Some(place) => self.replace(span, tagged(draws, place)),
                None => diagnostics.add(
                    Mistake::UnknownDraw,
                    span,
                    format!("no `draw` block is called `{name}`"),
                    if draws.is_empty() {
                        format!("add a block that opens with three backticks and `draw {name}`")
                    } else {
                        let known: Vec<&str> =
                            draws.iter().map(|draw| draw.name.as_str()).collect();
                        format!("known are: {}", known.join(", "))
                    },
                ),
            }
        }
    }

    pub(super) fn finish(mut self) -> Filled {
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

impl Filled {
    fn push(&mut self, source: &str, span: Range<usize>, with: Option<&str>) {
        let from = self.text.len();
        self.text
            .push_str(with.unwrap_or_else(|| source.get(span.clone()).unwrap_or_default()));
        self.parts
            .push((from..self.text.len(), span, with.is_none()));
    }

    /// A place in the text made, as a place in the file.
    pub(super) fn back(&self, span: &Range<usize>) -> Range<usize> {
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

/// The first value of a draw with a mark that nobody sees and that numbers are read without. So
/// the filled file can be read as a lesson, and each value be found again in what was read.
fn tagged(draws: &[Draw], place: usize) -> String {
    let value = draws
        .get(place)
        .and_then(|draw| draw.values.first())
        .map_or("", String::as_str);
    format!("{value}\u{2060}{}\u{2060}", "\u{200B}".repeat(place + 1))
}

/// Puts something else at every marked value: `with` gets the draw.
pub(in super::super) fn retagged(
    text: &str,
    draws: &[Draw],
    with: impl Fn(&Draw) -> String,
) -> String {
    let mut open = text.to_owned();
    for (place, draw) in draws.iter().enumerate() {
        open = open.replace(&tagged(draws, place), &with(draw));
    }
    open
}

#[cfg(test)]
mod tests {
    use super::{Draw, Filling, retagged};
    use crate::lesson::diagnostic::{Diagnostics, Mistake};

    fn draws() -> Vec<Draw> {
        [("width", "8 µm"), ("length", "8 µm")]
            .map(|(name, value)| Draw {
                name: name.to_owned(),
                values: vec![value.to_owned(), "9 µm".to_owned()],
            })
            .to_vec()
    }

    #[test]
    fn values_are_put_in_and_found_again() {
        let source = "gone\nw = @{width}, l = @{ length }.\n";
        let mut diagnostics = Diagnostics::new(source);
        let mut filling = Filling::new(source);
        filling.replace(0..5, "new text\n".to_owned());
        filling.put(&draws(), &mut diagnostics);
        let filled = filling.finish();
        assert_eq!(diagnostics.count(), 0);
        assert_eq!(
            filled.text.replace(['\u{2060}', '\u{200B}'], ""),
            "new text\nw = 8 µm, l = 8 µm.\n"
        );
        let again = retagged(&filled.text, &draws(), Draw::placeholder);
        assert_eq!(again, "new text\nw = @{width}, l = @{length}.\n");
        // The last full stop.
        let at = filled.text.len() - 2;
        assert_eq!(&source[filled.back(&(at..at + 1))], ".");
        let l = filled.text.find("l =").unwrap_or(0);
        assert_eq!(&source[filled.back(&(l..l + 8))], "l = @{ length }");
        assert_eq!(filled.back(&(2..4)), 0..5);
    }

    #[test]
    fn a_name_that_nothing_is_drawn_for_is_told() {
        let source = "@{depth} and @{width";
        let mut diagnostics = Diagnostics::new(source);
        Filling::new(source).put(&draws(), &mut diagnostics);
        let found = diagnostics.finish();
        assert_eq!(
            found
                .iter()
                .map(|it| (it.mistake, it.span.clone()))
                .collect::<Vec<_>>(),
            [(Mistake::UnknownDraw, 0..8), (Mistake::UnknownDraw, 13..15)]
        );
        assert!(found[0].mend.contains("width"));
    }
}
