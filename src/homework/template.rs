//! From an assignment file to the assignment. The file is a lesson file in which `@{name}` stands
//! for a number of each student's own. It begins with an `assignment` block instead of a `lesson`
//! block, and `draw` blocks list the values. With values put in it is a lesson, and is read and
//! checked as one; places of mistakes are brought back to the file.

mod check;
mod head;
mod physical;
mod records;
mod tags;

use std::ops::Range;

use super::assignment::{Assignment, SOLUTION, Task};
use crate::lesson::diagnostic::{Diagnostic, Diagnostics, Mistake};
use crate::lesson::spec::{Block, Lesson};
use crate::lesson::text;
use crate::lesson::text::filling::{Filling, whole};
use crate::lesson::text::split::{Piece, RawBlock, split};
use head::{read_draws, read_head};
use tags::{retagged, tagged};

pub use check::Report;

/// An assignment file, read.
#[derive(Debug, Clone, PartialEq)]
pub struct AssignmentFile {
    /// Its name, as shown in messages.
    pub file: String,
    /// Its text.
    pub source: String,
    /// The assignment.
    pub assignment: Assignment,
    /// The file as a lesson, with the first value of each draw put in, marked: see
    /// [`AssignmentFile::opened`].
    pub lesson: Lesson,
    /// Its mistakes, in the order of the file.
    pub diagnostics: Vec<Diagnostic>,
    /// Where each question opens.
    places: Vec<Range<usize>>,
}

/// Whether a text means to be an assignment file, not a lesson file.
#[must_use]
pub fn is_assignment(source: &str) -> bool {
    split(&mut Diagnostics::new(source))
        .iter()
        .find_map(|piece| match piece {
            Piece::Block(raw) => Some(raw.kind == Some("assignment")),
            _ => None,
        })
        .unwrap_or(false)
}

impl AssignmentFile {
    /// Reads an assignment file. `file` is its name. What the answers come to for each student is
    /// looked at by [`AssignmentFile::check`].
    #[must_use]
    pub fn read(source: &str, file: &str) -> Self {
        let mut diagnostics = Diagnostics::new(source);
        // What is wrong with single blocks is told when the filled file is read as a lesson.
        let pieces = split(&mut Diagnostics::new(source));
        let blocks = |kind: &'static str| {
            pieces.iter().filter_map(move |piece| match piece {
                Piece::Block(raw) if raw.kind == Some(kind) => Some(raw),
                _ => None,
            })
        };
        let head = read_head(blocks("assignment"), file, &mut diagnostics);
        let draws = read_draws(blocks("draw"), &mut diagnostics);
        let mut filling = Filling::new(source);
        for (place, raw) in blocks("assignment").enumerate() {
            let lesson = if place == 0 {
                head.lesson_block()
            } else {
                String::new()
            };
            filling.replace(whole(source, raw), lesson);
        }
        for raw in blocks("draw") {
            filling.replace(whole(source, raw), String::new());
        }
        for raw in blocks("value") {
            diagnostics.add(
                Mistake::UnknownBlock,
                raw.opening.clone(),
                "an assignment has no `value` block: its numbers differ from student to student",
                "take it away; only drawn values can stand in the text",
            );
            filling.replace(whole(source, raw), String::new());
        }
        let texts: Vec<(String, String)> = draws
            .iter()
            .enumerate()
            .map(|(place, draw)| (draw.name.clone(), tagged(&draws, place)))
            .collect();
        filling.put("draw", &texts, &mut diagnostics);
        let filled = filling.finish();
        let (lesson, mistakes) = text::parse(&filled.text, file);
        let no_head = blocks("assignment").next().is_none();
        for found in mistakes {
            // Without an assignment block there is no lesson block either; that has been told.
            if !(no_head && found.mistake == Mistake::NoLessonBlock) {
                diagnostics.add(
                    found.mistake,
                    filled.back(&found.span),
                    found.message,
                    found.mend,
                );
            }
        }
        let mut assignment = head.into_assignment(draws);
        let mut places = Vec::new();
        for block in questions(&lesson) {
            let place = place_of(&pieces, source, &["question", "predict"], block.id());
            check_hints(block, place.clone(), &mut diagnostics);
            places.push(place);
            assignment.tasks.push(Task {
                id: block.id().to_owned(),
                points: 1,
                spec: retagged(
                    &serde_json::to_string(block).unwrap_or_default(),
                    &assignment.draws,
                    super::Draw::placeholder,
                ),
            });
        }
        head::set_points(
            blocks("assignment").next(),
            &mut assignment,
            &mut diagnostics,
        );
        if assignment.tasks.is_empty() && !no_head {
            diagnostics.add(
                Mistake::NoAssignmentBlock,
                0..0,
                "this assignment asks nothing",
                "add a `question` or a `predict` block",
            );
        }
        let records = records::records(&lesson, &assignment.draws);
        for raw in blocks("draw") {
            tell_unused(source, raw, &assignment, &records, &mut diagnostics);
        }
        Self {
            file: file.to_owned(),
            source: source.to_owned(),
            assignment,
            lesson,
            diagnostics: diagnostics.finish(),
            places,
        }
    }

    /// Where a block that asks nothing opens.
    fn place_of(&self, kind: &str, id: &str) -> Range<usize> {
        let pieces = split(&mut Diagnostics::new(&self.source));
        place_of(&pieces, &self.source, &[kind], id)
    }

    /// A text rendered from the lesson with something else at every drawn value.
    #[must_use]
    pub fn opened(&self, text: &str, with: impl Fn(&super::Draw) -> String) -> String {
        retagged(text, &self.assignment.draws, with)
    }
}

