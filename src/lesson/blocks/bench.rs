//! The `bench` and `board` blocks.

use std::ops::Range;

use crate::experiment::{ExperimentError, ParameterKind, seek};

use super::super::diagnostic::Mistake;
use super::super::spec::{Bench, Board, BoardPicture, Challenge, Paint, Slider, Sought};
use super::super::text::table::{Reader, Text};
use super::Blocks;
use super::chart::read_chart;
use super::model::{Device, tell};
use super::predict::read_board_picture;
use super::setup::read_reference;

/// Reads a `bench` block.
pub(super) fn read_bench(
    blocks: &mut Blocks<'_, '_>,
    id: String,
    reader: &mut Reader<'_>,
) -> Option<Bench> {
    let device = read_reference(blocks, reader);
    let chart = read_chart(blocks, device.as_ref(), true, reader);
    let board = read_board_picture(blocks, "board", device.as_ref(), reader);
    let has_paint = reader.has("paint");
    let paint = read_paint(blocks, device.as_ref(), board, reader);
    let given = reader.tables("sliders", blocks.diagnostics);
    if given.is_empty() && !reader.has("sliders") && !has_paint {
        blocks.diagnostics.add(
            Mistake::MissingKey,
            reader.place(),
            "this `bench` block has no `sliders`",
            "add `[[sliders]]` with `parameter`, `label`, `unit`, `from`, `to` and `step`",
        );
    }
    let sliders = given
        .into_iter()
        .filter_map(|mut slider| read_slider(blocks, device.as_ref(), &mut slider))
        .collect::<Vec<_>>();
    let challenges = reader
        .tables("challenges", blocks.diagnostics)
        .into_iter()
        .filter_map(|mut challenge| read_challenge(blocks, device.as_ref(), &mut challenge))
        .collect();
    let readings = reader.texts("readings", blocks.diagnostics);
    if let Some(device) = &device {
        for reading in &readings {
            device.check_reading(reading, blocks.diagnostics);
        }
    }
    Some(Bench {
        id,
        setup: device?.spec,
        chart: chart?.spec,
        board,
        sliders,
        challenges,
        readings: readings.into_iter().map(|text| text.value).collect(),
        paint,
    })
}

/// Most strips of a painted profile: as many as the keyboard can walk over in patience.
const STRIPS: (u32, u32) = (2, 64);

fn read_paint(
    blocks: &mut Blocks<'_, '_>,
    device: Option<&Device>,
    board: Option<BoardPicture>,
    reader: &mut Reader<'_>,
) -> Option<Paint> {
    let mut reader = reader.optional_table("paint", blocks.diagnostics)?;
    let parameter = reader.text("parameter", "\"profile\"", blocks.diagnostics);
    let strips = reader.whole("strips", STRIPS.0, STRIPS.1, blocks.diagnostics);
    let presets = reader.texts("presets", blocks.diagnostics);
    let place = reader.place();
    reader.finish(blocks.diagnostics);
    if board.is_some() {
        blocks.diagnostics.add(
            Mistake::BoardDoesNotFit,
            place,
            "the paper of `paint` stands where the board picture would",
            "take `board` out of this block, or show it in a block of its own",
        );
    }
    let parameter = parameter?;
    let device = device?;
    if !device.check_parameter(&parameter, blocks.diagnostics) {
        return None;
    }
    let is_profile = device
        .setup
        .parameters()
        .any(|(known, _)| known.name == parameter.value && known.kind == ParameterKind::Profile);
    if !is_profile {
        blocks.diagnostics.add(
            Mistake::BadParameter,
            parameter.span.clone(),
            format!(
                "`{}` cannot be painted: it is no current profile",
                parameter.value
            ),
            "name a parameter such as `profile` of `single-junction`",
        );
        return None;
    }
    for preset in &presets {
        let mut setup = device.setup.clone();
        if let Err(error) = setup.set(&parameter.value, &preset.value) {
            tell(
                Mistake::BadParameter,
                preset.span.clone(),
                &error,
                blocks.diagnostics,
            );
        }
    }
    Some(Paint {
        parameter: parameter.value,
        strips: u16::try_from(strips?).ok()?,
        presets: presets.into_iter().map(|preset| preset.value).collect(),
    })
}

fn read_slider(
    blocks: &mut Blocks<'_, '_>,
    device: Option<&Device>,
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
    let unit = unit.map(|unit| unit.value).unwrap_or_default();
    let parameter = parameter?;
    if let Some(device) = device
        && device.check_parameter(&parameter, blocks.diagnostics)
    {
        check_slider(device, &parameter, &unit, (from, to), place, blocks);
    }
    Some(Slider {
        parameter: parameter.value,
        label: label?.value,
        unit,
        from,
        to,
        step,
    })
}

/// Checks that both ends of a slider are values of its parameter, and that the device starts
/// between them.
fn check_slider(
    device: &Device,
    parameter: &Text,
    unit: &str,
    (from, to): (f64, f64),
    place: Range<usize>,
    blocks: &mut Blocks<'_, '_>,
) {
    let name = &parameter.value;
    let mut ends = Vec::new();
    for end in [from, to] {
        let mut moved = device.setup.clone();
        match moved.set(name, format!("{end} {unit}").trim()) {
            Ok(()) => ends.extend(moved.get_si(name)),
            Err(error) => {
                tell(Mistake::BadParameter, place, &error, blocks.diagnostics);
                return;
            }
        }
    }
    let Some(start) = device.setup.get_si(name) else {
        blocks.diagnostics.add(
            Mistake::BadParameter,
            parameter.span.clone(),
            format!("`{name}` of this device is not one number, so no slider can move it"),
            "choose another parameter, or give the device one number for it",
        );
        return;
    };
    let slack = 1e-9 * start.abs();
    if let [least, greatest] = ends.as_slice()
        && (start < least - slack || start > greatest + slack)
    {
        blocks.diagnostics.add(
            Mistake::OutOfRange,
            place,
            format!("the device's own `{name}` lies outside this slider"),
            "widen the slider, or change the device",
        );
    }
}

fn read_challenge(
    blocks: &mut Blocks<'_, '_>,
    device: Option<&Device>,
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
    let (reading, target) = (reading?, target?);
    if let Some(device) = device
        && device.check_reading(&reading, blocks.diagnostics)
    {
        // Counting how often the reading goes into the target reads the target's unit.
        let count = Sought::Count {
            span: target.value.clone(),
            reading: reading.value.clone(),
        };
        if let Err(error @ ExperimentError::Setup(_)) = seek(&device.setup, &count) {
            tell(
                Mistake::BadQuantity,
                target.span.clone(),
                &error,
                blocks.diagnostics,
            );
        }
    }
    Some(Challenge {
        text: text?.value,
        reading: reading.value,
        target: target.value,
        within: within?.value,
    })
}

/// Reads a `board` block.
pub(super) fn read_board(
    blocks: &mut Blocks<'_, '_>,
    id: String,
    reader: &mut Reader<'_>,
) -> Option<Board> {
    let device = read_reference(blocks, reader);
    let picture = read_board_picture(blocks, "picture", device.as_ref(), reader);
    if !reader.has("picture") {
        reader.missing("picture", "\"junction\"", blocks.diagnostics);
    }
    let at = reader.text("at", "\"0.5 Phi0\"", blocks.diagnostics);
    if let (Some(device), Some(at)) = (&device, &at) {
        device.check_place(at, blocks.diagnostics);
    }
    Some(Board {
        id,
        setup: device?.spec,
        picture: picture?,
        at: at?.value,
    })
}
