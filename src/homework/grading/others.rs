//! Answers that are wrong with a student's own numbers and right with somebody else's: the sign of a
//! neighbour's sheet.

use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

use super::super::identifier::Identifier;
use super::super::judge::Expected;
use super::super::marking::{Marks, Paper, PaperError};
use super::super::variant::Variant;
use super::{Flag, Row};
use crate::quantity::parse_quantity;

/// Most variants of a question that a wrong answer is compared with.
const MOST_OTHERS: usize = 500;
/// From so many questions answered with another student's numbers on, that is told.
const TELLING: usize = 2;
/// At most so many of those others are named.
const MOST_NAMED: usize = 3;

/// Questions answered wrong, by their places, each with the variants, by theirs, with which the
/// answer would have been right.
pub(super) type Fits = Vec<(usize, Vec<usize>)>;

/// Every variant of the questions that ask for a number; those of a question are gathered when the
/// first wrong answer to it comes.
#[derive(Debug)]
pub(super) struct Others {
    tasks: Vec<OnceLock<Variants>>,
}

/// Every variant of a question, in order.
#[derive(Debug)]
struct Variants {
    expected: Vec<Arc<Expected>>,
    /// The place of each in that order, by its numbers.
    places: BTreeMap<Vec<usize>, usize>,
}

impl Variants {
    fn of(paper: &Paper<'_>, task: usize) -> Result<Self, PaperError> {
        let mut variants = Self {
            expected: Vec::new(),
            places: BTreeMap::new(),
        };
        for (place, variant) in paper.variants(task, MOST_OTHERS).iter().enumerate() {
            variants.expected.push(paper.expected(task, variant)?);
            variants.places.insert(paper.numbers(task, variant), place);
        }
        Ok(variants)
    }
}

impl Others {
    /// Nothing gathered yet, of so many questions.
    pub(super) fn new(tasks: usize) -> Self {
        Self {
            tasks: (0..tasks).map(|_| OnceLock::new()).collect(),
        }
    }

    /// The variants of a question; none when it does not ask for a number.
    fn variants(
        &self,
        paper: &Paper<'_>,
        task: usize,
        variant: &Variant,
    ) -> Result<Option<&Variants>, PaperError> {
        let Some(cell) = self.tasks.get(task) else {
            return Ok(None);
        };
        if let Some(known) = cell.get() {
            return Ok(Some(known));
        }
        if !matches!(*paper.expected(task, variant)?, Expected::Number(_)) {
            return Ok(None);
        }
        let found = Variants::of(paper, task)?;
        Ok(Some(cell.get_or_init(|| found)))
    }

    /// For questions answered wrong: with whose numbers the answer would have been right.
    pub(super) fn fits(
        &self,
        paper: &Paper<'_>,
        marks: &Marks,
        variant: &Variant,
    ) -> Result<Fits, PaperError> {
        let mut found = Vec::new();
        for (task, mark) in marks.tasks.iter().enumerate() {
            if mark.wrong.is_empty() {
                continue;
            }
            let Some(variants) = self.variants(paper, task, variant)? else {
                continue;
            };
            // Read once: there are many variants to compare with.
            let wrong: Vec<_> = mark
                .wrong
                .iter()
                .filter_map(|text| parse_quantity(text).ok())
                .collect();
            let is_right = |expected: &Expected| match expected {
                Expected::Number(number) => wrong.iter().any(|given| number.accepts(given)),
                _ => false,
            };
            let own = variants.places.get(&paper.numbers(task, variant));
            let fitting: Vec<usize> = variants
                .expected
                .iter()
                .enumerate()
                .filter(|(place, expected)| own != Some(place) && is_right(expected))
                .map(|(place, _)| place)
                .collect();
            if !fitting.is_empty() {
                found.push((task, fitting));
            }
        }
        Ok(found)
    }

    /// Tells of rows whose wrong answers fit the numbers of another student of the class.
    pub(super) fn tell(&self, paper: &Paper<'_>, rows: &mut [Row]) {
        let class = Class::of(paper, self, rows);
        for row in rows {
            if row.fits.len() < TELLING {
                continue;
            }
            let mut counts: BTreeMap<usize, usize> = BTreeMap::new();
            for (task, fitting) in &row.fits {
                for place in fitting {
                    for &student in class.with.get(&(*task, *place)).into_iter().flatten() {
                        *counts.entry(student).or_default() += 1;
                    }
                }
            }
            let others: Vec<(&Identifier, usize)> = counts
                .into_iter()
                .filter_map(|(student, count)| Some((class.students.get(student)?, count)))
                .filter(|(student, _)| row.identifier.as_ref() != Some(*student))
                .collect();
            // Those whose numbers fit most of the answers.
            let most = others.iter().map(|(_, count)| *count).max().unwrap_or(0);
            if most >= TELLING {
                let names = others
                    .into_iter()
                    .filter(|(_, count)| *count == most)
                    .map(|(student, _)| student.as_str().to_owned())
                    .take(MOST_NAMED)
                    .collect();
                row.flags.push(Flag::FitsAnother(names));
            }
        }
    }
}

/// Who of a class has which variant of a question: looked up for each doubtful row, instead of
/// comparing each with everybody.
struct Class {
    /// Everybody who handed in, in order.
    students: Vec<Identifier>,
    /// Their places in that order, by question and variant.
    with: BTreeMap<(usize, usize), Vec<usize>>,
}

impl Class {
    fn of(paper: &Paper<'_>, others: &Others, rows: &[Row]) -> Self {
        let mut students: Vec<Identifier> = rows
            .iter()
            .filter_map(|row| row.identifier.clone())
            .collect();
        students.sort_unstable();
        students.dedup();
        let mut with: BTreeMap<(usize, usize), Vec<usize>> = BTreeMap::new();
        for (place, student) in students.iter().enumerate() {
            let variant = Variant::of(paper.assignment(), student);
            for (task, cell) in others.tasks.iter().enumerate() {
                // Nothing was gathered of a question that nobody answered wrong.
                let own = cell
                    .get()
                    .and_then(|known| known.places.get(&paper.numbers(task, &variant)));
                if let Some(own) = own {
                    with.entry((task, *own)).or_default().push(place);
                }
            }
        }
        Self { students, with }
    }
}
