//! Where the reader is in a lesson: kept while scrolling, found again after a reload, and offered
//! when the lesson is opened anew.

use std::cell::{Cell, RefCell};
use std::rc::Rc;

use wasm_bindgen::JsValue;
use web_sys::{Element, HtmlElement};

use super::app::App;
use super::dom::{self, Listener, Timer};
use super::trouble::Outcome;
use crate::session::Message;

/// How long after the first movement the place is kept, in milliseconds.
const REST: i32 = 500;

/// How far down the window the reader's eyes are taken to be, as a share of its height.
const EYES: f64 = 0.3;

/// A place in the lesson that can be seen.
struct Seen {
    step: HtmlElement,
    number: u32,
    share: f64,
}

/// Goes to where the reader was, then watches where the reader goes. Gives the listeners.
pub(crate) fn follow(app: &Rc<App>, main: &Element) -> Outcome<Vec<Listener>> {
    arrive(app, main)?;
    let (weak, steps) = (Rc::downgrade(app), main.clone());
    let keep = Rc::new(move || {
        if let (Some(app), Some(seen)) = (weak.upgrade(), look(&steps)) {
            app.send(Message::Moved {
                step: seen.step.id(),
                number: seen.number,
                share: seen.share,
                at: dom::now(),
            });
        }
    });
    let waits = Rc::new(Cell::new(false));
    let timer: RefCell<Option<Timer>> = RefCell::new(None);
    let act = Rc::clone(&keep);
    let window = dom::window()?.into();
    let scrolled = Listener::new(&window, "scroll", move |_| {
        if waits.replace(true) {
            return;
        }
        let (act, waits) = (Rc::clone(&act), Rc::clone(&waits));
        timer.replace(Timer::once(REST, move || {
            waits.set(false);
            act();
        }));
    });
    let left = Listener::new(&window, "pagehide", move |_| keep());
    Ok(vec![scrolled, left])
}

/// The step in front of the reader's eyes; none when the window is above the first one.
fn look(main: &Element) -> Option<Seen> {
    let window = dom::window().ok()?;
    let number = |value: Result<JsValue, JsValue>| value.ok()?.as_f64();
    let height = number(window.inner_height())?;
    let steps = steps(main);
    let mut found: Option<(usize, f64)> = None;
    for (index, step) in steps.iter().enumerate() {
        let bounds = step.get_bounding_client_rect();
        // A shut step has no height.
        if bounds.height() < 1.0 || bounds.top() > EYES * height {
            continue;
        }
        let share = (EYES * height - bounds.top()) / bounds.height();
        found = Some((index, share.clamp(0.0, 1.0)));
    }
    // At the end of the page the last step has been seen, however short it is.
    let last = steps.len().checked_sub(1)?;
    let is_at_end = main.get_bounding_client_rect().bottom() < height;
    if is_at_end && steps.get(last)?.get_bounding_client_rect().height() >= 1.0 {
        found = found.map(|(index, share)| {
            if index < last {
                (last, 0.0)
            } else {
                (index, share)
            }
        });
    }
    let (index, share) = found?;
    Some(Seen {
        step: steps.get(index)?.clone(),
        number: u32::try_from(index + 1).ok()?,
        share,
    })
}

fn steps(main: &Element) -> Vec<HtmlElement> {
    dom::find_all(main, "section.step")
}

/// After a reload the reader is put back where the page was left. Who opens it anew starts at the
/// top, or at the step that the address names, and is told where it was left.
fn arrive(app: &Rc<App>, main: &Element) -> Outcome {
    let window = dom::window()?;
    let here = app.look(|walk| walk.here().cloned());
    let left = here.and_then(|here| {
        let step = steps(main)
            .into_iter()
            .find(|step| step.id() == here.step)?;
        (step.get_bounding_client_rect().height() >= 1.0).then_some((step, here))
    });
    let hash = window.location().hash()?;
    let named = hash.strip_prefix('#').filter(|name| !name.is_empty());
    if was_reloaded() {
        if let Some((step, here)) = left {
            let bounds = step.get_bounding_client_rect();
            let height = window.inner_height()?.as_f64().unwrap_or(0.0);
            let to = bounds.top() + here.share * bounds.height() - EYES * height;
            window.scroll_by_with_x_and_y(0.0, to);
        }
    } else if let Some(name) = named {
        // What the address names may have been shut until now.
        let element = dom::document()?.get_element_by_id(name);
        if let Some(element) = element.filter(|element| main.contains(Some(element))) {
            element.scroll_into_view();
        }
    } else if let Some((step, here)) = left
        && here.seen > 1
    {
        let line = dom::role(main, "go-on")?;
        if let (Some(link), Some(title)) = (dom::find(&line, "a"), dom::find(&step, "h2")) {
            link.set_attribute("href", &format!("#{}", here.step))?;
            link.set_text_content(title.text_content().as_deref());
            dom::show(&line, true);
        }
    }
    Ok(())
}

/// Whether the browser has brought this page before: by a reload, or by going back to it.
fn was_reloaded() -> bool {
    let find = || -> Option<f64> {
        let performance = dom::window().ok()?.performance()?;
        let get = |from: &JsValue, name: &str| js_sys::Reflect::get(from, &name.into()).ok();
        get(&get(&performance, "navigation")?, "type")?.as_f64()
    };
    find().is_some_and(|kind| kind > 0.5)
}
