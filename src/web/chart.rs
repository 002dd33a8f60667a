//! A chart in the page: the drawing, its words, its cursor, its description and table for those
//! who do not see it, and the buttons that take it home.

use std::cell::{Cell, RefCell};
use std::rc::Rc;

use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlElement, HtmlInputElement};

use super::canvas::{self, SceneView};
use super::dom::{self, Listener};
use super::take::{Figure, Take};
use super::trouble::{self, Outcome, Trouble};
use crate::decimal::shortest;
use crate::figure::chart::{Chart, Mark};
use crate::figure::describe;
use crate::figure::describe::{DataTable, csv};
use crate::figure::series::Series;
use crate::figure::theme::Theme;
use crate::figure::{Axis, Frame};
use crate::numerics::order::within;
use crate::session::Remark;

/// Width of a chart that is taken home, in logical pixels: the same from every screen.
const TAKEN: f64 = 720.0;

/// What a chart shows.
#[derive(Debug, Clone, Default)]
pub(crate) struct Shown {
    /// The curves.
    pub(crate) series: Vec<Series>,
    /// The markers.
    pub(crate) marks: Vec<Mark>,
    /// Whether a cursor runs over it.
    pub(crate) has_cursor: bool,
}

/// Whoever wants to hear of a change, if anyone.
type Listening<T> = RefCell<Option<Box<dyn Fn(T)>>>;

/// A chart in the page.
pub(crate) struct ChartView {
    /// The drawing.
    pub(crate) view: SceneView,
    axes: (Axis, Axis),
    shown: RefCell<Shown>,
    cursor: Cell<Option<f64>>,
    column: RefCell<Option<f64>>,
    slider: HtmlInputElement,
    slider_row: HtmlElement,
    readout: HtmlElement,
    note: HtmlElement,
    details: HtmlElement,
    name: String,
    on_cursor: Listening<f64>,
    on_layout: Listening<Frame>,
    listeners: RefCell<Vec<Listener>>,
    take: RefCell<Option<Take>>,
}

impl ChartView {
    /// Fills `figure` with a chart on these axes. `name` names the files taken home.
    pub(crate) fn mount(figure: &HtmlElement, name: &str, x: Axis, y: Axis) -> Outcome<Rc<Self>> {
        figure.set_text_content(None);
        let view = SceneView::new(figure)?;
        view.name("Empty axes");
        let slider_row = dom::append(figure, "div", "cursor-row", "")?;
        let label = dom::append(&slider_row, "label", "", &format!("Cursor: {}", x.words()))?;
        let slider: HtmlInputElement = dom::append(&slider_row, "input", "", "")?
            .dyn_into()
            .map_err(|_| Trouble::missing("a slider"))?;
        let id = format!("{name}-cursor");
        slider.set_type("range");
        slider.set_id(&id);
        slider.set_min(&shortest(x.from()));
        slider.set_max(&shortest(x.to()));
        slider.set_step(&shortest((x.to() - x.from()) / 400.0));
        label.set_attribute("for", &id)?;
        let readout = dom::append(&slider_row, "output", "", "")?;
        readout.set_attribute("for", &id)?;
        dom::show(&slider_row, false);
        let note = dom::append(figure, "div", "remarks", "")?;
        dom::show(&note, false);
        let details = dom::append(figure, "details", "numbers", "")?;
        dom::show(&details, false);
        let chart = Rc::new(Self {
            view,
            axes: (x, y),
            shown: RefCell::new(Shown::default()),
            cursor: Cell::new(None),
            column: RefCell::new(None),
            slider,
            slider_row,
            readout,
            note,
            details,
            name: name.to_owned(),
            on_cursor: RefCell::new(None),
            on_layout: RefCell::new(None),
            listeners: RefCell::new(Vec::new()),
            take: RefCell::new(None),
        });
        chart.listen()?;
        Ok(chart)
    }

