//! A whole class: each receipt is marked by itself, in any order and on any thread, and leaves a
//! short row. When all are in, rows are compared: duplicates, records handed in twice under two
//! names, answers that fit somebody else's numbers.

mod flag;
mod others;
mod whole_class;

use super::assignment::Assignment;
use super::identifier::Identifier;
use super::marking::{Marks, Paper, PaperError, mark};
use super::receipt::{Receipt, Seal};
use super::variant::Variant;
pub use flag::Flag;
use others::{Fits, Others};
pub use whole_class::Keep;

/// What one file comes to.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// The file; empty for a student of the roster who handed in nothing.
    pub file: String,
    /// The identifier as typed; empty when it could not be read.
    pub student: String,
    /// The identifier in its one form.
    pub identifier: Option<Identifier>,
    /// What became of the answers.
    pub marks: Option<Marks>,
    /// What the teacher should look at.
    pub flags: Vec<Flag>,
    /// Whether this row counts: of several files of one student only one does.
    pub counts: bool,
    /// How many entries the receipt has.
    pub entries: usize,
    digest: String,
    /// For questions answered wrong: with whose numbers the answer would be right.
    fits: Fits,
}

impl Row {
    /// Of a file, of which nothing is known yet.
    fn of(file: &str) -> Self {
        Self {
            file: file.to_owned(),
            student: String::new(),
            identifier: None,
            marks: None,
            flags: Vec::new(),
            counts: false,
            entries: 0,
            digest: String::new(),
            fits: Vec::new(),
        }
    }
}

/// Marks receipts of one assignment.
#[derive(Debug)]
pub struct Grader<'a> {
    paper: Paper<'a>,
    others: Others,
}

impl<'a> Grader<'a> {
    /// A grader for an assignment.
    #[must_use]
    pub fn new(assignment: &'a Assignment) -> Self {
        Self {
            paper: Paper::new(assignment),
            others: Others::new(assignment.tasks.len()),
        }
    }

    /// The assignment with its computed questions.
    #[must_use]
    pub fn paper(&self) -> &Paper<'a> {
        &self.paper
    }

    /// Marks one file. A file that cannot be used gives a row that says so.
    ///
    /// # Errors
    /// When the assignment itself cannot be computed.
    pub fn row(&self, file: &str, text: Result<&str, String>) -> Result<Row, PaperError> {
        let mut row = Row::of(file);
        let read = text.and_then(|text| Receipt::read(text).map_err(|error| error.to_string()));
        let (receipt, seal) = match read {
            Ok(read) => read,
            Err(why) => {
                row.flags.push(Flag::Unreadable(why));
                return Ok(row);
            }
        };
        row.student.clone_from(&receipt.student);
        row.entries = receipt.entries.len();
        row.digest = receipt.answers_digest();
        if let Seal::BrokenAt(entry) = seal {
            row.flags.push(Flag::Edited(entry));
        }
        let assignment = self.paper.assignment();
        if receipt.assignment != assignment.slug || receipt.course != assignment.course {
            let name = format!("{} of {}", receipt.assignment, receipt.course);
            row.flags.push(Flag::OtherAssignment(name));
            return Ok(row);
        }
        if receipt.version != assignment.version {
            row.flags.push(Flag::OtherVersion(receipt.version));
            return Ok(row);
        }
        let student = match Identifier::new(&receipt.student) {
            Ok(student) => student,
            Err(error) => {
                row.flags.push(Flag::NoIdentifier(error.to_string()));
                return Ok(row);
            }
        };
        let variant = Variant::of(assignment, &student);
        row.flags.extend(self.other_numbers(&receipt, &variant));
        let backwards = receipt
            .entries
            .iter()
            .zip(receipt.entries.iter().skip(1))
            .any(|(before, after)| after.at < before.at);
        if backwards {
            row.flags.push(Flag::ClockBackwards);
        }
        let marks = mark(&self.paper, &variant, &receipt.entries)?;
        let late: Vec<String> = marks
            .tasks
            .iter()
            .zip(&assignment.tasks)
            .filter(|(mark, _)| mark.late > 0)
            .map(|(_, task)| task.id.clone())
            .collect();
        if !late.is_empty() {
            row.flags.push(Flag::LateAnswers(late));
        }
        if marks.strangers > 0 {
            row.flags.push(Flag::Strangers(marks.strangers));
        }
        row.fits = self.others.fits(&self.paper, &marks, &variant)?;
        row.identifier = Some(student);
        row.marks = Some(marks);
        row.counts = true;
        Ok(row)
    }

    /// The shown numbers that are not the student's.
    fn other_numbers(&self, receipt: &Receipt, variant: &Variant) -> Option<Flag> {
        let assignment = self.paper.assignment();
        let names: Vec<String> = assignment
            .draws
            .iter()
            .enumerate()
            .filter(|(place, draw)| {
                receipt.values.get(&draw.name).map(String::as_str)
                    != variant.value(assignment, *place)
            })
            .map(|(_, draw)| draw.name.clone())
            .collect();
        (!names.is_empty()).then_some(Flag::OtherNumbers(names))
    }
}
