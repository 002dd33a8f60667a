//! The reader's desk at the end of a page: starting again, saving one's work to a file and taking
//! it in again, forgetting it, deleting it.

use std::rc::Rc;

use web_sys::{Element, HtmlElement, HtmlInputElement};

use super::dom::{self, Listener};
use super::export;
use super::store::Store;
use super::trouble::{self, Outcome};
use crate::session::{Record, Refused};

thread_local! {
    /// The desk of this page; there is one.
    static DESK: std::cell::RefCell<Option<Rc<Desk>>> = const { std::cell::RefCell::new(None) };
}

/// What the desk does through the page it stands on.
pub(crate) struct Hands {
    /// The record as it stands.
    pub(crate) record: Box<dyn Fn() -> Record>,
    /// Takes another record in and shows it.
    pub(crate) take_in: Box<dyn Fn(Record) -> Outcome>,
    /// Starts the lesson again.
    pub(crate) again: Box<dyn Fn()>,
}

/// What a control of the desk does.
type Act = Box<dyn Fn(&Rc<Desk>) -> Outcome>;

struct Desk {
    store: Rc<Store>,
    hands: Hands,
    said: HtmlElement,
    file: HtmlInputElement,
    listeners: std::cell::RefCell<Vec<Listener>>,
}

/// Shows the desk in `main`, which the page has brought along.
pub(crate) fn show(main: &Element, store: Rc<Store>, hands: Hands) -> Outcome {
    let (file, forget) = (dom::input(main, "work-file")?, dom::input(main, "forget")?);
    let desk = Rc::new(Desk {
        store,
        hands,
        said: dom::role(main, "desk-said")?,
        file: file.clone(),
        listeners: std::cell::RefCell::new(Vec::new()),
    });
    let mut listeners = Vec::new();
    let mut on = |target: &HtmlElement, event, act: Act| {
        let weak = Rc::downgrade(&desk);
        listeners.push(Listener::new(target, event, move |_| {
            if let Some(desk) = weak.upgrade()
                && let Err(trouble) = act(&desk)
            {
                trouble::report(&trouble);
            }
        }));
    };
    if let Ok(again) = dom::role(main, "start-again") {
        on(
            &again,
            "click",
            Box::new(|desk| {
                (desk.hands.again)();
                Ok(())
            }),
        );
    }
    on(
        &dom::role(main, "save-work")?,
        "click",
        Box::new(|desk| desk.save()),
    );
    on(
        &dom::role(main, "take-in")?,
        "click",
        Box::new(|desk| {
            desk.file.click();
            Ok(())
        }),
    );
    on(&file, "change", Box::new(Desk::take_in));
    let delete = dom::role(main, "delete-everything")?;
    let (ask, first) = (
        dom::role(main, "delete-ask")?,
        dom::role(main, "delete-yes")?,
    );
    let (asked, yes) = (ask.clone(), first.clone());
    on(
        &delete,
        "click",
        Box::new(move |_| {
            dom::show(&asked, true);
            Ok(yes.focus()?)
        }),
    );
    on(
        &dom::role(main, "delete-no")?,
        "click",
        Box::new(move |_| {
            dom::show(&ask, false);
            Ok(delete.focus()?)
        }),
    );
    on(
        &first,
        "click",
        Box::new(|desk| {
            desk.store.erase();
            Ok(dom::window()?.location().reload()?)
        }),
    );
    forget.set_checked(desk.store.forgets());
    let tick = forget.clone();
    on(
        &forget,
        "change",
        Box::new(move |desk| {
            let kept = "Your work is now kept in this browser until you delete it.";
            desk.say(keep_as_ticked(&desk.store, &tick, kept));
            Ok(())
        }),
    );
    desk.listeners.replace(listeners);
    DESK.with(|place| place.replace(Some(desk)));
    let place = dom::role(main, "desk")?;
    dom::show(&place, true);
    Ok(())
}

/// Keeps the work in this tab alone if that is ticked, else in the browser; gives what is to be said, `kept` for the latter.
/// Where the browser refuses, the tick goes back.
pub(crate) fn keep_as_ticked(
    store: &Store,
    tick: &HtmlInputElement,
    kept: &'static str,
) -> &'static str {
    let done = store.set_forgets(tick.checked());
    tick.set_checked(store.forgets());
    match (done, store.forgets()) {
        (false, _) => "The browser did not allow that. Nothing has changed.",
        (true, true) => "Your work is now kept in this tab only, and goes when you close it.",
        (true, false) => kept,
    }
}

/// Says how many earlier attempts at the lesson are kept.
pub(crate) fn say_attempts(main: &Element, before: usize) -> Outcome {
    let words = match before {
        0 => String::new(),
        1 => "One earlier attempt at this lesson is kept.".to_owned(),
        more => format!("{more} earlier attempts at this lesson are kept."),
    };
    // A lecture has no desk.
    if let Ok(place) = dom::role(main, "attempts") {
        place.set_text_content(Some(&words));
    }
    Ok(())
}

impl Desk {
    fn say(&self, words: &str) {
        self.said.set_text_content(Some(words));
    }

    fn save(&self) -> Outcome {
        let text = (self.hands.record)().file_text();
        export::download("coldfringe-work.json", "application/json", &text)?;
        if let Some(aside) = self.store.aside() {
            export::download("coldfringe-put-aside.txt", "text/plain", &aside)?;
        }
        Ok(())
    }

    /// Reads the file that the reader has chosen.
    fn take_in(self: &Rc<Self>) -> Outcome {
        let desk = Rc::clone(self);
        // No file of saved work is as large.
        export::chosen(&self.file, 8e6, move |text| {
            let read = text.map_or(Err(Refused::TooLarge), |text| Record::from_file(&text));
            match read {
                Ok(record) => {
                    let gains = (desk.hands.record)().take_in(&record);
                    match (desk.hands.take_in)(record) {
                        Ok(()) => desk.say(&gains.words()),
                        Err(trouble) => trouble::report(&trouble),
                    }
                }
                Err(refused) => desk.refuse(&refused),
            }
        })
    }

    fn refuse(&self, refused: &Refused) {
        self.say(&format!(
            "This file was not taken in: {refused}. Nothing here has changed."
        ));
    }
}
