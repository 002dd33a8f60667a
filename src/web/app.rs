//! The page as a whole: finds the islands, hands messages to the walk, carries effects out.
//! Messages are queued, so that an effect that causes another message never re-enters the walk.

use std::cell::{Cell, RefCell};
use std::collections::VecDeque;
use std::rc::Rc;

use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlElement, Node};

use super::dom::{self, Listener, Timer};
use super::lecture::Hall;
use super::store::{KEY, Store};
use super::trouble::{self, Outcome, Trouble};
use super::workbook::Book;
use super::{
    background, bench, board, canvas, contents, desk, formulas, looking_back, observe, place,
    predict, question, record, workbook,
};
use crate::lesson::spec::{Block, SetupSpec};
use crate::named::Named;
use crate::page::islands;
use crate::prediction::pick;
use crate::session::{BlockKind, BlockRecord, Came, Commitment, Effect, Message, Walk};
use crate::workbook::marks;

thread_local! {
    /// Keeps the page's structures alive as long as the page.
    static PAGE: RefCell<Option<Rc<App>>> = const { RefCell::new(None) };
}

/// A live block.
pub(crate) trait Island {
    /// Show the block as it now stands.
    fn refresh(&self) -> Outcome;
    /// The reader has just committed: trace the truth beside it.
    fn reveal(&self) -> Outcome {
        self.refresh()
    }
    /// Show the truth up to a share of the way.
    fn trace(&self, _share: f64) -> Outcome {
        Ok(())
    }
    /// Say what is missing before a commitment.
    fn problem(&self, _text: &str) -> Outcome {
        Ok(())
    }
    /// Put the question "commit for good?".
    fn ask(&self) -> Outcome {
        Ok(())
    }
    /// In a lecture: show the answer to something that is asked as often as wanted.
    fn answer(&self) -> Outcome {
        Ok(())
    }
    /// Whether the pen is on its way.
    fn is_tracing(&self) -> bool {
        false
    }
    /// Let the pen be done.
    fn finish_pen(&self) {}
}

/// Where a block stands on the page.
struct Place {
    element: Element,
    /// A copy of the element as the page brought it.
    fresh: Node,
    block: Block,
}

impl Place {
    /// Whether the part of the page around it is open.
    fn is_open(&self) -> bool {
        let shut = format!("[{}]:not([{}])", islands::AFTER, islands::OPEN);
        self.element.closest(&shut).is_ok_and(|part| part.is_none())
    }

    /// Puts the element back as the page brought it.
    fn restore(&self) -> Outcome {
        self.element.set_text_content(None);
        let copy = self.fresh.clone_node_with_deep(true)?;
        while let Some(child) = copy.first_child() {
            self.element.append_child(&child)?;
        }
        Ok(())
    }
}

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
    places: Vec<Place>,
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

/// Makes the page live.
pub(crate) fn start() -> Outcome {
    let document = dom::document()?;
    let root = document
        .document_element()
        .ok_or_else(|| Trouble::missing("a root element"))?;
    let version = root.get_attribute(islands::VERSION_ATTRIBUTE);
    if version != Some(islands::VERSION.to_string()) {
        return Err(Trouble::other_version());
    }
    // Without a canvas no curve could be shown: better a page to read than one that stays shut.
    if !canvas::is_there() {
        return Err(Trouble::no_canvas());
    }
    let store = Rc::new(Store::open());
    if let Ok(Some(main)) = document.query_selector(&format!("[{}]", islands::LESSON)) {
        let lesson = main.get_attribute(islands::LESSON).unwrap_or_default();
        let hall = main
            .has_attribute(islands::LECTURE)
            .then(|| Hall::open(&lesson, &main));
        let app = Rc::new(App::new(lesson, main, store, hall.clone(), None)?);
        // Listened first: opening the page asks everything to look at its size.
        app.listen()?;
        match hall {
            Some(hall) => hall.start(&app)?,
            None => {
                app.mount()?;
                app.show_desk()?;
                let followed = place::follow(&app, &app.main)?;
                app.listeners.borrow_mut().extend(followed);
            }
        }
        PAGE.with(|page| page.replace(Some(app)));
    } else if let Ok(Some(main)) = document.query_selector(&format!("[{}]", marks::WORKBOOK)) {
        workbook::start(store, main)?;
    } else if let Ok(Some(main)) = document.query_selector("main.contents") {
        contents::start(store, main)?;
    }
    root.set_attribute("data-state", "ready")?;
    if let Some(performance) = dom::window()?.performance() {
        let _ = performance.mark("coldfringe-ready");
    }
    Ok(())
}

/// Makes the questions of an assignment live.
#[cfg(not(coldfringe_without_homework))]
pub(crate) fn open_book(book: &Rc<Book>, main: &Element) -> Outcome {
    let app = App::new(
        book.slug(),
        main.clone(),
        book.store(),
        None,
        Some(Rc::clone(book)),
    )?;
    let app = Rc::new(app);
    app.listen()?;
    book.opened(&app);
    app.mount()?;
    PAGE.with(|page| page.replace(Some(app)));
    Ok(())
}

/// Lets go of the page's structures.
#[cfg(not(coldfringe_without_homework))]
pub(crate) fn close_page() {
    PAGE.with(|page| page.replace(None));
}

