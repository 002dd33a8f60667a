//! Answers: what is sought from the model, never what it is.

use std::ops::Range;

use super::super::diagnostic::Mistake;
use super::super::spec::{NumberSpec, SetupSpec, Sought};
use super::super::text::table::Reader;
use super::Blocks;

/// The block's `answer`, and where it stands.
pub(super) fn read_answer(
    blocks: &mut Blocks<'_, '_>,
    reader: &mut Reader<'_>,
) -> Option<(Sought, Range<usize>)> {
    let mut table = reader.table("answer", "{ reading = \"first-zero\" }", blocks.diagnostics)?;
    let place = table.place();
    let sought = read_form(blocks, &mut table);
    table.finish(blocks.diagnostics);
    sought.map(|sought| (sought, place))
}

fn read_form(blocks: &mut Blocks<'_, '_>, table: &mut Reader<'_>) -> Option<Sought> {
    if table.has("column") || table.has("at") {
        let column = table.text("column", "\"critical-current\"", blocks.diagnostics);
        let at = table.text("at", "\"0.5 mT\"", blocks.diagnostics);
        return Some(Sought::At {
            column: column?.value,
            at: at?.value,
        });
    }
    let reading = table.text("reading", "\"first-zero\"", blocks.diagnostics);
    if table.has("parameter") || table.has("equals") {
        let parameter = table.text("parameter", "\"width\"", blocks.diagnostics);
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
    setup: Option<&SetupSpec>,
    reader: &mut Reader<'_>,
) -> Option<NumberSpec> {
    let answer = read_answer(blocks, reader);
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
    let (answer, _place) = answer?;
    let _ = setup;
    Some(NumberSpec {
        answer,
        unit: unit?.value,
        within: within?.value,
        slips: slips.into_iter().map(|text| text.value).collect(),
    })
}
