//! A bench in the page: sliders change the device, and chart, board picture, readings and
//! challenges follow within the frame.

use std::cell::{Cell, RefCell};
use std::rc::{Rc, Weak};

use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlElement, HtmlInputElement};

use super::app::{App, Island};
use super::ask::Stage;
use super::chart::Shown;
use super::dom::{self, Listener};
use super::trouble::{self, Outcome, Trouble};
use crate::experiment::{self, Setup, Trace};
use crate::figure::series::Series;
use crate::figure::theme::Role;
use crate::lesson::spec::{self, Challenge};
use crate::quantity;
use crate::session::{Message, Plot};

/// How many held traces stay on the paper.
const HELD: usize = 4;

struct Bench {
    app: Weak<App>,
    spec: spec::Bench,
    start: Setup,
    setup: RefCell<Setup>,
    stage: Stage,
    sliders: Vec<(HtmlInputElement, HtmlInputElement)>,
    held: RefCell<Vec<Series>>,
    readings: HtmlElement,
    challenges: Vec<HtmlElement>,
    live: HtmlElement,
    dirty: Cell<bool>,
    listeners: RefCell<Vec<Listener>>,
}

fn model(error: impl std::fmt::Display) -> Trouble {
    Trouble::Model(error.to_string())
}

/// Makes a bench live.
pub(crate) fn mount(
    app: &Rc<App>,
    element: &Element,
    spec: &spec::Bench,
) -> Outcome<Rc<dyn Island>> {
    let start = Setup::from_spec(&spec.setup).map_err(model)?;
    let name = format!("{}-{}", app.lesson, spec.id);
    let stage = Stage::mount(element, &name, spec.board, start.clone(), &spec.chart)?;
    let input = |selector: String| -> Outcome<HtmlInputElement> {
        dom::find(element, &selector)
            .and_then(|input| input.dyn_into().ok())
            .ok_or(Trouble::Missing("a slider"))
    };
    let sliders = (0..spec.sliders.len())
        .map(|index| {
            Ok((
                input(format!("[data-slider=\"{index}\"]"))?,
                input(format!("[data-slider-number=\"{index}\"]"))?,
            ))
        })
        .collect::<Outcome<Vec<_>>>()?;
    let bench = Rc::new(Bench {
        app: Rc::downgrade(app),
        spec: spec.clone(),
        setup: RefCell::new(start.clone()),
        start,
        stage,
        sliders,
        held: RefCell::new(Vec::new()),
        readings: dom::role(element, "readings")?,
        challenges: dom::find_all(element, "[data-challenge]"),
        live: dom::role(element, "live")?,
        dirty: Cell::new(true),
        listeners: RefCell::new(Vec::new()),
    });
    bench.listen(element)?;
    bench.set_inputs()?;
    Ok(bench)
}

impl Bench {
    fn listen(self: &Rc<Self>, element: &Element) -> Outcome {
        let mut listeners = Vec::new();
        for (index, (range, number)) in self.sliders.iter().enumerate() {
            for (input, event) in [(range, "input"), (number, "change")] {
                let weak = Rc::downgrade(self);
                let source = input.clone();
                listeners.push(Listener::new(input, event, move |_| {
                    if let Some(bench) = weak.upgrade() {
                        bench.moved(index, source.value_as_number());
                    }
                }));
            }
            let weak = Rc::downgrade(self);
            listeners.push(Listener::new(range, "change", move |_| {
                if let Some(bench) = weak.upgrade() {
                    bench.settled();
                }
            }));
        }
        let weak = Rc::downgrade(self);
        listeners.push(Listener::new(
            &dom::role(element, "hold")?.into(),
            "click",
            move |_| {
                if let Some(bench) = weak.upgrade() {
                    bench.hold();
                }
            },
        ));
        let weak = Rc::downgrade(self);
        listeners.push(Listener::new(
            &dom::role(element, "reset")?.into(),
            "click",
            move |_| {
                if let Some(bench) = weak.upgrade() {
                    bench.reset();
                }
            },
        ));
        self.listeners.replace(listeners);
        Ok(())
    }

    /// A slider or its number box was moved.
    fn moved(&self, index: usize, value: f64) {
        let began = performance_now();
        if let Err(trouble) = self.try_moved(index, value) {
            trouble::report(&trouble);
        }
        measure(began);
    }

    fn try_moved(&self, index: usize, value: f64) -> Outcome {
        let Some(slider) = self.spec.sliders.get(index) else {
            return Ok(());
        };
        // An emptied number box shows the device again as it is.
        if !value.is_finite() {
            return self.set_inputs();
        }
        let value = value.clamp(slider.from, slider.to);
        self.setup
            .borrow_mut()
            .set(&slider.parameter, &format!("{value} {}", slider.unit))
            .map_err(model)?;
        if let Some((range, number)) = self.sliders.get(index) {
            range.set_value(&value.to_string());
            number.set_value(&figures(value));
            range.set_attribute(
                "aria-valuetext",
                &format!("{} {}", figures(value), slider.unit),
            )?;
        }
        self.draw()
    }

    /// Once a movement has come to rest, words and table follow.
    fn settled(&self) {
        if let Err(trouble) = self.stage.chart.describe("The computed curve") {
            trouble::report(&trouble);
        }
    }

