//! A current profile painted by hand: the paper beside a bench's chart.

use std::cell::RefCell;
use std::rc::{Rc, Weak};

use wasm_bindgen::JsCast;
use web_sys::Element;

use super::Bench;
use crate::decimal::fixed;
use crate::experiment::Setup;
use crate::figure::Axis;
use crate::figure::series::Series;
use crate::figure::theme::Role;
use crate::lesson::spec::Paint;
use crate::prediction::sketch::Sketch;
use crate::session::{Message, Remark, StoredAnswer, paint};
use crate::web::chart::{ChartView, Shown};
use crate::web::dom::{self, Listener};
use crate::web::pad::{Change, Pad};
use crate::web::trouble::{self, Outcome, Trouble};

/// The paper and its pad.
pub(super) struct Painting {
    spec: Paint,
    chart: Rc<ChartView>,
    pad: Rc<Pad>,
    /// The painting that the device has now.
    applied: RefCell<Sketch>,
    _tools: Listener,
}

impl Painting {
    /// Fills the places of a bench's painting with the profile of its device.
    pub(super) fn mount(
        element: &Element,
        name: &str,
        spec: &Paint,
        setup: &Setup,
        kept: Option<&StoredAnswer>,
        bench: &Weak<Bench>,
    ) -> Outcome<Rc<Self>> {
        let (x, y) = (
            Axis::new("place / width of the junction", "", -0.5, 0.5)?,
            Axis::new("current density / largest", "", 0.0, 1.05)?,
        );
        let chart = ChartView::mount(
            &dom::role(element, "paper")?,
            &format!("{name}-paper"),
            x,
            y,
        )?;
        chart.view.name("The painted profile");
        let paper = paint::paper(spec.strips);
        let mut sketch = Sketch::new(paper);
        paint::fill(&mut sketch, setup, &spec.parameter);
        let applied = RefCell::new(sketch.clone());
        // A painting on another paper, from before the lesson changed, is left out.
        if let Some(StoredAnswer::Sketch(text)) = kept
            && let Ok(painted) = Sketch::decode(paper, text)
        {
            sketch = painted;
        }
        let weak = Weak::clone(bench);
        let pad = Pad::mount(
            &chart.view.plot,
            "Paint the current density across the junction",
            sketch,
            |at, value| {
                format!(
                    "at {} of the width: {}",
                    fixed(at, 2),
                    fixed(value.unwrap_or(0.0), 2)
                )
            },
            move |change| {
                if let Some(bench) = weak.upgrade() {
                    bench.painted(change);
                }
            },
        )?;
        pad.in_strips();
        let placed = Rc::downgrade(&pad);
        chart.on_layout(move |frame| {
            if let Some(pad) = placed.upgrade() {
                pad.place(frame);
            }
        });
        let weak = Weak::clone(bench);
        let tools = Listener::new(
            &dom::role(element, "paint-tools")?.into(),
            "click",
            move |event| {
                if let Some(bench) = weak.upgrade()
                    && let Some(painting) = bench.painting.borrow().clone()
                    && let Some(button) =
                        event.target().and_then(|at| at.dyn_into::<Element>().ok())
                    && let Some(what) = button.get_attribute("data-paint")
                {
                    painting.press(&bench.start, &what, &button);
                }
            },
        );
        Ok(Rc::new(Self {
            spec: spec.clone(),
            chart,
            pad,
            applied,
            _tools: tools,
        }))
    }

    fn press(&self, start: &Setup, what: &str, button: &Element) {
        match what {
            "undo" => self.pad.undo(),
            "clear" => self.pad.clear(),
            "mirror" => self.pad.change(paint::mirror),
            _ => {
                let mut setup = start.clone();
                let name = button.get_attribute("data-profile").unwrap_or_default();
                match setup.set(&self.spec.parameter, &name) {
                    Ok(()) => self.show_profile(&setup),
                    Err(error) => trouble::report(&Trouble::from(error)),
                }
            }
        }
    }

    /// Paints the profile of a device.
    pub(super) fn show_profile(&self, setup: &Setup) {
        self.pad
            .change(|sketch| paint::fill(sketch, setup, &self.spec.parameter));
    }

    /// Draws the paper as it stands.
    pub(super) fn draw(&self) -> Outcome {
        self.chart.show_column(self.pad.keyboard_column());
        self.chart.show(Shown {
            series: vec![Series::new(
                "",
                Role::Sketch,
                paint::outline(&self.pad.sketch()),
            )],
            ..Shown::default()
        })
    }

    /// Gives a device what is painted, if it has changed, and says what is missing when that is nothing.
    pub(super) fn apply(&self, setup: &RefCell<Setup>) -> Outcome<bool> {
        let sketch = self.pad.sketch();
        if sketch == *self.applied.borrow() {
            return Ok(false);
        }
        self.applied.replace(sketch.clone());
        let some = paint::apply(&sketch, &mut setup.borrow_mut(), &self.spec.parameter)?;
        let remark = "No strip carries a current: the pattern stands as it was.";
        let remarks = if some {
            vec![]
        } else {
            vec![Remark::new(remark.to_owned())]
        };
        self.chart.note(&remarks)?;
        Ok(some)
    }
}

impl Bench {
    /// The painting has changed, or the keyboard has moved on it.
    fn painted(&self, change: Change) {
        let Some(painting) = self.painting.borrow().clone() else {
            return;
        };
        let shown = painting.draw().and_then(|()| {
            if painting.apply(&self.setup)? {
                self.was_moved.set(true);
                self.draw(None)?;
            }
            Ok(())
        });
        if let Err(trouble) = shown {
            trouble::report(&trouble);
        }
        if change == Change::Done {
            let sketch = painting.pad.sketch();
            self.results.send(Message::Draft {
                block: self.spec.id.clone(),
                answer: Some(StoredAnswer::Sketch(sketch.encode())),
                at: dom::now(),
            });
            self.settled();
        }
    }
}
