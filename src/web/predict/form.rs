//! The form of a prediction: how sure, why, the commitment and its confirmation; as the record says, and what the
//! reader's hands do there.

use std::rc::Rc;

use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlElement};

use super::Predict;
use crate::prediction::confidence::Confidence;
use crate::session::{BlockRecord, Message};
use crate::web::dom::{self, Listener};
use crate::web::trouble::Outcome;

/// The places of a prediction's form.
pub(super) struct Form {
    form: HtmlElement,
    problem: HtmlElement,
    commit: HtmlElement,
    confirm: HtmlElement,
    yes: HtmlElement,
    no: HtmlElement,
    sure: HtmlElement,
    /// Reasons to choose from, where the lesson offers some.
    reasons: Option<HtmlElement>,
}

impl Form {
    /// Finds the form in the island.
    pub(super) fn find(element: &Element) -> Outcome<Form> {
        let find = |role| dom::role(element, role);
        Ok(Form {
            form: find("form")?,
            problem: find("problem")?,
            commit: find("commit")?,
            confirm: find("confirm")?,
            yes: find("confirm-yes")?,
            no: find("confirm-no")?,
            sure: find("sure")?,
            reasons: find("reasons").ok(),
        })
    }

    /// Shows the form as the record says; `asking` whether the question "commit for good?" stands.
    pub(super) fn show(&self, kept: &BlockRecord, asking: bool) {
        let open = kept.committed.is_none();
        let asking = open && asking;
        let (sure, reason) = match &kept.committed {
            Some(committed) => (Some(committed.sure), committed.reason),
            None => (kept.sure, kept.reason),
        };
        dom::choose(&self.sure, sure.map(Confidence::name), open);
        if let Some(reasons) = &self.reasons {
            dom::choose(
                reasons,
                reason.map(|reason| reason.to_string()).as_deref(),
                open,
            );
        }
        dom::show(&self.confirm, asking);
        dom::show(&self.commit, open && !asking);
        if let Some(button) = self.commit.dyn_ref::<web_sys::HtmlButtonElement>() {
            button.set_disabled(!open);
        }
        let _ = if open {
            self.form.class_list().remove_1("committed")
        } else {
            self.form.class_list().add_1("committed")
        };
        self.say_problem(None);
    }

    /// Says what is missing before a commitment, or nothing any more.
    pub(super) fn say_problem(&self, text: Option<&str>) {
        self.problem.set_text_content(text);
    }

    /// Puts the question "commit for good?" and takes the keyboard there.
    pub(super) fn ask(&self) -> Outcome {
        self.say_problem(None);
        dom::show(&self.confirm, true);
        dom::show(&self.commit, false);
        self.yes.focus()?;
        Ok(())
    }
}

impl Predict {
    /// Listens to the form; what is done there goes to the walk.
    pub(super) fn listen(self: &Rc<Self>) {
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
        on(&self.form.form, "submit", |predict, event| {
            event.prevent_default();
            predict.send(Message::Commit {
                block: predict.id.clone(),
                missing: predict.asked.missing(),
                reasons: predict.reasons.len(),
            });
        });
        on(&self.form.yes, "click", |predict, _| {
            predict.send(Message::Confirm {
                block: predict.id.clone(),
                at: dom::now(),
            });
        });
        on(&self.form.no, "click", |predict, _| {
            predict.send(Message::KeepWorking {
                block: predict.id.clone(),
            });
            let _ = predict.form.commit.focus();
        });
        on(&self.form.sure, "change", |predict, _| {
            if let Some(sure) = dom::chosen(&predict.form.sure)
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
        if let Some(reasons) = &self.form.reasons {
            on(reasons, "change", |predict, _| {
                let reason = predict
                    .form
                    .reasons
                    .as_ref()
                    .and_then(|set| dom::chosen(set));
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
    }
}
