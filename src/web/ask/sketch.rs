//! A curve to draw: the pad before the commitment; afterwards the computed curve beside it.

use std::cell::RefCell;
use std::rc::Rc;

use web_sys::Element;

use super::stage::board_place;
use super::{Asked, Stage, draft, standing};
use crate::decimal::fixed;
use crate::figure::series::Series;
use crate::figure::theme::Role;
use crate::lesson::spec::{ChartSpec, Prediction};
use crate::prediction::assess::{self, SketchTask};
use crate::prediction::sketch::{Sketch, SketchGrid};
use crate::prediction::unfinished;
use crate::session::{BlockRecord, Commitment, Remark, StoredAnswer, column_words, lecture};
use crate::web::app::App;
use crate::web::background;
use crate::web::chart::Shown;
use crate::web::dom::{self, Listener};
use crate::web::pad::{Change, Pad};
use crate::web::trouble::{self, Outcome};
use crate::web::verdict::Said;

/// A live sketch question.
pub(crate) struct SketchAsked {
    inner: Rc<Inner>,
    _listeners: Vec<Listener>,
}

struct Inner {
    app: std::rc::Weak<App>,
    block: String,
    stage: Stage,
    grid: SketchGrid,
    also: Vec<String>,
    pictures: Vec<String>,
    pad: RefCell<Option<Rc<Pad>>>,
    truth: RefCell<Option<Vec<Series>>>,
    remarks: RefCell<Vec<Remark>>,
    described: RefCell<bool>,
}

impl SketchAsked {
    pub(crate) fn mount(
        app: &Rc<App>,
        element: &Element,
        spec: &Prediction,
        chart: &ChartSpec,
        columns: u16,
        pictures: &[String],
    ) -> Outcome<Self> {
        let setup = background::setup(&spec.setup)?;
        let name = format!("{}-{}", app.lesson, spec.id);
        let at = board_place(spec, &setup)?;
        let stage = Stage::mount(element, &name, spec.board, setup, at, chart)?;
        let grid = stage.plot.grid(columns);
        let inner = Rc::new(Inner {
            app: Rc::downgrade(app),
            block: spec.id.clone(),
            stage,
            grid,
            also: chart.also.clone(),
            pictures: pictures.to_vec(),
            pad: RefCell::new(None),
            truth: RefCell::new(None),
            remarks: RefCell::new(Vec::new()),
            described: RefCell::new(false),
        });
        let weak = Rc::downgrade(&inner);
        inner.stage.chart.on_layout(move |frame| {
            if let Some(inner) = weak.upgrade()
                && let Some(pad) = inner.pad.borrow().as_ref()
            {
                pad.place(frame);
            }
        });
        let listeners = inner.tools(element)?;
        Ok(Self {
            inner,
            _listeners: listeners,
        })
    }
}

impl Inner {
    /// The buttons beside the pad.
    fn tools(self: &Rc<Self>, element: &Element) -> Outcome<Vec<Listener>> {
        let tools = dom::role(element, "tools")?;
        tools.set_text_content(None);
        let how = dom::append(
            &tools,
            "p",
            "how",
            "Draw across the axes, or tap single points and they are joined. ",
        )?;
        // Left out where a finger is the only pointer.
        dom::append(
            &how,
            "span",
            "keys",
            "With the keyboard: left and right choose a place, up and down raise and lower it, J makes a jump, Delete takes a point away.",
        )?;
        let mut listeners = Vec::new();
        for (label, role, act) in [
            ("Undo", "undo", Pad::undo as fn(&Pad)),
            ("Clear", "clear", Pad::clear as fn(&Pad)),
            ("Jump here", "jump", Pad::jump as fn(&Pad)),
        ] {
            let button = dom::button(&tools, "", label)?;
            button.set_attribute("data-role", role)?;
            let weak = Rc::downgrade(self);
            listeners.push(Listener::new(&button, "click", move |_| {
                if let Some(inner) = weak.upgrade() {
                    let pad = inner.pad.borrow().clone();
                    if let Some(pad) = pad {
                        act(&pad);
                    }
                }
            }));
        }
        if self.app.upgrade().is_some_and(|app| app.hall.is_some()) {
            let button = dom::button(&tools, "", "Put aside; another draws")?;
            button.set_attribute("data-role", "put-aside")?;
            let weak = Rc::downgrade(self);
            listeners.push(Listener::new(&button, "click", move |_| {
                if let Some(inner) = weak.upgrade() {
                    inner.put_aside();
                }
            }));
        }
        Ok(listeners)
    }

