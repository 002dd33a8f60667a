//! The `value` blocks of a lesson: numbers that the text speaks of, computed by the model.

use std::collections::BTreeMap;

use super::super::blocks::{Blocks, read_value};
use super::super::diagnostic::{Diagnostics, Mistake};
use super::filling::{Filling, whole};
use super::read_setups;
use super::split::{Piece, split};

/// Whether a file has a `value` block.
pub(super) fn has_values(source: &str) -> bool {
    source.contains("```value")
}

/// Computes the values of a file and takes their blocks out of it: names and texts. Mistakes of
/// other blocks are not told here; they are when the filled file is read.
pub(super) fn read(
    filling: &mut Filling<'_>,
    diagnostics: &mut Diagnostics<'_>,
) -> Vec<(String, String)> {
    let source = diagnostics.source();
    let mut unheard = Diagnostics::new(source);
    let pieces = split(&mut unheard);
    let setups = read_setups(&pieces, &mut unheard);
    let mut blocks = Blocks {
        diagnostics,
        slug: String::new(),
        setups,
        names: BTreeMap::new(),
        links: Vec::new(),
    };
    let mut texts: Vec<(String, String)> = Vec::new();
    for piece in &pieces {
        let Piece::Block(raw) = piece else { continue };
        if raw.kind != Some("value") {
            continue;
        }
        filling.replace(whole(source, raw), String::new());
        // A value whose block is wrong still has a name, so that its places are not told as well.
        let Some((name, text)) = read_value(&mut blocks, raw) else {
            continue;
        };
        if !source.contains(&format!("@{{{name}}}")) {
            blocks.diagnostics.add(
                Mistake::UnusedValue,
                raw.opening.clone(),
                format!("nothing speaks of `{name}`"),
                format!("write `@{{{name}}}` in the text, or take the block away"),
            );
        }
        texts.push((name, text));
    }
    texts
}
