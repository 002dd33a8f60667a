//! A question about what was seen: answered at once, as often as wanted.

use std::rc::{Rc, Weak};

use web_sys::{Element, HtmlElement};

use super::app::App;
use super::ask::{reply, shuffle};
use super::dom::{self, Listener};
use super::island::Island;
use super::trouble::Outcome;
use super::verdict;
use crate::lesson::spec::{self, Observation};
use crate::session::Message;

struct Observe {
    app: Weak<App>,
    spec: Observation,
    element: Element,
    set: HtmlElement,
    problem: HtmlElement,
    place: HtmlElement,
    live: HtmlElement,
    listeners: std::cell::RefCell<Vec<Listener>>,
}

/// Makes an observation check live.
pub(crate) fn mount(
    app: &Rc<App>,
    element: &Element,
    spec: &Observation,
) -> Outcome<Rc<dyn Island>> {
    let set = dom::role(element, "options")?;
    shuffle(&set, spec.options.len(), app.shuffle_seed(&spec.id))?;
    let observe = Rc::new(Observe {
        app: Rc::downgrade(app),
        spec: spec.clone(),
        element: element.clone(),
        set,
        problem: dom::role(element, "problem")?,
        place: dom::role(element, "verdict")?,
        live: dom::role(element, "live")?,
        listeners: std::cell::RefCell::new(Vec::new()),
    });
    let weak = Rc::downgrade(&observe);
    let listener = Listener::new(
        &dom::role(element, "form")?.into(),
        "submit",
        move |event| {
            event.prevent_default();
            if let Some(observe) = weak.upgrade() {
                observe.check();
            }
        },
    );
    observe.listeners.borrow_mut().push(listener);
    Ok(observe)
}

impl Observe {
    fn check(&self) {
        let Some(choice) = dom::chosen(&self.set) else {
            self.problem
                .set_text_content(Some("Choose one of them first."));
            return;
        };
        self.problem.set_text_content(None);
        if let Some(app) = self.app.upgrade() {
            app.send(Message::Tried {
                block: self.spec.id.clone(),
                text: choice,
                at: dom::now(),
            });
            let headline =
                dom::find(&self.place, ".headline").and_then(|headline| headline.text_content());
            self.live.set_text_content(headline.as_deref());
        }
    }
}

impl Island for Observe {
    fn refresh(&self) -> Outcome {
        let Some(app) = self.app.upgrade() else {
            return Ok(());
        };
        let kept = app.kept(&self.spec.id);
        let Some(last) = kept.tries.last() else {
            dom::show(&self.place, false);
            dom::choose(&self.set, None, true);
            return Ok(());
        };
        dom::choose(&self.set, Some(&last.text), true);
        let right = spec::seal(&app.lesson, &self.spec.id, &last.text) == self.spec.right;
        let said =
            verdict::of_observation(right, self.spec.recall, reply(&self.element, &last.text));
        verdict::show(&self.place, &said)?;
        Ok(())
    }

    fn answer(&self) -> Outcome {
        let Some(app) = self.app.upgrade() else {
            return Ok(());
        };
        let is_right = |option: &&spec::Statement| {
            spec::seal(&app.lesson, &self.spec.id, &option.id) == self.spec.right
        };
        if let Some(right) = self.spec.options.iter().find(is_right) {
            let said = verdict::Said {
                headline: right.text.clone(),
                reply: reply(&self.element, &right.id),
                ..verdict::Said::default()
            };
            verdict::show(&self.place, &said)?;
        }
        Ok(())
    }
}
