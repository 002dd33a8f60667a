//! Going on from a receipt: whether it belongs here, and whether anything would be lost.

use thiserror::Error;

use super::work::Work;
use crate::homework::receipt::Seal;
use crate::homework::{Assignment, Identifier, IdentifierError, Receipt, ReceiptError, Variant};

/// Why a receipt is not taken up. Nothing here changes then.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum NotTaken {
    /// It is no receipt.
    #[error(transparent)]
    Unreadable(#[from] ReceiptError),
    /// It belongs elsewhere.
    #[error("it is a receipt of `{0}`, which is another assignment")]
    OtherAssignment(String),
    /// It belongs to another version.
    #[error(
        "it is a receipt of version {found} of this assignment, which is now version {now}; hand it in as it is, or ask your course"
    )]
    OtherVersion {
        /// Its version.
        found: u32,
        /// The version here.
        now: u32,
    },
    /// It was changed after it was saved.
    #[error("it was changed since it was saved")]
    Edited,
    /// Its identifier is none.
    #[error("its identifier cannot be used: {0}")]
    Student(#[from] IdentifierError),
    /// Its numbers are not those of its identifier.
    #[error("its numbers are not those of its identifier")]
    OtherNumbers,
    /// Somebody else works here.
    #[error(
        "it is the receipt of {there}, and {here} has begun here; start over as somebody else first"
    )]
    SomebodyElse {
        /// Whose work stands here.
        here: String,
        /// Whose receipt it is.
        there: String,
    },
    /// There is nothing new in it.
    #[error("everything in it is here already")]
    NothingNew,
    /// Both went on from one place.
    #[error(
        "it and the work here differ from entry {0} on, and only one of them can go on; to go on from the file, save the receipt here, then start over"
    )]
    Parted(usize),
}

/// Looks at the text of a file: the receipt to go on from, if it is one of this assignment and
/// nothing that stands here would be lost.
///
/// # Errors
/// Why it is not taken up.
pub fn take_up(
    assignment: &Assignment,
    here: Option<&Work>,
    text: &str,
) -> Result<Receipt, NotTaken> {
    let (receipt, seal) = Receipt::read(text)?;
    if receipt.assignment != assignment.slug || receipt.course != assignment.course {
        return Err(NotTaken::OtherAssignment(receipt.assignment));
    }
    if receipt.version != assignment.version {
        return Err(NotTaken::OtherVersion {
            found: receipt.version,
            now: assignment.version,
        });
    }
    if seal != Seal::Whole {
        return Err(NotTaken::Edited);
    }
    let student = Identifier::new(&receipt.student)?;
    let variant = Variant::of(assignment, &student);
    let same = assignment.draws.iter().enumerate().all(|(place, draw)| {
        receipt.values.get(&draw.name).map(String::as_str) == variant.value(assignment, place)
    });
    if !same {
        return Err(NotTaken::OtherNumbers);
    }
    if let Some(here) = here.filter(|work| !work.entries().is_empty()) {
        if *here.student() != student {
            return Err(NotTaken::SomebodyElse {
                here: here.student().as_str().to_owned(),
                there: student.as_str().to_owned(),
            });
        }
        let pairs = here.entries().iter().zip(&receipt.entries);
        let common = pairs.take_while(|(one, other)| one == other).count();
        if common < here.entries().len() {
            return Err(if common == receipt.entries.len() {
                NotTaken::NothingNew
            } else {
                NotTaken::Parted(common + 1)
            });
        }
        if common == receipt.entries.len() {
            return Err(NotTaken::NothingNew);
        }
    }
    Ok(receipt)
}
