//! A record in the page: its points, to be read under a cursor, from a table or elsewhere.

use std::rc::Rc;

use web_sys::Element;

use super::background;
use super::chart::{ChartView, Shown};
use super::dom;
use super::island::Island;
use super::trouble::Outcome;
use crate::lesson::spec::Recording;
use crate::session::Plot;

struct Record(Rc<ChartView>);

impl Island for Record {
    fn refresh(&self) -> Outcome {
        self.0.draw()
    }
}

/// Makes a record live. `name` names the files that are taken home.
pub(crate) fn mount(name: &str, element: &Element, spec: &Recording) -> Outcome<Rc<dyn Island>> {
    let plot = Plot::new(background::setup(&spec.setup)?, &spec.chart)?;
    let (x, y) = plot.axes()?;
    let chart = ChartView::mount(&dom::role(element, "chart")?, name, x, y)?;
    chart.show(Shown {
        series: vec![plot.record(spec)?],
        marks: Vec::new(),
        has_cursor: true,
    })?;
    chart.describe("The record")?;
    Ok(Rc::new(Record(chart)))
}
