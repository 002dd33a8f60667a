//! A numeric question: tried as often as wanted, the likely slip named where one fits.

use std::cell::{Cell, RefCell};
use std::rc::{Rc, Weak};

use web_sys::{Element, HtmlElement};

use super::app::App;
use super::background::{self, Errand, Status};
use super::dom::{self, Listener};
use super::island::Island;
use super::number_field::{NumberField, drafted};
use super::trouble::{self, Outcome};
use super::verdict;
use crate::experiment::Setup;
use crate::lesson::spec;
use crate::prediction::number::{NumberAssessment, NumberTask, answer_words, assess_number};
use crate::session::Message;

struct Question {
    app: Weak<App>,
    spec: spec::Question,
    setup: Setup,
    field: Rc<NumberField>,
    problem: HtmlElement,
    place: HtmlElement,
    live: HtmlElement,
    /// What the question waits for, if its set-up is a slow one.
    errand: Option<Rc<Errand>>,
    /// A try that is to be judged when the background is done.
    waiting: RefCell<Option<String>>,
    /// Whether a lecture has asked for the answer.
    is_answered: Cell<bool>,
    listeners: RefCell<Vec<Listener>>,
}

/// Makes a numeric question live.
pub(crate) fn mount(
    app: &Rc<App>,
    element: &Element,
    spec: &spec::Question,
) -> Outcome<Rc<dyn Island>> {
    let setup = background::setup(&spec.setup)?;
    let status = if background::is_slow(&setup) {
        Some(Status::mount(element)?)
    } else {
        None
    };
    let field = NumberField::mount(app, element, &spec.id, &spec.number.unit)?;
    let problem = dom::role(element, "problem")?;
    let place = dom::role(element, "verdict")?;
    let live = dom::role(element, "live")?;
    let question = Rc::new_cyclic(|me: &Weak<Question>| Question {
        app: Rc::downgrade(app),
        spec: spec.clone(),
        setup,
        field,
        problem,
        place,
        live,
        errand: status.map(|status| {
            let me = Weak::clone(me);
            Errand::new(status, move || {
                if let Some(question) = me.upgrade()
                    && let Err(trouble) = question.go_on()
                {
                    trouble::report(&trouble);
                }
            })
        }),
        waiting: RefCell::new(None),
        is_answered: Cell::new(false),
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
    fn task(&self) -> NumberTask<'_> {
        self.spec.number.task(&self.setup)
    }

    fn assess(&self, text: &str) -> Outcome<NumberAssessment> {
        Ok(assess_number(&self.task(), text)?)
    }

    fn check(&self) -> Outcome {
        let text = self.field.text();
        if text.trim().is_empty() {
            self.problem.set_text_content(Some("Type a value first."));
            return Ok(());
        }
        self.judge(text)
    }

    /// The assessment, unless the background must be waited for.
    fn assessment(&self, text: &str) -> Outcome<Option<NumberAssessment>> {
        match &self.errand {
            Some(errand) => Ok(errand.attempt(|| self.assess(text))),
            None => self.assess(text).map(Some),
        }
    }

    /// An answer has come from the background.
    fn go_on(&self) -> Outcome {
        if self.is_answered.get() {
            return self.answer();
        }
        let waiting = self.waiting.take();
        match waiting {
            Some(text) => self.judge(text),
            None => self.refresh(),
        }
    }

    fn judge(&self, text: String) -> Outcome {
        let Some(assessment) = self.assessment(&text)? else {
            self.problem.set_text_content(None);
            self.waiting.replace(Some(text));
            return Ok(());
        };
        if !assessment.counts() {
            // What cannot be judged costs nothing and is not kept as a try.
            self.field.refuse();
            self.problem.set_text_content(Some(&assessment.in_one()));
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
        let last = kept.tries.last();
        // A number that is being typed comes before the last one that was judged.
        let text = drafted(&kept).or(last.map(|last| last.text.as_str()));
        self.field.set(text.unwrap_or_default(), true);
        let Some(last) = last else {
            dom::show(&self.place, false);
            return Ok(());
        };
        let Some(assessment) = self.assessment(&last.text)? else {
            dom::show(&self.place, false);
            return Ok(());
        };
        let mut said = verdict::of_number(&assessment, None, None);
        let tries = kept.tries.len();
        said.committed = if tries == 1 {
            "Your first try.".to_owned()
        } else {
            format!("Your try number {tries}.")
        };
        verdict::show(&self.place, &said)?;
        Ok(())
    }

    fn answer(&self) -> Outcome {
        self.is_answered.set(true);
        let answer = || Ok(answer_words(&self.task())?);
        let answer = match &self.errand {
            Some(errand) => errand.attempt(answer),
            None => Some(answer()?),
        };
        if let Some(answer) = answer {
            verdict::show(&self.place, &verdict::of_truth(&answer))?;
        }
        Ok(())
    }
}
