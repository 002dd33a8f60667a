//! The `bench` and `board` blocks.

use super::super::diagnostic::Mistake;
use super::super::spec::{Bench, Board, Challenge, SetupSpec, Slider};
use super::super::text::table::Reader;
use super::Blocks;
use super::chart::read_chart;
use super::predict::read_board_picture;
use super::setup::read_reference;

/// Reads a `bench` block.
pub(super) fn read_bench(
    blocks: &mut Blocks<'_, '_>,
    id: String,
    reader: &mut Reader<'_>,
) -> Option<Bench> {
    let setup = read_reference(blocks, reader);
    let chart = read_chart(blocks, setup.as_ref(), reader);
    let board = read_board_picture(blocks, "board", reader);
    let given = reader.tables("sliders", blocks.diagnostics);
    if given.is_empty() && !reader.has("sliders") {
        blocks.diagnostics.add(
            Mistake::MissingKey,
            reader.place(),
            "this `bench` block has no `sliders`",
            "add `[[sliders]]` with `parameter`, `label`, `unit`, `from`, `to` and `step`",
        );
    }
    let sliders = given
        .into_iter()
        .filter_map(|mut slider| read_slider(blocks, setup.as_ref(), &mut slider))
        .collect();
    let challenges = reader
        .tables("challenges", blocks.diagnostics)
        .into_iter()
        .filter_map(|mut challenge| read_challenge(blocks, setup.as_ref(), &mut challenge))
        .collect();
    let readings = reader.texts("readings", blocks.diagnostics);
    Some(Bench {
        id,
        setup: setup?,
        chart: chart?,
        board,
        sliders,
        challenges,
        readings: readings.into_iter().map(|text| text.value).collect(),
    })
}

fn read_slider(
    blocks: &mut Blocks<'_, '_>,
    setup: Option<&SetupSpec>,
    reader: &mut Reader<'_>,
) -> Option<Slider> {
    let parameter = reader.text("parameter", "\"width\"", blocks.diagnostics);
    let label = reader.text("label", "\"Width\"", blocks.diagnostics);
    let unit = reader.optional_text("unit", blocks.diagnostics);
    let from = reader.number("from", "2", blocks.diagnostics);
    let to = reader.number("to", "20", blocks.diagnostics);
    let step = reader.positive("step", "0.5", blocks.diagnostics);
    let place = reader.place();
    reader.finish(blocks.diagnostics);
    let (from, to, step) = (from?.value, to?.value, step?.value);
    if from >= to || step > to - from {
        blocks.diagnostics.add(
            Mistake::EmptyRange,
            place,
            format!("this slider runs from {from} to {to} in steps of {step}"),
            "let `from` be below `to`, and the step smaller than the way between them",
        );
        return None;
    }
    let _ = setup;
    Some(Slider {
        parameter: parameter?.value,
        label: label?.value,
        unit: unit.map(|unit| unit.value).unwrap_or_default(),
        from,
        to,
        step,
    })
}

fn read_challenge(
    blocks: &mut Blocks<'_, '_>,
    setup: Option<&SetupSpec>,
    reader: &mut Reader<'_>,
) -> Option<Challenge> {
    let text = reader.text(
        "text",
        "\"Bring the first zero to 0.5 mT.\"",
        blocks.diagnostics,
    );
    let reading = reader.text("reading", "\"first-zero\"", blocks.diagnostics);
    let target = reader.text("target", "\"0.5 mT\"", blocks.diagnostics);
    let within = reader.positive("within", "0.02", blocks.diagnostics);
    reader.finish(blocks.diagnostics);
    let _ = setup;
    Some(Challenge {
        text: text?.value,
        reading: reading?.value,
        target: target?.value,
        within: within?.value,
    })
}

/// Reads a `board` block.
pub(super) fn read_board(
    blocks: &mut Blocks<'_, '_>,
    id: String,
    reader: &mut Reader<'_>,
) -> Option<Board> {
    let setup = read_reference(blocks, reader);
    let picture = read_board_picture(blocks, "picture", reader);
    if !reader.has("picture") {
        reader.missing("picture", "\"junction\"", blocks.diagnostics);
    }
    let at = reader.text("at", "\"0.5 Phi0\"", blocks.diagnostics);
    Some(Board {
        id,
        setup: setup?,
        picture: picture?,
        at: at?.value,
    })
}
