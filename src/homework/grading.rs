//! A whole class: each receipt is marked by itself, in any order and on any thread, and leaves a
//! short row. When all are in, rows are compared: duplicates, records handed in twice under two
//! names, answers that fit somebody else's numbers.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use super::assignment::Assignment;
use super::identifier::Identifier;
use super::judge::{Expected, Judgement};
use super::marking::{Marks, Paper, PaperError, mark};
use super::receipt::{Receipt, Seal};
use super::variant::Variant;

/// Most variants of a question that a wrong answer is compared with.
const MOST_OTHERS: usize = 500;
/// From so many questions answered with another student's numbers on, that is told.
const TELLING: usize = 2;
/// At most so many of those others are named.
const MOST_NAMED: usize = 3;

/// Something about a receipt that the teacher should look at. Its words are what is shown.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Flag {
    /// The file is not a receipt that can be read.
    Unreadable(String),
    /// The receipt belongs to another assignment or course.
    OtherAssignment(String),
    /// The receipt belongs to another version of the assignment.
    OtherVersion(u32),
    /// The identifier is none.
    NoIdentifier(String),
    /// The digests do not fit.
    Edited(usize),
    /// The numbers shown are not those of the identifier.
    OtherNumbers(Vec<String>),
    /// Wrong answers fit the numbers of another student.
    FitsAnother(Vec<String>),
    /// The same record under another identifier.
    SameRecord(String),
    /// The student has handed in several files.
    Several(usize),
    /// Times go backwards.
    ClockBackwards,
    /// Answers after a question was closed.
    LateAnswers(Vec<String>),
    /// Answers to questions that the assignment does not have.
    Strangers(usize),
    /// The identifier is not on the roster.
    NotOnRoster,
    /// Nothing was handed in.
    Missing,
}

impl fmt::Display for Flag {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unreadable(why) => write!(f, "unreadable: {why}"),
            Self::OtherAssignment(name) => write!(f, "of another assignment: {name}"),
            Self::OtherVersion(version) => {
                write!(f, "of another version of the assignment: {version}")
            }
            Self::NoIdentifier(why) => write!(f, "no identifier: {why}"),
            Self::Edited(0) => write!(f, "edited: the head of the file"),
            Self::Edited(entry) => write!(f, "edited: from entry {entry} on"),
            Self::OtherNumbers(names) => {
                write!(f, "shows numbers of somebody else: {}", names.join(" and "))
            }
            Self::FitsAnother(students) => {
                write!(
                    f,
                    "wrong answers fit the numbers of {}",
                    students.join(" or ")
                )
            }
            Self::SameRecord(student) => write!(f, "the same record as {student}"),
            Self::Several(count) => write!(f, "one of {count} files of this student"),
            Self::ClockBackwards => write!(f, "times go backwards"),
            Self::LateAnswers(tasks) => {
                write!(f, "answers after the end of {}", tasks.join(" and "))
            }
            Self::Strangers(count) => {
                write!(f, "{count} entries about questions that are not there")
            }
            Self::NotOnRoster => write!(f, "not on the roster"),
            Self::Missing => write!(f, "nothing handed in"),
        }
    }
}

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
    /// For questions answered wrong: the numbers of others that the answer fits.
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

/// Questions, with the numbers of others that a wrong answer fits.
type Fits = Vec<(usize, BTreeSet<Vec<usize>>)>;

/// Which of several files of one student counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Keep {
    /// The one with most points; of equals the one with most entries.
    #[default]
    Best,
    /// The one with most entries; of equals the one whose name comes last.
    Longest,
}

/// Marks receipts of one assignment.
#[derive(Debug)]
pub struct Grader<'a> {
    paper: Paper<'a>,
}

