//! The record as a file of one's own: written to be read by people too, and taken in again
//! without losing anything that is here already.

use super::record::{Kept, Record};
use crate::fields;

/// The largest file that is looked at, in bytes. A whole course with many attempts stays far below.
const LARGEST: usize = 4_000_000;

/// Why a file was not taken in.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Refused {
    /// It is not a record.
    #[error("it is not a file of saved work ({reason})")]
    NoRecord {
        /// What is wrong with it.
        reason: String,
    },
    /// Another version of the notebook wrote it.
    #[error(
        "another version of the notebook wrote it (format {found}; this one knows {})",
        super::VERSION
    )]
    OtherVersion {
        /// The version found.
        found: u32,
    },
    /// It is far too large.
    #[error("it is far too large for a file of saved work")]
    TooLarge,
}

/// What a file has added.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Gains {
    /// Attempts that were not here.
    pub attempts: usize,
    /// Committed predictions that were not here.
    pub predictions: usize,
    /// Answers to questions that were not here.
    pub tries: usize,
    /// Whether anything else changed: a newer draft, a met challenge, a place in a lesson.
    pub other: bool,
}

impl Gains {
    /// In words for the reader.
    #[must_use]
    pub fn words(&self) -> String {
        let mut parts = Vec::new();
        for (count, one) in [
            (self.attempts, "attempt"),
            (self.predictions, "prediction"),
            (self.tries, "answer"),
        ] {
            if count > 0 {
                let ending = if count == 1 { "" } else { "s" };
                parts.push(format!("{count} {one}{ending}"));
            }
        }
        match (parts.is_empty(), self.other) {
            (false, _) => format!(
                "Taken in: {} that were not here. What was here is kept.",
                parts.join(", ")
            ),
            (true, true) => {
                "Taken in: newer drafts or places. Nothing committed has changed.".to_owned()
            }
            (true, false) => "Everything in this file was here already.".to_owned(),
        }
    }
}

impl Record {
    /// The written form with a line for each field, for a file.
    #[must_use]
    pub fn file_text(&self) -> String {
        indented(&self.text())
    }

    /// Reads a record from a file that somebody hands in. Unlike [`Record::load`] it takes nothing
    /// for granted: a file without a version or without lessons is no record.
    ///
    /// # Errors
    /// When the text is no record of this version, or is far too large.
    pub fn from_file(text: &str) -> Result<Self, Refused> {
        if text.len() > LARGEST {
            return Err(Refused::TooLarge);
        }
        // Some editors put an invisible mark before the first letter.
        let text = text.trim_start_matches('\u{feff}');
        match Self::load(Some(text)).unusable {
            Some(Kept::Unreadable { reason }) => return Err(Refused::NoRecord { reason }),
            Some(Kept::OtherVersion { found }) => return Err(Refused::OtherVersion { found }),
            None => {}
        }
        fields::read(text, |fields| fields.part("lessons").names().len()).map_err(|error| {
            Refused::NoRecord {
                reason: error.to_string(),
            }
        })?;
        Ok(Self::load(Some(text)).record)
    }

    /// Takes another record in, as [`Record::merge`] does, and says what it added.
    pub fn take_in(&mut self, other: &Self) -> Gains {
        let before = self.clone();
        self.merge(other);
        let (was, is) = (before.counts(), self.counts());
        Gains {
            attempts: is[0].saturating_sub(was[0]),
            predictions: is[1].saturating_sub(was[1]),
            tries: is[2].saturating_sub(was[2]),
            other: self.text() != before.text(),
        }
    }

    /// How many attempts, committed predictions and tries there are.
    fn counts(&self) -> [usize; 3] {
        let mut counts = [0; 3];
        for lesson in self.lessons.values() {
            for attempt in &lesson.attempts {
                counts[0] += 1;
                for block in attempt.blocks.values() {
                    counts[1] += usize::from(block.committed.is_some());
                    counts[2] += block.tries.len();
                }
            }
        }
        counts
    }
}

/// Compact JSON with a line for each field and each entry of a list.
fn indented(json: &str) -> String {
    let mut out = String::with_capacity(json.len() * 2);
    let (mut depth, mut in_text, mut escaped) = (0_usize, false, false);
    let mut before = ' ';
    for letter in json.chars() {
        if in_text {
            out.push(letter);
            in_text = escaped || letter != '"';
            escaped = letter == '\\' && !escaped;
            before = letter;
            continue;
        }
        match letter {
            '{' | '[' => {
                out.push(letter);
                depth += 1;
                new_line(&mut out, depth);
            }
            '}' | ']' => {
                depth = depth.saturating_sub(1);
                if before == '{' || before == '[' {
                    // Nothing stood between: the brackets stay together.
                    out.truncate(out.trim_end().len());
                } else {
                    new_line(&mut out, depth);
                }
                out.push(letter);
            }
            ',' => {
                out.push(letter);
                new_line(&mut out, depth);
            }
            ':' => out.push_str(": "),
            '"' => {
                in_text = true;
                out.push(letter);
            }
            _ => out.push(letter),
        }
        before = letter;
    }
    out.push('\n');
    out
}

fn new_line(out: &mut String, depth: usize) {
    out.push('\n');
    for _ in 0..depth {
        out.push_str("  ");
    }
}

#[cfg(test)]
mod tests {
    use super::indented;

    #[test]
    fn brackets_in_texts_are_left_alone() {
        let json = r#"{"a":"x{,}:\"[","b":[],"c":{},"d":[1,2]}"#;
        let text = indented(json);
        assert_eq!(
            text,
            "{\n  \"a\": \"x{,}:\\\"[\",\n  \"b\": [],\n  \"c\": {},\n  \"d\": [\n    1,\n    2\n  ]\n}\n"
        );
        let (one, other): (serde_json::Value, serde_json::Value) = (
            serde_json::from_str(json).unwrap_or_default(),
            serde_json::from_str(&text).unwrap_or_default(),
        );
        assert_eq!(one, other);
        assert!(one.is_object());
    }
}
