//! What is kept of a lecture: where it stands, what was revealed, the hands counted. It stands
//! beside the reader's own work and never in it. Nothing computed by the model is kept.

use serde::Serialize;

use crate::fields::Fields;
use crate::named::Named;
use crate::session::record::Attempt;

/// The most hands that one option can have.
pub const MOST_HANDS: u32 = 9_999;

/// Hands counted for the options of one question, in the order in which the options are shown.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct Votes {
    /// Before the discussion.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub first: Vec<u32>,
    /// After it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub second: Vec<u32>,
}

/// One lecture: the last one given of a lesson.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct LectureRecord {
    /// When it last changed, in milliseconds since 1970.
    pub changed: f64,
    /// The name of the stage that is shown.
    pub place: String,
    /// The name of the furthest stage that was shown.
    pub furthest: String,
    /// Since when the stage is shown, in milliseconds since 1970.
    pub since: f64,
    /// What the presenter's window has asked the hall's window to do: `forward` or `back`. Only
    /// that window knows whether its pen is still tracing, or more stands below.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wish: Option<String>,
    /// What lies over the stage, if anything.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub blank: Option<String>,
    /// What the lecturer has switched on, by name.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub settings: Vec<String>,
    /// The blocks whose answer was revealed.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub revealed: Vec<String>,
    /// Block to the hands counted there.
    pub votes: Named<Votes>,
    /// Block to the sketches of volunteers that were put aside for the reveal, as text.
    pub sketches: Named<Vec<String>>,
    /// What was drawn, pointed at and set on the screen itself. Its name also fixes the order of
    /// the options.
    pub attempt: Attempt,
}

impl LectureRecord {
    /// A lecture at which nothing was done yet. `id` is a random name.
    #[must_use]
    pub fn new(id: &str, now: f64) -> Self {
        Self {
            changed: now,
            since: now,
            attempt: Attempt::new(id, now),
            ..Self::default()
        }
    }

    /// Takes in what another window has kept of the same lecture: the later one counts, but what
    /// was revealed in either stays revealed. Of two lectures the one begun later counts.
    pub(in crate::session) fn merge(&mut self, other: &Self) {
        if self.attempt.id != other.attempt.id {
            if other.attempt.started > self.attempt.started {
                self.clone_from(other);
            }
            return;
        }
        if other.changed >= self.changed {
            let (mine, attempt) = (std::mem::take(&mut self.revealed), self.attempt.clone());
            self.clone_from(other);
            self.attempt = attempt;
            self.reveal_all(&mine);
        } else {
            self.reveal_all(&other.revealed);
        }
        self.attempt.merge(&other.attempt);
    }

    fn reveal_all(&mut self, blocks: &[String]) {
        for block in blocks {
            if !self.revealed.contains(block) {
                self.revealed.push(block.clone());
            }
        }
    }
}

/// Reads a lecture back from its JSON.
pub(in crate::session) fn read(
    fields: &Fields<'_>,
    attempt: impl FnOnce(&Fields<'_>) -> Attempt,
) -> LectureRecord {
    let mut votes = Named::new();
    if let Some(part) = fields.optional_part("votes") {
        for block in part.parts() {
            let counts = |name| {
                let mut counts = block.optional_wholes(name);
                for count in &mut counts {
                    *count = (*count).min(MOST_HANDS);
                }
                counts
            };
            let both = Votes {
                first: counts("first"),
                second: counts("second"),
            };
            votes.insert(block.name().to_owned(), both);
        }
    }
    let mut sketches = Named::new();
    if let Some(part) = fields.optional_part("sketches") {
        for name in part.names() {
            sketches.insert(name.to_owned(), part.texts(name));
        }
    }
    LectureRecord {
        changed: fields.number("changed"),
        place: fields.text("place"),
        furthest: fields.text("furthest"),
        since: fields.number("since"),
        wish: fields.optional_text("wish"),
        blank: fields.optional_text("blank"),
        settings: fields.optional_texts("settings"),
        revealed: fields.optional_texts("revealed"),
        votes,
        sketches,
        attempt: attempt(&fields.part("attempt")),
    }
}
