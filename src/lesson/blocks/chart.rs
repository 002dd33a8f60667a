//! Charts: a window onto one column of a set-up.

use super::super::diagnostic::Mistake;
use super::super::spec::{ChartSpec, SetupSpec, WindowSpec};
use super::super::text::table::Reader;
use super::Blocks;

/// The block's `chart`.
pub(super) fn read_chart(
    blocks: &mut Blocks<'_, '_>,
    setup: Option<&SetupSpec>,
    reader: &mut Reader<'_>,
) -> Option<ChartSpec> {
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
    let _ = setup;
    Some(ChartSpec {
        column: column?.value,
        x: x?,
        y: y?,
        also: also.into_iter().map(|text| text.value).collect(),
    })
}

fn read_window(
    blocks: &mut Blocks<'_, '_>,
    key: &'static str,
    example: &str,
    chart: &mut Reader<'_>,
) -> Option<WindowSpec> {
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
    Some(WindowSpec {
        scale: scale?.value,
        from,
        to,
        label,
    })
}
