//! The page as the walk stands: its parts open or shut, the blocks in the open ones live, the desk and the look back.

use std::rc::Rc;

use web_sys::Element;

use super::App;
use crate::lesson::spec::Block;
use crate::page::islands;
use crate::session::{Message, Walk};
use crate::web::island::Island;
use crate::web::trouble::{self, Outcome};
use crate::web::{
    bench, board, desk, dom, looking_back, observe, predict, question, record, workbook,
};

impl App {
    /// Builds the page as the walk stands, after taking down what stood before.
    pub(super) fn mount(self: &Rc<Self>) -> Outcome {
        let stood = std::mem::take(&mut *self.islands.borrow_mut());
        for slot in &self.slots {
            if stood.contains(slot.block.id()) {
                slot.restore()?;
            }
        }
        drop(stood);
        self.open();
        self.look_back()?;
        desk::say_attempts(&self.main, self.look(Walk::attempts_before))
    }

    /// Shows the desk, where the reader takes work home, brings it back or starts again.
    pub(super) fn show_desk(self: &Rc<Self>) -> Outcome {
        let weak = Rc::downgrade(self);
        let (record, take_in, again) = (weak.clone(), weak.clone(), weak);
        let hands = desk::Hands {
            record: Box::new(move || {
                let app = record.upgrade();
                app.map(|app| app.look(|walk| walk.record().clone()))
                    .unwrap_or_default()
            }),
            take_in: Box::new(move |record| {
                if let Some(app) = take_in.upgrade() {
                    app.send(Message::TakeIn { record });
                    desk::say_attempts(&app.main, app.look(Walk::attempts_before))?;
                }
                Ok(())
            }),
            again: Box::new(move || {
                if let Some(app) = again.upgrade() {
                    app.send(Message::StartAgain {
                        id: dom::random_name(),
                        at: dom::now(),
                    });
                }
            }),
        };
        desk::show(&self.main, Rc::clone(&self.store), hands)
    }

    /// Shows at the end how sure the reader was beside what came.
    pub(super) fn look_back(&self) -> Outcome {
        looking_back::show(&self.main, &self.lesson, |block| self.kept(block))
    }

    /// Builds the islands that stand in open parts and are not there yet. Those in shut parts wait,
    /// so that nothing computed is on the page before its time.
    fn build(self: &Rc<Self>) {
        for slot in &self.slots {
            let id = slot.block.id();
            if self.islands.borrow().contains(id) || !slot.is_open() {
                continue;
            }
            let built = self.island(&slot.element, &slot.block);
            let state = match built {
                Ok(island) => {
                    if let Err(trouble) = island.refresh() {
                        trouble::report(&trouble);
                    }
                    self.islands.borrow_mut().insert(id.to_owned(), island);
                    "ready"
                }
                Err(trouble) => {
                    trouble::report(&trouble);
                    "error"
                }
            };
            let _ = slot.element.set_attribute("data-state", state);
        }
    }

    fn island(self: &Rc<Self>, element: &Element, block: &Block) -> Outcome<Rc<dyn Island>> {
        Ok(match block {
            Block::Predict(prediction) => predict::mount(self, element, prediction)?,
            Block::Observe(observation) => observe::mount(self, element, observation)?,
            Block::Bench(spec) => bench::mount(self, element, spec)?,
            Block::Question(spec) => match &self.book {
                Some(book) => workbook::mount_task(self, book, element, spec)?,
                None => question::mount(self, element, spec)?,
            },
            Block::Board(spec) => board::mount(element, spec)?,
            Block::Record(spec) => {
                record::mount(&format!("{}-{}", self.lesson, spec.id), element, spec)?
            }
        })
    }

    /// Opens what stands after committed predictions and shuts the rest. In a lecture the hall
    /// opens its screens itself.
    pub(crate) fn open(self: &Rc<Self>) {
        let walk = self.walk.borrow();
        let parts = match self.hall {
            Some(_) => Vec::new(),
            None => dom::find_all(&self.main, &format!("[{}]", islands::AFTER)),
        };
        for part in parts {
            let after = part.get_attribute(islands::AFTER).unwrap_or_default();
            let _ = if walk.is_open_after(&after) {
                part.set_attribute(islands::OPEN, "")
            } else {
                part.remove_attribute(islands::OPEN)
            };
        }
        drop(walk);
        self.build();
        // What is in view may have moved and changed its size.
        dom::look_at_size();
    }
}
