//! The effects that the walk decided on, carried out: what is kept, and what a block is told to show.

use std::rc::Rc;

use wasm_bindgen::JsCast;
use web_sys::HtmlElement;

use super::App;
use crate::session::{Effect, Message};
use crate::web::dom;
use crate::web::trouble::Outcome;

impl App {
    /// Carries one effect out.
    pub(super) fn carry(self: &Rc<Self>, effect: &Effect) -> Outcome {
        match effect {
            Effect::Save => {
                self.save();
                Ok(())
            }
            Effect::Refresh(block) => self.with(block, |island| island.refresh()),
            Effect::Reveal(block) => self.with(block, |island| island.reveal()),
            Effect::Problem(block, text) => self.with(block, |island| island.problem(text)),
            Effect::AskToConfirm(block) => self.with(block, |island| island.ask()),
            Effect::Open => {
                self.open();
                self.look_back()
            }
            Effect::LookBack => self.look_back(),
            Effect::Restart => {
                self.mount()?;
                dom::window()?.scroll_to_with_x_and_y(0.0, 0.0);
                // The button that was pressed is gone; the keyboard goes on from the start.
                if let Some(main) = self.main.dyn_ref::<HtmlElement>() {
                    main.focus()?;
                }
                Ok(())
            }
        }
    }

    /// Keeps the work: in a lecture with the hall, in an assignment with its other answers, else in the browser.
    fn save(&self) {
        if self.hall.is_some() || self.book.is_some() {
            let walk = self.walk.borrow();
            let lesson = walk.record().lessons.get(&self.lesson);
            let attempt = lesson.and_then(|lesson| lesson.attempts.last()).cloned();
            drop(walk);
            match (&self.hall, &self.book, attempt) {
                (Some(hall), _, Some(attempt)) => hall.worked(attempt),
                (_, Some(book), Some(attempt)) => book.worked(attempt),
                _ => {}
            }
            return;
        }
        // What another tab kept meanwhile is taken in first, so that nothing is lost.
        if let Some(record) = self.store.news() {
            self.queue.borrow_mut().push_back(Message::OtherTab {
                record: record.clone(),
            });
            let mut both = self.walk.borrow().record().clone();
            both.merge(&record);
            self.store.save(&both);
        } else {
            self.store.save(self.walk.borrow().record());
        }
    }
}
