//! A bench whose set-up is computed in the background: what was asked, and what has come.

use std::cell::{Cell, RefCell};
use std::rc::Rc;

use web_sys::Element;

use crate::experiment::Trace;
use crate::jobs::{Answer, Job, JobNumber, News};
use crate::session::Plot;
use crate::web::background::{Client, Status};
use crate::web::measure;
use crate::web::trouble::Outcome;

/// What the bench hears of a run.
pub(super) enum Heard {
    /// Curves so far, or those of an older place of a slider: to be shown, and no more.
    Sketchy(Trace),
    /// The run for the device as it stands.
    Whole(Trace),
}

/// The background of a bench.
pub(super) struct Slow {
    client: RefCell<Option<Client>>,
    status: Rc<Status>,
    asked: RefCell<Vec<Asked>>,
    was_long: Cell<bool>,
}

/// A run that was asked for, and from when on the reader waits.
struct Asked {
    number: JobNumber,
    plot: Plot,
    began: Option<f64>,
    has_come: bool,
}

impl Slow {
    /// The background of a bench in `element`. `hear` is told what came, `again` that the reader
    /// wants it tried again.
    pub(super) fn mount(
        element: &Element,
        hear: impl Fn(&Plot, Heard) + 'static,
        again: impl Fn() + 'static,
    ) -> Outcome<Rc<Self>> {
        let slow = Rc::new(Self {
            client: RefCell::new(None),
            status: Status::mount(element)?,
            asked: RefCell::new(Vec::new()),
            was_long: Cell::new(false),
        });
        let weak = Rc::downgrade(&slow);
        slow.client.replace(Some(Client::new(move |number, news| {
            if let Some(slow) = weak.upgrade()
                && let Some((plot, heard)) = slow.heard(number, news)
            {
                hear(&plot, heard);
            }
        })));
        let weak = Rc::downgrade(&slow);
        slow.status.on_stop(move || {
            if let Some(slow) = weak.upgrade() {
                slow.stop();
            }
        });
        slow.status.on_again(again);
        Ok(slow)
    }

    /// Asks for the run behind a chart. Older ones make way.
    pub(super) fn ask(&self, plot: Plot, began: Option<f64>) {
        let job = Job::run(plot.setup(), &plot.x_si());
        self.status.working(0.0);
        let Some(number) = self.client.borrow().as_ref().map(|client| client.ask(job)) else {
            return;
        };
        let mut asked = self.asked.borrow_mut();
        asked.push(Asked {
            number,
            plot,
            began,
            has_come: false,
        });
        // One that goes on, and the newest: no older one will be heard of.
        let surplus = asked.len().saturating_sub(8);
        asked.drain(..surplus);
    }

    fn stop(&self) {
        self.asked.borrow_mut().clear();
        if let Some(client) = self.client.borrow().as_ref() {
            client.stop();
        }
        self.status
            .halted("Stopped: the curve shows what was known by then.");
    }

    /// Whether the reader had to wait for the last run long enough to be told.
    pub(super) fn was_long(&self) -> bool {
        self.was_long.get()
    }

    fn heard(&self, number: JobNumber, news: News) -> Option<(Plot, Heard)> {
        let mut all = self.asked.borrow_mut();
        let is_newest = all.last().is_some_and(|asked| asked.number == number);
        // A failure may come while the question is still being put.
        if let News::Failed(words) = &news
            && (is_newest || !all.iter().any(|asked| asked.number == number))
        {
            self.status.halted(words);
        }
        let place = all.iter().position(|asked| asked.number == number)?;
        let asked = all.get_mut(place)?;
        let plot = asked.plot.clone();
        let heard = match news {
            News::Part { share, trace } => {
                if is_newest {
                    self.status.working(share);
                }
                if trace.is_some() && !std::mem::replace(&mut asked.has_come, true) {
                    measure::took("coldfringe-first-curve", asked.began);
                }
                return trace.map(|trace| (plot, Heard::Sketchy(trace)));
            }
            News::Done(Answer::Run(trace)) if is_newest => {
                measure::took("coldfringe-whole-curve", asked.began);
                self.was_long.set(self.status.is_shown());
                self.status.idle();
                Some(Heard::Whole(trace))
            }
            News::Done(Answer::Run(trace)) => Some(Heard::Sketchy(trace)),
            News::Done(_) | News::Failed(_) | News::Stopped => None,
        };
        all.remove(place);
        heard.map(|heard| (plot, heard))
    }
}
