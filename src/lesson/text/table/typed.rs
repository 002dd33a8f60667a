//! Values of one kind under a key: text, numbers, flags, lists and tables. Of each there is one that must be there and
//! one that may be left out, as lessons need them.

use toml::Spanned;
use toml::de::DeValue;

use super::value::number;
use super::{Number, Reader, Text, TextOrTable};
use crate::lesson::diagnostic::{Diagnostics, Mistake};

impl<'t> Reader<'t> {
    /// The value of a key that must be there; told when it is not.
    fn needed(
        &mut self,
        key: &'static str,
        example: &str,
        diagnostics: &mut Diagnostics<'_>,
    ) -> Option<&'t Spanned<DeValue<'t>>> {
        let value = self.find(key);
        if value.is_none() {
            self.missing(key, example, diagnostics);
        }
        value
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
        self.needed(key, example, diagnostics)?;
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
        match number(value.get_ref()) {
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
        self.needed(key, example, diagnostics)?;
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
        self.needed(key, &from.to_string(), diagnostics)?;
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
        self.needed(key, example, diagnostics)?;
        self.optional_table(key, diagnostics)
    }

    /// A text or a table that must be there.
    pub(crate) fn text_or_table(
        &mut self,
        key: &'static str,
        example: &str,
        diagnostics: &mut Diagnostics<'_>,
    ) -> Option<TextOrTable<'t>> {
        let value = self.needed(key, example, diagnostics)?;
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
}
