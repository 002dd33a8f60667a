//! The `lesson` block.

use super::super::diagnostic::{Diagnostics, Mistake};
use super::super::spec::{Lesson, Step};
use super::super::text::split::RawBlock;
use super::super::text::table::{Reader, parse};
use super::is_name;

/// What the `lesson` block says; what it does not say is filled in, so that a page can be shown.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Head {
    pub(crate) slug: String,
    pub(crate) number: u32,
    pub(crate) title: String,
    pub(crate) summary: String,
    pub(crate) minutes: u32,
}

impl Head {
    /// A head made from the name of the file.
    pub(crate) fn of_file(file: &str) -> Self {
        let stem = file
            .rsplit(['/', '\\'])
            .next()
            .unwrap_or(file)
            .trim_end_matches(".md");
        let slug: String = stem
            .chars()
            .map(|letter| match letter.to_ascii_lowercase() {
                letter if letter.is_ascii_alphanumeric() => letter,
                _ => '-',
            })
            .collect();
        Self {
            slug: if is_name(&slug) {
                slug
            } else {
                "lesson".to_owned()
            },
            number: 1,
            title: stem.to_owned(),
            summary: String::new(),
            minutes: 20,
        }
    }

    /// The lesson with these steps.
    pub(crate) fn into_lesson(self, steps: Vec<Step>) -> Lesson {
        Lesson {
            slug: self.slug,
            number: self.number,
            title: self.title,
            summary: self.summary,
            minutes: self.minutes,
            steps,
        }
    }
}

/// Reads the `lesson` block into `head`, key by key.
pub(crate) fn read_head(raw: &RawBlock, head: &mut Head, diagnostics: &mut Diagnostics<'_>) {
    let Some(table) = parse(raw.body.clone(), diagnostics) else {
        return;
    };
    let mut reader = Reader::new(
        table.get_ref(),
        raw.body.start,
        raw.opening.clone(),
        "the `lesson` block",
    );
    if let Some(slug) = reader.text("slug", "\"one-slit\"", diagnostics) {
        if is_name(&slug.value) {
            head.slug = slug.value;
        } else {
            diagnostics.add(
                Mistake::BadName,
                slug.span,
                format!("`{}` cannot stand in an address", slug.value),
                "use small letters, digits and hyphens: `slug = \"one-slit\"`",
            );
        }
    }
    if let Some(number) = reader.whole("number", 1, 99, diagnostics) {
        head.number = number;
    }
    if let Some(title) = reader.text("title", "\"One slit\"", diagnostics) {
        head.title = title.value;
    }
    if let Some(summary) = reader.text("summary", "\"What the lesson is about.\"", diagnostics) {
        head.summary = summary.value;
    }
    if let Some(minutes) = reader.whole("minutes", 1, 600, diagnostics) {
        head.minutes = minutes;
    }
    reader.finish(diagnostics);
}
