//! In the part of the page that lessons fetch there are no assignments: a type without values
//! stands for one, and whatever would be done with it falls away.

use std::rc::Rc;

use web_sys::Element;

use super::app::App;
use super::island::Island;
use super::store::Store;
use super::trouble::{Outcome, Trouble};
use crate::lesson::spec::Question;
use crate::session::{Attempt, Record};

/// An assignment in this window: there is none.
pub(crate) enum Book {}

impl Book {
    /// What the walk through the predictions goes on from.
    pub(crate) fn record(&self) -> Record {
        match *self {}
    }

    /// Something changed in the predictions.
    pub(crate) fn worked(&self, _: Attempt) {
        match *self {}
    }
}

/// The page of an assignment needs the other part.
pub(crate) fn start(_: Rc<Store>, _: Element) -> Outcome {
    Err(Trouble::other_version())
}

/// A numeric question of an assignment.
pub(crate) fn mount_task(
    _: &Rc<App>,
    book: &Rc<Book>,
    _: &Element,
    _: &Question,
) -> Outcome<Rc<dyn Island>> {
    match **book {}
}
