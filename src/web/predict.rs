//! A prediction in the page: the form, the commitment, the reveal and what is said after it.
//! What is asked (a sketch, a choice, a mark, a number) lives in [`super::ask`].

use std::cell::{Cell, RefCell};
use std::rc::{Rc, Weak};

use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlElement, HtmlInputElement};

use super::app::{App, Island};
use super::ask::{self, Asked};
use super::background::{self, Errand, Status};
use super::dom::{self, Listener};
use super::pen::Pen;
use super::trouble::{self, Outcome};
use super::verdict;
use crate::lesson::spec::Prediction;
use crate::prediction::confidence::Confidence;
use crate::session::{BlockRecord, Message};

/// A live prediction.
struct Predict {
    app: Weak<App>,
    id: String,
    reasons: Vec<String>,
    asked: Box<dyn Asked>,
    places: Places,
    reason_set: Option<HtmlElement>,
    chart: Option<HtmlElement>,
    pen: RefCell<Option<Pen>>,
    /// What the prediction waits for, if its set-up is a slow one.
    errand: Option<(Rc<Errand>, Rc<Status>)>,
    /// Whether the reveal waits for the background.
    is_to_reveal: Cell<bool>,
    listeners: RefCell<Vec<Listener>>,
    which: RefCell<Vec<Listener>>,
}

/// The places of a prediction's form and of what is said.
struct Places {
    form: HtmlElement,
    problem: HtmlElement,
    commit: HtmlElement,
    confirm: HtmlElement,
    verdict: HtmlElement,
    live: HtmlElement,
    sure: HtmlElement,
}

/// Makes a prediction live.
pub(crate) fn mount(
    app: &Rc<App>,
    element: &Element,
    spec: &Prediction,
) -> Outcome<Rc<dyn Island>> {
    let asked = ask::mount(app, element, spec)?;
    let is_slow = background::is_slow(&background::setup(&spec.setup)?);
    let status = if is_slow {
        Some(Status::mount(element)?)
    } else {
        None
    };
    let find = |role| dom::role(element, role);
    let places = Places {
        form: find("form")?,
        problem: find("problem")?,
        commit: find("commit")?,
        confirm: find("confirm")?,
        verdict: find("verdict")?,
        live: find("live")?,
        sure: find("sure")?,
    };
    let predict = Rc::new_cyclic(|me: &Weak<Predict>| Predict {
        app: Rc::downgrade(app),
        id: spec.id.clone(),
        reasons: spec.reasons.clone(),
        asked,
        places,
        reason_set: dom::role(element, "reasons").ok(),
        chart: dom::role(element, "chart").ok(),
        pen: RefCell::new(None),
        errand: status.map(|status| {
            let me = Weak::clone(me);
            let errand = Errand::new(Rc::clone(&status), move || {
                if let Some(predict) = me.upgrade()
                    && let Err(trouble) = predict.go_on()
                {
                    trouble::report(&trouble);
                }
            });
            (errand, status)
        }),
        is_to_reveal: Cell::new(false),
        listeners: RefCell::new(Vec::new()),
        which: RefCell::new(Vec::new()),
    });
    predict.listen(element)?;
    Ok(predict)
}

impl Predict {
    fn send(&self, message: Message) {
        if let Some(app) = self.app.upgrade() {
            app.send(message);
        }
    }

    fn kept(&self) -> BlockRecord {
        self.app
            .upgrade()
            .map(|app| app.kept(&self.id))
            .unwrap_or_default()
    }

