//! The `predict` block.

use std::ops::Range;

use crate::experiment::sought_unit;
use crate::prediction::pictures::{find, known};
use crate::quantity::show;

use super::super::diagnostic::Mistake;
use super::super::spec::{Ask, BoardPicture, MarkSlip, Prediction};
use super::super::text::nearest::suggestion;
use super::super::text::table::{Reader, Text};
use super::Blocks;
use super::answer::{read_answer, read_number};
use super::chart::{CheckedChart, read_chart};
use super::model::Device;
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
    let device = read_reference(blocks, reader);
    let board = read_board_picture(blocks, "board", device.as_ref(), reader);
    if let (Some(device), Some(_)) = (&device, &board)
        && device.kind() == "profile-from-pattern"
    {
        blocks.diagnostics.add(
            Mistake::BoardDoesNotFit,
            reader.place(),
            "a board picture of this device shows the profile that is asked for",
            "leave `board` out of this prediction",
        );
    }
    let at = reader.optional_text("at", blocks.diagnostics);
    if let (Some(device), Some(at)) = (&device, &at) {
        device.check_place(at, blocks.diagnostics);
    }
    let reasons = reader.texts("reasons", blocks.diagnostics);
    let because = read_because(&reasons, blocks, reader);
    let ask = read_ask(blocks, &id, &kind?, device.as_ref(), board, reader);
    Some(Prediction {
        id,
        prompt: prompt?,
        setup: device?.spec,
        board,
        at: at.map(|at| at.value),
        reasons: reasons.into_iter().map(|text| text.value).collect(),
        because,
        ask: ask?,
    })
}

/// The places, among the reasons, of those that lead to what is computed.
fn read_because(
    reasons: &[Text],
    blocks: &mut Blocks<'_, '_>,
    reader: &mut Reader<'_>,
) -> Vec<u32> {
    let mut places = Vec::new();
    for named in reader.texts("because", blocks.diagnostics) {
        let place = reasons
            .iter()
            .position(|reason| reason.value == named.value);
        match place.map(u32::try_from) {
            Some(Ok(place)) => places.push(place),
            _ => blocks.diagnostics.add(
                Mistake::UnknownWord,
                named.span,
                "this is none of the `reasons` of the block",
                "write it as it stands there, letter by letter",
            ),
        }
    }
    places
}

