//! An assignment in the page: asks for the identifier, fills the student's numbers in, and carries
//! out what [`crate::workbook::Work`] decides.

mod hand_in;
mod keeping;
mod task;
mod who;

use std::cell::{Cell, RefCell};
use std::rc::{Rc, Weak};

use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlElement, Node};

use super::app::{self, App};
use super::dom::{self, Listener};
use super::store::Store;
use super::trouble::{self, Outcome, Trouble};
use super::{background, formulas};
use crate::homework::{Assignment, Expected};
use crate::named::Named;
use crate::page::islands;
use crate::session::{Attempt, LessonRecord, Record};
use crate::workbook::{Effect, Message, Sum, Work, head, marks};

use task::Task;
pub(crate) use task::mount as mount_task;

thread_local! {
    /// Keeps the assignment's structures alive as long as the page.
    static BOOK: RefCell<Option<Rc<Book>>> = const { RefCell::new(None) };
}

/// An assignment in this window.
pub(crate) struct Book {
    main: Element,
    /// A copy of the main element as the page brought it.
    fresh: Node,
    store: Rc<Store>,
    /// With its draws open.
    assignment: Assignment,
    work: RefCell<Option<Work>>,
    /// The work as this tab last kept it.
    kept: RefCell<Option<String>>,
    /// Drafts of the predictions.
    drafts: RefCell<Option<Attempt>>,
    app: RefCell<Weak<App>>,
    tasks: RefCell<Named<Rc<Task>>>,
    is_closing: Cell<bool>,
    listeners: RefCell<Vec<Listener>>,
}

/// Makes the page of an assignment live.
pub(crate) fn start(store: Rc<Store>, main: Element) -> Outcome {
    let fresh = main.clone_node_with_deep(true)?;
    let json = dom::role(&main, "assignment")?.text_content();
    let specs = dom::find_all(&main, &format!("[{}]", islands::SPEC));
    let spec = |id: &str| {
        let own = |spec: &&HtmlElement| {
            let island = spec.closest(&format!("[{}]", islands::BLOCK_ID));
            island
                .ok()
                .flatten()
                .and_then(|island| island.get_attribute(islands::BLOCK_ID))
                .as_deref()
                == Some(id)
        };
        let found = specs.iter().find(own);
        found
            .and_then(|spec| spec.text_content())
            .unwrap_or_default()
    };
    let assignment = head::read(&json.unwrap_or_default(), spec)
        .map_err(|error| Trouble::island("assignment", &error.to_string()))?;
    if !store.is_there() {
        trouble::show(
            "This browser keeps nothing for this page. You can work, but save the receipt before you leave.",
        );
    }
    let book = Book::new(main, fresh, store, assignment);
    let work = book.load();
    book.open(work, None)
}

impl Book {
    fn new(main: Element, fresh: Node, store: Rc<Store>, assignment: Assignment) -> Rc<Self> {
        Rc::new(Self {
            main,
            fresh,
            store,
            assignment,
            work: RefCell::new(None),
            kept: RefCell::new(None),
            drafts: RefCell::new(None),
            app: RefCell::new(Weak::new()),
            tasks: RefCell::new(Named::new()),
            is_closing: Cell::new(false),
            listeners: RefCell::new(Vec::new()),
        })
    }

    /// Shows the page with somebody's work, or asks who is there; then `typed` is what stands in
    /// the box.
    fn open(self: &Rc<Self>, work: Option<Work>, typed: Option<&str>) -> Outcome {
        BOOK.with(|place| place.replace(Some(Rc::clone(self))));
        self.tell_of_other_versions()?;
        hand_in::listen(self)?;
        match work {
            Some(work) => {
                self.fill(&work)?;
                self.work.replace(Some(work));
                for role in ["mine", "hand-in", "standing"] {
                    dom::show(&*dom::role(&self.main, role)?, true);
                }
                app::open_book(self, &self.main)?;
                self.stand();
            }
            None => who::show(self, typed.unwrap_or_default())?,
        }
        formulas::reach_wide(&self.main);
        self.listen_to_window()
    }

