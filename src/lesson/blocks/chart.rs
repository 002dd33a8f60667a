//! Charts: a window onto one column of a set-up.

use std::ops::Range;

use crate::experiment::AxisScale;
use crate::quantity::show;

use super::super::diagnostic::{Diagnostics, Mistake};
use super::super::spec::{ChartSpec, WindowSpec};
use super::super::text::table::{Reader, Text};
use super::Blocks;
use super::model::{Device, tell};

/// A chart, and what the checks of answers need to know of it.
#[derive(Debug)]
pub(super) struct CheckedChart {
    /// The chart.
    pub(super) spec: ChartSpec,
    /// Its x axis, when the device is known.
    pub(super) axis: Option<AxisScale>,
}

/// The block's `chart`. With `whole`, the curve of the device as it stands must fit in it.
pub(super) fn read_chart(
    blocks: &mut Blocks<'_, '_>,
    device: Option<&Device>,
    whole: bool,
    reader: &mut Reader<'_>,
) -> Option<CheckedChart> {
    let mut chart = reader.table(
        "chart",
        "{ column = \"critical-current\", x = { … }, y = { … } }",
        blocks.diagnostics,
    )?;
    let column = chart.text("column", "\"critical-current\"", blocks.diagnostics);
    let also = chart.texts("also", blocks.diagnostics);
    let x = read_window(
        blocks,
        "x",
        "{ scale = \"field\", from = -3, to = 3 }",
        &mut chart,
    );
    let y = read_window(
        blocks,
        "y",
        "{ scale = \"relative\", from = 0, to = 1.1 }",
        &mut chart,
    );
    chart.finish(blocks.diagnostics);
    let (column, x, y) = (column?, x?, y?);
    let axis = device.and_then(|device| {
        for other in &also {
            if device.check_column(other, blocks.diagnostics) {
                check_scale(device, other, &y, blocks.diagnostics);
            }
        }
        check(device, &column, &x, &y, whole, blocks.diagnostics)
    });
    Some(CheckedChart {
        spec: ChartSpec {
            column: column.value,
            x: x.spec(),
            y: y.spec(),
            also: also.into_iter().map(|text| text.value).collect(),
        },
        axis,
    })
}

/// Checks column, axis and window against the model.
fn check(
    device: &Device,
    column: &Text,
    x: &Window,
    y: &Window,
    whole: bool,
    diagnostics: &mut Diagnostics<'_>,
) -> Option<AxisScale> {
    let known = device.check_column(column, diagnostics);
    let axis = device.axis(&x.scale, diagnostics)?;
    if !known {
        return Some(axis);
    }
    let scale = check_scale(device, column, y, diagnostics);
    let values = device.sample(
        &column.value,
        &axis,
        (x.from, x.to),
        x.place.clone(),
        diagnostics,
    );
    if let (true, Some(scale), Some(values)) = (whole, scale, values) {
        let slack = 1e-3 * (y.to - y.from);
        let shown = values
            .iter()
            .map(|value| value / scale)
            .filter(|value| value.is_finite());
        let (least, greatest) = shown.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| {
            (v.min(low), v.max(high))
        });
        if least < y.from - slack || greatest > y.to + slack {
            diagnostics.add(
                Mistake::AnswerOutsideChart,
                y.place.clone(),
                format!(
                    "the curve runs from {} to {} on this axis, outside {} to {}",
                    show(least, "", 3),
                    show(greatest, "", 3),
                    y.from,
                    y.to
                ),
                "widen the y axis",
            );
        }
    }
    Some(axis)
}

/// How much of the column one unit of the y axis is, in SI units.
fn check_scale(
    device: &Device,
    column: &Text,
    y: &Window,
    diagnostics: &mut Diagnostics<'_>,
) -> Option<f64> {
    match device.setup.column_scale(&column.value, &y.scale.value) {
        Ok(scale) => Some(scale.si_per_unit),
        Err(error) => {
            tell(
                Mistake::UnknownScale,
                y.scale.span.clone(),
                &error,
                diagnostics,
            );
            None
        }
    }
}

/// One axis as read.
#[derive(Debug)]
struct Window {
    scale: Text,
    from: f64,
    to: f64,
    label: String,
    place: Range<usize>,
}

impl Window {
    fn spec(&self) -> WindowSpec {
        WindowSpec {
            scale: self.scale.value.clone(),
            from: self.from,
            to: self.to,
            label: self.label.clone(),
        }
    }
}

fn read_window(
    blocks: &mut Blocks<'_, '_>,
    key: &'static str,
    example: &str,
    chart: &mut Reader<'_>,
) -> Option<Window> {
    let mut window = chart.table(key, example, blocks.diagnostics)?;
    let scale = window.text(
        "scale",
        if key == "x" {
            "\"field\""
        } else {
            "\"relative\""
        },
        blocks.diagnostics,
    );
    let from = window.number("from", "0", blocks.diagnostics);
    let to = window.number("to", "3", blocks.diagnostics);
    let label = window
        .optional_text("label", blocks.diagnostics)
        .map(|label| label.value)
        .unwrap_or_default();
    let place = window.place();
    window.finish(blocks.diagnostics);
    let (from, to) = (from?.value, to?.value);
    if from >= to {
        blocks.diagnostics.add(
            Mistake::EmptyRange,
            place,
            format!("the {key} axis runs from {from} to {to}"),
            "let `from` be below `to`",
        );
        return None;
    }
    Some(Window {
        scale: scale?,
        from,
        to,
        label,
        place,
    })
}
