//! What the page and the script agree on: attribute names, the version of the agreement, and the
//! JSON of a block. Used when the page is rendered and when it comes alive.

use crate::fields::FieldError;
use crate::lesson::{self, spec::Block};

/// Version of the agreement. The page states it; a script of another version leaves the page as
/// reading matter.
pub const VERSION: u32 = 2;

/// On the document's root: the [`VERSION`] the page was rendered with.
pub const VERSION_ATTRIBUTE: &str = "data-islands-version";
/// On the main element of a lesson page: the lesson's slug.
pub const LESSON: &str = "data-lesson";
/// On an island: its kind (`predict`, `observe`, `bench`, `question`, `board`).
pub const ISLAND: &str = "data-island";
/// On an island: the block's identifier.
pub const BLOCK_ID: &str = "data-block-id";
/// On the script element that holds the block's JSON.
pub const SPEC: &str = "data-island-spec";
/// On a part of the page that stays shut until the prediction it names, and all before it, are
/// committed.
pub const AFTER: &str = "data-after";
/// Set by the script on such a part once it is open.
pub const OPEN: &str = "data-open";
/// The name of the page's meta element that holds the address of the worker's script; only pages
/// with a slow set-up have one.
pub const WORKER: &str = "coldfringe-worker";
/// On an entry of the contents page: the lesson's slug.
pub const LESSON_LINK: &str = "data-lesson-link";
/// On an entry of the contents page: how many predictions the lesson has.
pub const PREDICTIONS: &str = "data-predictions";
/// On a link of the contents page that leads to a step: the step's anchor.
pub const STEP_LINK: &str = "data-step-link";
/// On such a link: how many predictions must be committed before the step opens.
pub const NEEDS: &str = "data-needs";
/// On a row of the table at the end of a lesson: the prediction it looks back at.
pub const LOOKING_BACK: &str = "data-looking-back";

/// On the main element of a lecture: `stage` on the page that is projected, `notes` on the
/// presenter's.
pub const LECTURE: &str = "data-lecture";
/// On a screen of a lecture, or on its place in the notes: what it asks for.
pub const SCREEN: &str = "data-screen";
/// On the same: its name.
pub const SCREEN_NAME: &str = "data-screen-name";
/// On the same: the block on it; empty for words.
pub const SCREEN_BLOCK: &str = "data-screen-block";
/// On the same: how many options there are to vote for.
pub const OPTIONS: &str = "data-options";
/// In the notes: the name of a stage.
pub const STAGE: &str = "data-stage";

/// The texts of a block as HTML, rendered from the lesson's own words.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct IslandWords {
    /// The question.
    pub prompt_html: String,
    /// What to say to a reader who chose an option: its identifier and the HTML.
    pub replies_html: Vec<(String, String)>,
    /// Hints, weakest first.
    pub hints_html: Vec<String>,
}

/// The block's JSON, safe inside a script element: `<` is written as an escape, so no text in it
/// can end the element.
#[must_use]
pub fn island_json(block: &Block) -> String {
    serde_json::to_string(block)
        .unwrap_or_default()
        .replace('<', "\\u003c")
}

/// Reads a block back from its JSON.
///
/// # Errors
/// When the text is not the JSON of a block: the first field that is missing or of another kind.
pub fn read(json: &str) -> Result<Block, FieldError> {
    lesson::read::block(json)
}