    /// Puts the student's numbers into their places.
    fn fill(&self, work: &Work) -> Outcome {
        let assignment = &self.assignment;
        let list = self
            .main
            .query_selector_all(&format!("[{}]", marks::DRAW))?;
        for index in 0..list.length() {
            // Within formulas these are no elements of HTML.
            let Some(Ok(place)) = list.get(index).map(|node| node.dyn_into::<Element>()) else {
                continue;
            };
            let name = place.get_attribute(marks::DRAW).unwrap_or_default();
            let draw = assignment.draws.iter().position(|draw| draw.name == name);
            let value = draw.and_then(|draw| work.variant().value(assignment, draw));
            // A number and its unit stay on one line.
            let value = value.unwrap_or_default().replace(' ', "\u{A0}");
            place.set_text_content(Some(&value));
        }
        for spec in dom::find_all(&self.main, &format!("[{}]", islands::SPEC)) {
            let open = spec.text_content().unwrap_or_default();
            spec.set_text_content(Some(&assignment.filled(&open, work.variant())));
        }
        for place in dom::find_all(&self.main, "[data-role=student]") {
            place.set_text_content(Some(work.student().as_str()));
        }
        self.main.set_attribute(marks::FILLED, "")?;
        Ok(())
    }

    fn listen_to_window(self: &Rc<Self>) -> Outcome {
        let main = self.main.clone();
        let resize = Listener::new(&dom::window()?.into(), "resize", move |_| {
            formulas::reach_wide(&main);
        });
        let mut listeners = vec![resize];
        for event in ["storage", "pageshow"] {
            let weak = Rc::downgrade(self);
            listeners.push(Listener::new(&dom::window()?.into(), event, move |_| {
                if let Some(book) = weak.upgrade() {
                    book.look_for_news();
                }
            }));
        }
        self.listeners.borrow_mut().extend(listeners);
        Ok(())
    }

    /// The page's structures, once they are there.
    pub(crate) fn opened(&self, app: &Rc<App>) {
        self.app.replace(Rc::downgrade(app));
    }

    /// The assignment's slug.
    pub(crate) fn slug(&self) -> String {
        self.assignment.slug.clone()
    }

    /// Where work is kept.
    pub(crate) fn store(&self) -> Rc<Store> {
        Rc::clone(&self.store)
    }

    /// What the walk through the predictions goes on from.
    pub(crate) fn record(&self) -> Record {
        let mut record = Record::default();
        let drafts = self.drafts.borrow();
        if let Some(work) = self.work.borrow().as_ref() {
            record.lessons.insert(
                self.slug(),
                LessonRecord {
                    attempts: vec![work.attempt(drafts.as_ref())],
                    here: None,
                },
            );
        }
        record
    }

    /// Something changed in the predictions.
    pub(crate) fn worked(self: &Rc<Self>, attempt: Attempt) {
        self.drafts.replace(Some(attempt.clone()));
        self.send(Message::Worked {
            attempt,
            at: dom::now(),
        });
    }

    /// Looks at the work.
    fn look<T>(&self, look: impl FnOnce(&Work) -> T) -> Option<T> {
        self.work.borrow().as_ref().map(look)
    }

    /// Goes on with other work from here on, and keeps it.
    fn go_on_with(self: &Rc<Self>, work: Work) {
        self.drafts.replace(None);
        self.work.replace(Some(work.clone()));
        self.save();
        self.close(Some(work), "", Some("mine"));
    }

    /// Hands a message to the work and carries the effects out.
    fn send(self: &Rc<Self>, message: Message) {
        if self.is_closing.get() || !self.take_news_in() {
            return;
        }
        let effects = match self.work.borrow_mut().as_mut() {
            Some(work) => work.update(message),
            None => return,
        };
        for effect in effects {
            if let Err(trouble) = self.carry(&effect) {
                trouble::report(&trouble);
            }
        }
        self.stand();
    }

    fn carry(&self, effect: &Effect) -> Outcome {
        match effect {
            Effect::Save => {
                self.save();
                Ok(())
            }
            Effect::Refresh(task) => self.with(*task, Task::show),
            Effect::Refuse(task, words) => self.with(*task, |task| task.refuse(words)),
            Effect::Announce(task, words) => self.with(*task, |task| task.announce(words)),
            Effect::ShowHint(task, hint) => self.with(*task, |task| task.show_hint(*hint)),
            Effect::AskForSolution(task) => self.with(*task, Task::ask),
        }
    }

