//! A numeric question: tried as often as wanted, the likely slip named where one fits.

use std::cell::RefCell;
use std::rc::{Rc, Weak};

use web_sys::{Element, HtmlElement};

use super::app::{App, Island};
use super::dom::{self, Listener};
use super::number_field::NumberField;
use super::trouble::{self, Outcome, Trouble};
use super::verdict;
use crate::experiment::Setup;
use crate::lesson::spec;
use crate::prediction::number::{NumberAssessment, NumberTask, assess_number};
use crate::session::Message;

struct Question {
    app: Weak<App>,
    spec: spec::Question,
    setup: Setup,
    field: Rc<NumberField>,
    problem: HtmlElement,
    place: HtmlElement,
    live: HtmlElement,
    listeners: RefCell<Vec<Listener>>,
}

/// Makes a numeric question live.
pub(crate) fn mount(
    app: &Rc<App>,
    element: &Element,
    spec: &spec::Question,
) -> Outcome<Rc<dyn Island>> {
    let setup = Setup::from_spec(&spec.setup).map_err(|error| Trouble::Model(error.to_string()))?;
    let question = Rc::new(Question {
        app: Rc::downgrade(app),
        spec: spec.clone(),
        setup,
        field: NumberField::mount(element, &spec.number.unit, |_| {})?,
        problem: dom::role(element, "problem")?,
        place: dom::role(element, "verdict")?,
        live: dom::role(element, "live")?,
        listeners: RefCell::new(Vec::new()),
    });
    let weak = Rc::downgrade(&question);
    let listener = Listener::new(
        &dom::role(element, "form")?.into(),
        "submit",
        move |event| {
            event.prevent_default();
            if let Some(question) = weak.upgrade()
                && let Err(trouble) = question.check()
            {
                trouble::report(&trouble);
            }
        },
    );
    question.listeners.borrow_mut().push(listener);
    Ok(question)
}

impl Question {
    fn assess(&self, text: &str) -> Outcome<NumberAssessment> {
        let number = &self.spec.number;
        let task = NumberTask {
            setup: &self.setup,
            answer: &number.answer,
            unit: &number.unit,
            within: number.within,
            slips: &number.slips,
        };
        assess_number(&task, text).map_err(|error| Trouble::Model(error.to_string()))
    }

    fn check(&self) -> Outcome {
        let text = self.field.text();
        if text.trim().is_empty() {
            self.problem.set_text_content(Some("Type a value first."));
            return Ok(());
        }
        let assessment = self.assess(&text)?;
        if !assessment.counts() {
            // What cannot be judged costs nothing and is not kept as a try.
            self.field.refuse();
            let mut words = vec![assessment.headline];
            words.extend(assessment.notes);
            self.problem.set_text_content(Some(&words.join(" ")));
            return Ok(());
        }
        self.problem.set_text_content(None);
        if let Some(app) = self.app.upgrade() {
            app.send(Message::Tried {
                block: self.spec.id.clone(),
                text,
                at: dom::now(),
            });
            self.live.set_text_content(Some(&assessment.headline));
        }
        Ok(())
    }
}

impl Island for Question {
    fn refresh(&self) -> Outcome {
        let Some(app) = self.app.upgrade() else {
            return Ok(());
        };
        let kept = app.kept(&self.spec.id);
        let Some(last) = kept.tries.last() else {
            dom::show(&self.place, false);
            return Ok(());
        };
        self.field.set(&last.text, true);
        let mut said = verdict::of_number(&self.assess(&last.text)?, None, None);
        let tries = kept.tries.len();
        said.committed = if tries == 1 {
            "Your first try.".to_owned()
        } else {
            format!("Your try number {tries}.")
        };
        verdict::show(&self.place, &said)?;
        Ok(())
    }
}
