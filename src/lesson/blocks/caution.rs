//! Cautions: the usual ones by name, and words of the author's own.

use super::super::diagnostic::Mistake;
use super::super::text::nearest::suggestion;
use super::super::text::prose::check_prose;
use super::super::text::split::RawBlock;
use super::super::text::table::{Reader, parse};
use super::Blocks;

/// The standard cautions (common practice of the trade, no source). They defer to local rules.
const STANDARD: [(&str, &str); 3] = [
    (
        "cryogens",
        "Liquid nitrogen and liquid helium burn the skin, displace oxygen and burst closed vessels. \
         They are handled only by trained, licensed staff, under the local rules and with an oxygen \
         alarm. Nothing on this page asks you to handle them.",
    ),
    (
        "electrostatic",
        "A static discharge or a ground loop destroys a junction at once. Whoever connects a device \
         is earthed, shorts its leads first, and follows the rules of the laboratory.",
    ),
    (
        "notebook",
        "This notebook needs no laboratory: everything on the page is computed.",
    ),
];

/// Reads a `caution` block: lines `standard = "NAME"`, then `CommonMark`.
pub(super) fn read_caution(blocks: &mut Blocks<'_, '_>, raw: &RawBlock) -> Option<String> {
    let source = blocks.diagnostics.source();
    let before = blocks.diagnostics.count();
    if !raw.name.is_empty() {
        let name = source.get(raw.name.clone())?;
        blocks.diagnostics.add(
            Mistake::BadName,
            raw.name.clone(),
            "a caution has no name",
            format!("take it out; for a standard caution write `standard = \"{name}\"` below"),
        );
    }
    let body = source.get(raw.body.clone())?;
    let mut paragraphs = Vec::new();
    let mut start = raw.body.start;
    for line in body.split_inclusive('\n') {
        let is_standard = line
            .trim_start()
            .strip_prefix("standard")
            .is_some_and(|rest| rest.trim_start().starts_with('='));
        if !is_standard && !line.trim().is_empty() {
            break;
        }
        let span = start..start + line.len();
        start = span.end;
        if is_standard {
            paragraphs.extend(standard(blocks, span));
        }
    }
    let own = start..raw.body.end;
    let links = check_prose(own.clone(), blocks.diagnostics);
    blocks.links.extend(links);
    let own = source.get(own)?.trim();
    if !own.is_empty() {
        paragraphs.push(own.to_owned());
    }
    if paragraphs.is_empty() && blocks.diagnostics.count() == before {
        blocks.diagnostics.add(
            Mistake::MissingKey,
            raw.opening.clone(),
            "this caution says nothing",
            "write it, or take in a standard one: `standard = \"cryogens\"`",
        );
    }
    Some(paragraphs.join("\n\n"))
}

fn standard(blocks: &mut Blocks<'_, '_>, span: std::ops::Range<usize>) -> Option<String> {
    let table = parse(span.clone(), blocks.diagnostics)?;
    let mut reader = Reader::new(table.get_ref(), span.start, span.clone(), "this line");
    let name = reader.text("standard", "\"cryogens\"", blocks.diagnostics)?;
    let known = STANDARD.iter().find(|(known, _)| *known == name.value);
    if known.is_none() {
        let names: Vec<&str> = STANDARD.iter().map(|(known, _)| *known).collect();
        blocks.diagnostics.add(
            Mistake::UnknownWord,
            name.span,
            format!("there is no standard caution `{}`", name.value),
            suggestion(&name.value, &names),
        );
    }
    known.map(|(_, words)| (*words).to_owned())
}