/// The blocks of an assignment that ask for something that counts.
fn questions(lesson: &Lesson) -> impl Iterator<Item = &Block> {
    lesson
        .blocks()
        .filter(|block| matches!(block, Block::Question(_) | Block::Predict(_)))
}

/// Where the block of that name opens.
fn place_of(pieces: &[Piece], source: &str, kinds: &[&str], id: &str) -> Range<usize> {
    pieces
        .iter()
        .find_map(|piece| match piece {
            Piece::Block(raw)
                if raw.kind.is_some_and(|kind| kinds.contains(&kind))
                    && source.get(raw.name.clone()) == Some(id) =>
            {
                Some(raw.opening.clone())
            }
            _ => None,
        })
        .unwrap_or(0..0)
}

/// A numeric question has three hints and the worked solution, which closes it.
fn check_hints(block: &Block, place: Range<usize>, diagnostics: &mut Diagnostics<'_>) {
    if let Block::Question(question) = block
        && question.hints.len() != SOLUTION
    {
        diagnostics.add(
            Mistake::NotFourHints,
            place,
            format!(
                "this question has {} hints; in an assignment it has {SOLUTION}",
                question.hints.len()
            ),
            "write which quantity, which relation, the relation with numbers, and last the worked \
             solution, which closes the question",
        );
    }
}

/// Tells a draw that nothing uses.
fn tell_unused(
    source: &str,
    raw: &RawBlock,
    assignment: &Assignment,
    records: &[Task],
    diagnostics: &mut Diagnostics<'_>,
) {
    let name = source.get(raw.name.clone()).unwrap_or_default();
    let Some(draw) = assignment.draws.iter().find(|draw| draw.name == name) else {
        return;
    };
    let used = |task: &Task| task.spec.contains(&draw.placeholder());
    let used = assignment.tasks.iter().any(used) || records.iter().any(used);
    if !used {
        diagnostics.add(
            Mistake::BadDraw,
            raw.opening.clone(),
            format!("no question and no record depends on `{name}`"),
            format!(
                "write `@{{{name}}}` in a question, a record or its set-up, or take the draw away"
            ),
        );
    }
}
