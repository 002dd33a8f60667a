//! A bench in the page: sliders change the device, and chart, board picture, readings and
//! challenges follow within the frame, or as soon as the background has computed them.

mod paint;
mod results;
mod sliders;
mod slow;

use std::cell::{Cell, RefCell};
use std::rc::Rc;

use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlInputElement};

use super::app::App;
use super::ask::Stage;
use super::background;
use super::chart::Shown;
use super::dom::{self, Listener};
use super::island::Island;
use super::trouble::{self, Outcome, Trouble};
use crate::experiment::{Setup, Trace};
use crate::figure::series::Series;
use crate::figure::theme::Role;
use crate::lesson::spec;
use crate::session::{Message, Plot, column_words};
use paint::Painting;
use results::Results;
use slow::{Heard, Slow};

/// How many held traces stay on the paper.
const HELD: usize = 4;

struct Bench {
    spec: spec::Bench,
    start: Setup,
    setup: RefCell<Setup>,
    stage: Stage,
    sliders: Vec<(HtmlInputElement, HtmlInputElement)>,
    held: RefCell<Vec<Series>>,
    /// The curves of the device, as far as they are known; the one in question last.
    curves: RefCell<Vec<Series>>,
    results: Results,
    slow: RefCell<Option<Rc<Slow>>>,
    painting: RefCell<Option<Rc<Painting>>>,
    is_fresh: Cell<bool>,
    /// Whether the reader has moved something: only then can a challenge be met.
    was_moved: Cell<bool>,
    listeners: RefCell<Vec<Listener>>,
}

