//! The `predict` block.

use super::super::diagnostic::Mistake;
use super::super::spec::{Ask, BoardPicture, ChartSpec, MarkSlip, Prediction, SetupSpec};
use super::super::text::nearest::suggestion;
use super::super::text::table::{Reader, Text};
use super::Blocks;
use super::answer::{read_answer, read_number};
use super::chart::read_chart;
use super::options::read_options;
use super::setup::read_reference;

/// The kinds of prediction.
const KINDS: [&str; 6] = [
    "sketch",
    "pick-curve",
    "pick-statement",
    "mark-axis",
    "mark-board",
    "number",
];

/// How many columns the keyboard walks over when the block does not say.
const COLUMNS: u32 = 25;

/// Reads a `predict` block.
pub(super) fn read_prediction(
    blocks: &mut Blocks<'_, '_>,
    id: String,
    reader: &mut Reader<'_>,
) -> Option<Prediction> {
    let kind = reader.text("kind", "\"sketch\"", blocks.diagnostics);
    let prompt = blocks.prose("prompt", "\"Draw the curve.\"", reader);
    let setup = read_reference(blocks, reader);
    let board = read_board_picture(blocks, "board", reader);
    let reasons = reader.texts("reasons", blocks.diagnostics);
    let ask = read_ask(blocks, &id, &kind?, setup.as_ref(), board, reader);
    Some(Prediction {
        id,
        prompt: prompt?,
        setup: setup?,
        board,
        reasons: reasons.into_iter().map(|text| text.value).collect(),
        ask: ask?,
    })
}

fn read_ask(
    blocks: &mut Blocks<'_, '_>,
    id: &str,
    kind: &Text,
    setup: Option<&SetupSpec>,
    board: Option<BoardPicture>,
    reader: &mut Reader<'_>,
) -> Option<Ask> {
    match kind.value.as_str() {
        "sketch" => {
            let columns = reader
                .optional_whole("columns", 2, 65, blocks.diagnostics)
                .unwrap_or(COLUMNS);
            let chart = read_chart(blocks, setup, reader);
            let pictures = read_pictures(blocks, setup, chart.as_ref(), reader);
            Some(Ask::Sketch {
                chart: chart?,
                columns: u16::try_from(columns).unwrap_or(25),
                pictures,
            })
        }
        "pick-curve" => {
            let chart = read_chart(blocks, setup, reader);
            if !reader.has("pictures") {
                reader.missing("pictures", "[\"…\"]", blocks.diagnostics);
            }
            let pictures = read_pictures(blocks, setup, chart.as_ref(), reader);
            Some(Ask::PickCurve {
                chart: chart?,
                pictures,
            })
        }
        "pick-statement" => {
            let (options, right) = read_options(blocks, id, reader)?;
            Some(Ask::PickStatement { options, right })
        }
        "mark-axis" => read_mark(blocks, setup, reader),
        "mark-board" => {
            if board.is_none() && !reader.has("board") {
                reader.missing("board", "\"loop\"", blocks.diagnostics);
            }
            let (options, right) = read_options(blocks, id, reader)?;
            Some(Ask::MarkBoard { options, right })
        }
        "number" => read_number(blocks, setup, reader).map(Ask::Number),
        other => {
            blocks.diagnostics.add(
                Mistake::UnknownWord,
                kind.span.clone(),
                format!("there is no prediction of the kind `{other}`"),
                suggestion(other, &KINDS),
            );
            None
        }
    }
}

fn read_mark(
    blocks: &mut Blocks<'_, '_>,
    setup: Option<&SetupSpec>,
    reader: &mut Reader<'_>,
) -> Option<Ask> {
    let chart = read_chart(blocks, setup, reader);
    let answer = read_answer(blocks, reader);
    let within = reader.positive("within", "0.1", blocks.diagnostics);
    let mut slips = Vec::new();
    for mut slip in reader.tables("slips", blocks.diagnostics) {
        let at = slip.number("at", "0.5", blocks.diagnostics);
        let picture = slip.text("picture", "\"half-quanta\"", blocks.diagnostics);
        slip.finish(blocks.diagnostics);
        if let (Some(at), Some(picture)) = (at, picture) {
            slips.push(MarkSlip {
                at: at.value,
                picture: picture.value,
            });
        }
    }
    let (answer, _place) = answer?;
    Some(Ask::MarkAxis {
        chart: chart?,
        answer,
        within: within?.value,
        slips,
    })
}

/// The names of wrong pictures.
fn read_pictures(
    blocks: &mut Blocks<'_, '_>,
    setup: Option<&SetupSpec>,
    chart: Option<&ChartSpec>,
    reader: &mut Reader<'_>,
) -> Vec<String> {
    let given = reader.texts("pictures", blocks.diagnostics);
    let _ = (setup, chart);
    given.into_iter().map(|text| text.value).collect()
}

/// A board picture by its name; none when the key is not there.
pub(super) fn read_board_picture(
    blocks: &mut Blocks<'_, '_>,
    key: &'static str,
    reader: &mut Reader<'_>,
) -> Option<BoardPicture> {
    let name = reader.optional_text(key, blocks.diagnostics)?;
    let known = [
        ("junction", BoardPicture::Junction),
        ("phasors", BoardPicture::Phasors),
        ("loop", BoardPicture::Loop),
        ("energies", BoardPicture::Energies),
    ];
    if let Some((_, picture)) = known.iter().find(|(word, _)| *word == name.value) {
        return Some(*picture);
    }
    blocks.diagnostics.add(
        Mistake::UnknownWord,
        name.span,
        format!("there is no board picture `{}`", name.value),
        suggestion(&name.value, &known.map(|(word, _)| word)),
    );
    None
}
