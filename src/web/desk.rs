//! The end of the page: starting again, saving one's work to a file, deleting everything.

use std::rc::Rc;

use web_sys::Element;

use super::app::App;
use super::dom::{self, Listener};
use super::export;
use super::trouble::{self, Outcome};
use crate::session::Message;

thread_local! {
    /// The desk's listeners; there is one desk on a page.
    static LISTENERS: std::cell::RefCell<Vec<Listener>> = const { std::cell::RefCell::new(Vec::new()) };
}

/// Shows the desk at the end of `main`, taking an earlier one down.
pub(crate) fn show(app: &Rc<App>, main: &Element) -> Outcome {
    if let Some(old) = dom::find(main, ".desk") {
        old.remove();
    }
    let desk = dom::append(main, "section", "desk", "")?;
    desk.set_attribute("aria-labelledby", "desk-title")?;
    let title = dom::append(&desk, "h2", "", "Your work")?;
    title.set_id("desk-title");
    dom::append(&desk, "p", "", &standing(app))?;
    let row = dom::append(&desk, "p", "desk-buttons", "")?;
    let again = dom::button(&row, "", "Start this lesson again")?;
    again.set_attribute("data-role", "start-again")?;
    let save = dom::button(&row, "", "Save my work to a file")?;
    save.set_attribute("data-role", "save-work")?;
    let delete = dom::button(&row, "", "Delete everything")?;
    delete.set_attribute("data-role", "delete-everything")?;
    let sure = dom::append(&desk, "div", "confirm", "")?;
    dom::show(&sure, false);
    dom::append(
        &sure,
        "p",
        "",
        "This deletes your work in every lesson from this browser. It cannot be undone.",
    )?;
    let yes = dom::button(&sure, "primary", "Delete it all")?;
    yes.set_attribute("data-role", "delete-yes")?;
    let no = dom::button(&sure, "", "Keep it")?;

    let mut listeners = Vec::new();
    let weak = Rc::downgrade(app);
    listeners.push(Listener::new(&again, "click", move |_| {
        if let Some(app) = weak.upgrade() {
            app.send(Message::StartAgain {
                id: dom::random_name(),
                at: dom::now(),
            });
        }
    }));
    let weak = Rc::downgrade(app);
    listeners.push(Listener::new(&save, "click", move |_| {
        if let Some(app) = weak.upgrade()
            && let Err(trouble) = save_work(&app)
        {
            trouble::report(&trouble);
        }
    }));
    let (ask, first) = (sure.clone(), yes.clone());
    listeners.push(Listener::new(&delete, "click", move |_| {
        dom::show(&ask, true);
        let _ = first.focus();
    }));
    let (ask, back) = (sure, delete);
    listeners.push(Listener::new(&no, "click", move |_| {
        dom::show(&ask, false);
        let _ = back.focus();
    }));
    let weak = Rc::downgrade(app);
    listeners.push(Listener::new(&yes, "click", move |_| {
        if let Some(app) = weak.upgrade() {
            app.store.erase();
            if let Ok(window) = dom::window() {
                let _ = window.location().reload();
            }
        }
    }));
    LISTENERS.with(|place| place.replace(listeners));
    Ok(())
}

fn standing(app: &App) -> String {
    let before = app.look(crate::session::Walk::attempts_before);
    let earlier = match before {
        0 => String::new(),
        1 => " One earlier attempt at this lesson is kept.".to_owned(),
        more => format!(" {more} earlier attempts at this lesson are kept."),
    };
    format!("Everything you do is kept in this browser, on this device only.{earlier}")
}

fn save_work(app: &App) -> Outcome {
    let text = app.look(|walk| walk.record().text());
    export::download("coldfringe-work.json", "application/json", &text)?;
    if let Some(aside) = app.store.aside() {
        export::download("coldfringe-put-aside.txt", "text/plain", &aside)?;
    }
    Ok(())
}
