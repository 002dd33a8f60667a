//! What is said after a commitment or a try, shown in its place. The words are made by the
//! prediction room; here they only become elements.

use web_sys::{Element, HtmlElement};

use super::dom;
use super::trouble::Outcome;

/// What is said.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Said {
    /// The first sentence; also what is announced.
    pub(crate) headline: String,
    /// What matches, in sentences.
    pub(crate) matches: Vec<String>,
    /// What differs, in sentences, the most important first.
    pub(crate) differences: Vec<String>,
    /// A question back to the reader, and where to look.
    pub(crate) questions: Vec<String>,
    /// Pictures to choose from when the page cannot tell which was meant: name and words.
    pub(crate) which: Vec<(String, String)>,
    /// The reply written in the lesson for the chosen option.
    pub(crate) reply: Option<HtmlElement>,
    /// What the reader committed, in words.
    pub(crate) committed: String,
}

/// Shows what is said in `place`; returns the buttons of "which did you mean?", with their names.
pub(crate) fn show(place: &HtmlElement, said: &Said) -> Outcome<Vec<(HtmlElement, String)>> {
    place.set_text_content(None);
    dom::append(place, "h4", "headline", &said.headline)?;
    if !said.committed.is_empty() {
        dom::append(place, "p", "committed", &said.committed)?;
    }
    list(place, "matches", &said.matches)?;
    list(place, "differences", &said.differences)?;
    for question in &said.questions {
        dom::append(place, "p", "question", question)?;
    }
    if let Some(reply) = &said.reply {
        // The reply is copied, so that a refresh finds the original where it was.
        let copy = reply.clone_node_with_deep(true)?;
        place.append_child(&copy)?;
        if let Some(copy) = place.last_element_child() {
            dom::show(&copy, true);
        }
    }
    let mut buttons = Vec::new();
    if !said.which.is_empty() {
        dom::append(place, "p", "which", "Which of these did you mean?")?;
        let row = dom::append(place, "p", "which-buttons", "")?;
        for (name, words) in &said.which {
            buttons.push((dom::button(&row, "", words)?, name.clone()));
        }
    }
    dom::show(place, true);
    Ok(buttons)
}

fn list(place: &Element, class: &str, sentences: &[String]) -> Outcome {
    if sentences.is_empty() {
        return Ok(());
    }
    let list = dom::append(place, "ul", class, "")?;
    for sentence in sentences {
        dom::append(&list, "li", "", sentence)?;
    }
    Ok(())
}
