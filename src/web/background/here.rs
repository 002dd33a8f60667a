//! The page's own thread as whoever works: a few milliseconds after each of the page's tasks.

use std::cell::{Cell, RefCell};
use std::rc::Rc;

use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;

use crate::jobs::{Engine, Order, Reply};
use crate::web::dom;

/// Works on the page's own thread. Dropping it ends it.
pub(super) struct HereHand {
    inner: Rc<Inner>,
}

struct Inner {
    engine: RefCell<Engine>,
    beat: RefCell<Option<Closure<dyn FnMut()>>>,
    waiting: RefCell<Vec<Reply>>,
    is_set: Cell<bool>,
}

impl HereHand {
    pub(super) fn new() -> Self {
        let inner = Rc::new(Inner {
            engine: RefCell::new(Engine::new()),
            beat: RefCell::new(None),
            waiting: RefCell::new(Vec::new()),
            is_set: Cell::new(false),
        });
        let weak = Rc::downgrade(&inner);
        inner.beat.replace(Some(Closure::new(move || {
            if let Some(inner) = weak.upgrade() {
                inner.work();
            }
        })));
        Self { inner }
    }

    pub(super) fn send(&self, order: Order) {
        let reply = self.inner.engine.borrow_mut().take(order);
        // Told later: whoever asks is not told while asking.
        self.inner.waiting.borrow_mut().extend(reply);
        self.inner.set();
    }
}

impl Inner {
    /// Sees to it that the work goes on.
    fn set(&self) {
        let is_busy = self.engine.borrow().is_busy() || !self.waiting.borrow().is_empty();
        if !is_busy || self.is_set.replace(true) {
            return;
        }
        if let (Ok(window), Some(beat)) = (dom::window(), self.beat.borrow().as_ref()) {
            let _ = window.set_timeout_with_callback(beat.as_ref().unchecked_ref());
        }
    }

    fn work(&self) {
        self.is_set.set(false);
        let mut replies = self.waiting.take();
        if replies.is_empty() {
            replies.extend(self.engine.borrow_mut().work(dom::now));
        }
        // The listeners may end this hand, or give it a new order.
        self.set();
        for reply in replies {
            super::replied(reply);
        }
    }
}
