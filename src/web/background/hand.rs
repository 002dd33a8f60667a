//! Whoever works: a worker of the browser, or, where the page holds the slow physics itself and
//! has no worker's script beside it (a page in one file), the page's own thread between its tasks.

use std::cell::Cell;
use std::rc::Rc;

use wasm_bindgen::JsCast;
use web_sys::{MessageEvent, Worker, WorkerOptions, WorkerType};

use crate::jobs::{HandNumber, Order};
use crate::page::islands;
use crate::web::dom::{self, Listener};
use crate::web::trouble::{Outcome, Trouble};

/// Whoever works.
pub(super) enum Hand {
    Worker(WorkerHand),
    #[cfg(not(coldfringe_part = "page"))]
    Here(super::here::HereHand),
}

impl Hand {
    /// A new hand at that place.
    pub(super) fn new(place: HandNumber) -> Outcome<Self> {
        let script = dom::document()?
            .query_selector(&format!("meta[name={}]", islands::WORKER))?
            .and_then(|meta| meta.get_attribute("content"));
        match script {
            Some(script) => Ok(Self::Worker(WorkerHand::new(&script, place)?)),
            None => Self::without_worker(),
        }
    }

    #[cfg(not(coldfringe_part = "page"))]
    fn without_worker() -> Outcome<Self> {
        Ok(Self::Here(super::here::HereHand::new()))
    }

    #[cfg(coldfringe_part = "page")]
    fn without_worker() -> Outcome<Self> {
        Err(Trouble::missing("the part that computes in the background"))
    }

    /// Hands an order over.
    pub(super) fn send(&self, order: Order) -> Outcome {
        match self {
            Self::Worker(hand) => hand.send(&order),
            #[cfg(not(coldfringe_part = "page"))]
            Self::Here(hand) => {
                hand.send(order);
                Ok(())
            }
        }
    }

    /// Whether anything was ever heard from it.
    pub(super) fn has_spoken(&self) -> bool {
        match self {
            Self::Worker(hand) => hand.has_spoken.get(),
            #[cfg(not(coldfringe_part = "page"))]
            Self::Here(_) => true,
        }
    }
}

/// A worker. Dropping it ends it, whatever it is doing.
pub(super) struct WorkerHand {
    worker: Worker,
    has_spoken: Rc<Cell<bool>>,
    _listeners: [Listener; 2],
}

impl WorkerHand {
    fn new(script: &str, place: HandNumber) -> Outcome<Self> {
        let options = WorkerOptions::new();
        options.set_type(WorkerType::Module);
        let worker = Worker::new_with_options(script, &options)?;
        let has_spoken = Rc::new(Cell::new(false));
        let spoken = Rc::clone(&has_spoken);
        let message = Listener::new(&worker, "message", move |event| {
            let event: &MessageEvent = event.unchecked_ref();
            let data = event.data();
            // What it says when it cannot start is no reply.
            spoken.set(spoken.get() || js_sys::Array::from(&data).length() > 1);
            super::received(place, &data);
        });
        let error = Listener::new(&worker, "error", move |event| {
            // It is dealt with here, and is no mistake of the page.
            event.prevent_default();
            super::broken(place);
        });
        Ok(Self {
            worker,
            has_spoken,
            _listeners: [message, error],
        })
    }

    fn send(&self, order: &Order) -> Outcome {
        let (message, handed) = order.pack().message();
        self.worker
            .post_message_with_transfer(&message, &handed)
            .map_err(Trouble::from)
    }
}

impl Drop for WorkerHand {
    fn drop(&mut self) {
        self.worker.terminate();
    }
}
