//! Names of curves on a chart: letters at the curves' ends, kept apart, and a key above the plot
//! for longer names.

use super::frame::Frame;
use super::glyph;
use super::scene::{Anchor, Ink, Point, Scene, words_width};
use super::series::Series;
use super::theme::{Role, Theme};
use crate::numerics::order::sort_short_by;

/// Names of at most this many letters stand at the curve's end; longer ones go into the key.
pub const LONGEST_END_LABEL: usize = 2;

/// Whether the series' name stands at its end.
#[must_use]
pub fn stands_at_end(series: &Series) -> bool {
    !series.name.is_empty() && series.name.chars().count() <= LONGEST_END_LABEL
}

/// Whether the series is in the key.
fn stands_in_key(series: &&Series) -> bool {
    !series.name.is_empty() && !stands_at_end(series)
}

/// The key's entries in rows that fit a width: for each row the series and where each starts.
fn rows(series: &[Series], width: f64, size: f64) -> Vec<Vec<(&Series, f64)>> {
    let mut rows: Vec<Vec<(&Series, f64)>> = Vec::new();
    let mut x = 0.0;
    for entry in series.iter().filter(stands_in_key) {
        let wide = size * 3.4 + words_width(&entry.name, size);
        if rows.is_empty() || x + wide > width {
            rows.push(Vec::new());
            x = 0.0;
        }
        if let Some(row) = rows.last_mut() {
            row.push((entry, x));
        }
        x += wide + size * 0.9;
    }
    rows
}

/// Height of the key in logical pixels; zero when no name needs it.
#[must_use]
pub fn key_height(series: &[Series], width: f64, size: f64) -> f64 {
    rows_height(rows(series, width, size).len(), size)
}

/// Height of that many rows of the key in logical pixels.
#[must_use]
pub fn rows_height(rows: usize, size: f64) -> f64 {
    rows as f64 * size * 1.5
}

/// Draws the key with its upper left corner at a point: for each curve a piece of its line with
/// its end mark (of a record some points), then its name.
pub fn key(
    scene: &mut Scene,
    theme: &Theme,
    series: &[Series],
    corner: Point,
    width: f64,
    size: f64,
) {
    for (index, row) in rows(series, width, size).into_iter().enumerate() {
        let y = corner.1 + (index as f64 + 0.5) * size * 1.5;
        for (entry, x) in row {
            let start = corner.0 + x;
            let end = start + size * 2.5;
            let ink = theme.ink(entry.role);
            let colour = ink.colour;
            if entry.role == Role::Recorded {
                for step in 0..4 {
                    let x = start + (end - start) * f64::from(step) / 3.0;
                    scene.disc((x, y), 1.7 * theme.line_scale, colour);
                }
            } else {
                scene.line(vec![(start, y), (end, y)], ink);
                let mark = theme.end_mark(entry.role);
                glyph::end_mark(scene, mark, (end, y), size * 0.62, colour, theme.paper);
            }
            scene.write(
                (end + size * 0.6, y),
                entry.name.clone(),
                size,
                Anchor::Start,
                theme.words,
            );
        }
    }
}

/// A name to be put beside the end of a curve.
#[derive(Debug, Clone, PartialEq)]
pub struct EndLabel {
    /// The curve's end in logical pixels.
    pub end: Point,
    /// The name.
    pub text: String,
    /// Its ink's colour.
    pub colour: super::scene::Colour,
}

/// Heights at which labels wanted at `wanted` can stand `apart` logical pixels from each other
/// between `top` and `bottom`, as near as that allows; in the order given. When they do not all
/// fit they are spaced evenly.
#[must_use]
pub fn spread(wanted: &[f64], apart: f64, top: f64, bottom: f64) -> Vec<f64> {
    let count = wanted.len();
    let mut order: Vec<usize> = (0..count).collect();
    sort_short_by(&mut order, |&a, &b| wanted[a].total_cmp(&wanted[b]));
    let mut heights = vec![0.0; count];
    let room = (bottom - top).max(0.0);
    let gap = if count > 1 {
        apart.min(room / (count - 1) as f64)
    } else {
        apart
    };
    // Groups of labels that touch: each stands centred on the mean of what its members want.
    let mut groups: Vec<(Vec<usize>, f64)> = Vec::new();
    let place = |members: &[usize]| {
        let span = gap * (members.len() - 1) as f64;
        let mean: f64 =
            members.iter().map(|&index| wanted[index]).sum::<f64>() / members.len() as f64;
        (mean - span / 2.0).min(bottom - span).max(top)
    };
    for index in order {
        let mut members = vec![index];
        let mut start = place(&members);
        while let Some((before, begin)) = groups.pop() {
            let end = begin + gap * (before.len() - 1) as f64;
            if start - end >= gap {
                groups.push((before, begin));
                break;
            }
            let mut joined = before;
            joined.append(&mut members);
            members = joined;
            start = place(&members);
        }
        groups.push((members, start));
    }
    for (members, start) in groups {
        for (rank, index) in members.into_iter().enumerate() {
            heights[index] = start + gap * rank as f64;
        }
    }
    heights
}

/// Writes names beside the ends of their curves, none over another; a thin line leads to a name
/// that had to move.
pub fn end_labels(
    scene: &mut Scene,
    theme: &Theme,
    frame: &Frame,
    labels: Vec<EndLabel>,
    size: f64,
) {
    let wanted: Vec<f64> = labels.iter().map(|label| label.end.1).collect();
    let heights = spread(
        &wanted,
        size * 1.15,
        frame.top + size * 0.5,
        frame.bottom - size * 0.5,
    );
    for (label, y) in labels.into_iter().zip(heights) {
        let x = label.end.0 + size * 0.75;
        if (y - label.end.1).abs() > size * 0.3 {
            scene.line(
                vec![label.end, (x, y)],
                Ink::solid(label.colour, theme.line_scale),
            );
        }
        scene.write(
            (x + size * 0.1, y),
            label.text,
            size * 1.1,
            Anchor::Start,
            label.colour,
        );
    }
}
