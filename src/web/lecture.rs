//! A lecture in the page: the hall's screen, and the presenter's notes in another window. Both
//! carry out what the same machine decides, and follow one another through the browser's storage.

mod corner;
mod keys;
mod notes;
mod stage;

use std::cell::{Cell, RefCell};
use std::rc::{Rc, Weak};

use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlElement};

use super::app::App;
use super::dom::{self, Listener, Timer};
use super::store::{KEY, Store};
use super::trouble::{self, Outcome};
use crate::lesson::plan::{Screen, ScreenKind, Stage};
use crate::lesson::spec::Block;
use crate::page::islands;
use crate::session::lecture::{Effect, Lecture, Message, right_place};
use crate::session::{Attempt, LessonRecord, Record};

/// How long the presenter's window waits for the hall's, in milliseconds.
const ANSWER: i32 = 500;

/// A lecture in this window.
pub(crate) struct Hall {
    lesson: String,
    main: Element,
    store: Store,
    lecture: RefCell<Lecture>,
    /// The blocks that can be voted on.
    blocks: Vec<Block>,
    app: RefCell<Weak<App>>,
    /// The address that was shown last, with what was switched on.
    shown: RefCell<String>,
    is_notes: bool,
    clock: RefCell<Option<Timer>>,
    /// Until when the presenter's window waits for the hall's.
    wish: RefCell<Option<Timer>>,
    is_busy: Cell<bool>,
    listeners: RefCell<Vec<Listener>>,
}

impl Hall {
    /// The lecture whose main element is `main`, as it is kept.
    pub(crate) fn open(lesson: &str, main: &Element) -> Rc<Self> {
        let store = Store::open();
        if !store.is_there() {
            trouble::show(
                "This browser keeps nothing for this page: a reload loses the votes, and the presenter's notes cannot follow.",
            );
        }
        let id = dom::random_name();
        let mut kept = store.lecture(lesson);
        if kept.is_none() {
            // The look chosen for the last lecture holds for the next lesson.
            let mut fresh = crate::session::lecture::LectureRecord::new(&id, dom::now());
            fresh.settings = store.lecture_settings();
            kept = Some(fresh);
        }
        let address = if is_notes(main) {
            String::new()
        } else {
            address()
        };
        let lecture = Lecture::new(screens(main), kept, &address, &id, dom::now());
        let blocks = dom::find_all(main, &format!("[{}] [{}]", islands::SCREEN, islands::SPEC))
            .iter()
            .filter_map(|spec| islands::read(&spec.text_content()?).ok())
            .collect();
        Rc::new(Self {
            lesson: lesson.to_owned(),
            main: main.clone(),
            store,
            lecture: RefCell::new(lecture),
            blocks,
            app: RefCell::new(Weak::new()),
            shown: RefCell::new(String::new()),
            is_notes: is_notes(main),
            clock: RefCell::new(None),
            wish: RefCell::new(None),
            is_busy: Cell::new(false),
            listeners: RefCell::new(Vec::new()),
        })
    }

    /// What the walk goes on from: the lecture's own attempt, and nothing of the reader's.
    pub(crate) fn record(&self) -> Record {
        let mut record = Record::default();
        record.lessons.insert(
            self.lesson.clone(),
            LessonRecord {
                attempts: vec![self.lecture.borrow().record().attempt.clone()],
                here: None,
            },
        );
        record
    }

    /// Sketches of volunteers that were put aside.
    pub(crate) fn sketches(&self, block: &str) -> Vec<String> {
        let lecture = self.lecture.borrow();
        let sketches = lecture.record().sketches.get(block);
        sketches.cloned().unwrap_or_default()
    }

    /// Takes the keys and shows the lecture.
    pub(crate) fn start(self: &Rc<Self>, app: &Rc<App>) -> Outcome {
        self.app.replace(Rc::downgrade(app));
        keys::listen(self)?;
        let hall = Rc::downgrade(self);
        let news = Listener::new(&dom::window()?.into(), "storage", move |event| {
            let Some(hall) = hall.upgrade() else { return };
            let event: &web_sys::StorageEvent = event.unchecked_ref();
            if event.key().is_none_or(|key| key == KEY) {
                hall.look_for_news();
            }
        });
        self.listeners.borrow_mut().push(news);
        self.save();
        self.show();
        self.tick();
        Ok(())
    }

    /// Hands a message to the lecture and carries the effects out.
    pub(crate) fn send(self: &Rc<Self>, message: Message) {
        let effects = self.lecture.borrow_mut().update(message);
        for effect in effects {
            match effect {
                Effect::Save => self.save(),
                Effect::Show => self.show(),
                Effect::FinishPen => {
                    self.with_app(|app, block| app.finish_pen(block));
                }
                Effect::Scroll(down) => self.scroll(down),
                Effect::Restart => self.restart(),
                Effect::Leave => {
                    if let Ok(window) = dom::window() {
                        let _ = window.location().set_href("index.html");
                    }
                }
            }
        }
    }

    /// Something was done on the screen itself.
    pub(crate) fn worked(self: &Rc<Self>, attempt: Attempt) {
        self.send(Message::Worked {
            attempt,
            at: dom::now(),
        });
    }

