//! Something that a block does with answers of slow set-ups: tried, put off while an answer is
//! computed, and tried again when it is there.

use std::cell::{Cell, RefCell};
use std::rc::Rc;

use super::answers::{self, Attempt};
use super::{Client, Status};
use crate::jobs::{Job, News};
use crate::web::trouble::Outcome;

/// What a block waits for. Dropping it ends the waiting.
pub(crate) struct Errand {
    client: RefCell<Option<Client>>,
    status: Rc<Status>,
    wanted: RefCell<Option<Job>>,
    /// The reader stopped it: it waits for the reader to go on.
    is_halted: Cell<bool>,
    retry: Box<dyn Fn()>,
}

impl Errand {
    /// An errand that shows in `status` how it stands and calls `retry` when trying again may
    /// succeed.
    pub(crate) fn new(status: Rc<Status>, retry: impl Fn() + 'static) -> Rc<Self> {
        let errand = Rc::new(Self {
            client: RefCell::new(None),
            status,
            wanted: RefCell::new(None),
            is_halted: Cell::new(false),
            retry: Box::new(retry),
        });
        let weak = Rc::downgrade(&errand);
        errand.client.replace(Some(Client::new(move |_, news| {
            if let Some(errand) = weak.upgrade() {
                errand.heard(news);
            }
        })));
        let weak = Rc::downgrade(&errand);
        errand.status.on_stop(move || {
            if let Some(errand) = weak.upgrade() {
                errand.stop();
            }
        });
        let weak = Rc::downgrade(&errand);
        errand.status.on_again(move || {
            if let Some(errand) = weak.upgrade() {
                errand.is_halted.set(false);
                answers::forget_failures();
                (errand.retry)();
            }
        });
        errand
    }

    /// Tries something. None when it must wait, or cannot be done: the status says which.
    pub(crate) fn attempt<T>(&self, act: impl FnOnce() -> Outcome<T>) -> Option<T> {
        if self.is_halted.get() {
            return None;
        }
        match answers::attempt(act) {
            Ok(Attempt::Done(value)) => {
                self.wanted.replace(None);
                self.status.idle();
                Some(value)
            }
            Ok(Attempt::Wanting(job)) => {
                self.wait_for(job);
                None
            }
            Err(trouble) => {
                let words = trouble.to_string();
                self.status
                    .halted(&format!("{}.", words.trim_end_matches('.')));
                None
            }
        }
    }

    fn wait_for(&self, job: Job) {
        if self.wanted.borrow().as_ref() == Some(&job) {
            return;
        }
        self.wanted.replace(Some(job.clone()));
        self.status.working(0.0);
        if let Some(client) = self.client.borrow().as_ref() {
            client.ask(job);
        }
    }

    fn stop(&self) {
        self.is_halted.set(true);
        self.wanted.replace(None);
        if let Some(client) = self.client.borrow().as_ref() {
            client.stop();
        }
        self.status
            .halted("Stopped before it was done. What you did is kept.");
    }

    fn heard(&self, news: News) {
        let answer = match news {
            News::Part { share, .. } => {
                self.status.working(share);
                return;
            }
            News::Stopped => return,
            News::Done(answer) => Ok(answer),
            News::Failed(words) => Err(words),
        };
        if let Some(job) = self.wanted.take() {
            answers::keep(job, answer);
            (self.retry)();
        }
    }
}