impl<'a> Grader<'a> {
    /// A grader for an assignment.
    #[must_use]
    pub fn new(assignment: &'a Assignment) -> Self {
        Self {
            paper: Paper::new(assignment),
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
        row.fits = self.fits(&marks, &variant)?;
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

    /// For questions answered wrong: the numbers with which the answer would have been right.
    fn fits(&self, marks: &Marks, variant: &Variant) -> Result<Fits, PaperError> {
        let mut found = Vec::new();
        for (task, mark) in marks.tasks.iter().enumerate() {
            if mark.wrong.is_empty() {
                continue;
            }
            let mut fitting = BTreeSet::new();
            for other in self.paper.variants(task, MOST_OTHERS) {
                let expected = self.paper.expected(task, &other)?;
                if let Expected::Number(_) = *expected
                    && mark
                        .wrong
                        .iter()
                        .any(|text| expected.judge(text) == Judgement::Right)
                {
                    fitting.insert(self.paper.numbers(task, &other));
                }
            }
            fitting.remove(&self.paper.numbers(task, variant));
            if !fitting.is_empty() {
                found.push((task, fitting));
            }
        }
        Ok(found)
    }

    /// Compares all rows, and adds one for everybody on the roster who handed in nothing. Sorted
    /// by identifier, then by file; the order in which files came in does not matter.
    #[must_use]
    pub fn finish(
        &self,
        mut rows: Vec<Row>,
        keep: Keep,
        roster: Option<&[Identifier]>,
    ) -> Vec<Row> {
        rows.sort_by(|a, b| (&a.identifier, &a.file).cmp(&(&b.identifier, &b.file)));
        tell_same_records(&mut rows);
        choose_among_several(&mut rows, keep);
        self.tell_other_numbers(&mut rows);
        if let Some(roster) = roster {
            let listed: BTreeSet<&Identifier> = roster.iter().collect();
            for row in &mut rows {
                if let Some(student) = &row.identifier
                    && !listed.contains(student)
                {
                    row.flags.push(Flag::NotOnRoster);
                }
            }
            let seen: BTreeSet<Identifier> = rows
                .iter()
                .filter_map(|row| row.identifier.clone())
                .collect();
            rows.extend(
                listed
                    .into_iter()
                    .filter(|student| !seen.contains(*student))
                    .map(missing),
            );
            rows.sort_by(|a, b| (&a.identifier, &a.file).cmp(&(&b.identifier, &b.file)));
        }
        for row in &mut rows {
            row.flags.sort();
            row.flags.dedup();
        }
        rows
    }

    fn tell_other_numbers(&self, rows: &mut [Row]) {
        let assignment = self.paper.assignment();
        let everybody: BTreeMap<Identifier, Variant> = rows
            .iter()
            .filter_map(|row| row.identifier.clone())
            .map(|student| {
                let variant = Variant::of(assignment, &student);
                (student, variant)
            })
            .collect();
        for row in rows {
            if row.fits.len() < TELLING {
                continue;
            }
            let fitting = |variant: &Variant| {
                let fits = row.fits.iter();
                fits.filter(|(task, fits)| fits.contains(&self.paper.numbers(*task, variant)))
                    .count()
            };
            let others: Vec<(&Identifier, usize)> = everybody
                .iter()
                .filter(|(student, _)| row.identifier.as_ref() != Some(*student))
                .map(|(student, variant)| (student, fitting(variant)))
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

fn missing(student: &Identifier) -> Row {
    Row {
        student: student.as_str().to_owned(),
        identifier: Some(student.clone()),
        flags: vec![Flag::Missing],
        counts: true,
        ..Row::of("")
    }
}

/// Tells records that are the same but for the head: the digest of the answers alone.
fn tell_same_records(rows: &mut [Row]) {
    let mut seen: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for row in rows.iter() {
        if let Some(student) = &row.identifier
            && row.entries > 0
        {
            seen.entry(row.digest.clone())
                .or_default()
                .insert(student.as_str().to_owned());
        }
    }
    for row in rows {
        let Some(student) = &row.identifier else {
            continue;
        };
        let other = seen
            .get(&row.digest)
            .and_then(|students| students.iter().find(|other| *other != student.as_str()));
        if let Some(other) = other {
            row.flags.push(Flag::SameRecord(other.clone()));
        }
    }
}

fn choose_among_several(rows: &mut [Row], keep: Keep) {
    let mut start = 0;
    while start < rows.len() {
        let student = rows[start].identifier.clone();
        let end = rows
            .iter()
            .skip(start)
            .position(|row| row.identifier != student)
            .map_or(rows.len(), |length| start + length);
        if student.is_some() && end - start > 1 {
            let group = &mut rows[start..end];
            let points = |row: &Row| row.marks.as_ref().map_or(0.0, Marks::points);
            let best = (0..group.len()).max_by(|&a, &b| {
                let (a, b) = (&group[a], &group[b]);
                let by_points = match keep {
                    Keep::Best => points(a).total_cmp(&points(b)),
                    Keep::Longest => std::cmp::Ordering::Equal,
                };
                by_points
                    .then(a.entries.cmp(&b.entries))
                    .then(a.file.cmp(&b.file))
            });
            let count = group.len();
            for (place, row) in group.iter_mut().enumerate() {
                row.counts = Some(place) == best;
                row.flags.push(Flag::Several(count));
            }
        }
        start = end;
    }
}