fn read_ask(
    blocks: &mut Blocks<'_, '_>,
    id: &str,
    kind: &Text,
    device: Option<&Device>,
    board: Option<BoardPicture>,
    reader: &mut Reader<'_>,
) -> Option<Ask> {
    match kind.value.as_str() {
        "sketch" => {
            let columns = reader
                .optional_whole("columns", 2, 65, blocks.diagnostics)
                .unwrap_or(COLUMNS);
            let chart = read_chart(blocks, device, true, reader);
            let pictures = read_pictures(blocks, device, chart.as_ref(), reader);
            Some(Ask::Sketch {
                chart: chart?.spec,
                columns: u16::try_from(columns).unwrap_or(25),
                pictures,
            })
        }
        "pick-curve" => {
            let chart = read_chart(blocks, device, true, reader);
            if !reader.has("pictures") {
                reader.missing("pictures", "[\"…\"]", blocks.diagnostics);
            }
            let pictures = read_pictures(blocks, device, chart.as_ref(), reader);
            if reader.has("pictures") && pictures.is_empty() {
                reader.missing("pictures", "[\"…\"]", blocks.diagnostics);
            }
            Some(Ask::PickCurve {
                chart: chart?.spec,
                pictures,
            })
        }
        "pick-statement" => {
            let (options, right) = read_options(blocks, id, reader)?;
            Some(Ask::PickStatement { options, right })
        }
        "mark-axis" => read_mark(blocks, device, reader),
        "mark-board" => {
            if board.is_none() && !reader.has("board") {
                reader.missing("board", "\"loop\"", blocks.diagnostics);
            }
            let (options, right) = read_options(blocks, id, reader)?;
            Some(Ask::MarkBoard { options, right })
        }
        "number" => read_number(blocks, device, reader).map(Ask::Number),
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
    device: Option<&Device>,
    reader: &mut Reader<'_>,
) -> Option<Ask> {
    let chart = read_chart(blocks, device, false, reader);
    let answer = read_answer(blocks, device, reader);
    let within = reader.positive("within", "0.1", blocks.diagnostics);
    let mut slips = Vec::new();
    for mut slip in reader.tables("slips", blocks.diagnostics) {
        let at = slip.number("at", "0.5", blocks.diagnostics);
        let picture = slip.text("picture", "\"half-quantum-zeros\"", blocks.diagnostics);
        slip.finish(blocks.diagnostics);
        let (Some(at), Some(picture)) = (at, picture) else {
            continue;
        };
        if let (Some(device), Some(chart)) = (device, &chart) {
            check_known(blocks, device, &chart.spec.column, &picture);
            check_on_axis(blocks, chart, at.value, at.span, "this place");
        }
        slips.push(MarkSlip {
            at: at.value,
            picture: picture.value,
        });
    }
    let (chart, answer, within) = (chart?, answer?, within?);
    if let (Some(device), Some(axis)) = (device, &chart.axis) {
        let wanted = device.setup.x().unit;
        if sought_unit(&device.setup, &answer.sought).is_ok_and(|unit| unit == wanted) {
            let at = answer.value / axis.si_per_unit;
            check_on_axis(blocks, &chart, at, answer.place.clone(), "the answer");
        } else {
            blocks.diagnostics.add(
                Mistake::AnswerNotComputable,
                answer.place.clone(),
                "this answer is no place on the x axis",
                format!(
                    "ask for a reading in {wanted}; `coldfringe setups` lists the readings with their units"
                ),
            );
        }
    }
    Some(Ask::MarkAxis {
        chart: chart.spec,
        answer: answer.sought,
        within: within.value,
        slips,
    })
}

/// Checks that a place, in the axis' unit, lies on the chart.
fn check_on_axis(
    blocks: &mut Blocks<'_, '_>,
    chart: &CheckedChart,
    at: f64,
    span: Range<usize>,
    what: &str,
) {
    let x = &chart.spec.x;
    if at < x.from || at > x.to {
        blocks.diagnostics.add(
            Mistake::AnswerOutsideChart,
            span,
            format!(
                "{what} lies at {}, outside the x axis from {} to {}",
                show(at, "", 4),
                x.from,
                x.to
            ),
            "widen the x axis",
        );
    }
}

/// The names of wrong pictures: those that are given, or all that are known.
fn read_pictures(
    blocks: &mut Blocks<'_, '_>,
    device: Option<&Device>,
    chart: Option<&CheckedChart>,
    reader: &mut Reader<'_>,
) -> Vec<String> {
    let given = reader.texts("pictures", blocks.diagnostics);
    if let (Some(device), Some(chart)) = (device, chart) {
        let column = &chart.spec.column;
        if !reader.has("pictures") {
            return known(device.kind(), column)
                .iter()
                .map(|picture| picture.name.to_owned())
                .collect();
        }
        for picture in &given {
            check_known(blocks, device, column, picture);
        }
    }
    given.into_iter().map(|text| text.value).collect()
}

/// Checks the name of a wrong picture.
fn check_known(blocks: &mut Blocks<'_, '_>, device: &Device, column: &str, picture: &Text) {
    if find(device.kind(), column, &picture.value).is_none() {
        let names: Vec<&str> = known(device.kind(), column)
            .iter()
            .map(|picture| picture.name)
            .collect();
        blocks.diagnostics.add(
            Mistake::UnknownPicture,
            picture.span.clone(),
            format!(
                "no wrong picture `{}` is known for `{column}` of `{}`",
                picture.value,
                device.kind()
            ),
            suggestion(&picture.value, &names),
        );
    }
}

/// A board picture by its name; none when the key is not there.
pub(super) fn read_board_picture(
    blocks: &mut Blocks<'_, '_>,
    key: &'static str,
    device: Option<&Device>,
    reader: &mut Reader<'_>,
) -> Option<BoardPicture> {
    let name = reader.optional_text(key, blocks.diagnostics)?;
    if let Some(picture) = BoardPicture::from_name(&name.value) {
        if let Some(device) = device {
            device.check_picture(picture, name.span, blocks.diagnostics);
        }
        return Some(picture);
    }
    blocks.diagnostics.add(
        Mistake::UnknownWord,
        name.span,
        format!("there is no board picture `{}`", name.value),
        suggestion(&name.value, &BoardPicture::ALL.map(BoardPicture::name)),
    );
    None
}
