//! Reads the TOML body of a block key by key. Every mistake is noted with its place and reading
//! goes on; keys that nobody asked for are told at the end.

use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::super::diagnostic::{Diagnostics, Mistake};
use super::nearest::suggestion;

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

/// Parses the body of a block. Mistakes of TOML itself are noted; then there is no table.
pub(crate) fn parse<'a>(
    body: Range<usize>,
    diagnostics: &mut Diagnostics<'a>,
) -> Option<Spanned<DeTable<'a>>> {
    let text = diagnostics.source().get(body.clone())?;
    let (table, errors) = DeTable::parse_recoverable(text);
    // One slip often trips the parser several times; the first places are the telling ones.
    for error in errors.iter().take(3) {
        let span = error.span().unwrap_or(0..0);
        let message = error.message();
        let mend = if message.contains("escape") {
            "put text that holds backslashes in single quotes: '$\\Phi_0$'"
        } else if message.contains("duplicate key") {
            "keep one of the two"
        } else {
            "write one `key = value` a line, text in quotes, lists in [ ], tables in { }"
        };
        let first = message.lines().next().unwrap_or("not TOML");
        diagnostics.add(
            Mistake::BadToml,
            body.start + span.start..body.start + span.end,
            format!("this is not TOML: {first}"),
            mend,
        );
    }
    errors.is_empty().then_some(table)
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

    /// A text; told when it has another type, silent when it is not there.
    pub(crate) fn optional_text(
        &mut self,
        key: &'static str,
        diagnostics: &mut Diagnostics<'_>,
    ) -> Option<Text> {
        let value = self.find(key)?;
        self.as_text(key, value, diagnostics)
    }

    /// A text that must be there and not be empty.
    pub(crate) fn text(
        &mut self,
        key: &'static str,
        example: &str,
        diagnostics: &mut Diagnostics<'_>,
    ) -> Option<Text> {
        if self.find(key).is_none() {
            self.missing(key, example, diagnostics);
            return None;
        }
        let text = self.optional_text(key, diagnostics)?;
        if text.value.trim().is_empty() {
            diagnostics.add(
                Mistake::MissingKey,
                text.span.clone(),
                format!("`{key}` is empty"),
                format!("write something like `{key} = {example}`"),
            );
            return None;
        }
        Some(text)
    }

    fn as_text(
        &self,
        key: &str,
        value: &Spanned<DeValue<'t>>,
        diagnostics: &mut Diagnostics<'_>,
    ) -> Option<Text> {
        match value.get_ref() {
            DeValue::String(text) => Some(Text {
                value: text.to_string(),
                span: self.span(value.span()),
            }),
            _ => {
                self.wrong_type(key, value, "text in quotes", diagnostics);
                None
            }
        }
    }

    /// A finite number, silent when it is not there.
    pub(crate) fn optional_number(
        &mut self,
        key: &'static str,
        diagnostics: &mut Diagnostics<'_>,
    ) -> Option<Number> {
        let value = self.find(key)?;
        match finite(value.get_ref()) {
            Some(number) if number.is_finite() => Some(Number {
                value: number,
                span: self.span(value.span()),
            }),
            Some(_) => {
                diagnostics.add(
                    Mistake::OutOfRange,
                    self.span(value.span()),
                    format!("`{key}` is not a finite number"),
                    "write an ordinary number",
                );
                None
            }
            None => {
                self.wrong_type(key, value, "a number without a unit", diagnostics);
                None
            }
        }
    }

    /// A finite number that must be there.
    pub(crate) fn number(
        &mut self,
        key: &'static str,
        example: &str,
        diagnostics: &mut Diagnostics<'_>,
    ) -> Option<Number> {
        if self.find(key).is_none() {
            self.missing(key, example, diagnostics);
            return None;
        }
        self.optional_number(key, diagnostics)
    }

    /// A number above zero that must be there.
    pub(crate) fn positive(
        &mut self,
        key: &'static str,
        example: &str,
        diagnostics: &mut Diagnostics<'_>,
    ) -> Option<Number> {
        let number = self.number(key, example, diagnostics)?;
        if number.value > 0.0 {
            return Some(number);
        }
        diagnostics.add(
            Mistake::OutOfRange,
            number.span,
            format!("`{key}` must be above zero"),
            format!("write for example `{key} = {example}`"),
        );
        None
    }

    /// A whole number between two bounds; silent when it is not there.
    pub(crate) fn optional_whole(
        &mut self,
        key: &'static str,
        from: u32,
        to: u32,
        diagnostics: &mut Diagnostics<'_>,
    ) -> Option<u32> {
        let value = self.find(key)?;
        let DeValue::Integer(integer) = value.get_ref() else {
            self.wrong_type(key, value, "a whole number", diagnostics);
            return None;
        };
        let number = u32::from_str_radix(integer.as_str(), integer.radix()).ok();
        match number.filter(|number| (from..=to).contains(number)) {
            Some(number) => Some(number),
            None => {
                diagnostics.add(
                    Mistake::OutOfRange,
                    self.span(value.span()),
                    format!("`{key}` must lie between {from} and {to}"),
                    format!("write a whole number from {from} to {to}"),
                );
                None
            }
        }
    }

    /// A whole number between two bounds that must be there.
    pub(crate) fn whole(
        &mut self,
        key: &'static str,
        from: u32,
        to: u32,
        diagnostics: &mut Diagnostics<'_>,
    ) -> Option<u32> {
        if self.find(key).is_none() {
            self.missing(key, &from.to_string(), diagnostics);
            return None;
        }
        self.optional_whole(key, from, to, diagnostics)
    }

    /// `true` or `false`; `false` when it is not there.
    pub(crate) fn flag(&mut self, key: &'static str, diagnostics: &mut Diagnostics<'_>) -> bool {
        let Some(value) = self.find(key) else {
            return false;
        };
        match value.get_ref() {
            DeValue::Boolean(flag) => *flag,
            _ => {
                self.wrong_type(key, value, "`true` or `false`", diagnostics);
                false
            }
        }
    }

    /// A list of texts; empty when it is not there.
    pub(crate) fn texts(
        &mut self,
        key: &'static str,
        diagnostics: &mut Diagnostics<'_>,
    ) -> Vec<Text> {
        let Some(value) = self.find(key) else {
            return Vec::new();
        };
        match value.get_ref() {
            DeValue::Array(items) => items
                .iter()
                .filter_map(|item| self.as_text(key, item, diagnostics))
                .collect(),
            _ => {
                self.wrong_type(key, value, "a list of texts in [ ]", diagnostics);
                Vec::new()
            }
        }
    }

    /// A table, silent when it is not there.
    pub(crate) fn optional_table(
        &mut self,
        key: &'static str,
        diagnostics: &mut Diagnostics<'_>,
    ) -> Option<Reader<'t>> {
        let value = self.find(key)?;
        let reader = self.as_table(key, value);
        if reader.is_none() {
            self.wrong_type(key, value, "a table in { }", diagnostics);
        }
        reader
    }

    /// A table that must be there.
    pub(crate) fn table(
        &mut self,
        key: &'static str,
        example: &str,
        diagnostics: &mut Diagnostics<'_>,
    ) -> Option<Reader<'t>> {
        if self.find(key).is_none() {
            self.missing(key, example, diagnostics);
            return None;
        }
        self.optional_table(key, diagnostics)
    }

    /// A text or a table that must be there.
    pub(crate) fn text_or_table(
        &mut self,
        key: &'static str,
        example: &str,
        diagnostics: &mut Diagnostics<'_>,
    ) -> Option<TextOrTable<'t>> {
        let Some(value) = self.find(key) else {
            self.missing(key, example, diagnostics);
            return None;
        };
        if let Some(reader) = self.as_table(key, value) {
            return Some(TextOrTable::Table(reader));
        }
        self.as_text(key, value, diagnostics).map(TextOrTable::Text)
    }

    fn as_table(&self, key: &str, value: &'t Spanned<DeValue<'t>>) -> Option<Reader<'t>> {
        match value.get_ref() {
            DeValue::Table(table) => Some(Reader::new(
                table,
                self.base,
                self.span(value.span()),
                format!("`{key}`"),
            )),
            _ => None,
        }
    }

    /// A list of tables; empty when it is not there.
    pub(crate) fn tables(
        &mut self,
        key: &'static str,
        diagnostics: &mut Diagnostics<'_>,
    ) -> Vec<Reader<'t>> {
        let Some(value) = self.find(key) else {
            return Vec::new();
        };
        let DeValue::Array(items) = value.get_ref() else {
            self.wrong_type(
                key,
                value,
                "a list of tables, each headed by [[ ]]",
                diagnostics,
            );
            return Vec::new();
        };
        let mut readers = Vec::new();
        for item in items {
            match self.as_table(key, item) {
                Some(reader) => readers.push(reader),
                None => self.wrong_type(key, item, "a table in { }", diagnostics),
            }
        }
        readers
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

