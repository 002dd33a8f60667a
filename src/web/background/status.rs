//! How a computation in the background stands: a bar and a button to stop it, shown only when it
//! lasts; words and a button to go on when it was stopped or failed.

use std::cell::{Cell, RefCell};
use std::rc::Rc;

use web_sys::{Element, HtmlElement};

use crate::decimal::fixed;
use crate::web::dom::{self, Listener, Timer};
use crate::web::trouble::Outcome;

/// A computation shorter than this, in milliseconds, is not spoken of.
const PATIENCE: i32 = 150;

/// How a computation stands.
pub(crate) struct Status {
    island: HtmlElement,
    place: HtmlElement,
    bar: HtmlElement,
    words: HtmlElement,
    stop: HtmlElement,
    again: HtmlElement,
    live: HtmlElement,
    timer: RefCell<Option<Timer>>,
    is_working: Cell<bool>,
    listeners: RefCell<Vec<Listener>>,
}

impl Status {
    /// Puts the status into an island, below its stage, or above what is said.
    pub(crate) fn mount(island: &Element) -> Outcome<Rc<Self>> {
        let place = dom::element("div", "computing")?;
        match dom::role(island, "stage") {
            Ok(stage) => stage.after_with_node_1(&place)?,
            Err(_) => dom::role(island, "verdict")?.before_with_node_1(&place)?,
        }
        place.set_attribute("data-role", "computing")?;
        place.set_attribute("role", "group")?;
        place.set_attribute("aria-label", "Computing in the background")?;
        dom::show(&place, false);
        let words = dom::append(&place, "span", "", "")?;
        let bar = dom::append(&place, "progress", "", "")?;
        bar.set_attribute("max", "1")?;
        bar.set_attribute("aria-label", "Share that is computed")?;
        let stop = dom::button(&place, "", "Stop")?;
        stop.set_attribute("data-role", "stop")?;
        let again = dom::button(&place, "", "Try again")?;
        again.set_attribute("data-role", "try-again")?;
        let island: HtmlElement = wasm_bindgen::JsCast::unchecked_into(island.clone());
        // The keyboard rests here while a button vanishes.
        island.set_attribute("tabindex", "-1")?;
        Ok(Rc::new(Self {
            live: dom::role(&island, "live")?,
            island,
            place,
            bar,
            words,
            stop,
            again,
            timer: RefCell::new(None),
            is_working: Cell::new(false),
            listeners: RefCell::new(Vec::new()),
        }))
    }

    /// Calls `act` when the reader stops the computation.
    pub(crate) fn on_stop(&self, act: impl Fn() + 'static) {
        let listener = Listener::new(&self.stop, "click", move |_| act());
        self.listeners.borrow_mut().push(listener);
    }

    /// Calls `act` when the reader wants it tried again.
    pub(crate) fn on_again(&self, act: impl Fn() + 'static) {
        let listener = Listener::new(&self.again, "click", move |_| act());
        self.listeners.borrow_mut().push(listener);
    }

    /// It goes on, and this share is done.
    pub(crate) fn working(self: &Rc<Self>, share: f64) {
        let _ = self.bar.set_attribute("value", &fixed(share, 3));
        if self.is_working.replace(true) {
            return;
        }
        if !self.place.has_attribute("hidden") {
            // Stopped or failed before, and tried again.
            self.show_working();
            return;
        }
        let weak = Rc::downgrade(self);
        self.timer.replace(Timer::once(PATIENCE, move || {
            if let Some(status) = weak.upgrade()
                && status.is_working.get()
            {
                status.show_working();
                // Said once; the bar goes on without words.
                status.live.set_text_content(Some("Computing."));
            }
        }));
    }

    fn show_working(&self) {
        self.words.set_text_content(Some("Computing…"));
        self.swap(&self.again, &self.stop);
        dom::show(&self.bar, true);
        dom::show(&self.place, true);
    }

    /// It goes no further, and why. The reader can have it tried again.
    pub(crate) fn halted(&self, words: &str) {
        self.is_working.set(false);
        self.timer.replace(None);
        self.words.set_text_content(Some(words));
        self.live.set_text_content(Some(words));
        dom::show(&self.place, true);
        dom::show(&self.bar, false);
        self.swap(&self.stop, &self.again);
    }

    /// There is nothing to wait for.
    pub(crate) fn idle(&self) {
        self.is_working.set(false);
        self.timer.replace(None);
        if dom::has_focus(&self.place) {
            let _ = self.island.focus();
        }
        dom::show(&self.place, false);
    }

    /// Whether the reader sees that something is computed.
    pub(crate) fn is_shown(&self) -> bool {
        !self.place.has_attribute("hidden")
    }

    /// Keeps the keyboard where it is while the button that it pressed goes away.
    pub(crate) fn hold_focus(&self) {
        let _ = self.island.focus();
    }

    /// Whether the keyboard has gone on to somewhere else on the page.
    pub(crate) fn was_left(&self) -> bool {
        !dom::has_focus(&self.island) && !dom::is_focus_nowhere()
    }

    /// One button in place of the other, with the focus if it was there.
    fn swap(&self, gone: &HtmlElement, come: &HtmlElement) {
        let had_focus = dom::has_focus(gone);
        dom::show(come, true);
        dom::show(gone, false);
        if had_focus {
            let _ = come.focus();
        }
    }
}
