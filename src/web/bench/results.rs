//! The readings beside a bench, and its challenges.

use std::rc::Weak;

use web_sys::{Element, HtmlElement};

use crate::experiment::{SetupDescription, Trace};
use crate::lesson::spec::{self, Challenge};
use crate::page::islands;
use crate::quantity;
use crate::session::Message;
use crate::web::app::App;
use crate::web::dom;
use crate::web::trouble::Outcome;

/// The places of readings and challenges.
pub(super) struct Results {
    app: Weak<App>,
    readings: HtmlElement,
    /// What they are, as the page says.
    words: Vec<String>,
    challenges: Vec<HtmlElement>,
    /// What was done is announced here.
    pub(super) live: HtmlElement,
}

impl Results {
    pub(super) fn find(app: Weak<App>, element: &Element) -> Outcome<Self> {
        let readings = dom::role(element, "readings")?;
        let words = readings.get_attribute(islands::WORDS).unwrap_or_default();
        Ok(Self {
            app,
            readings,
            words: words.split('\n').map(str::to_owned).collect(),
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
    ) -> Outcome {
        let places = dom::find_all(&self.readings, "dd");
        let mut shown = Vec::new();
        for (name, words) in names.iter().zip(&self.words) {
            if description.reading(name).is_none() {
                continue;
            }
            match trace.reading(name) {
                Some(reading) => {
                    shown.push((words, quantity::show(reading.value, reading.unit, 3)))
                }
                None if !is_done => {
                    let before = places
                        .get(shown.len())
                        .and_then(|place| place.text_content());
                    shown.push((words, before.unwrap_or_else(|| "…".to_owned())));
                }
                None => {}
            }
        }
        // The same places are written again, so that nothing else on the page moves.
        if places.len() == shown.len() {
            for (place, (_, value)) in places.iter().zip(&shown) {
                place.set_text_content(Some(value));
            }
            return Ok(());
        }
        self.readings.set_text_content(None);
        for (words, value) in shown {
            let pair = dom::append(&self.readings, "div", "", "")?;
            dom::append(&pair, "dt", "", words)?;
            dom::append(&pair, "dd", "", &value)?;
        }
        Ok(())
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
