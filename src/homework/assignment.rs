//! An assignment as both sides know it: its rules, what is drawn for each student, and its
//! questions with the draws still open.

use super::variant::Variant;
use crate::fields::FieldError;
use crate::lesson::read;
use crate::lesson::spec::Block;

/// An assignment.
#[derive(Debug, Clone, PartialEq)]
pub struct Assignment {
    /// Its name in addresses and in receipts.
    pub slug: String,
    /// Its title.
    pub title: String,
    /// The course, part of what the numbers are drawn from.
    pub course: String,
    /// Its version. A change of draws or questions needs another one, or students who have begun
    /// find other numbers.
    pub version: u32,
    /// How answers are counted.
    pub rules: Rules,
    /// What is drawn for each student.
    pub draws: Vec<Draw>,
    /// The questions, in the order of the file.
    pub tasks: Vec<Task>,
}

/// How answers are counted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rules {
    /// How many tries a number has.
    pub tries: u32,
    /// How many of them count in full.
    pub full: u32,
    /// The share of the points that a later right try counts.
    pub later: f64,
}

/// Something drawn for each student.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Draw {
    /// Its name: `@{name}` stands for it in the file.
    pub name: String,
    /// The values it may have, as text with units.
    pub values: Vec<String>,
}

impl Draw {
    /// How the draw is written in the file.
    #[must_use]
    pub fn placeholder(&self) -> String {
        format!("@{{{}}}", self.name)
    }
}

/// A question.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Task {
    /// Its name in the file.
    pub id: String,
    /// What it counts.
    pub points: u32,
    /// The block's JSON, with `@{name}` where a draw stands.
    pub spec: String,
}

/// The hint that holds the worked solution: whoever opens it has closed the question.
pub const SOLUTION: usize = 4;

impl Assignment {
    /// The draws that a question asks about, by their places: two students who agree in these
    /// have the same question.
    #[must_use]
    pub fn uses(&self, task: &Task) -> Vec<usize> {
        self.draws
            .iter()
            .enumerate()
            .filter(|(_, draw)| task.spec.contains(&draw.placeholder()))
            .map(|(place, _)| place)
            .collect()
    }

    /// Every combination of the values of some draws, the other draws at their first value. At most
    /// `most`, in order.
    #[must_use]
    pub fn variants(&self, uses: &[usize], most: usize) -> Vec<Variant> {
        let mut variants = vec![Variant::first(self)];
        for &draw in uses {
            let count = self.draws.get(draw).map_or(1, |draw| draw.values.len());
            variants = variants
                .into_iter()
                .flat_map(|variant| {
                    (0..count).map(move |place| {
                        let mut next = variant.clone();
                        if let Some(chosen) = next.chosen.get_mut(draw) {
                            *chosen = place;
                        }
                        next
                    })
                })
                .take(most)
                .collect();
        }
        variants
    }

    /// The values of some draws in a variant, in words.
    #[must_use]
    pub fn drawn(&self, uses: &[usize], variant: &Variant) -> String {
        let values: Vec<String> = uses
            .iter()
            .filter_map(|&draw| {
                let name = &self.draws.get(draw)?.name;
                Some(format!("{name} = {}", variant.value(self, draw)?))
            })
            .collect();
        values.join(", ")
    }

    /// A text with the student's numbers put in.
    #[must_use]
    pub fn filled(&self, text: &str, variant: &Variant) -> String {
        let mut filled = text.to_owned();
        for (place, draw) in self.draws.iter().enumerate() {
            if let Some(value) = variant.value(self, place) {
                filled = filled.replace(&draw.placeholder(), value);
            }
        }
        filled
    }

    /// A question with the student's numbers.
    ///
    /// # Errors
    /// When the question is not the JSON of a block, which the check of the file excludes.
    pub fn block(&self, task: &Task, variant: &Variant) -> Result<Block, FieldError> {
        read::block(&self.filled(&task.spec, variant))
    }

    /// The question of that name.
    #[must_use]
    pub fn task(&self, id: &str) -> Option<(usize, &Task)> {
        self.tasks
            .iter()
            .enumerate()
            .find(|(_, task)| task.id == id)
    }
}