    fn listen(self: &Rc<Self>, element: &Element) -> Outcome {
        let mut listeners = Vec::new();
        let mut on =
            |target: &HtmlElement, event: &'static str, act: fn(&Self, &web_sys::Event)| {
                let weak = Rc::downgrade(self);
                listeners.push(Listener::new(target, event, move |event| {
                    if let Some(predict) = weak.upgrade() {
                        act(&predict, &event);
                    }
                }));
            };
        on(&self.places.form, "submit", |predict, event| {
            event.prevent_default();
            predict.send(Message::Commit {
                block: predict.id.clone(),
                missing: predict.asked.missing(),
                reasons: predict.reasons.len(),
            });
        });
        on(
            &dom::role(element, "confirm-yes")?,
            "click",
            |predict, _| {
                predict.send(Message::Confirm {
                    block: predict.id.clone(),
                    at: dom::now(),
                });
            },
        );
        on(&dom::role(element, "confirm-no")?, "click", |predict, _| {
            predict.send(Message::KeepWorking {
                block: predict.id.clone(),
            });
            let _ = predict.places.commit.focus();
        });
        on(&self.places.sure, "change", |predict, _| {
            if let Some(sure) = dom::chosen(&predict.places.sure)
                .as_deref()
                .and_then(Confidence::from_name)
            {
                predict.send(Message::Sure {
                    block: predict.id.clone(),
                    sure,
                    at: dom::now(),
                });
            }
        });
        if let Some(reasons) = &self.reason_set {
            on(reasons, "change", |predict, _| {
                let reason = predict.reason_set.as_ref().and_then(|set| dom::chosen(set));
                if let Some(reason) = reason.and_then(|reason| reason.parse().ok()) {
                    predict.send(Message::Reason {
                        block: predict.id.clone(),
                        reason,
                        at: dom::now(),
                    });
                }
            });
        }
        self.listeners.replace(listeners);
        Ok(())
    }

    /// The form as the record says.
    fn show_form(&self, kept: &BlockRecord) {
        let open = kept.committed.is_none();
        let (sure, reason) = match &kept.committed {
            Some(committed) => (Some(committed.sure), committed.reason),
            None => (kept.sure, kept.reason),
        };
        dom::choose(&self.places.sure, sure.map(Confidence::name), open);
        if let Some(reasons) = &self.reason_set {
            dom::choose(
                reasons,
                reason.map(|reason| reason.to_string()).as_deref(),
                open,
            );
        }
        let asking = open
            && self
                .app
                .upgrade()
                .is_some_and(|app| app.look(|walk| walk.is_asking(&self.id)));
        dom::show(&self.places.confirm, asking);
        dom::show(&self.places.commit, open && !asking);
        if let Ok(button) = self
            .places
            .commit
            .clone()
            .dyn_into::<web_sys::HtmlButtonElement>()
        {
            button.set_disabled(!open);
        }
        let _ = if open {
            self.places.form.class_list().remove_1("committed")
        } else {
            self.places.form.class_list().add_1("committed")
        };
        self.places.problem.set_text_content(None);
    }

    /// Whether this is a lecture: nobody's prediction is judged there, the answer is told.
    fn is_lecture(&self) -> bool {
        self.app.upgrade().is_some_and(|app| app.hall.is_some())
    }

    fn say(&self, kept: &BlockRecord) -> Outcome<String> {
        if self.is_lecture() {
            let is_told = kept.committed.is_some();
            let told = if is_told {
                self.asked.told()?
            } else {
                verdict::Said::default()
            };
            verdict::show(&self.places.verdict, &told)?;
            dom::show(&self.places.verdict, !told.headline.is_empty());
            return Ok(told.headline);
        }
        let Some(committed) = &kept.committed else {
            dom::show(&self.places.verdict, false);
            self.places.live.set_text_content(None);
            return Ok(String::new());
        };
        let mut said = self.asked.said(committed, kept.meant.as_deref())?;
        if said.headline.is_empty() {
            said.headline = "What was committed here cannot be read back.".to_owned();
        }
        said.earlier = self.earlier();
        let buttons = verdict::show(&self.places.verdict, &said)?;
        let listeners = buttons
            .into_iter()
            .map(|(button, picture)| {
                let (app, block) = (self.app.clone(), self.id.clone());
                let place = self.places.verdict.clone();
                Listener::new(&button, "click", move |_| {
                    if let Some(app) = app.upgrade() {
                        app.send(Message::Meant {
                            block: block.clone(),
                            picture: picture.clone(),
                        });
                    }
                    let _ = place.focus();
                })
            })
            .collect();
        self.which.replace(listeners);
        if let Some(came) = said.came {
            self.send(Message::Came {
                block: self.id.clone(),
                came,
            });
        }
        Ok(said.headline)
    }

    /// What was committed here in earlier attempts, in words: shown beside a new commitment only,
    /// since it may give the answer away.
    fn earlier(&self) -> Vec<String> {
        let Some(app) = self.app.upgrade() else {
            return Vec::new();
        };
        let mut told = Vec::new();
        for (made, came) in app.earlier(&self.id) {
            let mut words = format!(
                "{}; you were {}",
                self.asked.in_words(&made.answer),
                made.sure.was()
            );
            let reason = made
                .reason
                .and_then(|reason| self.reasons.get(reason as usize));
            if let Some(reason) = reason {
                words.push_str(&format!(" (“{reason}”)"));
            }
            if let Some(came) = came {
                words.push_str(&format!("; it {}", came.words()));
            }
            words.push('.');
            told.push(words);
        }
        told
    }

    /// Brings the chart to the top of the window: the pen is seen from its start, and what is
    /// said stands below the curve that it speaks of.
    fn bring_chart(&self) {
        if !self.is_lecture()
            && let Some(chart) = &self.chart
        {
            chart.scroll_into_view_with_bool(true);
        }
    }

    fn finish(&self) -> Outcome {
        let kept = self.kept();
        self.asked.show(&kept, 1.0)?;
        let headline = self.say(&kept)?;
        // Who went on reading while it was computed is not called back.
        let stays = self.is_lecture()
            || self
                .errand
                .as_ref()
                .is_some_and(|(_, status)| status.was_left());
        if !stays {
            self.places.verdict.focus()?;
            self.bring_chart();
        }
        self.places.live.set_text_content(Some(&headline));
        Ok(())
    }

    fn prepare(&self, kept: &BlockRecord) -> Outcome {
        self.asked.prepare(kept)?;
        if self.is_lecture() && kept.committed.is_some() {
            self.asked.told()?;
        }
        Ok(())
    }

    /// Whether everything that is to be shown is there. If not, the background is at it, or has
    /// failed, and the status says so.
    fn is_ready(&self, kept: &BlockRecord) -> bool {
        self.errand
            .as_ref()
            .is_none_or(|(errand, _)| errand.attempt(|| self.prepare(kept)).is_some())
    }

    /// Shows what needs nothing computed.
    fn wait(&self, kept: &BlockRecord) -> Outcome {
        dom::show(&self.places.verdict, false);
        self.asked.show(kept, 0.0)
    }

    /// An answer has come from the background.
    fn go_on(&self) -> Outcome {
        if self.is_to_reveal.get() {
            self.reveal()
        } else {
            self.refresh()
        }
    }
}