    fn set_inputs(&self) -> Outcome {
        for (slider, (range, number)) in self.spec.sliders.iter().zip(&self.sliders) {
            let unit = quantity::parse_unit(&slider.unit).map_err(model)?;
            let si = self
                .setup
                .borrow()
                .get_si(&slider.parameter)
                .unwrap_or_default();
            let value = quantity::express(si, &unit);
            range.set_value(&value.to_string());
            number.set_value(&figures(value));
        }
        Ok(())
    }

    fn plot(&self) -> Outcome<Plot> {
        self.stage
            .plot
            .over(self.setup.borrow().clone())
            .map_err(model)
    }

    fn draw(&self) -> Outcome {
        let plot = self.plot()?;
        let mut series = self.held.borrow().clone();
        for column in &self.spec.chart.also {
            series.push(
                plot.curve(column, &column.replace('-', " "), Role::Envelope)
                    .map_err(model)?,
            );
        }
        series.push(
            plot.curve(plot.column(), "computed", Role::Computed)
                .map_err(model)?,
        );
        self.stage.chart.show(Shown {
            series,
            marks: Vec::new(),
            has_cursor: true,
        })?;
        if let Some(board) = &self.stage.board {
            board.change(self.setup.borrow().clone());
        }
        self.stage.show_board(true)?;
        let trace = experiment::run(&self.setup.borrow(), &[0.0]).map_err(model)?;
        self.show_readings(&trace)?;
        self.watch(&trace);
        Ok(())
    }

    fn show_readings(&self, trace: &Trace) -> Outcome {
        let description = self.start.description();
        let mut shown = Vec::new();
        for name in &self.spec.readings {
            if let Some(reading) = trace.reading(name) {
                let words = description
                    .readings
                    .iter()
                    .find(|known| known.name == name)
                    .map_or(name.as_str(), |known| known.words);
                shown.push((words, quantity::show(reading.value, reading.unit, 3)));
            }
        }
        // The same places are written again, so that nothing else on the page moves.
        let places = dom::find_all(&self.readings, "dd");
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

    /// Looks whether a challenge is met.
    fn watch(&self, trace: &Trace) {
        let Some(app) = self.app.upgrade() else {
            return;
        };
        let met = app.kept(&self.spec.id).met;
        for (challenge, index) in self.spec.challenges.iter().zip(0_u32..) {
            if !met.contains(&index) && !self.dirty.get() && is_met(challenge, trace) {
                app.send(Message::Met {
                    block: self.spec.id.clone(),
                    challenge: index,
                });
                self.live
                    .set_text_content(Some(&format!("Done: {}", challenge.text)));
            }
        }
    }

    fn show_met(&self) {
        let Some(app) = self.app.upgrade() else {
            return;
        };
        let met = app.kept(&self.spec.id).met;
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

    fn hold(&self) {
        let held = self.plot().and_then(|plot| {
            plot.curve(plot.column(), "held", Role::Ghost(0))
                .map_err(model)
        });
        match held {
            Ok(mut curve) => {
                let mut all = self.held.borrow_mut();
                if all.len() == HELD {
                    all.remove(0);
                }
                curve.name = String::new();
                all.push(curve);
                for (curve, index) in all.iter_mut().zip(0_u8..) {
                    curve.role = Role::Ghost(index);
                }
            }
            Err(trouble) => trouble::report(&trouble),
        }
        if let Err(trouble) = self.draw() {
            trouble::report(&trouble);
        }
    }

    fn reset(&self) {
        self.setup.replace(self.start.clone());
        self.held.borrow_mut().clear();
        let shown = self.set_inputs().and_then(|()| self.draw());
        if let Err(trouble) = shown {
            trouble::report(&trouble);
        }
        self.settled();
    }
}

fn is_met(challenge: &Challenge, trace: &Trace) -> bool {
    let Some(reading) = trace.reading(&challenge.reading) else {
        return false;
    };
    let Ok(target) = quantity::parse_quantity(&challenge.target) else {
        return false;
    };
    let scale = if reading.unit == "Phi0" {
        crate::constants::FLUX_QUANTUM
    } else {
        1.0
    };
    (reading.value * scale - target.si).abs() <= challenge.within * target.si.abs()
}

/// A slider's value without tails of binary digits.
fn figures(value: f64) -> String {
    let text = format!("{value:.4}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    text.to_owned()
}

fn performance_now() -> Option<f64> {
    Some(dom::window().ok()?.performance()?.now())
}

/// From when on the browser is to measure.
#[derive(serde::Serialize)]
struct Since {
    start: f64,
}

/// Notes how long a movement took, for the benchmark of the page.
fn measure(began: Option<f64>) {
    let Some(performance) = dom::window().ok().and_then(|window| window.performance()) else {
        return;
    };
    if let Some(began) = began {
        let name = wasm_bindgen::JsValue::from_str("coldfringe-frame");
        let Ok(options) = serde_wasm_bindgen::to_value(&Since { start: began }) else {
            return;
        };
        // `performance.measure(name, {start})`: the method with options is called by name, since
        // only its older form is bound.
        if let Ok(method) = js_sys::Reflect::get(&performance, &"measure".into())
            && let Ok(method) = method.dyn_into::<js_sys::Function>()
        {
            let _ = method.call2(&performance, &name, &options);
        }
    }
}

impl Island for Bench {
    fn refresh(&self) -> Outcome {
        self.show_met();
        // Only the first showing draws; a message from a challenge must not draw again.
        if self.dirty.get() {
            self.draw()?;
            self.stage.chart.describe("The computed curve")?;
            self.dirty.set(false);
        }
        Ok(())
    }
}
