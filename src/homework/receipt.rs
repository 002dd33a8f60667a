//! The receipt: what a student did, as raw answers in order, in one JSON file. Every entry carries
//! a digest of itself and of all before it (SHA-256 over canonical JSON in the manner of RFC 8785:
//! sorted names, no blanks, texts and whole numbers only), so that an edited file is noticed.
//! The format is described in `docs/receipt.md`.

use sha2::{Digest as _, Sha256};
use thiserror::Error;

use crate::fields::{self, FieldError, Fields};
use crate::named::Named;
use crate::numerics::order::sort_short_by;
use crate::prediction::Confidence;

/// What the first field of a receipt says.
pub const FORMAT: &str = "coldfringe receipt";
/// Version of the format.
pub const VERSION: u32 = 1;
/// Largest receipt that is read, in bytes.
pub const LARGEST: usize = 4 << 20;
/// Most entries of a receipt that is read.
pub const MOST_ENTRIES: usize = 20_000;

/// A receipt.
#[derive(Debug, Clone, PartialEq)]
pub struct Receipt {
    /// Version of the program that wrote it.
    pub program: String,
    /// The course.
    pub course: String,
    /// The assignment's slug.
    pub assignment: String,
    /// The assignment's version.
    pub version: u32,
    /// The student's identifier as typed.
    pub student: String,
    /// The numbers that the student saw, by the names of the draws.
    pub values: Named<String>,
    /// What was done, in order.
    pub entries: Vec<Entry>,
}

/// One thing done.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// When, in whole seconds after the first entry.
    pub at: u32,
    /// The question.
    pub task: String,
    /// What.
    pub kind: Kind,
    /// The raw answer: a number as typed, a sketch in its text form, a choice, a place.
    pub text: String,
    /// How sure the student was, where that is asked.
    pub sure: Option<Confidence>,
}

/// What an entry is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// An answer.
    Answer,
    /// What was meant by a sketch, when the page asked.
    Meant,
    /// A hint was opened; the text is its number from 1.
    Hint,
}

impl Kind {
    const ALL: [(Self, &'static str); 3] = [
        (Self::Answer, "answer"),
        (Self::Meant, "meant"),
        (Self::Hint, "hint"),
    ];

    fn name(self) -> &'static str {
        Self::ALL
            .iter()
            .find(|(kind, _)| *kind == self)
            .map_or("", |(_, name)| name)
    }

    fn from_name(name: &str) -> Option<Self> {
        Self::ALL
            .iter()
            .find(|(_, known)| *known == name)
            .map(|(kind, _)| *kind)
    }
}

/// Why a file is not a receipt that can be read.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum ReceiptError {
    /// It is far larger than any receipt.
    #[error("the file has {0} bytes; a receipt has at most {LARGEST}")]
    TooLarge(usize),
    /// It is JSON of something else.
    #[error("this is not a receipt: its field `format` is not `{FORMAT}`")]
    OtherFormat,
    /// It was written by another version.
    #[error("this receipt has format version {0}; this program reads version {VERSION}")]
    OtherVersion(u32),
    /// A field is missing or of another kind, or it is not JSON at all.
    #[error(transparent)]
    Field(#[from] FieldError),
    /// More entries than anybody makes.
    #[error("the receipt has {0} entries; at most {MOST_ENTRIES} are read")]
    TooMany(usize),
}

/// Whether the digests of a receipt fit its contents.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Seal {
    /// They do.
    Whole,
    /// They do not from this entry on (counted from 1; 0 when nothing fits).
    BrokenAt(usize),
}

impl Receipt {
    /// Reads a receipt and checks its digests.
    ///
    /// # Errors
    /// When it is not a receipt of this version. Broken digests are no error: what can be read is
    /// read, and the seal says so.
    pub fn read(text: &str) -> Result<(Self, Seal), ReceiptError> {
        if text.len() > LARGEST {
            return Err(ReceiptError::TooLarge(text.len()));
        }
        // A mark that some editors put at the beginning of a file is no part of it.
        let text = text.strip_prefix('\u{FEFF}').unwrap_or(text);
        let (receipt, chain) = fields::read(text, read_fields)??;
        if receipt.entries.len() > MOST_ENTRIES {
            return Err(ReceiptError::TooMany(receipt.entries.len()));
        }
        let (head, chain) = chain;
        let mut digest = receipt.head_digest();
        let mut seal = if digest == head {
            Seal::Whole
        } else {
            Seal::BrokenAt(0)
        };
        for (place, (entry, known)) in receipt.entries.iter().zip(&chain).enumerate() {
            digest = entry.digest(&digest);
            if seal == Seal::Whole && digest != *known {
                seal = Seal::BrokenAt(place + 1);
            }
        }
        Ok((receipt, seal))
    }