/// Makes a bench live.
pub(crate) fn mount(
    app: &Rc<App>,
    element: &Element,
    spec: &spec::Bench,
) -> Outcome<Rc<dyn Island>> {
    let start = background::setup(&spec.setup)?;
    let name = format!("{}-{}", app.lesson, spec.id);
    let stage = Stage::mount(element, &name, spec.board, start.clone(), 0.0, &spec.chart)?;
    let input = |selector: String| -> Outcome<HtmlInputElement> {
        dom::find(element, &selector)
            .and_then(|input| input.dyn_into().ok())
            .ok_or_else(|| Trouble::missing("a slider"))
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
        spec: spec.clone(),
        setup: RefCell::new(start.clone()),
        start,
        stage,
        sliders,
        held: RefCell::new(Vec::new()),
        curves: RefCell::new(Vec::new()),
        results: Results::find(Rc::downgrade(app), element)?,
        slow: RefCell::new(None),
        painting: RefCell::new(None),
        is_fresh: Cell::new(true),
        was_moved: Cell::new(false),
        listeners: RefCell::new(Vec::new()),
    });
    bench.listen(element)?;
    let kept = app.kept(&spec.id);
    bench.find_again(&kept.sliders)?;
    bench.set_inputs()?;
    if let Some(paint) = &spec.paint {
        let weak = Rc::downgrade(&bench);
        let draft = kept.draft.as_ref();
        let painting = Painting::mount(element, &name, paint, &bench.start, draft, &weak)?;
        painting.apply(&bench.setup)?;
        bench.painting.replace(Some(painting));
    }
    if background::is_slow(&bench.start) {
        bench.slow.replace(Some(bench.in_background(element)?));
    }
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
                        if event == "change" {
                            bench.settled();
                        }
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

    /// Keeps where the sliders stand.
    fn keep(&self, sliders: Vec<f64>) {
        self.results.send(Message::Set {
            block: self.spec.id.clone(),
            sliders,
            at: dom::now(),
        });
    }

    /// Once a movement has come to rest, words and table follow.
    fn settled(&self) {
        if self.was_moved.get() {
            let values = self.sliders.iter();
            self.keep(values.map(|(range, _)| range.value_as_number()).collect());
        }
        // Those of a slow device follow when its curve is there.
        if self.slow.borrow().is_none()
            && let Err(trouble) = self.describe()
        {
            trouble::report(&trouble);
        }
    }

    fn describe(&self) -> Outcome {
        self.stage.chart.describe("The computed curve")
    }

    /// What is to be shown of a run of the device as it stands now.
    fn draw(&self, began: Option<f64>) -> Outcome {
        let setup = self.setup.borrow().clone();
        let plot = self.stage.plot.over(setup.clone())?;
        if let Some(board) = &self.stage.board {
            board.change(setup);
        }
        let slow = self.slow.borrow().clone();
        if let Some(slow) = slow {
            // The last curve stands until there is a new one.
            slow.ask(plot, began);
            self.show_curves()?;
        } else {
            let trace = plot.trace()?;
            self.take(&plot, &trace, true)?;
            self.watch(&trace);
        }
        self.stage.show_board(true)
    }

    /// Shows the curves and readings of a run, whole or as far as it is known.
    fn take(&self, plot: &Plot, trace: &Trace, is_whole: bool) -> Outcome {
        let mut curves = Vec::new();
        for column in &self.spec.chart.also {
            let words = column_words(column);
            curves.push(plot.curve_of(trace, column, &words, Role::Envelope)?);
        }
        // Beside another computed curve each is called by what it is.
        let name = if curves.is_empty() {
            "computed".to_owned()
        } else {
            column_words(plot.column())
        };
        curves.push(plot.curve_of(trace, plot.column(), &name, Role::Computed)?);
        if !is_whole {
            // Until the places between are known a straight line stands for them.
            for curve in &mut curves {
                curve.points.retain(|point| point.1.is_finite());
            }
        }
        self.curves.replace(curves);
        self.show_curves()?;
        self.stage.chart.note(&plot.remarks(trace))?;
        let description = self.start.description();
        self.results
            .show(&self.spec.readings, description, trace, is_whole);
        Ok(())
    }

    fn show_curves(&self) -> Outcome {
        let mut series = self.held.borrow().clone();
        series.extend(self.curves.borrow().iter().cloned());
        self.stage.chart.show(Shown {
            series,
            marks: Vec::new(),
            has_cursor: true,
        })
    }

    fn watch(&self, trace: &Trace) {
        if self.was_moved.get() {
            self.results.watch(&self.spec, trace);
        }
    }

    fn in_background(self: &Rc<Self>, element: &Element) -> Outcome<Rc<Slow>> {
        let weak = Rc::downgrade(self);
        let hear = move |plot: &Plot, heard: Heard| {
            if let Some(bench) = weak.upgrade()
                && let Err(trouble) = bench.heard(plot, &heard)
            {
                trouble::report(&trouble);
            }
        };
        let weak = Rc::downgrade(self);
        Slow::mount(element, hear, move || {
            if let Some(bench) = weak.upgrade()
                && let Err(trouble) = bench.draw(None)
            {
                trouble::report(&trouble);
            }
        })
    }

    fn heard(&self, plot: &Plot, heard: &Heard) -> Outcome {
        match heard {
            Heard::Sketchy(trace) => self.take(plot, trace, false),
            Heard::Whole(trace) => {
                self.take(plot, trace, true)?;
                self.describe()?;
                let was_long = self
                    .slow
                    .borrow()
                    .as_ref()
                    .is_some_and(|slow| slow.was_long());
                if was_long {
                    let live = &self.results.live;
                    live.set_text_content(Some("The computed curve is there."));
                }
                self.watch(trace);
                Ok(())
            }
        }
    }

    fn hold(&self) {
        if let Some(mut curve) = self.curves.borrow().last().cloned() {
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
        if let Err(trouble) = self.show_curves() {
            trouble::report(&trouble);
        }
    }

    fn reset(&self) {
        let painting = self.painting.borrow().clone();
        if let Some(painting) = painting {
            painting.show_profile(&self.start);
        }
        self.setup.replace(self.start.clone());
        self.was_moved.set(false);
        self.keep(Vec::new());
        self.held.borrow_mut().clear();
        let shown = self.set_inputs().and_then(|()| self.draw(None));
        if let Err(trouble) = shown {
            trouble::report(&trouble);
        }
        self.settled();
    }
}

impl Island for Bench {
    fn refresh(&self) -> Outcome {
        self.results.show_met(&self.spec.id);
        // Only the first showing draws; a message from a challenge must not draw again.
        if self.is_fresh.replace(false) {
            if let Some(painting) = self.painting.borrow().as_ref() {
                painting.draw()?;
            }
            self.draw(None)?;
            self.settled();
        }
        Ok(())
    }
}
