//! Charts and board pictures of a sheet: black on white, as SVG within the page.

use super::broken;
use crate::experiment::{self, Setup, SetupSpec};
use crate::figure::board;
use crate::figure::chart::Mark;
use crate::figure::describe::DataTable;
use crate::figure::{BoardOptions, BoardPicture, Chart, Series, Theme, svg};
use crate::lesson::spec::{ChartSpec, Recording};
use crate::page::html::escape;
use crate::session::{Plot, PlotError};

/// Sides of a chart on paper, in logical pixels.
const CHART: (f64, f64) = (640.0, 380.0);
/// Sides of a board picture.
const BOARD: (f64, f64) = (300.0, 250.0);

/// A chart's window over a device.
pub(super) fn plot(setup: &SetupSpec, chart: &ChartSpec) -> Result<Plot, PlotError> {
    Plot::new(Setup::from_spec(setup)?, chart)
}

/// A chart with these curves and marks; with neither, blank axes to draw on.
pub(super) fn chart(
    plot: &Plot,
    title: &str,
    series: Vec<Series>,
    marks: Vec<Mark>,
) -> Result<String, PlotError> {
    let (x, y) = plot.axes()?;
    let mut chart = Chart::new(CHART.0, CHART.1, x, y, Theme::print());
    chart.series = series;
    chart.marks = marks;
    let mut scene = chart.scene();
    title.clone_into(&mut scene.title);
    Ok(figure("chart", &svg(&scene)?))
}

/// The numbers of a chart, in columns side by side.
pub(super) fn table(plot: &Plot, series: &[Series]) -> Result<String, PlotError> {
    let (x, y) = plot.axes()?;
    let table = DataTable::new(series, &x, &y);
    let long = table.rows.len().div_ceil(3).max(1);
    let head: String = table
        .header
        .iter()
        .map(|words| format!("<th scope=\"col\">{}</th>", escape(words)))
        .collect();
    let mut html = String::from("<div class=\"sheet-numbers\">");
    for rows in table.rows.chunks(long) {
        html.push_str(&format!("<table><thead><tr>{head}</tr></thead><tbody>"));
        for row in rows {
            html.push_str("<tr>");
            for cell in row {
                html.push_str(&format!("<td>{}</td>", escape(cell)));
            }
            html.push_str("</tr>");
        }
        html.push_str("</tbody></table>");
    }
    html.push_str("</div>\n");
    Ok(html)
}

/// A record, with its points to read.
pub(super) fn record(recording: &Recording) -> String {
    let draw = || -> Result<String, PlotError> {
        let plot = plot(&recording.setup, &recording.chart)?;
        chart(
            &plot,
            "The record",
            vec![plot.record(recording)?],
            Vec::new(),
        )
    };
    draw().unwrap_or_else(|error| broken(&error))
}

/// A board picture at a place (as written; zero when there is none), with or without what follows
/// from it.
pub(super) fn board(
    setup: &SetupSpec,
    picture: BoardPicture,
    at: Option<&str>,
    results: bool,
) -> String {
    let draw = || -> Result<String, Box<dyn std::error::Error>> {
        let setup = Setup::from_spec(setup)?;
        let at = match at {
            Some(at) => experiment::read_place(&setup, at)?,
            None => 0.0,
        };
        let inside = experiment::inside(&setup, at)?;
        let mut scene = board::scene(
            &inside,
            &BoardOptions {
                picture,
                width: BOARD.0,
                height: BOARD.1,
                theme: Theme::print(),
                show_sum: results,
            },
        );
        scene.title = board::describe(&inside, picture, results);
        Ok(figure("board", &svg(&scene)?))
    };
    draw().unwrap_or_else(|error| broken(&error))
}

fn figure(class: &str, svg: &str) -> String {
    format!("<figure class=\"{class}\">{svg}</figure>\n")
}