    /// In a lecture: keeps the sketch for the reveal and clears the pad for the next volunteer.
    fn put_aside(&self) {
        let pad = self.pad.borrow().clone();
        let hall = self.app.upgrade().and_then(|app| app.hall.clone());
        if let (Some(pad), Some(hall)) = (pad, hall)
            && !pad.sketch().is_empty()
        {
            hall.send(lecture::Message::PutAside {
                block: self.block.clone(),
                sketch: pad.sketch().encode(),
                at: dom::now(),
            });
            pad.clear();
        }
    }

    fn sketch_of(&self, answer: Option<&StoredAnswer>) -> Sketch {
        match answer {
            // A sketch that cannot be read back (edited by hand, or of another grid) is shown as
            // empty axes; its text is put aside.
            Some(StoredAnswer::Sketch(text)) => {
                Sketch::decode(self.grid, text).unwrap_or_else(|error| {
                    trouble::show(&format!(
                        "Note: a saved sketch could not be read ({error}). Its text has been put aside unchanged."
                    ));
                    if let Some(app) = self.app.upgrade() {
                        app.store.put_aside(text);
                    }
                    Sketch::new(self.grid)
                })
            }
            _ => Sketch::new(self.grid),
        }
    }

    fn pad(self: &Rc<Self>, sketch: Sketch) -> Outcome<Rc<Pad>> {
        if let Some(pad) = self.pad.borrow().as_ref() {
            pad.take_over(sketch);
            return Ok(Rc::clone(pad));
        }
        let weak = Rc::downgrade(self);
        let (x, y) = self.stage.plot.axes()?;
        let name = format!("Sketch pad: {} against {}", y.words(), x.words());
        let speak = move |at: f64, value: Option<f64>| match value {
            Some(value) => format!(
                "at {} {}: {} {}",
                fixed(at, 2),
                x.unit(),
                fixed(value, 2),
                y.unit()
            ),
            None => format!("at {} {}: nothing drawn", fixed(at, 2), x.unit()),
        };
        let pad = Pad::mount(
            &self.stage.chart.view.plot,
            &name,
            sketch,
            speak,
            move |change| {
                if let Some(inner) = weak.upgrade() {
                    inner.changed(change);
                }
            },
        )?;
        self.pad.replace(Some(Rc::clone(&pad)));
        Ok(pad)
    }

    fn changed(&self, change: Change) {
        let Some(pad) = self.pad.borrow().clone() else {
            return;
        };
        self.stage.chart.show_column(pad.keyboard_column());
        if let Err(trouble) = self.show_curves(&pad.sketch(), 0.0, &[]) {
            trouble::report(&trouble);
        }
        if change == Change::Done
            && let Some(app) = self.app.upgrade()
        {
            let sketch = pad.sketch();
            let answer = (!sketch.is_empty()).then(|| StoredAnswer::Sketch(sketch.encode()));
            app.send(draft(&self.block, answer));
        }
    }

    /// The computed curves, made at the first call after a commitment and never before.
    fn truth(&self) -> Outcome<Vec<Series>> {
        if let Some(truth) = self.truth.borrow().as_ref() {
            return Ok(truth.clone());
        }
        let plot = &self.stage.plot;
        let trace = plot.trace()?;
        let mut truth = Vec::new();
        for column in &self.also {
            let words = column_words(column);
            truth.push(plot.curve_of(&trace, column, &words, Role::Envelope)?);
        }
        truth.push(plot.curve_of(&trace, plot.column(), "computed", Role::Computed)?);
        self.remarks.replace(plot.remarks(&trace));
        self.truth.replace(Some(truth.clone()));
        Ok(truth)
    }

