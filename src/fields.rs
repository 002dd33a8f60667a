//! Reading a JSON text field by field, for the two texts that the page reads: a block's
//! description and the kept work. One reader that is not generic weighs a tenth of what derived
//! ones do, and every byte of it is downloaded.
//!
//! Reading goes on past a mistake with empty values, so that readers need no branch for every
//! field. The first mistake is kept, and [`read`] gives no value when there was one. Fields that
//! nobody asks for are ignored.
//!
//! ```
//! use coldfringe::fields::read;
//!
//! let place = |fields: &coldfringe::fields::Fields<'_>| (fields.text("name"), fields.number("x"));
//! assert_eq!(read(r#"{"name":"left","x":2}"#, place), Ok(("left".to_owned(), 2.0)));
//! let said = read(r#"{"name":"left"}"#, place).map_err(|error| error.to_string());
//! assert_eq!(said, Err("the field `x` is missing; it must be a number".to_owned()));
//! ```

mod json;

use std::cell::RefCell;

use serde_json::{Map, Value};

/// What is wrong with a JSON text.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum FieldError {
    /// The text is not JSON.
    #[error("this is not JSON: {0}")]
    NotJson(String),
    /// The text is JSON, but its outermost value is something else than it must be.
    #[error("the outermost value must be {wanted}")]
    Outermost {
        /// What it must be.
        wanted: &'static str,
    },
    /// A field that must be there is not.
    #[error("the field `{path}` is missing; it must be {wanted}")]
    Missing {
        /// The field, with the fields and places that lead to it: `chart.x.from`.
        path: String,
        /// What it must be.
        wanted: &'static str,
    },
    /// A field holds something else than it must.
    #[error("the field `{path}` must be {wanted}")]
    WrongKind {
        /// The field, with the fields and places that lead to it: `options[2].text`.
        path: String,
        /// What it must be.
        wanted: &'static str,
    },
}

/// Reads a JSON text whose outermost value is an object.
///
/// # Errors
/// When the text is no such JSON, or when `reader` met a mistake in it: the first one.
pub fn read<T>(text: &str, reader: impl FnOnce(&Fields<'_>) -> T) -> Result<T, FieldError> {
    let value = json::parse(text)?;
    let mistake = RefCell::new(None);
    let fields = Fields {
        object: value.as_object(),
        name: "",
        number: None,
        within: None,
        mistake: &mistake,
    };
    if fields.object.is_none() {
        return Err(FieldError::Outermost { wanted: OBJECT });
    }
    let read = reader(&fields);
    match mistake.take() {
        None => Ok(read),
        Some(mistake) => Err(mistake),
    }
}

/// The fields of one object, and where it stands in the text. An object that was not there has
/// no fields; its absence is the mistake that is told.
#[derive(Debug, Clone, Copy)]
pub struct Fields<'a> {
    object: Option<&'a Map<String, Value>>,
    name: &'a str,
    number: Option<usize>,
    within: Option<&'a Fields<'a>>,
    mistake: &'a RefCell<Option<FieldError>>,
}

