//! Reads the TOML body of a block key by key. Every mistake is noted with its place and reading
//! goes on; keys that nobody asked for are told at the end.

mod parse;
mod typed;
mod value;

use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::super::diagnostic::{Diagnostics, Mistake};
use super::nearest::suggestion;
pub(crate) use parse::parse;
use value::{as_written, kind};

/// A text value with the place of its whole literal in the file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Text {
    /// The text, escapes undone.
    pub(crate) value: String,
    /// Where the literal stands, quotes and all.
    pub(crate) span: Range<usize>,
}

impl Text {
    /// Where the text itself begins in the file, if it stands there letter by letter (a text with
    /// escapes does not).
    pub(crate) fn verbatim_start(&self, source: &str) -> Option<usize> {
        source
            .get(self.span.clone())
            .and_then(|literal| literal.find(&self.value))
            .map(|at| self.span.start + at)
    }
}

/// A number with its place.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Number {
    /// The number; always finite.
    pub(crate) value: f64,
    /// Where it stands.
    pub(crate) span: Range<usize>,
}

/// A value that is text or a table, e.g. `setup`.
#[derive(Debug)]
pub(crate) enum TextOrTable<'t> {
    /// Text.
    Text(Text),
    /// A table.
    Table(Reader<'t>),
}

/// One table being read.
#[derive(Debug)]
pub(crate) struct Reader<'t> {
    table: &'t DeTable<'t>,
    /// Where the body begins in the file: TOML places count from there.
    base: usize,
    /// What a missing key is missing from.
    place: Range<usize>,
    /// What this table is, e.g. ``this `predict` block``.
    what: String,
    asked: Vec<&'static str>,
}

impl<'t> Reader<'t> {
    /// Reads that table, which begins at `base` in the file; missing keys are told at `place`.
    pub(crate) fn new(
        table: &'t DeTable<'t>,
        base: usize,
        place: Range<usize>,
        what: impl Into<String>,
    ) -> Self {
        Self {
            table,
            base,
            place,
            what: what.into(),
            asked: Vec::new(),
        }
    }

    /// Where mistakes of the whole table are told.
    pub(crate) fn place(&self) -> Range<usize> {
        self.place.clone()
    }

    fn span(&self, span: Range<usize>) -> Range<usize> {
        self.base + span.start..self.base + span.end
    }

    /// The value of a key, and that the key is known.
    fn find(&mut self, key: &'static str) -> Option<&'t Spanned<DeValue<'t>>> {
        if !self.asked.contains(&key) {
            self.asked.push(key);
        }
        self.peek(key)
    }

    fn peek(&self, key: &str) -> Option<&'t Spanned<DeValue<'t>>> {
        self.table
            .iter()
            .find(|(name, _)| name.get_ref() == key)
            .map(|(_, value)| value)
    }

    /// Whether the key is there.
    pub(crate) fn has(&self, key: &str) -> bool {
        self.peek(key).is_some()
    }

    /// Where the value of that key stands, if it is there.
    pub(crate) fn span_of(&self, key: &str) -> Option<Range<usize>> {
        self.peek(key).map(|value| self.span(value.span()))
    }

    /// Says that a key is needed.
    pub(crate) fn missing(&self, key: &str, example: &str, diagnostics: &mut Diagnostics<'_>) {
        diagnostics.add(
            Mistake::MissingKey,
            self.place.clone(),
            format!("{} has no `{key}`", self.what),
            format!("add `{key} = {example}`"),
        );
    }

    fn wrong_type(
        &self,
        key: &str,
        value: &Spanned<DeValue<'t>>,
        wanted: &str,
        diagnostics: &mut Diagnostics<'_>,
    ) {
        diagnostics.add(
            Mistake::WrongType,
            self.span(value.span()),
            format!(
                "`{key}` is {}, but {wanted} is wanted",
                kind(value.get_ref())
            ),
            match value.get_ref() {
                DeValue::Integer(_) | DeValue::Float(_) | DeValue::Boolean(_)
                    if wanted.contains("text") =>
                {
                    "put it in quotes".to_owned()
                }
                _ => format!("write {wanted}"),
            },
        );
    }

    /// Every key that has not been asked for, with the place of the key and its value as text:
    /// the parameters of a set-up. They count as asked for.
    pub(crate) fn remaining_as_text(&self, diagnostics: &mut Diagnostics<'_>) -> Vec<(Text, Text)> {
        let mut found = Vec::new();
        for (key, value) in self.table {
            if self.asked.contains(&key.get_ref().as_ref()) {
                continue;
            }
            if let Some(text) = as_written(value.get_ref()) {
                found.push((
                    Text {
                        value: key.get_ref().to_string(),
                        span: self.span(key.span()),
                    },
                    Text {
                        value: text,
                        span: self.span(value.span()),
                    },
                ));
            } else {
                self.wrong_type(key.get_ref(), value, "text in quotes", diagnostics);
            }
        }
        found
    }

    /// Tells every key that nobody asked for.
    pub(crate) fn finish(&self, diagnostics: &mut Diagnostics<'_>) {
        for (key, _) in self.table {
            let name = key.get_ref().as_ref();
            if !self.asked.contains(&name) {
                diagnostics.add(
                    Mistake::UnknownKey,
                    self.span(key.span()),
                    format!("{} knows no key `{name}`", self.what),
                    suggestion(name, &self.asked),
                );
            }
        }
    }
}
