//! The reader's work in the browser's own storage, under one key. What cannot be read is put
//! aside under a key of its own, never overwritten; what cannot be kept is said at once.

use std::cell::{Cell, RefCell};

use web_sys::Storage;

use super::dom;
use super::trouble;
use crate::session::lecture::LectureRecord;
use crate::session::{Loaded, Record};

/// The key under which the record is kept.
pub(crate) const KEY: &str = "coldfringe.record";
/// The key under which text that could not be used is put aside.
pub(crate) const ASIDE: &str = "coldfringe.put-aside";

/// In the tab's own storage: set while the work is kept there, to go when the tab is closed.
const FORGET: &str = "coldfringe.forget";
/// What every key of the notebook begins with.
const OURS: &str = "coldfringe.";

/// The storage of this page.
#[derive(Debug)]
pub(crate) struct Store {
    /// The browser's own; it lasts.
    lasting: Option<Storage>,
    /// The tab's; it goes with the tab.
    passing: Option<Storage>,
    forgets: Cell<bool>,
    /// Whether everything was just deleted here: nothing is kept until the page is loaded again.
    erased: Cell<bool>,
    last: RefCell<Option<String>>,
    troubled: RefCell<bool>,
}

impl Store {
    /// Opens the storage, if the browser has any for this page.
    pub(crate) fn open() -> Self {
        let window = dom::window().ok();
        let window = window.as_ref();
        let passing = window.and_then(|window| window.session_storage().ok().flatten());
        let forgets = passing
            .as_ref()
            .is_some_and(|tab| tab.get_item(FORGET).is_ok_and(|set| set.is_some()));
        Self {
            lasting: window.and_then(|window| window.local_storage().ok().flatten()),
            passing,
            forgets: Cell::new(forgets),
            erased: Cell::new(false),
            last: RefCell::new(None),
            troubled: RefCell::new(false),
        }
    }

    /// Where the work is kept now.
    fn storage(&self) -> Option<&Storage> {
        if self.forgets.get() {
            self.passing.as_ref()
        } else {
            self.lasting.as_ref()
        }
    }

    /// Whether the work goes when the tab is closed.
    pub(crate) fn forgets(&self) -> bool {
        self.forgets.get()
    }

    /// Keeps the work in this tab only, or in the browser again; says whether that was done. What
    /// is kept is moved, so that no copy stays behind.
    pub(crate) fn set_forgets(&self, forgets: bool) -> bool {
        if forgets == self.forgets.get() {
            return true;
        }
        let (Some(lasting), Some(passing)) = (&self.lasting, &self.passing) else {
            return false;
        };
        let (from, to) = if forgets {
            (lasting, passing)
        } else {
            (passing, lasting)
        };
        let keys = keys_of(from, OURS);
        for key in &keys {
            if let Ok(Some(text)) = from.get_item(key)
                && to.set_item(key, &text).is_err()
            {
                for key in &keys {
                    let _ = to.remove_item(key);
                }
                return false;
            }
        }
        let marked = if forgets {
            passing.set_item(FORGET, "yes").is_ok()
        } else {
            passing.remove_item(FORGET).is_ok()
        };
        if marked {
            for key in &keys {
                let _ = from.remove_item(key);
            }
            self.forgets.set(forgets);
        }
        marked
    }

    /// Reads the record. Text that cannot be used is put aside and reported.
    pub(crate) fn load(&self) -> Record {
        let Some(storage) = self.storage() else {
            trouble::show(
                "This browser keeps nothing for this page. You can work, but save your work to a file before you leave.",
            );
            return Record::default();
        };
        let text = storage.get_item(KEY).ok().flatten();
        let Loaded { record, unusable } = Record::load(text.as_deref());
        if let (Some(reason), Some(text)) = (&unusable, &text) {
            trouble::show(&format!("Note: {reason}."));
            self.put_aside(text);
        }
        self.last.replace(text.filter(|_| unusable.is_none()));
        record
    }

    /// Whether the browser has a storage for this page.
    pub(crate) fn is_there(&self) -> bool {
        self.storage().is_some()
    }

    /// Everything kept, read anew. Text that cannot be used is put aside.
    fn anew(&self) -> Record {
        let storage = self.storage();
        let text = storage.and_then(|storage| storage.get_item(KEY).ok().flatten());
        let loaded = Record::load(text.as_deref());
        if let (Some(reason), Some(text)) = (&loaded.unusable, &text) {
            trouble::show(&format!("Note: {reason}."));
            self.put_aside(text);
        }
        loaded.record
    }

    /// The last lecture of a lesson, if one is kept.
    pub(crate) fn lecture(&self, lesson: &str) -> Option<LectureRecord> {
        self.anew().lectures.get(lesson).cloned()
    }