impl Island for Predict {
    fn refresh(&self) -> Outcome {
        let kept = self.kept();
        self.show_form(&kept);
        // A refresh while the pen is on its way leaves the pen its work.
        if self
            .pen
            .borrow()
            .as_ref()
            .is_none_or(|pen| !pen.is_moving())
        {
            if !self.is_ready(&kept) {
                return self.wait(&kept);
            }
            self.asked.show(&kept, 1.0)?;
            self.say(&kept)?;
        }
        Ok(())
    }

    fn reveal(&self) -> Outcome {
        let kept = self.kept();
        self.show_form(&kept);
        if !self.is_ready(&kept) {
            if let Some((_, status)) = &self.errand
                && !self.is_to_reveal.replace(true)
            {
                status.hold_focus();
                self.bring_chart();
            }
            return self.wait(&kept);
        }
        let waited = self.is_to_reveal.replace(false);
        if !waited {
            self.bring_chart();
        }
        let app = self.app.clone();
        let id = self.id.clone();
        let pen = Pen::start(move |share| {
            let Some(app) = app.upgrade() else { return };
            if let Err(trouble) = app.trace(&id, share) {
                trouble::report(&trouble);
            }
        })?;
        self.pen.replace(Some(pen));
        Ok(())
    }

    fn trace(&self, share: f64) -> Outcome {
        if share < 1.0 {
            self.asked.show(&self.kept(), share)
        } else {
            self.finish()
        }
    }

    fn is_tracing(&self) -> bool {
        self.pen.borrow().as_ref().is_some_and(Pen::is_moving)
    }

    fn finish_pen(&self) {
        if let Some(pen) = self.pen.borrow().as_ref() {
            pen.finish();
        }
    }

    fn problem(&self, text: &str) -> Outcome {
        self.places.problem.set_text_content(Some(text));
        Ok(())
    }

    fn ask(&self) -> Outcome {
        self.places.problem.set_text_content(None);
        dom::show(&self.places.confirm, true);
        dom::show(&self.places.commit, false);
        if let Some(yes) = dom::find(&self.places.confirm, "button") {
            yes.focus()?;
        }
        Ok(())
    }
}

/// The value of an input.
pub(crate) fn value(input: &HtmlElement) -> String {
    input
        .dyn_ref::<HtmlInputElement>()
        .map(HtmlInputElement::value)
        .unwrap_or_default()
}
