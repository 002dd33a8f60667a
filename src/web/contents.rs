//! The contents page: how far each lesson has come.

use super::dom;
use super::store::Store;
use super::trouble::Outcome;
use crate::page::islands;

/// Writes beside each lesson what was done in it.
pub(crate) fn show_progress(store: &Store) -> Outcome {
    let record = store.load();
    let document = dom::document()?;
    let Some(body) = document.body() else {
        return Ok(());
    };
    for entry in dom::find_all(&body, &format!("[{}]", islands::LESSON_LINK)) {
        let slug = entry
            .get_attribute(islands::LESSON_LINK)
            .unwrap_or_default();
        let Some(attempt) = record
            .lessons
            .get(&slug)
            .and_then(|lesson| lesson.attempts.last())
        else {
            continue;
        };
        let committed = attempt
            .blocks
            .values()
            .filter(|block| block.committed.is_some())
            .count();
        if attempt.blocks.is_empty() {
            continue;
        }
        let all = entry
            .get_attribute(islands::PREDICTIONS)
            .and_then(|count| count.parse::<usize>().ok())
            .unwrap_or(committed);
        let words = if committed >= all {
            "all predictions committed".to_owned()
        } else {
            format!("{committed} of {all} predictions committed: go on where you left")
        };
        dom::append(&entry, "p", "progress", &words)?;
    }
    Ok(())
}
