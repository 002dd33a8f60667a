//! A marker to put on the horizontal axis: by pointer on the chart or with the slider below it.

use std::cell::{Cell, RefCell};
use std::rc::Rc;

use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlElement, HtmlInputElement};

use super::stage::board_place;
use super::{Asked, Stage, draft, standing};
use crate::decimal::{fixed, shortest};
use crate::experiment::{self, Sought};
use crate::figure::Frame;
use crate::figure::chart::Mark;
use crate::figure::series::Series;
use crate::figure::theme::Role;
use crate::lesson::spec::{ChartSpec, MarkSlip, Prediction};
use crate::numerics::order::within;
use crate::prediction::mark::{MarkTask, assess_mark};
use crate::session::{BlockRecord, Commitment, Remark, StoredAnswer};
use crate::web::app::App;
use crate::web::background;
use crate::web::chart::Shown;
use crate::web::dom::{self, Listener};
use crate::web::trouble::Outcome;
use crate::web::verdict::{self, Said};

/// A live marker question.
pub(crate) struct MarkAxis {
    inner: Rc<Inner>,
    _listeners: Vec<Listener>,
}

struct Inner {
    stage: Stage,
    spec: ChartSpec,
    answer: Sought,
    within: f64,
    slips: Vec<MarkSlip>,
    slider: HtmlInputElement,
    value: HtmlElement,
    frame: Cell<Option<Frame>>,
    open: Cell<bool>,
    truth: RefCell<Option<Series>>,
    remarks: RefCell<Vec<Remark>>,
    described: Cell<bool>,
}

impl MarkAxis {
    pub(crate) fn mount(
        app: &Rc<App>,
        element: &Element,
        spec: &Prediction,
        chart: &ChartSpec,
        answer: &Sought,
        within: f64,
        slips: &[MarkSlip],
    ) -> Outcome<Self> {
        let setup = background::setup(&spec.setup)?;
        let name = format!("{}-{}", app.lesson, spec.id);
        let at = board_place(spec, &setup)?;
        let stage = Stage::mount(element, &name, spec.board, setup, at, chart)?;
        let slider = dom::input(element, "mark")?;
        let inner = Rc::new(Inner {
            stage,
            spec: chart.clone(),
            answer: answer.clone(),
            within,
            slips: slips.to_vec(),
            slider,
            value: dom::role(element, "mark-value")?,
            frame: Cell::new(None),
            open: Cell::new(true),
            truth: RefCell::new(None),
            remarks: RefCell::new(Vec::new()),
            described: Cell::new(false),
        });
        let weak = Rc::downgrade(&inner);
        inner.stage.chart.on_layout(move |frame| {
            if let Some(inner) = weak.upgrade() {
                inner.frame.set(Some(frame));
            }
        });
        let listeners = inner.listen(app, &spec.id);
        Ok(Self {
            inner,
            _listeners: listeners,
        })
    }
}

impl Inner {
    fn listen(self: &Rc<Self>, app: &Rc<App>, block: &str) -> Vec<Listener> {
        let place = {
            let (app, block, weak) = (Rc::downgrade(app), block.to_owned(), Rc::downgrade(self));
            move |at: f64| {
                let (Some(app), Some(inner)) = (app.upgrade(), weak.upgrade()) else {
                    return;
                };
                if !inner.open.get() || !at.is_finite() {
                    return;
                }
                let at = within(at, inner.spec.x.from, inner.spec.x.to);
                app.send(draft(&block, Some(StoredAnswer::Mark(at))));
                let _ = inner.show_draft(Some(at));
            }
        };
        let place = Rc::new(place);
        let (act, slider) = (Rc::clone(&place), self.slider.clone());
        let on_slide = Listener::new(
            &self.slider,
            "input",
            move |_| act(slider.value_as_number()),
        );
        let weak = Rc::downgrade(self);
        let pointer = move |event: web_sys::Event| {
            let Some(inner) = weak.upgrade() else { return };
            let event: &web_sys::PointerEvent = event.unchecked_ref();
            // A press places the marker, a drag takes it along.
            if !inner.open.get() || (event.type_() == "pointermove" && event.buttons() == 0) {
                return;
            }
            let plot = &inner.stage.chart.view.plot;
            let left = plot.get_bounding_client_rect().left();
            if let Some(frame) = inner.frame.get() {
                place(
                    frame
                        .from_px((f64::from(event.client_x()) - left, frame.top))
                        .0,
                );
            }
        };
        let pointer = Rc::new(pointer);
        let mut listeners = vec![on_slide];
        for name in ["pointerdown", "pointermove"] {
            let act = Rc::clone(&pointer);
            listeners.push(Listener::new(
                &self.stage.chart.view.plot,
                name,
                move |event| act(event),
            ));
        }
        listeners
    }

    fn mine(at: Option<f64>) -> Vec<Mark> {
        at.map(|x| Mark {
            x,
            label: "yours".to_owned(),
            role: Role::Sketch,
        })
        .into_iter()
        .collect()
    }