    fn with_app<T>(&self, act: impl FnOnce(&Rc<App>, &str) -> T) -> Option<T> {
        let app = self.app.borrow().upgrade()?;
        let block = self.lecture.borrow().screen()?.block.clone();
        Some(act(&app, &block))
    }

    fn save(&self) {
        self.store
            .save_lecture(&self.lesson, self.lecture.borrow().record());
    }

    fn look_for_news(self: &Rc<Self>) {
        let Some(record) = self.store.lecture(&self.lesson) else {
            // All was deleted in another tab: keeping this window's copy would undo that.
            self.reload();
            return;
        };
        self.send(Message::News(record));
        if !self.is_notes {
            self.grant();
        }
        if let Some(app) = self.app.borrow().upgrade() {
            app.send(crate::session::Message::OtherTab {
                record: self.record(),
            });
        }
    }

    /// Does what the presenter's window wishes, as a key in this window would.
    fn grant(self: &Rc<Self>) {
        let wish = self.lecture.borrow_mut().take_wish(dom::now());
        match wish.as_deref() {
            Some("forward") => keys::forward(self),
            Some(_) => keys::back(self),
            None => return,
        }
        // A pen that is finished, or a sheet that is scrolled, changes nothing that is kept.
        self.save();
    }

    /// Asks the hall's window to go on or back. Where none answers, this one goes by itself.
    fn wish(self: &Rc<Self>, what: &'static str) {
        // One that nobody has answered yet is not lost to the next.
        self.grant();
        let at = dom::now();
        self.send(Message::Wish { what, at });
        let hall = Rc::downgrade(self);
        self.wish.replace(Timer::once(ANSWER, move || {
            if let Some(hall) = hall.upgrade() {
                hall.grant();
            }
        }));
    }

    fn reload(&self) {
        if let Ok(window) = dom::window() {
            let _ = window.location().reload();
        }
    }

    fn restart(&self) {
        if !self.is_notes {
            self.write_address();
        }
        self.reload();
    }

    fn write_address(&self) {
        let wanted = self.lecture.borrow().address();
        if address() != wanted
            && let Ok(window) = dom::window()
        {
            // The history is not filled with every key press.
            let _ = window.location().replace(&format!("#{wanted}"));
        }
    }

    /// Shows everything as it now stands.
    fn show(self: &Rc<Self>) {
        // What is shown may cause work that is kept, and be asked for again.
        if self.is_busy.replace(true) {
            return;
        }
        let shown = if self.is_notes {
            notes::show(self)
        } else {
            self.write_address();
            stage::show(self)
        };
        self.is_busy.set(false);
        if let Err(trouble) = shown {
            trouble::report(&trouble);
        }
        corner::show(self);
    }

    /// Lets the clock go on, once a second.
    fn tick(self: &Rc<Self>) {
        corner::show_clock(self);
        let hall = Rc::downgrade(self);
        self.clock.replace(Timer::once(1000, move || {
            if let Some(hall) = hall.upgrade() {
                hall.tick();
            }
        }));
    }

    /// The screen that is shown.
    fn sheet(&self) -> Option<HtmlElement> {
        dom::find(&self.main, ".screen[data-now] .sheet")
    }

    fn scroll(&self, down: bool) {
        if let Some(sheet) = self.sheet() {
            let step = sheet.client_height() * 4 / 5;
            let step = if down { step } else { -step };
            sheet.set_scroll_top(sheet.scroll_top() + step);
        }
    }

    /// The place of the right option of the screen that is shown.
    fn right(&self) -> Option<usize> {
        let lecture = self.lecture.borrow();
        let block = &lecture.screen()?.block;
        let block = self.blocks.iter().find(|known| known.id() == block)?;
        right_place(&self.lesson, block, &lecture.record().attempt.id)
    }

    /// What the round going on suggests.
    fn advice(&self) -> Option<&'static str> {
        let right = self.right();
        let advice = self.lecture.borrow().advice(right);
        advice.map(|advice| advice.words())
    }

    fn stage(&self) -> Option<(Stage, Screen)> {
        let lecture = self.lecture.borrow();
        Some((lecture.stage()?.clone(), lecture.screen()?.clone()))
    }
}

fn is_notes(main: &Element) -> bool {
    main.get_attribute(islands::LECTURE).as_deref() == Some("notes")
}

/// What stands behind the `#` of the address.
fn address() -> String {
    let hash = dom::window().and_then(|window| Ok(window.location().hash()?));
    hash.unwrap_or_default().trim_start_matches('#').to_owned()
}

fn screens(main: &Element) -> Vec<Screen> {
    let mut screens = Vec::new();
    for place in dom::find_all(main, &format!("[{}]", islands::SCREEN)) {
        let get = |name| place.get_attribute(name).unwrap_or_default();
        screens.push(Screen {
            name: get(islands::SCREEN_NAME),
            kind: ScreenKind::from_name(&get(islands::SCREEN)),
            block: get(islands::SCREEN_BLOCK),
            options: get(islands::OPTIONS).parse().unwrap_or_default(),
        });
    }
    screens
}