impl<'a> Fields<'a> {
    /// The name under which this object stands.
    #[must_use]
    pub fn name(&self) -> &'a str {
        self.name
    }

    /// A text.
    #[must_use]
    pub fn text(&self, name: &str) -> String {
        let text = self.wanted(name, "a text").map(Value::as_str);
        self.checked(text, name, "a text").unwrap_or("").to_owned()
    }

    /// A text that may be left out.
    #[must_use]
    pub fn optional_text(&self, name: &str) -> Option<String> {
        self.has(name).then(|| self.text(name))
    }

    /// A number.
    #[must_use]
    pub fn number(&self, name: &str) -> f64 {
        let number = self.wanted(name, "a number").map(Value::as_f64);
        self.checked(number, name, "a number").unwrap_or(0.0)
    }

    /// A number that may be left out.
    #[must_use]
    pub fn optional_number(&self, name: &str) -> Option<f64> {
        self.has(name).then(|| self.number(name))
    }

    /// A whole number from 0.
    #[must_use]
    pub fn whole(&self, name: &str) -> u32 {
        let number = self.wanted(name, WHOLE).map(whole);
        self.checked(number, name, WHOLE).unwrap_or(0)
    }

    /// A whole number from 0 that may be left out.
    #[must_use]
    pub fn optional_whole(&self, name: &str) -> Option<u32> {
        self.has(name).then(|| self.whole(name))
    }

    /// A list of texts.
    #[must_use]
    pub fn texts(&self, name: &str) -> Vec<String> {
        let mut texts = Vec::new();
        for value in self.values(name) {
            let text = self.checked(Some(value.as_str()), name, "a list of texts");
            texts.push(text.unwrap_or("").to_owned());
        }
        texts
    }

    /// A list of texts that may be left out, which is the same as an empty one.
    #[must_use]
    pub fn optional_texts(&self, name: &str) -> Vec<String> {
        if self.has(name) {
            self.texts(name)
        } else {
            Vec::new()
        }
    }

    /// A list of whole numbers from 0.
    #[must_use]
    pub fn wholes(&self, name: &str) -> Vec<u32> {
        let mut numbers = Vec::new();
        for value in self.values(name) {
            let number = self.checked(Some(whole(value)), name, "a list of whole numbers from 0");
            numbers.push(number.unwrap_or(0));
        }
        numbers
    }

    /// A list of whole numbers from 0 that may be left out, which is the same as an empty one.
    #[must_use]
    pub fn optional_wholes(&self, name: &str) -> Vec<u32> {
        if self.has(name) {
            self.wholes(name)
        } else {
            Vec::new()
        }
    }

    /// A list of numbers that may be left out, which is the same as an empty one.
    #[must_use]
    pub fn optional_numbers(&self, name: &str) -> Vec<f64> {
        let mut numbers = Vec::new();
        if self.has(name) {
            for value in self.values(name) {
                let number = self.checked(Some(value.as_f64()), name, "a list of numbers");
                numbers.push(number.unwrap_or(0.0));
            }
        }
        numbers
    }

    /// An object.
    #[must_use]
    pub fn part<'b>(&'b self, name: &'b str) -> Fields<'b> {
        let value = self.wanted(name, OBJECT);
        self.inner(name, None, value)
    }

    /// An object that may be left out.
    #[must_use]
    pub fn optional_part<'b>(&'b self, name: &'b str) -> Option<Fields<'b>> {
        self.has(name).then(|| self.part(name))
    }

    /// A list of objects.
    #[must_use]
    pub fn list<'b>(&'b self, name: &'b str) -> Vec<Fields<'b>> {
        let mut parts = Vec::new();
        for value in self.values(name) {
            parts.push(self.inner(name, Some(parts.len()), Some(value)));
        }
        parts
    }

    /// A list of objects that may be left out, which is the same as an empty one.
    #[must_use]
    pub fn optional_list<'b>(&'b self, name: &'b str) -> Vec<Fields<'b>> {
        if self.has(name) {
            self.list(name)
        } else {
            Vec::new()
        }
    }

    /// An object whose fields are objects too, under names of their own choice.
    #[must_use]
    pub fn parts(&self) -> Vec<Fields<'_>> {
        let mut parts = Vec::new();
        for (name, value) in self.object.into_iter().flatten() {
            parts.push(self.inner(name, None, Some(value)));
        }
        parts
    }

    /// The names of the fields.
    #[must_use]
    pub fn names(&self) -> Vec<&'a str> {
        self.object
            .map(|object| object.keys().map(String::as_str).collect())
            .unwrap_or_default()
    }

    /// The name of the only field: how this project writes "one of several kinds".
    #[must_use]
    pub fn kind(&self) -> &'a str {
        match self.names()[..] {
            [kind] => kind,
            _ => "",
        }
    }

    /// The name of the only field and the object that it holds.
    #[must_use]
    pub fn variant(&self) -> (&'a str, Fields<'_>) {
        let kind = self.kind();
        (kind, self.optional_part(kind).unwrap_or(*self))
    }

    /// Whether a field is there, and not `null`.
    #[must_use]
    pub fn has(&self, name: &str) -> bool {
        self.get(name).is_some_and(|value| !value.is_null())
    }

    /// Keeps the mistake that a field is not what it must be; nothing is read then. With an
    /// empty name it is this object itself that is not.
    pub fn refuse<T>(&self, name: &str, wanted: &'static str) -> Option<T> {
        self.mistaken(name, wanted, false);
        None
    }

    fn get(&self, name: &str) -> Option<&'a Value> {
        self.object.and_then(|object| object.get(name))
    }

    /// A value that must be there.
    fn wanted(&self, name: &str, wanted: &'static str) -> Option<&'a Value> {
        let value = self.get(name);
        if value.is_none() {
            self.mistaken(name, wanted, true);
        }
        value
    }

    /// The values of a list that must be there.
    fn values(&self, name: &str) -> &'a [Value] {
        let list = self.wanted(name, "a list").map(Value::as_array);
        self.checked(list, name, "a list")
            .map_or(&[], Vec::as_slice)
    }

    /// What was read from a value, if the value was there (outer) and of the right kind (inner).
    fn checked<T>(&self, read: Option<Option<T>>, name: &str, wanted: &'static str) -> Option<T> {
        if let Some(None) = read {
            self.mistaken(name, wanted, false);
        }
        read.flatten()
    }

    fn inner<'b>(
        &'b self,
        name: &'b str,
        number: Option<usize>,
        value: Option<&'b Value>,
    ) -> Fields<'b> {
        let object = value.and_then(Value::as_object);
        let inner = Fields {
            object,
            name,
            number,
            within: Some(self),
            mistake: self.mistake,
        };
        if value.is_some() && object.is_none() {
            inner.mistaken("", OBJECT, false);
        }
        inner
    }

    /// Keeps a mistake, if it is the first one.
    fn mistaken(&self, name: &str, wanted: &'static str, missing: bool) {
        let mut kept = self.mistake.borrow_mut();
        if kept.is_none() {
            let path = self.path(name);
            *kept = Some(if path.is_empty() {
                FieldError::Outermost { wanted }
            } else if missing {
                FieldError::Missing { path, wanted }
            } else {
                FieldError::WrongKind { path, wanted }
            });
        }
    }

    /// Where a field of this object stands in the text.
    fn path(&self, name: &str) -> String {
        let mut path = match self.within {
            Some(outer) => outer.path(self.name),
            None => String::new(),
        };
        if let Some(number) = self.number {
            path.push_str(&format!("[{number}]"));
        }
        if !path.is_empty() && !name.is_empty() {
            path.push('.');
        }
        path.push_str(name);
        path
    }
}

const OBJECT: &str = "an object";
const WHOLE: &str = "a whole number from 0";

fn whole(value: &Value) -> Option<u32> {
    value.as_u64().and_then(|whole| u32::try_from(whole).ok())
}
