//! A lesson cut into screens for the lecture hall: so many lines of words each, a block each.
//! The lecture page and the presenter's notes are both written from here.

use std::ops::Range;

use pulldown_cmark::{Event, Parser, Tag};

use crate::lesson::plan::{Screen, ScreenKind};
use crate::lesson::spec::{Ask, Block, Lesson, Part};
use crate::lesson::text::prose::options;

/// How many letters fill a line of the lecture page.
const LINE: usize = 58;
/// How many lines a screen of words holds, in tenths.
const ROOM: usize = 140;

/// One screen and what stands on it.
#[derive(Debug, Clone, PartialEq)]
pub struct LessonScreen<'a> {
    /// Name, kind and options.
    pub screen: Screen,
    /// The title of its step; empty on the title screen.
    pub title: &'a str,
    /// What stands on it.
    pub content: Content<'a>,
}

/// What stands on a screen.
#[derive(Debug, Clone, PartialEq)]
pub enum Content<'a> {
    /// The lesson's title and summary.
    Title,
    /// Words, as written.
    Prose(&'a str),
    /// A live block.
    Block(&'a Block),
    /// The usual cautions, as written.
    Caution(&'a str),
    /// A block that could not be read.
    Broken(&'a str),
}

/// The screens of a lesson, in order.
#[must_use]
pub fn screens(lesson: &Lesson) -> Vec<LessonScreen<'_>> {
    let mut screens = vec![LessonScreen {
        screen: look("title".to_owned()),
        title: "",
        content: Content::Title,
    }];
    for step in &lesson.steps {
        let mut is_first = true;
        for part in &step.parts {
            let contents: Vec<Content<'_>> = match part {
                Part::Prose(text) => split(text).into_iter().map(Content::Prose).collect(),
                Part::Block(block) => vec![Content::Block(block)],
                Part::Caution(text) => split(text).into_iter().map(Content::Caution).collect(),
                Part::Broken { message } => vec![Content::Broken(message)],
            };
            for content in contents {
                let mut screen = match &content {
                    Content::Block(block) => of_block(block),
                    _ => look(step.anchor.clone()),
                };
                // Links to a step lead to its first screen.
                if std::mem::take(&mut is_first) {
                    screen.name.clone_from(&step.anchor);
                }
                let taken = |name: &str| {
                    name == "lecture" || screens.iter().any(|other| other.screen.name == name)
                };
                let (plain, mut number) = (screen.name.clone(), 1);
                while taken(&screen.name) {
                    number += 1;
                    screen.name = format!("{plain}-{number}");
                }
                screens.push(LessonScreen {
                    screen,
                    title: &step.title,
                    content,
                });
            }
        }
    }
    screens
}

fn look(name: String) -> Screen {
    Screen {
        name,
        kind: ScreenKind::Look,
        block: String::new(),
        options: 0,
    }
}

fn of_block(block: &Block) -> Screen {
    let (kind, options) = match block {
        Block::Predict(prediction) => (
            ScreenKind::Predict,
            match &prediction.ask {
                Ask::PickCurve { pictures, .. } => pictures.len() + 1,
                Ask::PickStatement { options, .. } | Ask::MarkBoard { options, .. } => {
                    options.len()
                }
                Ask::Sketch { .. } | Ask::MarkAxis { .. } | Ask::Number(_) => 0,
            },
        ),
        Block::Observe(observation) => (ScreenKind::Ask, observation.options.len()),
        Block::Question(_) => (ScreenKind::Ask, 0),
        Block::Bench(_) | Block::Board(_) | Block::Record(_) => (ScreenKind::Look, 0),
    };
    Screen {
        name: block.id().to_owned(),
        kind,
        block: block.id().to_owned(),
        options: options.min(6),
    }
}

/// A text cut where a screen is full: between its paragraphs, and between the items of its lists.
/// A formula stays with the words before it.
fn split(text: &str) -> Vec<&str> {
    let mut cuts: Vec<Range<usize>> = Vec::new();
    let mut filled = 0;
    for piece in pieces(text) {
        let fits = filled + piece.tenths <= ROOM || (piece.is_formula && filled > 0);
        match cuts.last_mut() {
            Some(last) if fits => {
                last.end = piece.span.end;
                filled += piece.tenths;
            }
            _ => {
                filled = piece.tenths;
                cuts.push(piece.span);
            }
        }
    }
    let pieces = cuts.into_iter().filter_map(|cut| text.get(cut));
    pieces.filter(|piece| !piece.trim().is_empty()).collect()
}

/// What is not cut.
struct Piece {
    span: Range<usize>,
    /// Its height in tenths of a line.
    tenths: usize,
    /// Whether it is a formula alone.
    is_formula: bool,
}

fn pieces(text: &str) -> Vec<Piece> {
    let mut pieces: Vec<Piece> = Vec::new();
    let mut depth = 0_usize;
    // Depth at which pieces are taken: 0, or 1 within a list.
    let mut level = 0_usize;
    let mut letters = 0_usize;
    let mut tenths = 0_usize;
    let mut words = false;
    for (event, span) in Parser::new_ext(text, options()).into_offset_iter() {
        match event {
            Event::Start(Tag::List(_)) if depth == 0 => {
                level = 1;
                depth += 1;
            }
            Event::Start(tag) => {
                if depth == level {
                    (letters, tenths, words) = (0, 0, false);
                }
                if matches!(tag, Tag::TableRow | Tag::TableHead | Tag::CodeBlock(_)) {
                    tenths += 14;
                }
                depth += 1;
            }
            Event::End(_) => {
                depth = depth.saturating_sub(1);
                if depth == level && !(depth == 0 && level == 1) {
                    let lines = letters.div_ceil(LINE);
                    pieces.push(Piece {
                        span: line_start(text, span.start)..span.end,
                        tenths: tenths + lines * 10 + 6,
                        is_formula: !words && tenths > 0 && level == 0,
                    });
                } else if depth == 0 {
                    level = 0;
                }
            }
            Event::Text(said) | Event::Code(said) => {
                words |= !said.trim().is_empty();
                letters += said.chars().count();
            }
            Event::InlineMath(tex) => {
                words = true;
                // What is written takes about half as much room when it is set.
                letters += tex.chars().count() / 2;
            }
            Event::DisplayMath(tex) => {
                tenths += 26 + 22 * tex.matches("\\\\").count();
            }
            Event::SoftBreak => letters += 1,
            _ => {}
        }
    }
    pieces
}

/// The start of the line that a place stands in: an item keeps its sign.
fn line_start(text: &str, at: usize) -> usize {
    text.get(..at)
        .and_then(|before| before.rfind('\n'))
        .map_or(0, |newline| newline + 1)
}

#[cfg(test)]
mod tests {
    use super::{LINE, split};

    #[test]
    fn words_are_cut_between_paragraphs_and_none_is_lost() {
        let long = "A sentence of some length stands here. ".repeat(8);
        let text = format!("{long}\n\n{long}\n\n$$a = b$$\n\nshort\n");
        let parts = split(&text);
        assert!(parts.len() > 1, "{parts:?}");
        assert!(
            parts.iter().all(|part| !part.trim().starts_with("$$")),
            "a formula stays with its words: {parts:?}"
        );
        let all: String = parts.join("\n\n");
        let words = |text: &str| {
            text.split_whitespace()
                .map(str::to_owned)
                .collect::<Vec<_>>()
        };
        assert_eq!(words(&all), words(&text));
    }

    #[test]
    fn a_long_list_is_cut_between_its_items() {
        let item = format!("- {}\n", "word ".repeat(LINE * 3 / 5));
        let text = format!("Before.\n\n{}\nAfter.\n", item.repeat(6));
        let parts = split(&text);
        assert!(parts.len() > 1, "{parts:?}");
        let items: usize = parts.iter().map(|part| part.matches("- ").count()).sum();
        assert_eq!(items, 6, "{parts:?}");
        assert!(parts.last().is_some_and(|last| last.contains("After.")));
    }

    #[test]
    fn a_table_stays_whole() {
        let text = "| a | b |\n|---|---|\n| 1 | 2 |\n| 3 | 4 |\n";
        assert_eq!(split(text).len(), 1);
    }
}
