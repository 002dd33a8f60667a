//! What a prediction asks, one kind a file: a sketch, a curve or a statement to choose, a mark on
//! an axis or on the board, a number.

mod mark;
mod number;
mod pick_curve;
mod sketch;
mod stage;
mod statement;

use std::rc::Rc;

use web_sys::Element;

use super::app::App;
use super::trouble::Outcome;
use super::verdict::Said;
use crate::lesson::spec::{Ask, Prediction};
use crate::session::{BlockRecord, Commitment, Message, StoredAnswer};

pub(crate) use stage::Stage;
pub(crate) use statement::{reply, shuffle};

/// One kind of question, live.
pub(crate) trait Asked {
    /// Gets ready what is to be shown for this record. An error may mean that the background is
    /// asked for it; until it is ready nothing is shown but with a share of 0.
    fn prepare(&self, kept: &BlockRecord) -> Outcome;
    /// What the answer still lacks, in a sentence; none when it can be committed.
    fn missing(&self) -> Option<String>;
    /// Show the draft or, once committed, the answer with the truth up to a share of the way. With
    /// a share of 0 nothing computed is needed.
    fn show(&self, kept: &BlockRecord, share: f64) -> Outcome;
    /// An answer of an earlier attempt, in words.
    fn in_words(&self, answer: &StoredAnswer) -> String;
    /// What is said about a committed answer.
    fn said(&self, committed: &Commitment, meant: Option<&str>) -> Outcome<Said>;
    /// What is told to a whole hall: the answer. About a sketch nothing is: it hangs there for
    /// all to see, and whoever drew it is not to be judged before them.
    fn told(&self) -> Outcome<Said> {
        Ok(Said::default())
    }
}

/// Makes the question of a prediction live.
pub(crate) fn mount(
    app: &Rc<App>,
    element: &Element,
    spec: &Prediction,
) -> Outcome<Box<dyn Asked>> {
    Ok(match &spec.ask {
        Ask::Sketch {
            chart,
            columns,
            pictures,
        } => Box::new(sketch::SketchAsked::mount(
            app, element, spec, chart, *columns, pictures,
        )?),
        Ask::PickCurve { chart, pictures } => Box::new(pick_curve::PickCurve::mount(
            app, element, spec, chart, pictures,
        )?),
        Ask::PickStatement { options, right } | Ask::MarkBoard { options, right } => Box::new(
            statement::PickStatement::mount(app, element, spec, options, right)?,
        ),
        Ask::MarkAxis {
            chart,
            answer,
            within,
            slips,
        } => Box::new(mark::MarkAxis::mount(
            app, element, spec, chart, answer, *within, slips,
        )?),
        Ask::Number(number) => Box::new(number::NumberAsked::mount(app, element, spec, number)?),
    })
}

/// Tells the walk of a new draft.
pub(crate) fn draft(block: &str, answer: Option<StoredAnswer>) -> Message {
    Message::Draft {
        block: block.to_owned(),
        answer,
        at: super::dom::now(),
    }
}

/// The answer that counts now: the committed one, else the draft.
fn standing(kept: &BlockRecord) -> Option<&StoredAnswer> {
    kept.committed
        .as_ref()
        .map(|committed| &committed.answer)
        .or(kept.draft.as_ref())
}
