//! The keys of a lecture, its buttons and boxes, and what a clicker sends.

use std::rc::Rc;

use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlElement, HtmlInputElement, KeyboardEvent};

use super::Hall;
use crate::session::lecture::{MOST_HANDS, Message};
use crate::web::dom::{self, Listener};
use crate::web::trouble::Outcome;

/// Controls that have the keys for themselves while the focus is in them.
const CONTROLS: &str =
    "input[type=text],input[type=number],input[type=range],textarea,select,[role=slider]";
/// Of these, those that a pointer only moves: the focus goes back to the stage at once, so that
/// the next press of a clicker does not move them.
const MOVED: &str = "input[type=range],[role=slider]";

/// Listens to everything that steers the lecture.
pub(super) fn listen(hall: &Rc<Hall>) -> Outcome {
    let window = dom::window()?;
    let mut listeners = Vec::new();
    let mut on = |target: &web_sys::EventTarget,
                  event: &'static str,
                  act: fn(&Rc<Hall>, &web_sys::Event)| {
        let hall = Rc::downgrade(hall);
        listeners.push(Listener::new(target, event, move |event| {
            if let Some(hall) = hall.upgrade() {
                act(&hall, &event);
            }
        }));
    };
    let document = dom::document()?;
    on(&document, "keydown", |hall, event| {
        let event: &KeyboardEvent = event.unchecked_ref();
        if key(hall, event) {
            event.prevent_default();
        }
    });
    if !hall.is_notes {
        on(&window, "hashchange", |hall, _| {
            hall.send(Message::Address {
                text: super::address(),
                at: dom::now(),
            });
        });
        on(&document, "pointerup", |hall, event| {
            if target(event).is_some_and(|place| place.matches(MOVED).unwrap_or(false)) {
                focus(hall);
            }
        });
    }
    on(&hall.main, "click", click);
    on(&hall.main, "change", |hall, event| {
        if let Some(input) =
            target(event).and_then(|place| place.dyn_into::<HtmlInputElement>().ok())
            && let Some(option) = input.get_attribute("data-count")
            && let Ok(option) = option.parse()
        {
            match input.value().trim().parse() {
                Ok(count) if count <= MOST_HANDS => hall.send(Message::Count {
                    option,
                    count,
                    at: dom::now(),
                }),
                _ => {
                    let counts = hall.lecture.borrow().counts();
                    let before = counts.get(option).copied().unwrap_or_default();
                    input.set_value(&before.to_string());
                    hall.send(Message::Uncounted);
                }
            }
        }
    });
    hall.listeners.borrow_mut().extend(listeners);
    Ok(())
}

fn target(event: &web_sys::Event) -> Option<Element> {
    event.target()?.dyn_into().ok()
}

/// Brings the keys back to the stage.
pub(super) fn focus(hall: &Hall) {
    let place = hall
        .sheet()
        .or_else(|| hall.main.clone().dyn_into::<HtmlElement>().ok());
    if let Some(place) = place {
        let _ = place.focus();
    }
}

fn click(hall: &Rc<Hall>, event: &web_sys::Event) {
    let Some(place) = target(event) else { return };
    if let Ok(Some(link)) = place.closest(".steps a") {
        // The address changes and leads there; the menu has done its work.
        let _ = link
            .closest("details")
            .map(|menu| menu.map(|menu| menu.remove_attribute("open")));
    }
    let Ok(Some(button)) = place.closest("button") else {
        return;
    };
    if let Some(what) = button.get_attribute("data-switch") {
        switch(hall, &what);
    } else if let Some(what) = button.get_attribute("data-press") {
        press(hall, &what);
    }
}

fn switch(hall: &Rc<Hall>, what: &str) {
    hall.send(Message::Switch {
        what: what.to_owned(),
        at: dom::now(),
    });
}

fn press(hall: &Rc<Hall>, what: &str) {
    let at = dom::now();
    match what {
        "forward" => step(hall, true),
        "back" => step(hall, false),
        "black" => hall.send(Message::Blank { with: "black", at }),
        "full" => full_screen(),
        "notes" => {
            if let Ok(window) = dom::window() {
                let _ = window.open_with_url_and_target_and_features(
                    "notes.html",
                    "coldfringe-notes",
                    "popup,width=900,height=900",
                );
            }
        }
        "again" => hall.send(Message::StartAgain {
            id: dom::random_name(),
            at,
        }),
        "leave" => hall.send(Message::Leave),
        _ => {}
    }
}

/// One step on or back; the presenter's window asks the hall's to take it.
fn step(hall: &Rc<Hall>, on: bool) {
    match (hall.is_notes, on) {
        (true, true) => hall.wish("forward"),
        (true, false) => hall.wish("back"),
        (false, true) => forward(hall),
        (false, false) => back(hall),
    }
}

