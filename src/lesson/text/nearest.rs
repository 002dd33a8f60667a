//! How to mend a word that is not known.

use crate::spelling::nearest;

/// The nearest known word, or the whole list.
pub(crate) fn suggestion(word: &str, candidates: &[&str]) -> String {
    match nearest(word, candidates.iter().copied()) {
        Some(candidate) => format!("did you mean `{candidate}`?"),
        None if candidates.is_empty() => "there is none to choose from; take it out".to_owned(),
        None => format!("use one of: {}", listed(candidates)),
    }
}

/// Names as `a`, `b`, `c`.
fn listed(names: &[&str]) -> String {
    names
        .iter()
        .map(|name| format!("`{name}`"))
        .collect::<Vec<_>>()
        .join(", ")
}
