//! From the TOML of a block to its typed form, with every check that the model can make.

mod answer;
mod ask;
mod bench;
mod caution;
mod chart;
mod head;
mod model;
mod options;
mod predict;
mod record;
mod setup;
mod value;

use std::collections::BTreeMap;
use std::ops::Range;

use super::diagnostic::{Diagnostics, Mistake};
use super::spec::{Block, Part};
use super::text::prose::{Link, check_text};
use super::text::split::RawBlock;
use super::text::table::{Reader, Text, parse};

pub(crate) use head::{Head, read_head};
pub(crate) use setup::{NamedSetup, read_setup, tell_twice};
pub(crate) use value::read_value;

/// What the blocks of one lesson share.
#[derive(Debug)]
pub(crate) struct Blocks<'d, 'a> {
    /// Where mistakes go.
    pub(crate) diagnostics: &'d mut Diagnostics<'a>,
    /// The lesson's slug, for seals.
    pub(crate) slug: String,
    /// The set-ups by name.
    pub(crate) setups: BTreeMap<String, NamedSetup>,
    /// Names of blocks met so far.
    pub(crate) names: BTreeMap<String, usize>,
    /// Links found in the texts of blocks.
    pub(crate) links: Vec<Link>,
}

impl Blocks<'_, '_> {
    /// Reads one block that the page shows (any but `lesson` and `setup`).
    pub(crate) fn read(&mut self, raw: &RawBlock) -> Part {
        let before = self.diagnostics.count();
        let part = self.read_kind(raw);
        match part {
            Some(part) if self.diagnostics.count() == before && raw.closed => part,
            _ => Part::Broken {
                message: format!(
                    "The {} that belongs here could not be read.",
                    raw.kind.unwrap_or("block")
                ),
            },
        }
    }

    fn read_kind(&mut self, raw: &RawBlock) -> Option<Part> {
        let kind = raw.kind?;
        if kind == "caution" {
            return caution::read_caution(self, raw).map(Part::Caution);
        }
        let id = self.name(raw, kind)?;
        let table = parse(raw.body.clone(), self.diagnostics)?;
        let mut reader = Reader::new(
            table.get_ref(),
            raw.body.start,
            raw.opening.clone(),
            format!("this `{kind}` block"),
        );
        let block = match kind {
            "predict" => predict::read_prediction(self, id, &mut reader).map(Block::Predict),
            "observe" => ask::read_observation(self, id, &mut reader).map(Block::Observe),
            "question" => ask::read_question(self, id, &mut reader).map(Block::Question),
            "bench" => bench::read_bench(self, id, &mut reader).map(Block::Bench),
            "board" => bench::read_board(self, id, &mut reader).map(Block::Board),
            "record" => record::read_record(self, id, &mut reader).map(Block::Record),
            _ => None,
        };
        reader.finish(self.diagnostics);
        block.map(|block| Part::Block(Box::new(block)))
    }

    /// The block's name, checked and noted as used.
    fn name(&mut self, raw: &RawBlock, kind: &str) -> Option<String> {
        let name = checked_name(raw, kind, self.diagnostics)?;
        let line = self.diagnostics.line_of(raw.opening.start);
        if let Some(first) = self.names.get(&name) {
            self.diagnostics.add(
                Mistake::DuplicateName,
                raw.name.clone(),
                format!("the name `{name}` is used already, in line {first}"),
                "give this block another name",
            );
            return None;
        }
        self.names.insert(name.clone(), line);
        Some(name)
    }

    /// A `CommonMark` text that must be there, checked.
    fn prose(
        &mut self,
        key: &'static str,
        example: &str,
        reader: &mut Reader<'_>,
    ) -> Option<String> {
        let text = reader.text(key, example, self.diagnostics)?;
        Some(self.checked(text))
    }

    /// Checks a `CommonMark` text and keeps its links.
    fn checked(&mut self, text: Text) -> String {
        let links = check_text(&text, self.diagnostics);
        self.links.extend(links);
        text.value
    }
}

/// The name in a block's first line, checked for its signs.
fn checked_name(raw: &RawBlock, kind: &str, diagnostics: &mut Diagnostics<'_>) -> Option<String> {
    let name = diagnostics.source().get(raw.name.clone())?;
    if is_name(name) {
        return Some(name.to_owned());
    }
    let (span, message): (Range<usize>, String) = if name.is_empty() {
        (
            raw.opening.clone(),
            format!("this `{kind}` block has no name"),
        )
    } else {
        (raw.name.clone(), format!("`{name}` is not a name"))
    };
    diagnostics.add(
        Mistake::BadName,
        span,
        message,
        format!(
            "write `{kind}` and one name of small letters, digits and hyphens: `{kind} first-zero`"
        ),
    );
    None
}

/// Whether a word is a name: small letters, digits and single hyphens, beginning with a letter.
#[must_use]
pub(crate) fn is_name(word: &str) -> bool {
    word.len() <= 64
        && word.starts_with(|first: char| first.is_ascii_lowercase())
        && !word.ends_with('-')
        && !word.contains("--")
        && word
            .bytes()
            .all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit() || byte == b'-')
}
