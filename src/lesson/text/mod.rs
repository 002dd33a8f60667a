//! The text format: from a lesson file to the typed lesson and a list of mistakes.
//!
//! Reading never stops at a mistake and never fails: a broken block becomes
//! [`Part::Broken`], and whatever else can be read is read.

pub mod course;
pub(crate) mod filling;
pub mod formula;
pub(crate) mod nearest;
pub mod prose;
pub(crate) mod split;
pub(crate) mod table;
mod values;

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use super::blocks::{Blocks, Head, NamedSetup, read_head, read_setup, tell_twice};
use super::diagnostic::{Diagnostic, Diagnostics, Mistake};
use super::spec::{Lesson, Part, Step};
use filling::{Filling, has_placeholder};
use nearest::suggestion;
use prose::{Link, check_prose};
use split::{Piece, split};

/// Largest lesson file that is read, in bytes.
pub const LARGEST_FILE: usize = 1 << 20;

/// Reads a lesson file. `file` is its name, used where the file does not name itself.
#[must_use]
pub fn parse(source: &str, file: &str) -> (Lesson, Vec<Diagnostic>) {
    let mut diagnostics = Diagnostics::new(source);
    if source.len() > LARGEST_FILE {
        diagnostics.add(
            Mistake::UnreadableFile,
            0..0,
            format!(
                "this file has {} bytes; a lesson has at most {LARGEST_FILE}",
                source.len()
            ),
            "split it into several lessons",
        );
        let lesson = Head::of_file(file).into_lesson(Vec::new());
        return (lesson, diagnostics.finish());
    }
    if has_placeholder(source) || values::has_values(source) {
        return parse_with_values(source, file);
    }
    parse_plain(source, file)
}

/// Reads a lesson in which computed values stand at placeholders: they are put in, and places of
/// mistakes in the filled text are brought back to the file.
fn parse_with_values(source: &str, file: &str) -> (Lesson, Vec<Diagnostic>) {
    let mut diagnostics = Diagnostics::new(source);
    let mut filling = Filling::new(source);
    let texts = values::read(&mut filling, &mut diagnostics);
    filling.put("value", &texts, &mut diagnostics);
    let filled = filling.finish();
    let (lesson, mistakes) = parse_plain(&filled.text, file);
    for found in mistakes {
        diagnostics.add(
            found.mistake,
            filled.back(&found.span),
            found.message,
            found.mend,
        );
    }
    (lesson, diagnostics.finish())
}

/// Reads a lesson without placeholders.
fn parse_plain(source: &str, file: &str) -> (Lesson, Vec<Diagnostic>) {
    let mut diagnostics = Diagnostics::new(source);
    let pieces = split(&mut diagnostics);
    let mut head = Head::of_file(file);
    let lesson_at = read_lesson_block(&pieces, &mut head, &mut diagnostics);
    let setups = read_setups(&pieces, &mut diagnostics);
    let mut blocks = Blocks {
        diagnostics: &mut diagnostics,
        slug: head.slug.clone(),
        setups,
        names: BTreeMap::new(),
        links: Vec::new(),
    };
    let mut steps = Steps::default();
    for (index, piece) in pieces.iter().enumerate() {
        if Some(index) == lesson_at {
            continue;
        }
        read_piece(piece, &mut blocks, &mut steps, &head);
    }
    let links = std::mem::take(&mut blocks.links);
    steps.check_anchors(&links, &mut diagnostics);
    (head.into_lesson(steps.list), diagnostics.finish())
}

/// Finds and reads the `lesson` block; it should be the first thing in the file.
fn read_lesson_block(
    pieces: &[Piece],
    head: &mut Head,
    diagnostics: &mut Diagnostics<'_>,
) -> Option<usize> {
    let found = pieces
        .iter()
        .enumerate()
        .find_map(|(index, piece)| match piece {
            Piece::Block(raw) if raw.kind == Some("lesson") => Some((index, raw)),
            _ => None,
        });
    let Some((index, raw)) = found else {
        diagnostics.add(
            Mistake::NoLessonBlock,
            0..0,
            "this file has no `lesson` block",
            "begin it with a block that opens with three backticks and `lesson`, and says \
             `slug`, `number`, `title`, `summary`, `minutes`",
        );
        return None;
    };
    if index > 0 {
        diagnostics.add(
            Mistake::NoLessonBlock,
            raw.opening.clone(),
            "the `lesson` block is not the first thing in the file",
            "move it to the top",
        );
    }
    read_head(raw, head, diagnostics);
    Some(index)
}

fn read_setups(
    pieces: &[Piece],
    diagnostics: &mut Diagnostics<'_>,
) -> BTreeMap<String, NamedSetup> {
    let mut setups: BTreeMap<String, NamedSetup> = BTreeMap::new();
    for piece in pieces {
        let Piece::Block(raw) = piece else { continue };
        if raw.kind != Some("setup") {
            continue;
        }
        let Some((name, setup)) = read_setup(raw, diagnostics) else {
            continue;
        };
        match setups.get(&name) {
            Some(first) => tell_twice(&name, raw.name.clone(), first.line, diagnostics),
            None => {
                setups.insert(name, setup);
            }
        }
    }
    setups
}

