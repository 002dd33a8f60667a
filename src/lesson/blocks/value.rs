//! The `value` block: a number that the text speaks of.

use super::super::diagnostic::Mistake;
use super::super::text::split::RawBlock;
use super::super::text::table::{Reader, Text, parse};
use super::Blocks;
use super::answer::{Answer, read_answer};
use super::model::Device;
use super::setup::read_reference;
use crate::experiment::sought_unit;
use crate::quantity::{Dimension, Unit, parse_unit, show, shown_unit};

/// Figures when the block does not say how many.
const FIGURES: u32 = 3;

/// Reads a `value` block: its name and the text that stands for it. None when it has no usable
/// name; a placeholder text when its number cannot be computed, which is told.
pub(crate) fn read_value(blocks: &mut Blocks<'_, '_>, raw: &RawBlock) -> Option<(String, String)> {
    let name = blocks.name(raw, "value")?;
    let text = read_text(blocks, raw).unwrap_or_else(|| "?".to_owned());
    Some((name, text))
}

fn read_text(blocks: &mut Blocks<'_, '_>, raw: &RawBlock) -> Option<String> {
    let table = parse(raw.body.clone(), blocks.diagnostics)?;
    let mut reader = Reader::new(
        table.get_ref(),
        raw.body.start,
        raw.opening.clone(),
        "this `value` block",
    );
    let device = read_reference(blocks, &mut reader);
    let answer = read_answer(blocks, device.as_ref(), &mut reader);
    let unit = reader.optional_text("unit", blocks.diagnostics);
    let figures = reader.optional_whole("figures", 1, 9, blocks.diagnostics);
    let bare = reader.flag("bare", blocks.diagnostics);
    reader.finish(blocks.diagnostics);
    let text = written(
        &answer?,
        &device?,
        unit.as_ref(),
        figures.unwrap_or(FIGURES),
        bare,
        blocks,
    )?;
    Some(text)
}

fn written(
    answer: &Answer,
    device: &Device,
    unit: Option<&Text>,
    figures: u32,
    bare: bool,
    blocks: &mut Blocks<'_, '_>,
) -> Option<String> {
    let base = sought_unit(&device.setup, &answer.sought).ok()?;
    let Some(unit) = unit else {
        return Some(show(answer.value, base, figures));
    };
    let (Some(wanted), Some(own)) = (read_unit(&unit.value), read_unit(base)) else {
        blocks.diagnostics.add(
            Mistake::BadQuantity,
            unit.span.clone(),
            format!("`{}` is not a unit", unit.value),
            format!("write a unit like `{base}`, with a prefix if wanted"),
        );
        return None;
    };
    if wanted.dimension != own.dimension {
        blocks.diagnostics.add(
            Mistake::BadQuantity,
            unit.span.clone(),
            format!("`{}` does not measure what is asked for", unit.value),
            format!("write a unit like `{base}`, with a prefix if wanted"),
        );
        return None;
    }
    let number = show(answer.value * own.factor / wanted.factor, "", figures);
    Some(if bare || unit.value.is_empty() {
        number
    } else {
        format!("{number} {}", shown_unit(&unit.value))
    })
}

fn read_unit(text: &str) -> Option<Unit> {
    if text.is_empty() {
        return Some(Unit {
            symbol: String::new(),
            factor: 1.0,
            dimension: Dimension::NONE,
        });
    }
    parse_unit(text).ok()
}
