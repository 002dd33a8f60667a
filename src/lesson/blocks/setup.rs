//! Set-ups: named devices, and what a block says of the device it asks about.

use std::ops::Range;

use super::super::diagnostic::{Diagnostics, Mistake};
use super::super::text::nearest::suggestion;
use super::super::text::split::RawBlock;
use super::super::text::table::{Reader, Text, TextOrTable, parse};
use super::model::Device;
use super::{Blocks, checked_name};

/// A set-up that blocks may name.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct NamedSetup {
    /// Its line in the file.
    pub(crate) line: usize,
    /// The device; none when its block is broken, which has been told already.
    pub(crate) device: Option<Device>,
}

/// Reads a `setup` block; none when it has no usable name.
pub(crate) fn read_setup(
    raw: &RawBlock,
    diagnostics: &mut Diagnostics<'_>,
) -> Option<(String, NamedSetup)> {
    let name = checked_name(raw, "setup", diagnostics)?;
    let before = diagnostics.count();
    let device = read_device(raw, diagnostics);
    let line = diagnostics.line_of(raw.opening.start);
    let sound = diagnostics.count() == before && raw.closed;
    Some((
        name,
        NamedSetup {
            line,
            device: device.filter(|_| sound),
        },
    ))
}

fn read_device(raw: &RawBlock, diagnostics: &mut Diagnostics<'_>) -> Option<Device> {
    let table = parse(raw.body.clone(), diagnostics)?;
    let mut reader = Reader::new(
        table.get_ref(),
        raw.body.start,
        raw.opening.clone(),
        "this `setup` block",
    );
    let kind = reader.text("kind", "\"single-junction\"", diagnostics)?;
    let parameters = reader.remaining_as_text(diagnostics);
    let mut device = Device::new(&kind, diagnostics)?;
    device.set(&parameters, raw.opening.clone(), diagnostics);
    Some(device)
}

/// The device that a block asks about: `setup = "tern"`, or
/// `setup = { is = "tern", width = "5 um" }`.
pub(super) fn read_reference(
    blocks: &mut Blocks<'_, '_>,
    reader: &mut Reader<'_>,
) -> Option<Device> {
    match reader.text_or_table("setup", "\"tern\"", blocks.diagnostics)? {
        TextOrTable::Text(name) => named(blocks, &name),
        TextOrTable::Table(mut table) => {
            let name = table.text("is", "\"tern\"", blocks.diagnostics)?;
            let changes = table.remaining_as_text(blocks.diagnostics);
            let mut device = named(blocks, &name)?;
            device.set(&changes, table.place(), blocks.diagnostics);
            Some(device)
        }
    }
}

fn named(blocks: &mut Blocks<'_, '_>, name: &Text) -> Option<Device> {
    match blocks.setups.get(&name.value) {
        // A broken set-up has been told where it stands; blocks that name it stay silent.
        Some(setup) => setup.device.clone(),
        None => {
            let known: Vec<&str> = blocks.setups.keys().map(String::as_str).collect();
            let mend = if known.is_empty() {
                format!(
                    "define it in a block that opens with three backticks and `setup {}`",
                    name.value
                )
            } else {
                suggestion(&name.value, &known)
            };
            blocks.diagnostics.add(
                Mistake::UnknownSetup,
                name.span.clone(),
                format!("no `setup` block defines `{}`", name.value),
                mend,
            );
            None
        }
    }
}

/// Tells a set-up name that is used twice.
pub(crate) fn tell_twice(
    name: &str,
    span: Range<usize>,
    first: usize,
    diagnostics: &mut Diagnostics<'_>,
) {
    diagnostics.add(
        Mistake::DuplicateName,
        span,
        format!("the set-up `{name}` is defined already, in line {first}"),
        "give this set-up another name",
    );
}
