//! Splits a lesson file into headings, blocks and prose, each with its place in the file.
//!
//! This is done line by line, before any `CommonMark` is read, so that one block that is not
//! closed costs no more than itself.

use std::ops::Range;

use super::super::diagnostic::{Diagnostics, Mistake};
use super::nearest::suggestion;

/// The kinds of block that the format knows.
pub(crate) const BLOCK_KINDS: [&str; 12] = [
    "lesson",
    "setup",
    "predict",
    "observe",
    "bench",
    "question",
    "board",
    "record",
    "caution",
    "value",
    // Only in assignments.
    "assignment",
    "draw",
];

/// Fenced text that is shown as written.
const PLAIN_KINDS: [&str; 6] = ["text", "csv", "json", "toml", "sh", "rust"];

/// A piece of a lesson file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Piece {
    /// A second-level heading.
    Heading {
        /// Its whole line.
        span: Range<usize>,
        /// Its text.
        title: Range<usize>,
    },
    /// `CommonMark`.
    Prose(Range<usize>),
    /// A block of the format.
    Block(RawBlock),
}

/// A block as it stands in the file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct RawBlock {
    /// The opening fence with its words.
    pub(crate) opening: Range<usize>,
    /// Its kind, one of [`BLOCK_KINDS`]; none for a block whose kind is not known.
    pub(crate) kind: Option<&'static str>,
    /// Where its name stands; empty when there is none.
    pub(crate) name: Range<usize>,
    /// Its body, without the fences.
    pub(crate) body: Range<usize>,
    /// Whether its closing fence was found.
    pub(crate) closed: bool,
}

/// A line with its place: `text` has no line ending, `end` is the start of the next one.
#[derive(Debug, Clone, Copy)]
struct Line<'a> {
    start: usize,
    text: &'a str,
    end: usize,
}

fn lines(source: &str) -> Vec<Line<'_>> {
    let mut start = 0;
    source
        .split_inclusive('\n')
        .map(|whole| {
            let line = Line {
                start,
                text: whole.trim_end_matches(['\n', '\r']),
                end: start + whole.len(),
            };
            start = line.end;
            line
        })
        .collect()
}

/// An opening fence: its mark, how many, how far it is indented, and where its words begin.
#[derive(Debug, Clone, Copy)]
struct Fence {
    mark: u8,
    length: usize,
    indent: usize,
    words: usize,
}

fn opening_fence(text: &str) -> Option<Fence> {
    let bytes = text.as_bytes();
    let indent = bytes.iter().take_while(|byte| **byte == b' ').count();
    let mark = *bytes.get(indent)?;
    if mark != b'`' && mark != b'~' {
        return None;
    }
    let length = bytes[indent..]
        .iter()
        .take_while(|byte| **byte == mark)
        .count();
    let words = indent + length;
    if length < 3 || (mark == b'`' && text[words..].contains('`')) {
        return None;
    }
    Some(Fence {
        mark,
        length,
        indent,
        words,
    })
}

fn closes(text: &str, fence: Fence) -> bool {
    let trimmed = text.trim();
    trimmed.len() >= fence.length && trimmed.bytes().all(|byte| byte == fence.mark)
}

/// The known block kind that a fence line opens, if any.
fn block_kind(text: &str) -> Option<&'static str> {
    let fence = opening_fence(text)?;
    let word = text[fence.words..].split_whitespace().next()?;
    BLOCK_KINDS.into_iter().find(|kind| *kind == word)
}

/// The text of a second-level heading as a range within the line.
fn heading(text: &str) -> Option<Range<usize>> {
    let indent = text.len() - text.trim_start_matches(' ').len();
    let rest = text[indent..].strip_prefix("##")?;
    if indent > 3 || rest.starts_with('#') || !(rest.is_empty() || rest.starts_with([' ', '\t'])) {
        return None;
    }
    // Closing hashes are no part of the title.
    let title = rest.trim();
    let bare = title.trim_end_matches('#');
    let title = if bare.is_empty() || bare.ends_with([' ', '\t']) {
        bare.trim_end()
    } else {
        title
    };
    let start = text.len() - rest.trim_start().len();
    Some(start..start + title.len())
}

/// Splits the file.
pub(crate) fn split(diagnostics: &mut Diagnostics<'_>) -> Vec<Piece> {
    let source = diagnostics.source();
    let lines = lines(source);
    let mut pieces = Vec::new();
    let mut prose_start: Option<usize> = None;
    let mut index = 0;
    while let Some(line) = lines.get(index).copied() {
        let piece = if let Some(fence) = opening_fence(line.text) {
            let (end, closed) = find_end(&lines, index, fence);
            let next = if closed { end + 1 } else { end };
            match block(&lines, index, fence, end, closed, diagnostics) {
                Some(raw) => {
                    index = next;
                    Some(Piece::Block(raw))
                }
                None => {
                    // Fenced text shown as written stays part of the prose.
                    prose_start.get_or_insert(line.start);
                    index = next.max(index + 1);
                    None
                }
            }
        } else if let Some(title) = heading(line.text) {
            index += 1;
            Some(Piece::Heading {
                span: line.start..line.start + line.text.len(),
                title: line.start + title.start..line.start + title.end,
            })
        } else {
            prose_start.get_or_insert(line.start);
            index += 1;
            None
        };
        if let Some(piece) = piece {
            if let Some(start) = prose_start.take() {
                push_prose(source, start..line.start, &mut pieces);
            }
            pieces.push(piece);
        }
    }
    if let Some(start) = prose_start {
        push_prose(source, start..source.len(), &mut pieces);
    }
    pieces
}

