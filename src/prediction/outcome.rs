//! What came of a prediction, in one of four words: enough to look back at a lesson, too little
//! for a mark.

use serde::Serialize;

use super::verdict::Verdict;

/// What came of a prediction.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Came {
    /// As it was predicted.
    AsPredicted,
    /// Close to it.
    Close,
    /// Differently.
    Differently,
    /// The reader has not said which idea was meant.
    Open,
}

impl Came {
    /// All four.
    pub const ALL: [Self; 4] = [
        Self::AsPredicted,
        Self::Close,
        Self::Differently,
        Self::Open,
    ];

    /// What a verdict comes to. `meant` is the picture that the reader said was meant, where the
    /// verdict asked; `model` stands for the computed curve.
    #[must_use]
    pub fn of(verdict: &Verdict, meant: Option<&str>) -> Self {
        match verdict {
            Verdict::Right => Self::AsPredicted,
            Verdict::Near => Self::Close,
            Verdict::WrongPicture(_) | Verdict::Different => Self::Differently,
            Verdict::Ask(_) => match meant {
                Some(super::pictures::MODEL) => Self::Close,
                Some(_) => Self::Differently,
                None => Self::Open,
            },
            Verdict::Unreadable => Self::Open,
        }
    }

    /// The name in storage.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::AsPredicted => "as-predicted",
            Self::Close => "close",
            Self::Differently => "differently",
            Self::Open => "open",
        }
    }

    /// The outcome of that name.
    #[must_use]
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|came| came.name() == name)
    }

    /// In words, after "it".
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::AsPredicted => "came as you said",
            Self::Close => "came close to what you said",
            Self::Differently => "came differently",
            Self::Open => "is still to be named: say there which idea you had",
        }
    }

    /// Whether the prediction held, as nearly as an answer by hand can.
    #[must_use]
    pub fn held(self) -> bool {
        matches!(self, Self::AsPredicted | Self::Close)
    }
}

/// What is said to somebody whose prediction held, but for another reason than the one that leads
/// there.
#[must_use]
pub fn better_reason(reason: &str) -> String {
    format!("The reason that leads there is this one: \u{201c}{reason}\u{201d}")
}