    /// What was switched on in the lecture that changed last.
    pub(crate) fn lecture_settings(&self) -> Vec<String> {
        let record = self.anew();
        let mut last: Option<&LectureRecord> = None;
        for lecture in record.lectures.values() {
            if last.is_none_or(|last| last.changed < lecture.changed) {
                last = Some(lecture);
            }
        }
        last.map(|lecture| lecture.settings.clone())
            .unwrap_or_default()
    }

    /// Keeps a lecture beside everything else, which is read anew and stays as it is.
    pub(crate) fn save_lecture(&self, lesson: &str, lecture: &LectureRecord) {
        let mut record = self.anew();
        record.lectures.insert(lesson.to_owned(), lecture.clone());
        self.save(&record);
    }

    /// Puts a text that could not be used under a key of its own. Never destroy the only copy:
    /// when there is no room for it, nothing is kept from now on.
    pub(crate) fn put_aside(&self, text: &str) {
        let Some(storage) = self.storage() else {
            return;
        };
        let before = storage.get_item(ASIDE).ok().flatten().unwrap_or_default();
        if before.contains(text) {
            return;
        }
        let both = if before.is_empty() {
            text.to_owned()
        } else {
            format!("{before}\n{text}")
        };
        if storage.set_item(ASIDE, &both).is_err() {
            self.troubled.replace(true);
            trouble::show(
                "The saved work in this browser could not be read, and there is no room to put it aside. It is left as it is, and nothing new is kept: save your work to a file (at the end of the page) before you leave.",
            );
        }
    }

    /// What another tab has kept since this one last looked, if anything.
    pub(crate) fn news(&self) -> Option<Record> {
        let storage = self.storage()?;
        let text = storage.get_item(KEY).ok().flatten()?;
        if self.last.borrow().as_deref() == Some(text.as_str()) {
            return None;
        }
        let loaded = Record::load(Some(&text));
        if loaded.unusable.is_some() {
            self.put_aside(&text);
        }
        self.last.replace(Some(text));
        loaded.unusable.is_none().then_some(loaded.record)
    }

    /// Whether everything was deleted since this page last looked.
    pub(crate) fn was_erased(&self) -> bool {
        let Some(storage) = self.storage() else {
            return false;
        };
        self.last.borrow().is_some() && storage.get_item(KEY).is_ok_and(|text| text.is_none())
    }

    /// Keeps the record. When the browser refuses, says so once; the work goes on in this tab.
    pub(crate) fn save(&self, record: &Record) {
        let Some(storage) = self.storage() else {
            return;
        };
        if self.erased.get() || self.was_erased() {
            // It was deleted, here or in another tab: this tab's copy must not bring it back.
            return;
        }
        if *self.troubled.borrow() {
            // The put-aside copy could not be made: overwriting would lose it.
            return;
        }
        let text = record.text();
        if storage.set_item(KEY, &text).is_ok() {
            self.last.replace(Some(text));
        } else {
            trouble::show(
                "The browser's storage for this page is full or shut. Your work goes on in this tab: save it to a file (at the end of the page) before you leave.",
            );
        }
    }

    /// Text that was put aside, if any.
    pub(crate) fn aside(&self) -> Option<String> {
        self.storage()?.get_item(ASIDE).ok().flatten()
    }

    /// Deletes everything kept.
    pub(crate) fn erase(&self) {
        self.erased.set(true);
        for storage in [&self.lasting, &self.passing].into_iter().flatten() {
            for key in keys_of(storage, OURS) {
                let _ = storage.remove_item(&key);
            }
            let _ = storage.remove_item(FORGET);
        }
        self.last.replace(None);
    }
}

/// Texts under keys of their own, beside the record.
#[cfg(not(coldfringe_without_homework))]
impl Store {
    /// What is kept under a key.
    pub(crate) fn kept(&self, key: &str) -> Option<String> {
        self.storage()?.get_item(key).ok().flatten()
    }

    /// Keeps a text under a key; says whether the browser did.
    pub(crate) fn keep(&self, key: &str, text: &str) -> bool {
        self.storage()
            .is_some_and(|storage| storage.set_item(key, text).is_ok())
    }

    /// Keeps nothing under a key any more.
    pub(crate) fn forget(&self, key: &str) {
        if let Some(storage) = self.storage() {
            let _ = storage.remove_item(key);
        }
    }

    /// The keys in use that begin in that way.
    pub(crate) fn keys(&self, begins: &str) -> Vec<String> {
        self.storage()
            .map(|storage| keys_of(storage, begins))
            .unwrap_or_default()
    }
}

/// The keys of a storage that begin in that way, but for the mark of the tab's own.
fn keys_of(storage: &Storage, begins: &str) -> Vec<String> {
    let count = storage.length().unwrap_or(0);
    (0..count)
        .filter_map(|index| storage.key(index).ok().flatten())
        .filter(|key| key.starts_with(begins) && key != FORGET)
        .collect()
}
