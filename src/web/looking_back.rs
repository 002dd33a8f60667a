//! The end of a lesson: how sure the reader was of each prediction, beside what came.

use web_sys::Element;

use super::dom;
use super::trouble::Outcome;
use crate::page::islands;
use crate::prediction::confidence::Confidence;
use crate::session::{BlockRecord, Came};

/// Fills the table in. Predictions that are not committed, or whose outcome is not known yet,
/// leave their row out.
pub(crate) fn show(main: &Element, lesson: &str, kept: impl Fn(&str) -> BlockRecord) -> Outcome {
    let Ok(place) = dom::role(main, "looking-back") else {
        return Ok(());
    };
    let mut known = false;
    for row in dom::find_all(&place, &format!("[{}]", islands::LOOKING_BACK)) {
        let block = row.get_attribute(islands::LOOKING_BACK).unwrap_or_default();
        let kept = kept(&block);
        let told = kept.committed.as_ref().zip(kept.came);
        dom::show(&row, told.is_some());
        let Some((committed, came)) = told else {
            continue;
        };
        known = true;
        dom::role(&row, "was")?.set_text_content(Some(committed.sure.was()));
        let cell = dom::role(&row, "came")?;
        cell.set_text_content(Some(&format!("It {}. ", came.words())));
        match (committed.sure, came) {
            (Confidence::Certain, Came::Differently) => {
                let link = dom::append(&cell, "a", "look-here", "You were sure; look here first.")?;
                link.set_attribute("href", &format!("#{lesson}-{block}"))?;
            }
            (Confidence::Guess, Came::AsPredicted | Came::Close) => {
                dom::append(&cell, "span", "", "Can you say why it must?")?;
            }
            _ => {}
        }
    }
    dom::show(&place, known);
    Ok(())
}
