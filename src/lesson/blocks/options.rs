//! The options of a choice.

use super::super::diagnostic::Mistake;
use super::super::spec::{Statement, seal};
use super::super::text::table::Reader;
use super::{Blocks, is_name};

/// The options of the block `id`, and the seal of the right one.
pub(super) fn read_options(
    blocks: &mut Blocks<'_, '_>,
    id: &str,
    reader: &mut Reader<'_>,
) -> Option<(Vec<Statement>, String)> {
    let given = reader.tables("options", blocks.diagnostics);
    if given.len() < 2 {
        blocks.diagnostics.add(
            Mistake::MissingKey,
            reader.span_of("options").unwrap_or_else(|| reader.place()),
            "a choice needs at least two options",
            "add `[[options]]` with `id`, `text` and `reply`; one has `right = true`",
        );
    }
    let mut statements: Vec<Statement> = Vec::new();
    let mut right = Vec::new();
    for mut option in given {
        let place = option.place();
        let name = option.text("id", "\"same-way\"", blocks.diagnostics);
        let text = option.text("text", "\"The same way as before.\"", blocks.diagnostics);
        let reply = option
            .optional_text("reply", blocks.diagnostics)
            .map(|reply| blocks.checked(reply))
            .unwrap_or_default();
        let is_right = option.flag("right", blocks.diagnostics);
        option.finish(blocks.diagnostics);
        let (Some(name), Some(text)) = (name, text) else {
            continue;
        };
        if !is_name(&name.value) {
            blocks.diagnostics.add(
                Mistake::BadName,
                name.span.clone(),
                format!("`{}` is not a name", name.value),
                "use small letters, digits and hyphens",
            );
        } else if statements.iter().any(|known| known.id == name.value) {
            blocks.diagnostics.add(
                Mistake::DuplicateName,
                name.span.clone(),
                format!("two options are named `{}`", name.value),
                "give each option a name of its own",
            );
        }
        if is_right {
            right.push((name.value.clone(), place));
        }
        statements.push(Statement {
            id: name.value,
            text: text.value,
            reply,
        });
    }
    match right.as_slice() {
        [(only, _)] => Some((statements, seal(&blocks.slug, id, only))),
        [] => {
            blocks.diagnostics.add(
                Mistake::NotOneRight,
                reader.place(),
                "no option is marked as right",
                "add `right = true` to the right one",
            );
            None
        }
        [_, (_, second), ..] => {
            blocks.diagnostics.add(
                Mistake::NotOneRight,
                second.clone(),
                "more than one option is marked as right",
                "keep `right = true` on one of them only",
            );
            None
        }
    }
}