fn read_piece(piece: &Piece, blocks: &mut Blocks<'_, '_>, steps: &mut Steps, head: &Head) {
    let source = blocks.diagnostics.source();
    match piece {
        Piece::Heading { span, title } => {
            let words = source.get(title.clone()).unwrap_or_default();
            if words.is_empty() {
                blocks.diagnostics.add(
                    Mistake::HeadingLevel,
                    span.clone(),
                    "this heading is empty",
                    "write a few words after `##`",
                );
            }
            let links = check_prose(title.clone(), blocks.diagnostics);
            blocks.links.extend(links);
            steps.begin(words);
        }
        Piece::Prose(span) => {
            let links = check_prose(span.clone(), blocks.diagnostics);
            blocks.links.extend(links);
            let words = source.get(span.clone()).unwrap_or_default().trim();
            steps.put(
                Part::Prose(words.to_owned()),
                first_word(source, span),
                head,
                blocks.diagnostics,
            );
        }
        Piece::Block(raw) => match raw.kind {
            Some("setup") => {}
            Some(kind @ ("assignment" | "draw")) => blocks.diagnostics.add(
                Mistake::UnknownBlock,
                raw.opening.clone(),
                format!("a lesson has no `{kind}` block; an assignment has"),
                "take it away, or begin the file with an `assignment` block",
            ),
            Some("lesson") => blocks.diagnostics.add(
                Mistake::NoLessonBlock,
                raw.opening.clone(),
                "this file has a second `lesson` block",
                "keep one, at the top",
            ),
            _ => {
                let part = blocks.read(raw);
                steps.put(part, raw.opening.clone(), head, blocks.diagnostics);
            }
        },
    }
}

/// Where a piece of prose really begins: its first line that is not blank.
fn first_word(source: &str, span: &Range<usize>) -> Range<usize> {
    let text = source.get(span.clone()).unwrap_or_default();
    let start = span.start + text.len() - text.trim_start().len();
    let end = source
        .get(start..span.end)
        .and_then(|rest| rest.find('\n'))
        .map_or(span.end, |at| start + at);
    start..end
}

/// The steps read so far.
#[derive(Debug, Default)]
struct Steps {
    list: Vec<Step>,
    anchors: BTreeSet<String>,
}

impl Steps {
    /// Begins a step.
    fn begin(&mut self, title: &str) {
        let base = anchor(title);
        let mut anchor = base.clone();
        let mut count = 2;
        while !self.anchors.insert(anchor.clone()) {
            anchor = format!("{base}-{count}");
            count += 1;
        }
        self.list.push(Step {
            anchor,
            title: title.to_owned(),
            parts: Vec::new(),
        });
    }

    /// Puts a part into the last step. Without one, this is a mistake and a step is made.
    fn put(
        &mut self,
        part: Part,
        place: Range<usize>,
        head: &Head,
        diagnostics: &mut Diagnostics<'_>,
    ) {
        if self.list.is_empty() {
            diagnostics.add(
                Mistake::TextBeforeHeading,
                place,
                "this stands before the first heading",
                "put a heading above it: `## The junction`",
            );
            self.begin(&head.title);
        }
        if let Some(step) = self.list.last_mut() {
            step.parts.push(part);
        }
    }

    /// Tells links that lead to no step of this lesson.
    fn check_anchors(&self, links: &[Link], diagnostics: &mut Diagnostics<'_>) {
        for link in links {
            if let Some(target) = link.target.strip_prefix('#')
                && !self.anchors.contains(target)
            {
                let known: Vec<&str> = self.anchors.iter().map(String::as_str).collect();
                diagnostics.add(
                    Mistake::BrokenLink,
                    link.span.clone(),
                    format!("no step of this lesson has the anchor `{target}`"),
                    suggestion(target, &known),
                );
            }
        }
    }
}

/// The anchor of a heading: its letters and digits, small, joined by hyphens.
fn anchor(title: &str) -> String {
    let mut anchor = String::new();
    for letter in title.chars() {
        if letter.is_ascii_alphanumeric() {
            anchor.push(letter.to_ascii_lowercase());
        } else if !anchor.ends_with('-') && !anchor.is_empty() {
            anchor.push('-');
        }
    }
    let anchor: String = anchor.trim_end_matches('-').chars().take(60).collect();
    if anchor.is_empty() {
        "step".to_owned()
    } else {
        anchor
    }
}

/// Where the first `lesson` block of a file opens.
fn lesson_block(source: &str) -> Option<Range<usize>> {
    let mut diagnostics = Diagnostics::new(source);
    split(&mut diagnostics)
        .into_iter()
        .find_map(|piece| match piece {
            Piece::Block(raw) if raw.kind == Some("lesson") => Some(raw.opening),
            _ => None,
        })
}