    fn listen(self: &Rc<Self>) -> Outcome {
        let mut listeners = Vec::new();
        let weak = Rc::downgrade(self);
        listeners.push(Listener::new(&dom::window()?.into(), "resize", move |_| {
            if let Some(chart) = weak.upgrade() {
                chart.draw_or_report();
            }
        }));
        let weak = Rc::downgrade(self);
        listeners.push(Listener::new(&self.slider, "input", move |_| {
            if let Some(chart) = weak.upgrade() {
                chart.move_cursor(chart.slider.value_as_number());
            }
        }));
        let weak = Rc::downgrade(self);
        listeners.push(Listener::new(
            &self.view.plot,
            "pointermove",
            move |event| {
                if let Some(chart) = weak.upgrade() {
                    chart.hover(event.unchecked_ref());
                }
            },
        ));
        self.listeners.replace(listeners);
        Ok(())
    }

    /// Calls `act` whenever the cursor moves.
    pub(crate) fn on_cursor(&self, act: impl Fn(f64) + 'static) {
        self.on_cursor.replace(Some(Box::new(act)));
    }

    /// Calls `act` whenever the plot rectangle has a new place.
    pub(crate) fn on_layout(&self, act: impl Fn(Frame) + 'static) {
        self.on_layout.replace(Some(Box::new(act)));
    }

    /// Shows curves and markers.
    pub(crate) fn show(&self, shown: Shown) -> Outcome {
        dom::show(&self.slider_row, shown.has_cursor);
        if shown.has_cursor && self.cursor.get().is_none() {
            let middle = (self.axes.0.from() + self.axes.0.to()) / 2.0;
            self.cursor.set(Some(middle));
            self.slider.set_value(&shortest(middle));
        }
        if !shown.has_cursor {
            self.cursor.set(None);
        }
        self.shown.replace(shown);
        self.draw()
    }

    /// Writes remarks on how the curves were computed below the chart.
    pub(crate) fn note(&self, remarks: &[Remark]) -> Outcome {
        dom::show(&self.note, !remarks.is_empty());
        // The same places are written again: a screen reader that stands there is not thrown out.
        let places = dom::find_all(&self.note, "p");
        for (index, remark) in remarks.iter().enumerate() {
            let place = match places.get(index) {
                Some(place) => place.clone(),
                None => dom::append(&self.note, "p", "", "")?,
            };
            place.set_text_content(Some(&remark.words));
            place.set_class_name(if remark.is_method { "method" } else { "" });
        }
        for surplus in places.iter().skip(remarks.len()) {
            surplus.remove();
        }
        Ok(())
    }

    /// Shows where the keyboard stands on a sketch pad.
    pub(crate) fn show_column(&self, column: Option<f64>) {
        self.column.replace(column);
    }

    /// Where the cursor stands.
    pub(crate) fn cursor(&self) -> Option<f64> {
        self.cursor.get()
    }

    fn hover(&self, event: &web_sys::PointerEvent) {
        if !self.shown.borrow().has_cursor
            || (event.pointer_type() != "mouse" && event.buttons() == 0)
        {
            return;
        }
        let bounds = self.view.plot.get_bounding_client_rect();
        let at = (
            f64::from(event.client_x()) - bounds.left(),
            f64::from(event.client_y()) - bounds.top(),
        );
        let frame = self.chart(canvas::theme()).frame();
        if frame.contains_px(at) {
            let x = frame.from_px(at).0;
            self.slider.set_value(&shortest(x));
            self.move_cursor(x);
        }
    }

    fn move_cursor(&self, x: f64) {
        if !x.is_finite() {
            return;
        }
        self.cursor
            .set(Some(within(x, self.axes.0.from(), self.axes.0.to())));
        self.draw_or_report();
        if let Some(act) = self.on_cursor.borrow().as_ref() {
            act(x);
        }
    }

    fn draw_or_report(&self) {
        if let Err(trouble) = self.draw() {
            trouble::report(&trouble);
        }
    }

    /// Draws the chart as it stands, if its part of the page is open.
    pub(crate) fn draw(&self) -> Outcome {
        if self.view.width() < 1.0 {
            return Ok(());
        }
        // The words first: how many lines they take says how high the chart may be in a lecture.
        let reading = self.reading();
        self.readout.set_text_content(Some(&reading));
        let _ = self.slider.set_attribute("aria-valuetext", &reading);
        let chart = self.chart(canvas::theme());
        self.view.draw(&chart.scene())?;
        if let Some(act) = self.on_layout.borrow().as_ref() {
            act(chart.frame());
        }
        Ok(())
    }