fn kind(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "text",
        DeValue::Integer(_) | DeValue::Float(_) => "a number",
        DeValue::Boolean(_) => "`true` or `false`",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

/// The number of an integer or a float, which may be infinite or not a number.
fn finite(value: &DeValue<'_>) -> Option<f64> {
    match value {
        DeValue::Integer(integer) if integer.radix() == 10 => integer.as_str().parse().ok(),
        DeValue::Integer(integer) => i32::from_str_radix(integer.as_str(), integer.radix())
            .ok()
            .map(f64::from),
        DeValue::Float(float) => float.as_str().parse().ok(),
        _ => None,
    }
}

/// A parameter as text: a text as it is, a number as written, a list joined by commas.
fn as_written(value: &DeValue<'_>) -> Option<String> {
    match value {
        DeValue::String(text) => Some(text.to_string()),
        DeValue::Integer(integer) if integer.radix() == 10 => Some(integer.as_str().to_owned()),
        DeValue::Float(float) => Some(float.as_str().to_owned()),
        DeValue::Array(items) => items
            .iter()
            .map(|item| match item.get_ref() {
                DeValue::Array(_) => None,
                other => as_written(other),
            })
            .collect::<Option<Vec<_>>>()
            .map(|texts| texts.join(", ")),
        _ => None,
    }
}