fn push_prose(source: &str, span: Range<usize>, pieces: &mut Vec<Piece>) {
    if source
        .get(span.clone())
        .is_some_and(|text| !text.trim().is_empty())
    {
        pieces.push(Piece::Prose(span));
    }
}

/// Index of the line that closes the fence opened at `index`, and whether it really closes it:
/// a block that runs into the next block, the next heading or the end of the file is not closed.
fn find_end(lines: &[Line<'_>], index: usize, fence: Fence) -> (usize, bool) {
    let is_block = lines
        .get(index)
        .is_some_and(|line| block_kind(line.text).is_some());
    for (offset, line) in lines.iter().enumerate().skip(index + 1) {
        if closes(line.text, fence) {
            return (offset, true);
        }
        if is_block && block_kind(line.text).is_some() {
            // A heading before it ends the block sooner.
            return (first_heading(lines, index + 1, offset), false);
        }
    }
    let end = if is_block {
        first_heading(lines, index + 1, lines.len())
    } else {
        lines.len()
    };
    (end, false)
}

fn first_heading(lines: &[Line<'_>], from: usize, to: usize) -> usize {
    lines
        .iter()
        .enumerate()
        .take(to)
        .skip(from)
        .find(|(_, line)| heading(line.text).is_some())
        .map_or(to, |(offset, _)| offset)
}

/// The block opened at `index`, or none when it is fenced text to be shown as written.
fn block(
    lines: &[Line<'_>],
    index: usize,
    fence: Fence,
    end: usize,
    closed: bool,
    diagnostics: &mut Diagnostics<'_>,
) -> Option<RawBlock> {
    let line = lines.get(index)?;
    let opening = line.start + fence.indent..line.start + line.text.len();
    let words = &line.text[fence.words..];
    let word = words.split_whitespace().next().unwrap_or_default();
    let kind = BLOCK_KINDS.into_iter().find(|kind| *kind == word);
    if !closed {
        diagnostics.add(
            Mistake::UnclosedBlock,
            opening.clone(),
            if word.is_empty() {
                "this fenced text is not closed".to_owned()
            } else {
                format!("this `{word}` block is not closed")
            },
            format!(
                "put a line with {} after its last line",
                "`".repeat(fence.length)
            ),
        );
    }
    if word.is_empty() || PLAIN_KINDS.contains(&word) {
        return None;
    }
    if fence.indent > 0 && kind.is_some() {
        diagnostics.add(
            Mistake::IndentedBlock,
            opening.clone(),
            format!("this `{word}` block is indented"),
            "begin the line with its backticks; a block cannot stand inside a list",
        );
    }
    if kind.is_none() {
        let known: Vec<&str> = BLOCK_KINDS.into_iter().chain(PLAIN_KINDS).collect();
        diagnostics.add(
            Mistake::UnknownBlock,
            opening.clone(),
            format!("there is no block of the kind `{word}`"),
            suggestion(word, &known),
        );
    }
    let after_kind = line.text.find(word).map_or(line.text.len(), |at| {
        // `word` is a slice of this line, so the first match at or after the fence is it.
        at + word.len()
    });
    let rest = line.text.get(after_kind..).unwrap_or_default();
    let name_start = line.start + line.text.len() - rest.trim_start().len();
    let name = name_start..name_start + rest.trim().len();
    let body_start = line.end;
    let body_end = lines
        .get(end)
        .map_or_else(|| diagnostics.source().len(), |line| line.start)
        .max(body_start);
    Some(RawBlock {
        opening,
        kind,
        name,
        body: body_start..body_end,
        closed,
    })
}

#[cfg(test)]
mod tests {
    use super::super::super::diagnostic::{Diagnostics, Mistake};
    use super::{Piece, split};

    fn kinds(source: &str) -> (Vec<String>, Vec<Mistake>) {
        let mut diagnostics = Diagnostics::new(source);
        let pieces = split(&mut diagnostics)
            .into_iter()
            .map(|piece| match piece {
                Piece::Heading { title, .. } => format!("h {}", &source[title]),
                Piece::Prose(span) => format!("p {}", source[span].trim()),
                Piece::Block(raw) => {
                    format!("b {} {}", raw.kind.unwrap_or("?"), &source[raw.name])
                }
            })
            .collect();
        let mistakes = diagnostics
            .finish()
            .into_iter()
            .map(|found| found.mistake)
            .collect();
        (pieces, mistakes)
    }

    #[test]
    fn a_block_that_is_not_closed_costs_only_itself() {
        let (pieces, mistakes) =
            kinds("```predict a\nx = 1\n\n## Next\n\ntext\n\n```board b\n```\n");
        assert_eq!(pieces, ["b predict a", "h Next", "p text", "b board b"]);
        assert_eq!(mistakes, [Mistake::UnclosedBlock]);
    }

    #[test]
    fn plain_fences_stay_in_the_prose() {
        let (pieces, mistakes) = kinds("a\n```text\n## not a heading\n```\nb\n## Yes ##\n");
        assert_eq!(pieces, ["p a\n```text\n## not a heading\n```\nb", "h Yes"]);
        assert!(mistakes.is_empty(), "{mistakes:?}");
    }

    #[test]
    fn unknown_kinds_and_indented_blocks_are_told() {
        let (_, mistakes) = kinds("```predikt a\n```\n  ```board b\n  ```\n");
        assert_eq!(mistakes, [Mistake::UnknownBlock, Mistake::IndentedBlock]);
    }
}
