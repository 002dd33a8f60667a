//! Where an assignment's work is kept: the receipt under a key of its own for each assignment and
//! version, and drafts beside it. What cannot be used is put aside, never overwritten.

use std::rc::Rc;

use super::Book;
use crate::homework::Receipt;
use crate::homework::receipt::Seal;
use crate::session::{Attempt, Record};
use crate::web::dom::{self, Listener};
use crate::web::export;
use crate::web::trouble::{self, Outcome};
use crate::workbook::Work;

/// What the keys of all work on assignments begin with.
const WORK: &str = "coldfringe.homework.";
/// The same for drafts.
const DRAFTS: &str = "coldfringe.homework-drafts.";

impl Book {
    fn key(&self, begins: &str) -> String {
        format!(
            "{begins}{}.{}",
            self.assignment.slug, self.assignment.version
        )
    }

    /// The work kept in this browser, if there is any.
    pub(super) fn load(&self) -> Option<Work> {
        let text = self.store.kept(&self.key(WORK))?;
        self.drafts.replace(self.load_drafts());
        let began = self.drafts.borrow().as_ref().map(|drafts| drafts.started);
        let work = match Receipt::read(&text) {
            Ok((receipt, Seal::Whole)) => {
                Work::resume(self.assignment.clone(), receipt, began, dom::now())
                    .map_err(|error| error.to_string())
            }
            Ok(_) => Err("it was changed from outside".to_owned()),
            Err(error) => Err(error.to_string()),
        };
        match work {
            Ok(work) => {
                self.kept.replace(Some(text));
                Some(work)
            }
            Err(reason) => {
                trouble::show(&format!(
                    "The work on this assignment that is kept in this browser cannot be used: {reason}. It has been put aside unchanged; the contents page can save it to a file."
                ));
                self.store.put_aside(&text);
                self.store.forget(&self.key(WORK));
                None
            }
        }
    }

    fn load_drafts(&self) -> Option<Attempt> {
        let text = self.store.kept(&self.key(DRAFTS))?;
        let record = Record::load(Some(&text)).record;
        let lesson = record.lessons.get(&self.assignment.slug)?;
        lesson.attempts.last().cloned()
    }

    /// Keeps the work. When the browser refuses, says so; the work goes on in this tab.
    pub(super) fn save(&self) {
        let Some(text) = self.look(|work| work.receipt().text()) else {
            return;
        };
        let mut done = self.store.keep(&self.key(WORK), &text);
        if done {
            self.kept.replace(Some(text));
            done = self.store.keep(&self.key(DRAFTS), &self.record().text());
        }
        if !done && self.store.is_there() {
            trouble::show(
                "The browser's storage for this page is full or shut. Your work goes on in this tab: save the receipt before you leave.",
            );
        }
    }

    /// Takes the work out of this browser.
    pub(super) fn erase(&self) {
        for begins in [WORK, DRAFTS] {
            self.store.forget(&self.key(begins));
        }
        self.kept.replace(None);
        self.drafts.replace(None);
    }

    /// Whether this tab's work is the newest; if another tab went on with it, that is taken in
    /// first. False when it was taken away there.
    pub(super) fn take_news_in(self: &Rc<Self>) -> bool {
        let now = self.store.kept(&self.key(WORK));
        if !self.store.is_there() || now == *self.kept.borrow() {
            return true;
        }
        let work = self.load();
        let is_there = work.is_some();
        if is_there {
            self.work.replace(work.clone());
        }
        self.close_later(work);
        is_there
    }

    /// Looks whether another tab has gone on.
    pub(super) fn look_for_news(self: &Rc<Self>) {
        let now = self.store.kept(&self.key(WORK));
        if self.store.is_there() && now != *self.kept.borrow() {
            let work = self.load();
            self.close(work, "", None);
        }
    }

    /// Shows the newest work once the action going on is kept too.
    fn close_later(self: &Rc<Self>, work: Option<Work>) {
        if work.is_none() {
            self.close(None, "", None);
            return;
        }
        let weak = Rc::downgrade(self);
        dom::later(move || {
            if let Some(book) = weak.upgrade() {
                let work = book.work.borrow().clone();
                book.close(work, "", None);
            }
        });
    }

    /// Tells of work on other versions of this assignment, and hands it out.
    pub(super) fn tell_of_other_versions(&self) -> Outcome {
        let begins = format!("{WORK}{}.", self.assignment.slug);
        let news = dom::role(&self.main, "news")?;
        for key in self.store.keys(&begins) {
            let version = key[begins.len()..].to_owned();
            if key == self.key(WORK) || version.parse::<u32>().is_err() {
                continue;
            }
            let Some(text) = self.store.kept(&key) else {
                continue;
            };
            dom::append(
                &news,
                "p",
                "",
                &format!(
                    "This assignment has changed: this is version {}, and you have worked on version {version}. Numbers and questions may be others now. Your earlier work is kept, and its receipt can be saved.",
                    self.assignment.version
                ),
            )?;
            let save = dom::button(&news, "", &format!("Save the receipt of version {version}"))?;
            let name = format!("receipt-{}-version-{version}.json", self.assignment.slug);
            let listener = Listener::new(&save, "click", move |_| {
                if let Err(trouble) = export::download(&name, "application/json", &text) {
                    trouble::report(&trouble);
                }
            });
            self.listeners.borrow_mut().push(listener);
        }
        Ok(())
    }
}
