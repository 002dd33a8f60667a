//! Something that a block does with answers of slow set-ups: tried, put off while an answer is
//! computed, and tried again when it is there.

use std::cell::{Cell, RefCell};
use std::rc::Rc;

use super::answers::{self, Attempt};
use super::{Client, Status};
use crate::jobs::{Job, JobNumber, News};
use crate::web::trouble::Outcome;

/// What a block waits for. Dropping it ends the waiting.
pub(crate) struct Errand {
    client: RefCell<Option<Client>>,
    status: Rc<Status>,
    wanted: RefCell<Option<Job>>,
    /// The number of the job that is wanted; none while the question is being put.
    number: Cell<Option<JobNumber>>,
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
            number: Cell::new(None),
            is_halted: Cell::new(false),
            retry: Box::new(retry),
        });
        let weak = Rc::downgrade(&errand);
        errand.client.replace(Some(Client::new(move |number, news| {
            if let Some(errand) = weak.upgrade() {
                errand.heard(number, news);
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
        self.number.set(None);
        if let Some(client) = self.client.borrow().as_ref() {
            let number = client.ask(job);
            self.number.set(Some(number));
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

    fn heard(&self, number: JobNumber, news: News) {
        // An older job may still have something to say; a failure may come at once.
        let is_wanted = match self.number.get() {
            Some(wanted) => wanted == number,
            None => matches!(news, News::Failed(_)),
        };
        if !is_wanted || self.wanted.borrow().is_none() {
            return;
        }
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