    /// The file: readable, one entry a line.
    #[must_use]
    pub fn text(&self) -> String {
        let mut lines = Vec::new();
        let chain = self.head_digest();
        let mut digest = chain.clone();
        for entry in &self.entries {
            digest = entry.digest(&digest);
            let mut fields = entry.fields();
            fields.push(("chain".to_owned(), written(&digest)));
            lines.push(format!("    {}", canonical(fields)));
        }
        let mut head = self.head();
        head.push(("chain".to_owned(), written(&chain)));
        sort_short_by(&mut head, |one, other| one.0.cmp(&other.0));
        let mut text = String::from("{\n");
        for (name, value) in &head {
            text.push_str(&format!("  {}: {value},\n", written(name)));
        }
        text.push_str("  \"entries\": [\n");
        text.push_str(&lines.join(",\n"));
        text.push_str("\n  ]\n}\n");
        text
    }

    /// A digest of what was done and when, whoever did it.
    #[must_use]
    pub fn answers_digest(&self) -> String {
        self.entries
            .iter()
            .fold(String::new(), |digest, entry| entry.digest(&digest))
    }

    fn head(&self) -> Vec<Field> {
        let values = self
            .values
            .iter()
            .map(|(name, value)| (name.to_owned(), written(value)))
            .collect();
        let field = |name: &str, value: String| (name.to_owned(), value);
        vec![
            field("format", written(FORMAT)),
            field("format-version", VERSION.to_string()),
            field("program", written(&self.program)),
            field("course", written(&self.course)),
            field("assignment", written(&self.assignment)),
            field("assignment-version", self.version.to_string()),
            field("student", written(&self.student)),
            field("values", canonical(values)),
        ]
    }

    fn head_digest(&self) -> String {
        hexadecimal(&Sha256::digest(canonical(self.head()).as_bytes()))
    }
}

impl Entry {
    fn fields(&self) -> Vec<Field> {
        let mut fields = vec![
            ("at".to_owned(), self.at.to_string()),
            ("task".to_owned(), written(&self.task)),
            ("kind".to_owned(), written(self.kind.name())),
            ("text".to_owned(), written(&self.text)),
        ];
        if let Some(sure) = self.sure {
            fields.push(("sure".to_owned(), written(sure.name())));
        }
        fields
    }

    fn digest(&self, before: &str) -> String {
        let mut digest = Sha256::new();
        digest.update(before.as_bytes());
        digest.update(canonical(self.fields()).as_bytes());
        hexadecimal(&digest.finalize())
    }
}

/// The name of a field of an object, and its value as JSON.
type Field = (String, String);

/// An object as JSON without blanks, names in order.
fn canonical(mut fields: Vec<Field>) -> String {
    sort_short_by(&mut fields, |one, other| one.0.cmp(&other.0));
    let mut text = String::from("{");
    for (place, (name, value)) in fields.iter().enumerate() {
        if place > 0 {
            text.push(',');
        }
        text.push_str(&written(name));
        text.push(':');
        text.push_str(value);
    }
    text.push('}');
    text
}

/// A text as JSON.
fn written(text: &str) -> String {
    serde_json::to_string(text).unwrap_or_default()
}

fn hexadecimal(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// A receipt, and the digests written in it.
type Written = (Receipt, (String, Vec<String>));

fn read_fields(fields: &Fields<'_>) -> Result<Written, ReceiptError> {
    if fields.text("format") != FORMAT {
        return Err(ReceiptError::OtherFormat);
    }
    match fields.whole("format-version") {
        VERSION => {}
        other => return Err(ReceiptError::OtherVersion(other)),
    }
    let shown = fields.part("values");
    let mut values = Named::new();
    for name in shown.names() {
        values.insert(name.to_owned(), shown.text(name));
    }
    let mut entries = Vec::new();
    let mut chain = Vec::new();
    for fields in fields.list("entries") {
        entries.push(Entry {
            at: fields.whole("at"),
            task: fields.text("task"),
            kind: Kind::from_name(&fields.text("kind"))
                .or_else(|| fields.refuse("kind", "one of answer, meant, hint"))
                .unwrap_or(Kind::Answer),
            text: fields.text("text"),
            sure: fields.optional_text("sure").and_then(|name| {
                Confidence::from_name(&name)
                    .or_else(|| fields.refuse("sure", "one of the degrees of confidence"))
            }),
        });
        chain.push(fields.text("chain"));
    }
    let receipt = Receipt {
        program: fields.text("program"),
        course: fields.text("course"),
        assignment: fields.text("assignment"),
        version: fields.whole("assignment-version"),
        student: fields.text("student"),
        values,
        entries,
    };
    Ok((receipt, (fields.text("chain"), chain)))
}
