//! Computing behind the page: a few workers shared by all blocks of it. Whoever wants something
//! computed is a [`Client`]; its newest question counts, and dropping it ends its work.

mod answers;
mod errand;
mod hand;
#[cfg(not(coldfringe_part = "page"))]
mod here;
mod status;

use std::cell::RefCell;
use std::rc::Rc;

use wasm_bindgen::JsValue;

use super::dom;
use super::trouble::{Outcome, Trouble};
use crate::jobs::{Dispatch, HandNumber, Job, JobNumber, News, Order, Parcel, Reply, Step};
use hand::Hand;

#[cfg(not(coldfringe_without_homework))]
pub(crate) use answers::checked;
pub(crate) use answers::{Attempt, attempt, is_slow, keep, setup};
pub(crate) use errand::Errand;
pub(crate) use status::Status;

/// How many workers there are at most.
const MOST_HANDS: usize = 4;

type Listening = Rc<dyn Fn(JobNumber, News)>;

thread_local! {
    static POOL: RefCell<Option<Pool>> = const { RefCell::new(None) };
}

struct Pool {
    dispatch: Dispatch,
    hands: Vec<Option<Hand>>,
    clients: Vec<(u32, Listening)>,
    next: u32,
}

/// What somebody must be told once the pool is at rest again.
type Told = Vec<(Listening, JobNumber, News)>;

/// Somebody who wants things computed.
pub(crate) struct Client {
    number: u32,
}

impl Client {
    /// A new client; `listen` hears the news of its jobs.
    pub(crate) fn new(listen: impl Fn(JobNumber, News) + 'static) -> Self {
        let number = with(|pool, _| {
            pool.next += 1;
            pool.clients.push((pool.next, Rc::new(listen)));
            pool.next
        });
        Self { number }
    }

    /// Asks for a job. Older ones of this client make way.
    pub(crate) fn ask(&self, job: Job) -> JobNumber {
        with(|pool, told| {
            let (number, steps) = pool.dispatch.ask(self.number, job);
            pool.carry(steps, told);
            number
        })
    }

    /// Wants nothing any more.
    pub(crate) fn stop(&self) {
        with(|pool, told| {
            let steps = pool.dispatch.forget(self.number);
            pool.carry(steps, told);
        });
    }
}

impl Drop for Client {
    fn drop(&mut self) {
        with(|pool, told| {
            pool.clients.retain(|(number, _)| *number != self.number);
            let steps = pool.dispatch.forget(self.number);
            pool.carry(steps, told);
        });
    }
}

/// Gets the first worker ready, so that it is there when it is needed.
pub(crate) fn warm() {
    with(|pool, _| {
        if let Some(slot @ None) = pool.hands.first_mut() {
            // A worker that cannot start is told of when something is asked of it.
            *slot = Hand::new(0).ok();
        }
    });
}

/// Uses the pool, and afterwards tells whoever must hear something: they may ask again at once.
fn with<T>(act: impl FnOnce(&mut Pool, &mut Told) -> T) -> T {
    let mut told = Vec::new();
    let result = POOL.with_borrow_mut(|pool| act(pool.get_or_insert_with(Pool::new), &mut told));
    for (listen, number, news) in told {
        listen(number, news);
    }
    result
}

/// A hand has sent a message.
fn received(hand: HandNumber, message: &JsValue) {
    with(|pool, told| {
        let read = Reply::unpack(&Parcel::from_message(message), |number| {
            pool.dispatch.job(number).cloned()
        });
        match read {
            Ok(Some(reply)) => pool.heard(reply, told),
            Ok(None) => {}
            // A worker that says something else could not be started.
            Err(_) => pool.lost(hand, told),
        }
    });
}

/// A reply has come from the page's own thread.
#[cfg(not(coldfringe_part = "page"))]
fn replied(reply: Reply) {
    with(|pool, told| pool.heard(reply, told));
}

/// A hand has ended by a mistake, or could not begin.
fn broken(hand: HandNumber) {
    with(|pool, told| pool.lost(hand, told));
}

impl Pool {
    fn new() -> Self {
        let threads = dom::window().map_or(1, |window| {
            window.navigator().hardware_concurrency().clamp(1.0, 64.0) as usize
        });
        // One processor is left to the page.
        let hands = threads.saturating_sub(1).clamp(1, MOST_HANDS);
        Self {
            dispatch: Dispatch::new(hands),
            hands: (0..hands).map(|_| None).collect(),
            clients: Vec::new(),
            next: 0,
        }
    }

    fn tell(&self, number: JobNumber, news: News, told: &mut Told) {
        let client = self.dispatch.client(number);
        let listen = self
            .clients
            .iter()
            .find(|(known, _)| Some(*known) == client);
        if let Some((_, listen)) = listen {
            told.push((Rc::clone(listen), number, news));
        }
    }

    fn heard(&mut self, reply: Reply, told: &mut Told) {
        let is_last = reply.news.is_last();
        self.tell(reply.number, reply.news, told);
        let steps = self.dispatch.heard(reply.number, is_last);
        self.carry(steps, told);
    }

    fn lost(&mut self, hand: HandNumber, told: &mut Told) {
        let words = match self.hands.get_mut(hand).and_then(Option::take) {
            Some(hand) if hand.has_spoken() => {
                "The computation in the background has stopped because of a mistake in it. Your work is kept."
            }
            _ => {
                "The part of the notebook that computes in the background could not be loaded. Your work is kept; check the connection."
            }
        };
        self.fail(hand, words, told);
    }

    fn fail(&mut self, hand: HandNumber, words: &str, told: &mut Told) {
        for number in self.dispatch.on_hand(hand) {
            self.tell(number, News::Failed(words.to_owned()), told);
        }
        let steps = self.dispatch.lost(hand);
        self.carry(steps, told);
    }

    fn carry(&mut self, steps: Vec<Step>, told: &mut Told) {
        for step in steps {
            match step {
                Step::Start(hand, number) => {
                    let Some(job) = self.dispatch.job(number).cloned() else {
                        continue;
                    };
                    if let Err(trouble) = self.send(hand, Order::Start { number, job }) {
                        self.fail(hand, &trouble.to_string(), told);
                    }
                }
                Step::Stop(hand, number) => {
                    if self.send(hand, Order::Stop { number }).is_err() {
                        self.lost(hand, told);
                    }
                }
                Step::Replace(hand) => {
                    if let Some(slot) = self.hands.get_mut(hand) {
                        *slot = None;
                    }
                }
            }
        }
    }

    fn send(&mut self, hand: HandNumber, order: Order) -> Outcome {
        let slot = self
            .hands
            .get_mut(hand)
            .ok_or_else(|| Trouble::missing("a worker"))?;
        if slot.is_none() {
            *slot = Some(Hand::new(hand)?);
        }
        match slot {
            Some(hand) => hand.send(order),
            None => Ok(()),
        }
    }
}
