//! Sheets on paper, made when they are asked for.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex};

use coldfringe::lesson::spec::Lesson;
use coldfringe::page::shell::Assets;
use coldfringe::sheet::{solutions_page, worksheet_page};

/// A sheet on paper: computed when it is asked for, since some curves take seconds.
#[derive(Debug, Clone)]
pub(super) struct Sheet {
    pub(super) lesson: Arc<Lesson>,
    pub(super) is_solutions: bool,
    pub(super) assets: Assets,
}

/// Sheets made so far, by path, with the lesson they were made of: while lessons are written, only
/// a changed one is computed again.
static MADE: Mutex<BTreeMap<String, Made>> = Mutex::new(BTreeMap::new());

/// The lesson that a sheet was made of, and the sheet.
type Made = (Arc<Lesson>, Vec<u8>);

impl Sheet {
    /// The page; made now, unless it was made of the same lesson before.
    pub(super) fn bytes(&self, path: &str) -> Vec<u8> {
        if let Ok(made) = MADE.lock()
            && let Some((lesson, bytes)) = made.get(path)
            && *lesson == self.lesson
        {
            return bytes.clone();
        }
        let make = if self.is_solutions {
            solutions_page
        } else {
            worksheet_page
        };
        let bytes = make(&self.lesson, &self.assets).into_bytes();
        if let Ok(mut made) = MADE.lock() {
            made.insert(path.to_owned(), (Arc::clone(&self.lesson), bytes.clone()));
        }
        bytes
    }
}