pub(super) fn forward(hall: &Rc<Hall>) {
    let is_tracing = hall
        .with_app(|app, block| app.is_tracing(block))
        .unwrap_or_default();
    let is_more = hall.sheet().is_some_and(|sheet| {
        sheet.scroll_height() - sheet.scroll_top() - sheet.client_height() > 12
    });
    hall.send(Message::Forward {
        at: dom::now(),
        is_tracing,
        is_more,
    });
}

pub(super) fn back(hall: &Rc<Hall>) {
    hall.send(Message::Back {
        at: dom::now(),
        is_more: hall.sheet().is_some_and(|sheet| sheet.scroll_top() > 12),
    });
}

fn full_screen() {
    let Ok(document) = dom::document() else {
        return;
    };
    if document.fullscreen_element().is_some() {
        document.exit_fullscreen();
    } else if let Some(root) = document.document_element() {
        let _ = root.request_fullscreen();
    }
}

/// What a key does; says whether it was for the lecture.
fn key(hall: &Rc<Hall>, event: &KeyboardEvent) -> bool {
    if event.ctrl_key() || event.alt_key() || event.meta_key() || event.default_prevented() {
        return false;
    }
    let key = event.key();
    let place = target(event);
    let within = |selector: &str| {
        place
            .as_ref()
            .is_some_and(|place| place.closest(selector).is_ok_and(|found| found.is_some()))
    };
    if within(CONTROLS) {
        if key == "Escape" {
            focus(hall);
        }
        return key == "Escape";
    }
    let menu = dom::find(&hall.main, ".menu");
    let is_open = menu.as_ref().is_some_and(|menu| menu.has_attribute("open"));
    // A button keeps the keys that press it; the open menu those that scroll it.
    if (within("button,summary,a") && matches!(key.as_str(), " " | "Enter"))
        || (within(".menu[open]") && !matches!(key.as_str(), "Escape" | "?" | "m"))
    {
        return false;
    }
    let at = dom::now();
    match key.as_str() {
        "PageDown" | "ArrowRight" | "ArrowDown" | "Enter" => {
            if !event.repeat() {
                step(hall, true);
            }
        }
        " " if !event.shift_key() => {
            if !event.repeat() {
                step(hall, true);
            }
        }
        "PageUp" | "ArrowLeft" | "ArrowUp" | "Backspace" | " " => {
            if !event.repeat() {
                step(hall, false);
            }
        }
        "Home" => hall.send(Message::First { at }),
        "End" => hall.send(Message::Furthest { at }),
        // Clickers send it to begin a show: nothing is lost, the screen is filled.
        "F5" => full_screen(),
        "Escape" => return escape(hall, menu.filter(|_| is_open)),
        _ => return letter(hall, event, &key),
    }
    true
}

fn escape(hall: &Rc<Hall>, menu: Option<HtmlElement>) -> bool {
    if let Some(menu) = menu {
        let _ = menu.remove_attribute("open");
        focus(hall);
    } else if hall.with_app(|app, block| app.is_tracing(block)) == Some(true) {
        hall.with_app(|app, block| app.finish_pen(block));
    } else if hall.lecture.borrow().record().blank.is_some() {
        press(hall, "black");
    } else if hall.is_notes {
        return false;
    } else if hall.lecture.borrow().is_on("counts") {
        // Who has typed counts is still in the midst of the lecture.
        switch(hall, "counts");
        focus(hall);
    } else {
        press(hall, "leave");
    }
    true
}

/// Single letters and digits, which can be switched off.
fn letter(hall: &Rc<Hall>, event: &KeyboardEvent, key: &str) -> bool {
    if hall.lecture.borrow().is_on("quiet-keys") {
        return false;
    }
    let at = dom::now();
    // By the place of the key: what Shift makes of a digit differs from keyboard to keyboard.
    let code = event.code();
    let digit = code
        .strip_prefix("Digit")
        .or_else(|| code.strip_prefix("Numpad"))
        .and_then(|digit| digit.parse::<usize>().ok());
    if let Some(digit @ 1..=6) = digit {
        hall.send(Message::Hand {
            option: digit - 1,
            less: event.shift_key(),
            at,
        });
        return true;
    }
    match key.to_ascii_lowercase().as_str() {
        "." | "b" => press(hall, "black"),
        "," | "w" => hall.send(Message::Blank { with: "paper", at }),
        "v" => {
            switch(hall, "counts");
            if let Some(box_) = dom::find(&hall.main, "[data-role=counts]:not([hidden]) input") {
                let _ = box_.focus();
            }
        }
        "a" => switch(hall, "advice"),
        "t" => switch(hall, "clock"),
        "d" => switch(hall, "dark"),
        "f" => full_screen(),
        "n" if !hall.is_notes => press(hall, "notes"),
        "?" | "m" => {
            if let Some(menu) = dom::find(&hall.main, ".menu") {
                if menu.has_attribute("open") {
                    let _ = menu.remove_attribute("open");
                    focus(hall);
                } else {
                    let _ = menu.set_attribute("open", "");
                    if let Some(first) = dom::find(&menu, "summary") {
                        let _ = first.focus();
                    }
                }
            }
        }
        _ => return false,
    }
    true
}
