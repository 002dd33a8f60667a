//! The page becomes live: which kind of page this is, and what keeps its structures alive.

use std::cell::RefCell;
use std::rc::Rc;

#[cfg(not(coldfringe_without_homework))]
use web_sys::Element;

use super::App;
use crate::page::islands;
use crate::web::dom;
use crate::web::lecture::Hall;
use crate::web::store::Store;
use crate::web::trouble::{Outcome, Trouble};
#[cfg(not(coldfringe_without_homework))]
use crate::web::workbook::Book;
use crate::web::{canvas, contents, place, workbook};
use crate::workbook::marks;

thread_local! {
    /// Keeps the page's structures alive as long as the page.
    static PAGE: RefCell<Option<Rc<App>>> = const { RefCell::new(None) };
}

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
