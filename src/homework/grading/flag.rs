//! What a teacher should look at.

use std::fmt;

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
