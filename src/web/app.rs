//! The page as a whole: its blocks, the reader's walk through them, and the messages between the two.
//! Messages are queued, so that an effect that causes another message never re-enters the walk.

mod build;
mod carry;
mod listen;
mod slot;
mod start;

use std::cell::{Cell, RefCell};
use std::collections::VecDeque;
use std::rc::Rc;

use web_sys::Element;

use super::background;
use super::dom::{self, Listener, Timer};
use super::island::Island;
use super::lecture::Hall;
use super::store::Store;
use super::trouble::{self, Outcome};
use super::workbook::Book;
use crate::lesson::spec::{Block, SetupSpec};
use crate::named::Named;
use crate::prediction::pick;
use crate::session::{BlockKind, BlockRecord, Came, Commitment, Message, Walk};

use slot::Slot;
pub(crate) use start::start;
#[cfg(not(coldfringe_without_homework))]
pub(crate) use start::{close_page, open_book};

/// The lesson's page.
pub(crate) struct App {
    /// The lesson's slug.
    pub(crate) lesson: String,
    /// Where the work is kept.
    pub(crate) store: Rc<Store>,
    /// The lecture, if this is one: then the work is its own and not the reader's.
    pub(crate) hall: Option<Rc<Hall>>,
    /// The assignment, if this is one: then the work is kept with its other answers.
    book: Option<Rc<Book>>,
    main: Element,
    slots: Vec<Slot>,
    walk: RefCell<Walk>,
    islands: RefCell<Named<Rc<dyn Island>>>,
    queue: RefCell<VecDeque<Message>>,
    busy: Cell<bool>,
    listeners: RefCell<Vec<Listener>>,
    /// Gets the background ready once the page is at rest.
    _warm: Option<Timer>,
}

/// How long the page is left alone before the background is got ready, in milliseconds.
const REST: i32 = 1200;

impl App {
    fn new(
        lesson: String,
        main: Element,
        store: Rc<Store>,
        hall: Option<Rc<Hall>>,
        book: Option<Rc<Book>>,
    ) -> Outcome<Self> {
        let slots = Slot::find_all(&main)?;
        let kinds = slots
            .iter()
            .map(|slot| (slot.block.id().to_owned(), kind(&slot.block)))
            .collect();
        let record = match (&hall, &book) {
            (Some(hall), _) => hall.record(),
            (_, Some(book)) => book.record(),
            _ => store.load(),
        };
        let walk = Walk::new(&lesson, kinds, record, &dom::random_name(), dom::now());
        let is_slow = slots
            .iter()
            .any(|slot| slot.block.setup().is_some_and(SetupSpec::is_slow));
        Ok(Self {
            lesson,
            store,
            hall,
            book,
            main,
            slots,
            walk: RefCell::new(walk),
            islands: RefCell::new(Named::new()),
            queue: RefCell::new(VecDeque::new()),
            busy: Cell::new(false),
            listeners: RefCell::new(Vec::new()),
            _warm: is_slow
                .then(|| Timer::once(REST, background::warm))
                .flatten(),
        })
    }

    /// Hands a message to the walk and carries the effects out.
    pub(crate) fn send(self: &Rc<Self>, message: Message) {
        self.queue.borrow_mut().push_back(message);
        if self.busy.replace(true) {
            return;
        }
        loop {
            let Some(message) = self.queue.borrow_mut().pop_front() else {
                break;
            };
            let effects = self.walk.borrow_mut().update(message);
            for effect in effects {
                if let Err(trouble) = self.carry(&effect) {
                    trouble::report(&trouble);
                }
            }
        }
        self.busy.set(false);
    }

    fn with(&self, block: &str, act: impl FnOnce(&dyn Island) -> Outcome) -> Outcome {
        let island = self.islands.borrow().get(block).cloned();
        island.map_or(Ok(()), |island| act(island.as_ref()))
    }

    /// Lets the pen of a block go on.
    pub(crate) fn trace(&self, block: &str, share: f64) -> Outcome {
        self.with(block, |island| island.trace(share))
    }

    /// Whether a pen is on its way in a block.
    pub(crate) fn is_tracing(&self, block: &str) -> bool {
        let islands = self.islands.borrow();
        islands.get(block).is_some_and(|island| island.is_tracing())
    }

    /// Lets the pen of a block be done.
    pub(crate) fn finish_pen(&self, block: &str) {
        let island = self.islands.borrow().get(block).cloned();
        if let Some(island) = island {
            island.finish_pen();
        }
    }

    /// Shows the answer of a block in a lecture.
    pub(crate) fn answer(&self, block: &str) -> Outcome {
        self.with(block, |island| island.answer())
    }

    /// What was done in a block in the attempt going on.
    pub(crate) fn kept(&self, block: &str) -> BlockRecord {
        self.walk.borrow().block(block)
    }

    /// Commitments of earlier attempts, and what came of them; in a lecture the sketches of
    /// earlier volunteers.
    pub(crate) fn earlier(&self, block: &str) -> Vec<(Commitment, Option<Came>)> {
        if let Some(hall) = &self.hall {
            let sketches = hall.sketches(block).into_iter();
            return sketches
                .map(|sketch| (Commitment::of_sketch(sketch), None))
                .collect();
        }
        self.walk.borrow().earlier(block)
    }

    /// Looks at the walk.
    pub(crate) fn look<T>(&self, look: impl FnOnce(&Walk) -> T) -> T {
        look(&self.walk.borrow())
    }

    /// A number that shuffles options the same way for this reader, attempt and block.
    pub(crate) fn shuffle_seed(&self, block: &str) -> u64 {
        pick::seed(&format!(
            "{}|{}|{block}",
            self.walk.borrow().attempt_name(),
            self.lesson
        ))
    }
}

fn kind(block: &Block) -> BlockKind {
    match block {
        Block::Predict(_) => BlockKind::Predict,
        Block::Observe(_) | Block::Question(_) => BlockKind::Ask,
        Block::Bench(_) | Block::Board(_) | Block::Record(_) => BlockKind::Look,
    }
}