    fn show_curves(&self, sketch: &Sketch, share: f64, earlier: &[Sketch]) -> Outcome {
        let mut series = Vec::new();
        for (index, sketch) in earlier.iter().enumerate() {
            let ghost = Role::Ghost(u8::try_from(index).unwrap_or(u8::MAX));
            series.extend(strokes(sketch, "an earlier sketch", ghost));
        }
        if share > 0.0 {
            let (from, to) = (self.grid.from, self.grid.to);
            let reached = from + (to - from) * share;
            series.extend(self.truth()?.into_iter().map(|mut curve| {
                curve.drawn_to = (share < 1.0).then_some(reached);
                curve
            }));
        }
        // A key would take room from the axes while the reader draws on them.
        let name = if share > 0.0 { "your sketch" } else { "" };
        series.extend(strokes(sketch, name, Role::Sketch));
        self.stage.chart.show(Shown {
            series,
            marks: Vec::new(),
            has_cursor: share >= 1.0,
        })
    }

    fn task(&self) -> SketchTask<'_> {
        SketchTask {
            setup: self.stage.plot.setup(),
            column: self.stage.plot.column(),
            x: self.stage.plot.x_scale().clone(),
            y: self.stage.plot.y_scale().clone(),
            grid: self.grid,
            pictures: &self.pictures,
        }
    }
}

/// A sketch as curves: it may have gaps; only the first piece is named in the key.
fn strokes(sketch: &Sketch, name: &str, role: Role) -> Vec<Series> {
    sketch
        .points()
        .into_iter()
        .enumerate()
        .map(|(index, points)| Series::new(if index == 0 { name } else { "" }, role, points))
        .collect()
}

impl Asked for SketchAsked {
    fn prepare(&self, kept: &BlockRecord) -> Outcome {
        if let Some(committed) = &kept.committed {
            self.inner.truth()?;
            self.said(committed, None)?;
        }
        Ok(())
    }

    fn missing(&self) -> Option<String> {
        let pad = self.inner.pad.borrow().clone()?;
        let sketch = pad.sketch();
        if sketch.is_empty() {
            return Some("The axes are empty: draw a curve first, however rough.".to_owned());
        }
        if sketch.is_complete() {
            return None;
        }
        let (x, _) = self.inner.stage.plot.axes().ok()?;
        Some(unfinished(&sketch.gaps(), x.unit()))
    }

    fn show(&self, kept: &BlockRecord, share: f64) -> Outcome {
        let inner = &self.inner;
        let sketch = inner.sketch_of(standing(kept));
        if kept.committed.is_none() {
            let pad = inner.pad(sketch)?;
            inner.stage.chart.view.name("Empty axes with your sketch");
            inner.show_curves(&pad.sketch(), 0.0, &[])?;
            return inner.stage.show_board(false);
        }
        inner.pad.replace(None);
        inner.stage.chart.show_column(None);
        let earlier: Vec<Sketch> = inner
            .app
            .upgrade()
            .map(|app| app.earlier(&inner.block))
            .unwrap_or_default()
            .iter()
            .map(|(committed, _)| inner.sketch_of(Some(&committed.answer)))
            .collect();
        inner.show_curves(&sketch, share, &earlier)?;
        inner.stage.show_board(share >= 1.0)?;
        if share >= 1.0 && !inner.described.replace(true) {
            inner.stage.chart.note(&inner.remarks.borrow())?;
            inner
                .stage
                .chart
                .describe("Your sketch and the computed curve")?;
        }
        Ok(())
    }

    fn in_words(&self, _answer: &StoredAnswer) -> String {
        "the sketch in grey".to_owned()
    }

    fn said(&self, committed: &Commitment, meant: Option<&str>) -> Outcome<Said> {
        let inner = &self.inner;
        let readable = matches!(&committed.answer, StoredAnswer::Sketch(text) if Sketch::decode(inner.grid, text).is_ok());
        if !readable {
            return Ok(Said::default());
        }
        let sketch = inner.sketch_of(Some(&committed.answer));
        let assessment = assess::assess(&inner.task(), &sketch)?;
        Ok(crate::web::verdict::of_sketch(
            &assessment,
            (
                inner.stage.plot.setup().description().kind,
                inner.stage.plot.column(),
            ),
            committed.sure,
            meant,
        ))
    }
}
