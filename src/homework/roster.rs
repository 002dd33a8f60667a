//! The roster: who is to hand in. A text file with one identifier a line, or a CSV file with the
//! identifiers in its first column.

use thiserror::Error;

use super::identifier::{Identifier, IdentifierError};

/// Why a text is not a roster.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum RosterError {
    /// It is not CSV.
    #[error("record {record}: not CSV: {error}")]
    NotCsv {
        /// Which record, counted from 1.
        record: usize,
        /// What is wrong.
        error: csv::Error,
    },
    /// A cell is no identifier.
    #[error("record {record}: `{cell}`: {error}")]
    Identifier {
        /// Which record, counted from 1.
        record: usize,
        /// What stands there.
        cell: String,
        /// What is wrong.
        error: IdentifierError,
    },
    /// There is nobody on it.
    #[error("it names nobody")]
    Empty,
}

/// What the first line may call its column.
const HEADINGS: [&str; 4] = ["student", "id", "identifier", "student id"];

/// Reads a roster. A first line that says what the column is, is passed over; so are empty ones.
///
/// # Errors
/// When it is not CSV, when a cell of the first column is no identifier, or when nobody is named.
pub fn read(text: &str) -> Result<Vec<Identifier>, RosterError> {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .from_reader(text.trim_start_matches('\u{FEFF}').as_bytes());
    let mut roster = Vec::new();
    for (line, record) in reader.records().enumerate() {
        let record = record.map_err(|error| RosterError::NotCsv {
            record: line + 1,
            error,
        })?;
        let cell = record.get(0).unwrap_or("").trim();
        if cell.is_empty() || (line == 0 && HEADINGS.contains(&cell.to_lowercase().as_str())) {
            continue;
        }
        let student = Identifier::new(cell).map_err(|error| RosterError::Identifier {
            record: line + 1,
            cell: cell.chars().take(80).collect(),
            error,
        })?;
        roster.push(student);
    }
    if roster.is_empty() {
        return Err(RosterError::Empty);
    }
    Ok(roster)
}