    fn chart(&self, theme: Theme) -> Chart {
        self.at_width(self.view.width().max(240.0), theme)
    }

    fn at_width(&self, width: f64, theme: Theme) -> Chart {
        let height = canvas::chart_height(width, &self.view.plot);
        let shown = self.shown.borrow();
        let mut chart = Chart::new(
            width,
            height,
            self.axes.0.clone(),
            self.axes.1.clone(),
            theme,
        );
        chart.series.clone_from(&shown.series);
        chart.marks.clone_from(&shown.marks);
        chart.key_rows = 1;
        chart.cursor = self.column.borrow().or(self.cursor.get());
        chart
    }

    /// What stands under the cursor, in words.
    fn reading(&self) -> String {
        let Some(x) = self.cursor.get() else {
            return String::new();
        };
        let mut text = with_unit(x, self.axes.0.unit());
        for series in &self.shown.borrow().series {
            if series.name.is_empty() || series.drawn_to.is_some() {
                continue;
            }
            if let Some(y) = series.at(x) {
                text.push_str(&format!(
                    "; {}: {}",
                    series.name,
                    with_unit(y, self.axes.1.unit())
                ));
            }
        }
        text
    }

    /// Writes name, description and table, and the buttons, once the curves are there for good.
    pub(crate) fn describe(self: &Rc<Self>, name: &str) -> Outcome {
        self.view.name(name);
        let was_open = self.details.has_attribute("open");
        self.details.set_text_content(None);
        dom::show(&self.details, true);
        if was_open {
            self.details.set_attribute("open", "")?;
        }
        dom::append(
            &self.details,
            "summary",
            "",
            "In words, in numbers, to take home",
        )?;
        let shown = self.shown.borrow();
        for series in &shown.series {
            if !series.name.is_empty() {
                let words = describe::curve(series, &self.axes.0, &self.axes.1);
                dom::append(&self.details, "p", "description", &words)?;
            }
        }
        let (drawn, told) = (Rc::downgrade(self), Rc::downgrade(self));
        let take = Take::mount(
            &self.details,
            Figure {
                name: self.name.clone(),
                scene: Box::new(move |theme| {
                    let chart = drawn.upgrade()?;
                    Some(chart.at_width(TAKEN, theme).scene())
                }),
                numbers: Some(Box::new(move || {
                    told.upgrade().map_or_else(String::new, |chart| {
                        csv(&chart.shown.borrow().series, &chart.axes.0, &chart.axes.1)
                    })
                })),
            },
        )?;
        let table = DataTable::new(&shown.series, &self.axes.0, &self.axes.1);
        write_table(&self.details, name, &table)?;
        self.take.replace(Some(take));
        Ok(())
    }
}

fn write_table(parent: &Element, caption: &str, table: &DataTable) -> Outcome {
    let scroller = dom::append(parent, "div", "table-scroller", "")?;
    scroller.set_attribute("tabindex", "0")?;
    // Not a landmark: a lesson has many tables of one name.
    scroller.set_attribute("role", "group")?;
    scroller.set_attribute("aria-label", &format!("Table: {caption}"))?;
    let element = dom::append(&scroller, "table", "", "")?;
    dom::append(&element, "caption", "", caption)?;
    let head = dom::append(&element, "thead", "", "")?;
    let row = dom::append(&head, "tr", "", "")?;
    for words in &table.header {
        let cell = dom::append(&row, "th", "", words)?;
        cell.set_attribute("scope", "col")?;
    }
    let body = dom::append(&element, "tbody", "", "")?;
    for line in &table.rows {
        let row = dom::append(&body, "tr", "", "")?;
        for (index, words) in line.iter().enumerate() {
            let cell = dom::append(&row, if index == 0 { "th" } else { "td" }, "", words)?;
            if index == 0 {
                cell.set_attribute("scope", "row")?;
            }
        }
    }
    Ok(())
}

/// A value in three significant figures, enough to read off a curve, with its unit.
fn with_unit(value: f64, unit: &str) -> String {
    format!("{} {unit}", describe::figures(value))
        .trim_end()
        .to_owned()
}
