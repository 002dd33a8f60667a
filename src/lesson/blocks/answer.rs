//! Answers: what is sought from the model, never what it is.

use std::ops::Range;

use crate::experiment::seek;
use crate::prediction::number::check_task;
use crate::prediction::{NumberTask, Slip};

use super::super::diagnostic::Mistake;
use super::super::spec::{NumberSpec, Sought};
use super::super::text::nearest::suggestion;
use super::super::text::table::{Reader, Text};
use super::Blocks;
use super::model::{Device, answer_mistake, tell};

/// An answer that the model can compute.
#[derive(Debug)]
pub(super) struct Answer {
    /// What is sought.
    pub(super) sought: Sought,
    /// Its value in SI units, for checks only: it goes nowhere else.
    pub(super) value: f64,
    /// Where it stands.
    pub(super) place: Range<usize>,
}

/// The block's `answer`; none when it is wrong, or its device is.
pub(super) fn read_answer(
    blocks: &mut Blocks<'_, '_>,
    device: Option<&Device>,
    reader: &mut Reader<'_>,
) -> Option<Answer> {
    let mut table = reader.table("answer", "{ reading = \"first-zero\" }", blocks.diagnostics)?;
    let place = table.place();
    let before = blocks.diagnostics.count();
    let sought = read_form(blocks, device, &mut table);
    table.finish(blocks.diagnostics);
    let (sought, device) = (sought?, device?);
    if blocks.diagnostics.count() > before {
        return None;
    }
    match seek(&device.setup, &sought) {
        Ok(value) if value.is_finite() => Some(Answer {
            sought,
            value,
            place,
        }),
        Ok(_) => {
            blocks.diagnostics.add(
                Mistake::AnswerNotComputable,
                place,
                "the answer is not a finite number for this device",
                "ask for something else, or change the device",
            );
            None
        }
        Err(error) => {
            tell(answer_mistake(&error), place, &error, blocks.diagnostics);
            None
        }
    }
}

fn read_form(
    blocks: &mut Blocks<'_, '_>,
    device: Option<&Device>,
    table: &mut Reader<'_>,
) -> Option<Sought> {
    if table.has("column") || table.has("at") {
        let column = table.text("column", "\"critical-current\"", blocks.diagnostics);
        let at = table.text("at", "\"0.5 mT\"", blocks.diagnostics);
        if let (Some(device), Some(column)) = (device, &column) {
            device.check_column(column, blocks.diagnostics);
        }
        if let (Some(device), Some(at)) = (device, &at) {
            device.check_place(at, blocks.diagnostics);
        }
        return Some(Sought::At {
            column: column?.value,
            at: at?.value,
        });
    }
    if table.has("parameter") && !table.has("reading") && !table.has("equals") {
        let parameter = table.text("parameter", "\"width\"", blocks.diagnostics)?;
        if let Some(device) = device {
            device.check_parameter(&parameter, blocks.diagnostics);
        }
        return Some(Sought::Parameter {
            parameter: parameter.value,
        });
    }
    let reading = table.text("reading", "\"first-zero\"", blocks.diagnostics);
    if let (Some(device), Some(reading)) = (device, &reading) {
        device.check_reading(reading, blocks.diagnostics);
    }
    if table.has("parameter") || table.has("equals") {
        let parameter = table.text("parameter", "\"width\"", blocks.diagnostics);
        if let (Some(device), Some(parameter)) = (device, &parameter) {
            device.check_parameter(parameter, blocks.diagnostics);
        }
        let equals = table.text("equals", "\"0.20 mT\"", blocks.diagnostics);
        return Some(Sought::Solve {
            parameter: parameter?.value,
            reading: reading?.value,
            equals: equals?.value,
        });
    }
    if let Some(span) = table.optional_text("span", blocks.diagnostics) {
        return Some(Sought::Count {
            span: span.value,
            reading: reading?.value,
        });
    }
    Some(Sought::Reading {
        reading: reading?.value,
    })
}

/// The keys of a number with its unit.
pub(super) fn read_number(
    blocks: &mut Blocks<'_, '_>,
    device: Option<&Device>,
    reader: &mut Reader<'_>,
) -> Option<NumberSpec> {
    let answer = read_answer(blocks, device, reader);
    let unit = reader.optional_text("unit", blocks.diagnostics);
    if unit.is_none() && !reader.has("unit") {
        reader.missing("unit", "\"mT\"", blocks.diagnostics);
    }
    let within = reader.positive("within", "0.02", blocks.diagnostics);
    if let Some(within) = &within
        && within.value >= 1.0
    {
        blocks.diagnostics.add(
            Mistake::OutOfRange,
            within.span.clone(),
            "`within` is a share of the answer and must be below 1",
            "write 0.02 for 2 %",
        );
    }
    let slips = reader.texts("slips", blocks.diagnostics);
    for slip in &slips {
        if Slip::from_name(&slip.value).is_none() {
            let names = Slip::names();
            let known: Vec<&str> = names.split(", ").collect();
            blocks.diagnostics.add(
                Mistake::UnknownWord,
                slip.span.clone(),
                format!("there is no slip `{}`", slip.value),
                suggestion(&slip.value, &known),
            );
        }
    }
    let (answer, unit, within) = (answer?, unit?, within?);
    check_unit(&answer, &unit, device?, blocks);
    Some(NumberSpec {
        answer: answer.sought,
        unit: unit.value,
        within: within.value,
        slips: slips.into_iter().map(|text| text.value).collect(),
    })
}

/// Checks that the unit beside the box measures what is asked for.
fn check_unit(answer: &Answer, unit: &Text, device: &Device, blocks: &mut Blocks<'_, '_>) {
    let task = NumberTask {
        setup: &device.setup,
        answer: &answer.sought,
        unit: &unit.value,
        within: 0.02,
        slips: &[],
    };
    // The answer is computed already; it may have taken long.
    if let Err(error) = check_task(&task, answer.value) {
        tell(
            Mistake::BadQuantity,
            unit.span.clone(),
            &error,
            blocks.diagnostics,
        );
    }
}
