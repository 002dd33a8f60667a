//! How sure a reader is, and what is said to somebody who was sure while the curve differs.
//!
//! Errors made in confidence are corrected more often, once they are seen, than those made in
//! doubt (Butterfield and Metcalfe 2001), so such a reader is shown where to look first.

use serde::Serialize;

use super::verdict::Verdict;

/// How sure a reader is of an answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Confidence {
    /// A guess.
    Guess,
    /// Fairly sure.
    FairlySure,
    /// Certain.
    Certain,
}

impl Confidence {
    /// All three, from the least sure.
    pub const ALL: [Self; 3] = [Self::Guess, Self::FairlySure, Self::Certain];

    /// The name in storage and in markup.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Guess => "guess",
            Self::FairlySure => "fairly-sure",
            Self::Certain => "certain",
        }
    }

    /// The confidence of that name.
    #[must_use]
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|level| level.name() == name)
    }

    /// The words of somebody who looks back, after "you were".
    #[must_use]
    pub fn was(self) -> &'static str {
        match self {
            Self::Guess => "guessing",
            Self::FairlySure => "fairly sure",
            Self::Certain => "certain",
        }
    }

    /// The occasions on which a reader was as sure as this.
    #[must_use]
    pub fn when(self) -> &'static str {
        match self {
            Self::Guess => "when you guessed",
            Self::FairlySure => "when you were fairly sure",
            Self::Certain => "when you were certain",
        }
    }

    /// The words beside the button.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Guess => "I am guessing",
            Self::FairlySure => "I am fairly sure",
            Self::Certain => "I am certain",
        }
    }
}

/// The sentence for a reader who was certain of something that differs; nothing otherwise.
/// `place` is where to look, e.g. `0.5 Φ₀`.
#[must_use]
pub fn sure_but_different(
    confidence: Confidence,
    verdict: &Verdict,
    place: Option<&str>,
) -> Option<String> {
    let differs = matches!(
        verdict,
        Verdict::WrongPicture(_) | Verdict::Different | Verdict::Ask(_)
    );
    (differs && confidence == Confidence::Certain).then(|| match place {
        Some(place) => format!("You were sure; the curve differs at {place}. Look there first."),
        None => "You were sure, and the computed answer differs. That is worth a second look."
            .to_owned(),
    })
}
