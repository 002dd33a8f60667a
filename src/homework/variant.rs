//! Each student's own numbers. Course, assignment, its version and the student's identifier are
//! digested by SHA-256; for each number to be drawn that digest, with the number's name, starts a
//! `SplitMix64` generator, which chooses from the list in the assignment file. Nothing here is a
//! broken number: every machine draws the same, and a new draw in a file moves no other.

use sha2::{Digest as _, Sha256};

use super::assignment::Assignment;
use super::identifier::Identifier;
use crate::numerics::splitmix::SplitMix64;

/// Which value of each draw of an assignment a student has.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Variant {
    /// A place in each draw's list, in the order of the assignment's draws.
    pub chosen: Vec<usize>,
}

impl Variant {
    /// The numbers of one student.
    #[must_use]
    pub fn of(assignment: &Assignment, student: &Identifier) -> Self {
        let seed = Sha256::digest(
            format!(
                "{}|{}|{}|{}",
                assignment.course,
                assignment.slug,
                assignment.version,
                student.as_str()
            )
            .as_bytes(),
        );
        let chosen = assignment
            .draws
            .iter()
            .map(|draw| {
                let mut digest = Sha256::new();
                digest.update(seed);
                digest.update(b"|");
                digest.update(draw.name.as_bytes());
                SplitMix64::of_digest(&digest.finalize()).below(draw.values.len())
            })
            .collect();
        Self { chosen }
    }

    /// The first value of every draw.
    #[must_use]
    pub fn first(assignment: &Assignment) -> Self {
        Self {
            chosen: vec![0; assignment.draws.len()],
        }
    }

    /// The value of a draw as text; none when the assignment has no such draw.
    #[must_use]
    pub fn value<'a>(&self, assignment: &'a Assignment, draw: usize) -> Option<&'a str> {
        let place = *self.chosen.get(draw)?;
        let values = &assignment.draws.get(draw)?.values;
        values.get(place).map(String::as_str)
    }
}
