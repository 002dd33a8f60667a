//! The readings beside a bench, and its challenges.

use std::rc::Weak;

use web_sys::{Element, HtmlElement};

use crate::experiment::{Reading, SetupDescription, Trace};
use crate::lesson::spec::{self, Challenge};
use crate::quantity;
use crate::session::Message;
use crate::web::app::App;
use crate::web::dom;
use crate::web::trouble::Outcome;

/// The places of readings and challenges.
pub(super) struct Results {
    app: Weak<App>,
    /// The readings, in the order in which the bench names them.
    readings: Vec<HtmlElement>,
    challenges: Vec<HtmlElement>,
    /// What was done is announced here.
    pub(super) live: HtmlElement,
}

impl Results {
    pub(super) fn find(app: Weak<App>, element: &Element) -> Outcome<Self> {
        Ok(Self {
            app,
            readings: dom::find_all(element, "[data-role=readings] > div"),
            challenges: dom::find_all(element, "[data-challenge]"),
            live: dom::role(element, "live")?,
        })
    }

    /// Tells the walk of something.
    pub(super) fn send(&self, message: Message) {
        if let Some(app) = self.app.upgrade() {
            app.send(message);
        }
    }

    /// Shows the readings that a run has. While one is still being computed the last one stands.
    pub(super) fn show(
        &self,
        names: &[String],
        description: &SetupDescription,
        trace: &Trace,
        is_done: bool,
    ) {
        for (name, place) in names.iter().zip(&self.readings) {
            let value = trace.reading(name);
            let is_coming = !is_done && description.reading(name).is_some();
            dom::show(place, value.is_some() || is_coming);
            let Some(number) = dom::find(place, "dd") else {
                continue;
            };
            match value {
                Some(reading) => number.set_text_content(Some(&said(reading))),
                None if !is_coming => number.set_text_content(None),
                None if number.text_content().is_none_or(|text| text.is_empty()) => {
                    number.set_text_content(Some("…"));
                }
                None => {}
            }
        }
    }

    /// Looks whether a run meets a challenge.
    pub(super) fn watch(&self, spec: &spec::Bench, trace: &Trace) {
        let Some(app) = self.app.upgrade() else {
            return;
        };
        let met = app.kept(&spec.id).met;
        for (challenge, index) in spec.challenges.iter().zip(0_u32..) {
            if !met.contains(&index) && is_met(challenge, trace) {
                app.send(Message::Met {
                    block: spec.id.clone(),
                    challenge: index,
                });
                self.live
                    .set_text_content(Some(&format!("Done: {}", challenge.text)));
            }
        }
    }

    /// Marks the challenges that are met.
    pub(super) fn show_met(&self, block: &str) {
        let Some(app) = self.app.upgrade() else {
            return;
        };
        let met = app.kept(block).met;
        for (item, index) in self.challenges.iter().zip(0_u32..) {
            if let Some(place) = dom::find(item, "[data-role=\"met\"]") {
                place.set_text_content(Some(if met.contains(&index) {
                    "\u{2713} done"
                } else {
                    ""
                }));
            }
        }
    }
}

/// The number of a reading with its unit.
fn said(reading: &Reading) -> String {
    quantity::show(reading.value, reading.unit, 3)
}

fn is_met(challenge: &Challenge, trace: &Trace) -> bool {
    let Some(reading) = trace.reading(&challenge.reading) else {
        return false;
    };
    let Ok(target) = quantity::parse_quantity(&challenge.target) else {
        return false;
    };
    // A reading is counted in its own unit, which for flux holds the quantum.
    let scale = quantity::parse_unit(reading.unit).map_or(1.0, |unit| unit.factor);
    (reading.value * scale - target.si).abs() <= challenge.within * target.si.abs()
}