impl App {
    fn new(
        lesson: String,
        main: Element,
        store: Rc<Store>,
        hall: Option<Rc<Hall>>,
        book: Option<Rc<Book>>,
    ) -> Outcome<Self> {
        let mut places = Vec::new();
        for element in dom::find_all(&main, &format!("[{}]", islands::ISLAND)) {
            let name = element.get_attribute(islands::BLOCK_ID).unwrap_or_default();
            let json = dom::find(&element, &format!("[{}]", islands::SPEC))
                .and_then(|spec| spec.text_content())
                .ok_or_else(|| Trouble::missing("a block's description"))?;
            // A block that cannot be read leaves its text standing and stops no other block.
            match islands::read(&json) {
                Ok(block) => places.push(Place {
                    fresh: element.clone_node_with_deep(true)?,
                    element: element.into(),
                    block,
                }),
                Err(error) => trouble::report(&Trouble::island(&name, &error.to_string())),
            }
        }
        let kinds = places
            .iter()
            .map(|place| (place.block.id().to_owned(), kind(&place.block)))
            .collect();
        let record = match (&hall, &book) {
            (Some(hall), _) => hall.record(),
            (_, Some(book)) => book.record(),
            _ => store.load(),
        };
        let walk = Walk::new(&lesson, kinds, record, &dom::random_name(), dom::now());
        let is_slow = places
            .iter()
            .any(|place| place.block.setup().is_some_and(SetupSpec::is_slow));
        Ok(Self {
            lesson,
            store,
            hall,
            book,
            main,
            places,
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

    /// Builds the page as the walk stands, after taking down what stood before.
    fn mount(self: &Rc<Self>) -> Outcome {
        let stood = std::mem::take(&mut *self.islands.borrow_mut());
        for place in &self.places {
            if stood.contains(place.block.id()) {
                place.restore()?;
            }
        }
        drop(stood);
        self.open();
        self.look_back()?;
        desk::say_attempts(&self.main, self.look(Walk::attempts_before))
    }

    fn show_desk(self: &Rc<Self>) -> Outcome {
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
    fn look_back(&self) -> Outcome {
        looking_back::show(&self.main, &self.lesson, |block| self.kept(block))
    }

    /// Builds the islands that stand in open parts and are not there yet. Those in shut parts wait,
    /// so that nothing computed is on the page before its time.
    fn build(self: &Rc<Self>) {
        for place in &self.places {
            let id = place.block.id();
            if self.islands.borrow().contains(id) || !place.is_open() {
                continue;
            }
            let built = self.island(&place.element, &place.block);
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
            let _ = place.element.set_attribute("data-state", state);
        }
    }

    fn island(self: &Rc<Self>, element: &Element, block: &Block) -> Outcome<Rc<dyn Island>> {
        Ok(match block {
            Block::Predict(prediction) => predict::mount(self, element, prediction)?,
            Block::Observe(observation) => observe::mount(self, element, observation)?,
            Block::Bench(spec) => bench::mount(self, element, spec)?,
            Block::Question(spec) => match &self.book {
                Some(book) => workbook::mount_task(book, element, spec)?,
                None => question::mount(self, element, spec)?,
            },
            Block::Board(spec) => board::mount(element, spec)?,
            Block::Record(spec) => {
                record::mount(&format!("{}-{}", self.lesson, spec.id), element, spec)?
            }
        })
    }

    /// Listens to the other tabs, and to a change of look: on paper and at night the drawings
    /// have other inks.
    fn listen(self: &Rc<Self>) -> Outcome {
        for query in ["print", "(prefers-color-scheme: dark)"] {
            if let Some(list) = dom::window()?.match_media(query)? {
                // All drawings listen to a new size already.
                let listener = Listener::new(&list.into(), "change", |_| dom::look_at_size());
                self.listeners.borrow_mut().push(listener);
            }
        }
        if self.hall.is_some() || self.book.is_some() {
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
        let main = self.main.clone();
        let resize = Listener::new(&dom::window()?.into(), "resize", move |_| {
            formulas::reach_wide(&main);
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
        self.listeners.borrow_mut().extend([listener, resize, back]);
        Ok(())
    }

    fn look_for_news(self: &Rc<Self>) {
        if let Some(record) = self.store.news() {
            self.send(Message::OtherTab { record });
        }
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

    fn carry(self: &Rc<Self>, effect: &Effect) -> Outcome {
        match effect {
            Effect::Save if self.hall.is_some() || self.book.is_some() => {
                let walk = self.walk.borrow();
                let lesson = walk.record().lessons.get(&self.lesson);
                let attempt = lesson.and_then(|lesson| lesson.attempts.last()).cloned();
                drop(walk);
                match (&self.hall, &self.book, attempt) {
                    (Some(hall), _, Some(attempt)) => hall.worked(attempt),
                    (_, Some(book), Some(attempt)) => book.worked(attempt),
                    _ => {}
                }
                Ok(())
            }
            Effect::Save => {
                // What another tab kept meanwhile is taken in first, so that nothing is lost.
                if let Some(record) = self.store.news() {
                    self.queue.borrow_mut().push_back(Message::OtherTab {
                        record: record.clone(),
                    });
                    let mut both = self.walk.borrow().record().clone();
                    both.merge(&record);
                    self.store.save(&both);
                } else {
                    self.store.save(self.walk.borrow().record());
                }
                Ok(())
            }
            Effect::Refresh(block) => self.with(block, |island| island.refresh()),
            Effect::Reveal(block) => self.with(block, |island| island.reveal()),
            Effect::Problem(block, text) => self.with(block, |island| island.problem(text)),
            Effect::AskToConfirm(block) => self.with(block, |island| island.ask()),
            Effect::Open => {
                self.open();
                self.look_back()
            }
            Effect::LookBack => self.look_back(),
            Effect::Restart => {
                self.mount()?;
                dom::window()?.scroll_to_with_x_and_y(0.0, 0.0);
                // The button that was pressed is gone; the keyboard goes on from the start.
                if let Some(main) = self.main.dyn_ref::<HtmlElement>() {
                    main.focus()?;
                }
                Ok(())
            }
        }
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
