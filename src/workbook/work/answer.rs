//! Answers to predictions as a receipt writes them.

use crate::decimal;
use crate::lesson::spec::Ask;
use crate::session::StoredAnswer;

/// An answer to a prediction as a receipt writes it.
pub(super) fn written(answer: &StoredAnswer) -> String {
    match answer {
        StoredAnswer::Sketch(text) | StoredAnswer::Choice(text) | StoredAnswer::Number(text) => {
            text.clone()
        }
        StoredAnswer::Mark(at) => decimal::shortest(*at),
    }
}

/// And read back.
pub(super) fn stored(ask: &Ask, text: &str) -> Option<StoredAnswer> {
    Some(match ask {
        Ask::Sketch { .. } => StoredAnswer::Sketch(text.to_owned()),
        Ask::PickCurve { .. } | Ask::PickStatement { .. } | Ask::MarkBoard { .. } => {
            StoredAnswer::Choice(text.to_owned())
        }
        Ask::MarkAxis { .. } => StoredAnswer::Mark(decimal::parse(text.trim())?),
        Ask::Number(_) => StoredAnswer::Number(text.to_owned()),
    })
}
