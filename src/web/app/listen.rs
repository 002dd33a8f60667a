//! What the page hears from its window: another tab's work, paper and night, a new width, and being come back to.

use std::rc::Rc;

use wasm_bindgen::JsCast;

use super::App;
use crate::session::Message;
use crate::web::dom::{self, Listener};
use crate::web::formulas;
use crate::web::store::KEY;
use crate::web::trouble::Outcome;

impl App {
    /// Listens to the other tabs, and to a change of look: on paper and at night the drawings
    /// have other inks.
    pub(super) fn listen(self: &Rc<Self>) -> Outcome {
        for query in ["print", "(prefers-color-scheme: dark)"] {
            if let Some(list) = dom::window()?.match_media(query)? {
                // All drawings listen to a new size already.
                let listener = Listener::new(&list.into(), "change", |_| dom::look_at_size());
                self.listeners.borrow_mut().push(listener);
            }
        }
        if self.book.is_some() {
            return Ok(());
        }
        let main = self.main.clone();
        let resize = Listener::new(&dom::window()?.into(), "resize", move |_| {
            formulas::reach_wide(&main);
        });
        self.listeners.borrow_mut().push(resize);
        if self.hall.is_some() {
            return Ok(());
        }
        let app = Rc::downgrade(self);
        let listener = Listener::new(&dom::window()?.into(), "storage", move |event| {
            let Some(app) = app.upgrade() else { return };
            let event: &web_sys::StorageEvent = event.unchecked_ref();
            match event.key() {
                Some(key) if key != KEY => {}
                // All was deleted in another tab: keeping this tab's copy would undo that.
                _ if event.new_value().is_none() => {
                    if let Ok(window) = dom::window() {
                        let _ = window.location().reload();
                    }
                }
                _ => app.look_for_news(),
            }
        });
        let app = Rc::downgrade(self);
        let back = Listener::new(&dom::window()?.into(), "pageshow", move |_| {
            // A page that the browser kept while the reader was elsewhere has heard nothing meanwhile.
            let Some(app) = app.upgrade() else { return };
            if app.store.was_erased() {
                if let Ok(window) = dom::window() {
                    let _ = window.location().reload();
                }
            } else {
                app.look_for_news();
            }
        });
        self.listeners.borrow_mut().extend([listener, back]);
        Ok(())
    }

    fn look_for_news(self: &Rc<Self>) {
        if let Some(record) = self.store.news() {
            self.send(Message::OtherTab { record });
        }
    }
}