    fn show_draft(&self, at: Option<f64>) -> Outcome {
        self.say(at);
        self.stage.chart.show(Shown {
            series: Vec::new(),
            marks: Self::mine(at),
            has_cursor: false,
        })
    }

    /// Writes the marker's place beside the slider.
    fn say(&self, at: Option<f64>) {
        let words = at.map_or_else(
            || "not placed yet".to_owned(),
            |at| match self.stage.plot.axes() {
                Ok((x, _)) => format!("{} {}", fixed(at, 3), x.unit()),
                Err(_) => fixed(at, 3),
            },
        );
        self.value.set_text_content(Some(&words));
        let _ = self.slider.set_attribute("aria-valuetext", &words);
        if let Some(at) = at {
            self.slider.set_value(&shortest(at));
        }
    }

    fn truth(&self) -> Outcome<Series> {
        if let Some(truth) = self.truth.borrow().as_ref() {
            return Ok(truth.clone());
        }
        let plot = &self.stage.plot;
        let trace = plot.trace()?;
        let truth = plot.curve_of(&trace, plot.column(), "computed", Role::Computed)?;
        self.remarks.replace(plot.remarks(&trace));
        self.truth.replace(Some(truth.clone()));
        Ok(truth)
    }

    fn sought(&self) -> Outcome<f64> {
        let si = experiment::seek(self.stage.plot.setup(), &self.answer)?;
        Ok(si / self.stage.plot.x_scale().si_per_unit)
    }
}

impl Asked for MarkAxis {
    fn prepare(&self, kept: &BlockRecord) -> Outcome {
        if kept.committed.is_some() {
            self.inner.truth()?;
            self.inner.sought()?;
        }
        Ok(())
    }

    fn missing(&self) -> Option<String> {
        (self.inner.value.text_content().as_deref() == Some("not placed yet"))
            .then(|| "Put the marker somewhere first.".to_owned())
    }

    fn show(&self, kept: &BlockRecord, share: f64) -> Outcome {
        let inner = &self.inner;
        let at = match standing(kept) {
            Some(StoredAnswer::Mark(at)) => Some(*at),
            _ => None,
        };
        let done = kept.committed.is_some();
        inner.open.set(!done);
        inner.slider.set_disabled(done);
        let plot_class = inner.stage.chart.view.plot.class_list();
        if !done {
            plot_class.add_1("markable")?;
            inner.stage.chart.view.name("Empty axes with your marker");
            inner.show_draft(at)?;
            return inner.stage.show_board(false);
        }
        plot_class.remove_1("markable")?;
        inner.say(at);
        let mut series = Vec::new();
        if share > 0.0 {
            let mut curve = inner.truth()?;
            let (from, to) = (inner.spec.x.from, inner.spec.x.to);
            curve.drawn_to = (share < 1.0).then_some(from + (to - from) * share);
            series.push(curve);
        }
        let mut marks = Inner::mine(at);
        if share >= 1.0 {
            marks.push(Mark {
                x: inner.sought()?,
                label: "computed".to_owned(),
                role: Role::Computed,
            });
        }
        inner.stage.chart.show(Shown {
            series,
            marks,
            has_cursor: share >= 1.0,
        })?;
        inner.stage.show_board(share >= 1.0)?;
        if share >= 1.0 && !inner.described.replace(true) {
            inner.stage.chart.note(&inner.remarks.borrow())?;
            inner
                .stage
                .chart
                .describe("Your marker and the computed curve")?;
        }
        Ok(())
    }

    fn in_words(&self, answer: &StoredAnswer) -> String {
        match (answer, self.inner.stage.plot.axes()) {
            (StoredAnswer::Mark(at), Ok((x, _))) => format!("{} {}", fixed(*at, 3), x.unit()),
            _ => String::new(),
        }
    }

    fn said(&self, committed: &Commitment, _meant: Option<&str>) -> Outcome<Said> {
        let inner = &self.inner;
        let StoredAnswer::Mark(at) = committed.answer else {
            return Ok(Said::default());
        };
        let plot = &inner.stage.plot;
        let (x, _) = plot.axes()?;
        let task = MarkTask {
            kind: plot.setup().description().kind,
            column: plot.column(),
            answer: inner.sought()?,
            mirrored: inner.spec.x.from < 0.0,
            within: inner.within,
            slips: inner
                .slips
                .iter()
                .map(|slip| (slip.at, slip.picture.as_str()))
                .collect(),
            unit: x.unit(),
        };
        Ok(verdict::of_mark(&assess_mark(&task, at), committed.sure))
    }

    fn told(&self) -> Outcome<Said> {
        let (x, _) = self.inner.stage.plot.axes()?;
        let place = crate::figure::describe::figures(self.inner.sought()?);
        Ok(Said {
            headline: format!("The computed place is {place} {}.", x.unit()),
            ..Said::default()
        })
    }
}
