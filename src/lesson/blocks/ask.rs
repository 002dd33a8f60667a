//! The `observe` and `question` blocks.

use super::super::spec::{Observation, Question};
use super::super::text::table::Reader;
use super::Blocks;
use super::answer::read_number;
use super::options::read_options;
use super::setup::read_reference;

/// Reads an `observe` block.
pub(super) fn read_observation(
    blocks: &mut Blocks<'_, '_>,
    id: String,
    reader: &mut Reader<'_>,
) -> Option<Observation> {
    let prompt = blocks.prose("prompt", "\"Which lobe is the widest?\"", reader);
    let recall = reader.flag("recall", blocks.diagnostics);
    let (options, right) = read_options(blocks, &id, reader)?;
    Some(Observation {
        id,
        prompt: prompt?,
        recall,
        options,
        right,
    })
}

/// Reads a `question` block.
pub(super) fn read_question(
    blocks: &mut Blocks<'_, '_>,
    id: String,
    reader: &mut Reader<'_>,
) -> Option<Question> {
    let prompt = blocks.prose("prompt", "\"How wide is it?\"", reader);
    let device = read_reference(blocks, reader);
    let number = read_number(blocks, device.as_ref(), reader);
    let hints = reader
        .texts("hints", blocks.diagnostics)
        .into_iter()
        .map(|hint| blocks.checked(hint))
        .collect();
    Some(Question {
        id,
        prompt: prompt?,
        setup: device?.spec,
        number: number?,
        hints,
    })
}
