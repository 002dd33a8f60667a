//! The numbers of a chart: a short table to read, and all of them as CSV.

use super::axis::Axis;
use super::series::Series;
use super::theme::Role;
use super::ticks::{number, ticks};
use crate::decimal::shortest;
use crate::numerics::elementary;

/// The most rows of a [`DataTable`].
pub const MOST_ROWS: usize = 41;

/// A table to read: round places along x, and each curve's value there. Of a record, every point.
#[derive(Debug, Clone, PartialEq)]
pub struct DataTable {
    /// Words above the columns, with units; the first is x.
    pub header: Vec<String>,
    /// At most [`MOST_ROWS`] rows (more for a record), as many cells as the header has; empty where a curve has no
    /// value.
    pub rows: Vec<Vec<String>>,
}

/// What a curve's column is called.
fn column_name(series: &Series, y: &Axis) -> String {
    match (series.name.is_empty(), y.unit().is_empty()) {
        (true, _) => y.words(),
        (false, true) => series.name.clone(),
        (false, false) => format!("{} ({})", series.name, y.unit()),
    }
}

/// Decimals that resolve a thousandth of a span (or a tenth of that, never less).
fn decimals(span: f64) -> usize {
    let places = 3.0 - elementary::log10(span).floor();
    places.clamp(0.0, 12.0) as usize
}

impl DataTable {
    /// The table of these curves on these axes. Values lie on straight lines between a curve's
    /// own points.
    #[must_use]
    pub fn new(series: &[Series], x: &Axis, y: &Axis) -> Self {
        let mut header = vec![x.words()];
        header.extend(series.iter().map(|curve| column_name(curve, y)));
        let precision = decimals(y.to() - y.from());
        // Between the points of a record lies nothing that could be read.
        let recorded = series.iter().find(|curve| curve.role == Role::Recorded);
        let places: Vec<(f64, String)> = match recorded {
            Some(record) => {
                let precision = decimals(x.to() - x.from());
                let points = record.points.iter();
                points.map(|&(at, _)| (at, number(at, precision))).collect()
            }
            None => {
                let places = ticks(x.from(), x.to(), MOST_ROWS - 1, false);
                let round = places.major.into_iter().zip(places.words);
                round.take(MOST_ROWS).collect()
            }
        };
        let rows = places
            .into_iter()
            .map(|(at, words)| {
                let mut row = vec![words];
                row.extend(series.iter().map(|curve| {
                    curve
                        .at(at)
                        .map_or_else(String::new, |value| number(value, precision))
                }));
                row
            })
            .collect();
        Self { header, rows }
    }
}

/// A cell as RFC 4180 wants it: quoted when it holds a comma, a quote or a line break. Words that
/// a spreadsheet would take for a formula get an apostrophe before them.
fn cell(text: &str) -> String {
    let text = if text.starts_with(['=', '+', '-', '@', '\t', '\r']) {
        format!("'{text}")
    } else {
        text.to_owned()
    };
    if text.contains([',', '"', '\r', '\n']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text
    }
}

/// A number in full: the shortest text that reads back as the same double; nothing for a gap.
fn full(value: Option<f64>) -> String {
    match value {
        Some(value) if value.is_finite() => shortest(value),
        _ => String::new(),
    }
}

/// All points of the curves as CSV (RFC 4180) with full precision. A curve has an x column of its
/// own unless its x are those of the curve before it.
#[must_use]
pub fn csv(series: &[Series], x: &Axis, y: &Axis) -> String {
    let same_x = |one: &Series, other: &Series| {
        one.points.len() == other.points.len()
            && one
                .points
                .iter()
                .zip(&other.points)
                .all(|(a, b)| a.0.to_bits() == b.0.to_bits())
    };
    // Each column: its heading, the curve, and whether it is the curve's x.
    let mut columns: Vec<(String, &Series, bool)> = Vec::new();
    for (index, curve) in series.iter().enumerate() {
        let before = index.checked_sub(1).and_then(|last| series.get(last));
        if !before.is_some_and(|before| same_x(before, curve)) {
            columns.push((x.words(), curve, true));
        }
        columns.push((column_name(curve, y), curve, false));
    }
    let mut text = String::new();
    let mut line = |cells: Vec<String>| {
        text.push_str(&cells.join(","));
        text.push_str("\r\n");
    };
    line(columns.iter().map(|(name, _, _)| cell(name)).collect());
    let longest = series
        .iter()
        .map(|curve| curve.points.len())
        .max()
        .unwrap_or(0);
    for index in 0..longest {
        line(
            columns
                .iter()
                .map(|(_, curve, is_x)| {
                    let point = curve.points.get(index);
                    full(point.map(|point| if *is_x { point.0 } else { point.1 }))
                })
                .collect(),
        );
    }
    text
}