    /// Acts on a numeric question; predictions are shown by their walk.
    fn with(&self, task: usize, act: impl FnOnce(&Task) -> Outcome) -> Outcome {
        let id = self.assignment.tasks.get(task).map(|task| task.id.clone());
        let found = id.and_then(|id| self.tasks.borrow().get(&id).cloned());
        found.map_or(Ok(()), |task| act(&task))
    }

    /// Computes what a question expects, unless it is known. May want answers from the background.
    fn know(&self, task: usize) -> Outcome {
        if self.look(|work| work.expected(task).is_some()) != Some(false) {
            return Ok(());
        }
        let Some(Some(block)) = self.look(|work| work.block(task)) else {
            return Ok(());
        };
        let block = block.map_err(|error| Trouble::new(&error.to_string()))?;
        let expected = Expected::with(&self.assignment.slug, &block, background::checked)
            .map_err(|error| Trouble::new(&error.to_string()))?;
        if let Some(work) = self.work.borrow_mut().as_mut() {
            work.know(task, expected);
        }
        Ok(())
    }

    /// Shows how every question stands, and all together.
    pub(crate) fn stand(&self) {
        for task in 0..self.assignment.tasks.len() {
            if self.look(|work| work.wants(task)) == Some(true) {
                // What the background must compute first is asked for by the question itself.
                let _ = background::attempt(|| self.know(task));
            }
        }
        if let Some(Err(trouble)) = self.look(|work| self.show_standing(work)) {
            trouble::report(&trouble);
        }
    }

    fn show_standing(&self, work: &Work) -> Outcome {
        for (place, task) in self.assignment.tasks.iter().enumerate() {
            let standing = work.standing(place);
            for (attribute, role, words) in [
                (marks::TASK, "task-standing", standing.words()),
                (
                    marks::TASK_LINK,
                    "link-standing",
                    standing.name().to_owned(),
                ),
            ] {
                let selector = format!("[{attribute}=\"{}\"]", task.id);
                if let Some(element) = dom::find(&self.main, &selector) {
                    element.set_attribute(marks::STANDING, standing.name())?;
                    dom::say(&element, role, &words);
                }
            }
        }
        let sum = Sum::of(work);
        dom::say(&self.main, "sum", &sum.short());
        dom::say(&self.main, "summary", &sum.long());
        self.main
            .set_attribute(marks::POINTS, &sum.points_written())?;
        let judged = if sum.known { "yes" } else { "no" };
        self.main.set_attribute(marks::JUDGED, judged)?;
        self.main
            .set_attribute(marks::DONE, &sum.done().to_string())?;
        dom::show(
            &*dom::role(&self.main, "correct")?,
            work.entries().is_empty(),
        );
        Ok(())
    }

    /// Builds the page anew from its text, with other work or without any, once what is going on
    /// now is done. `focus` is the role of the element that then holds the keyboard.
    fn close(self: &Rc<Self>, work: Option<Work>, typed: &str, focus: Option<&'static str>) {
        if self.is_closing.replace(true) {
            return;
        }
        let book = Rc::clone(self);
        let typed = typed.to_owned();
        dom::later(move || {
            if let Err(trouble) = book.anew(work, &typed, focus) {
                trouble::report(&trouble);
            }
        });
    }

    fn anew(&self, work: Option<Work>, typed: &str, focus: Option<&'static str>) -> Outcome {
        app::close_page();
        self.listeners.take();
        self.tasks.take();
        let fresh = self.fresh.clone_node_with_deep(true)?;
        let main: Element = fresh
            .dyn_into()
            .map_err(|_| Trouble::missing("its main element"))?;
        self.main.replace_with_with_node_1(&main)?;
        let book = Self::new(
            main,
            self.fresh.clone(),
            Rc::clone(&self.store),
            self.assignment.clone(),
        );
        book.kept.replace(self.kept.take());
        book.drafts.replace(self.drafts.take());
        book.open(work, Some(typed))?;
        if let Some(focus) = focus {
            let place = dom::role(&book.main, focus)?;
            place.focus()?;
            place.scroll_into_view_with_bool(true);
        }
        Ok(())
    }
}
