//! A course: several lesson files, and what must agree between them.

use pulldown_cmark::{Event, Parser, Tag};

use super::super::diagnostic::{Diagnostic, Diagnostics, Mistake};
use super::super::spec::{Lesson, Part};
use super::nearest::suggestion;
use super::prose::{LinkKind, link_kind, options};
use super::{lesson_block, parse};

/// One lesson file, read.
#[derive(Debug, Clone, PartialEq)]
pub struct LessonFile {
    /// Its name, as shown in messages.
    pub file: String,
    /// Its text.
    pub source: String,
    /// The lesson.
    pub lesson: Lesson,
    /// Its mistakes, in the order of the file.
    pub diagnostics: Vec<Diagnostic>,
}

/// Reads lesson files, given as name and text, and compares them: slugs and numbers must differ.
/// Sorted by number, then by name.
#[must_use]
pub fn read_course(files: Vec<(String, String)>) -> Vec<LessonFile> {
    let mut course: Vec<LessonFile> = files
        .into_iter()
        .map(|(file, source)| {
            let (lesson, diagnostics) = parse(&source, &file);
            LessonFile {
                file,
                source,
                lesson,
                diagnostics,
            }
        })
        .collect();
    course.sort_by(|a, b| (a.lesson.number, &a.file).cmp(&(b.lesson.number, &b.file)));
    for later in 1..course.len() {
        let (before, rest) = course.split_at_mut(later);
        let Some(current) = rest.first_mut() else {
            break;
        };
        if let Some(first) = before
            .iter()
            .find(|first| first.lesson.slug == current.lesson.slug)
        {
            let message = format!(
                "the slug `{}` is used by `{}` as well",
                current.lesson.slug, first.file
            );
            current.tell(Mistake::DuplicateSlug, message, "choose another slug");
        }
        if let Some(first) = before
            .iter()
            .find(|first| first.lesson.number == current.lesson.number)
        {
            let message = format!(
                "the number {} is used by `{}` as well",
                current.lesson.number, first.file
            );
            current.tell(Mistake::DuplicateNumber, message, "choose another number");
        }
    }
    course
}

/// Tells links to lessons that are not in the course. Only meaningful for a whole course, not for
/// a few files of it.
pub fn check_links(course: &mut [LessonFile]) {
    let slugs: Vec<String> = course.iter().map(|file| file.lesson.slug.clone()).collect();
    let known: Vec<&str> = slugs.iter().map(String::as_str).collect();
    for file in course {
        let targets: Vec<(String, String)> = prose_of(&file.lesson)
            .iter()
            .flat_map(|text| lesson_links(text))
            .filter(|(slug, _)| !known.contains(&slug.as_str()))
            .collect();
        for (slug, target) in targets {
            let at = file.source.find(&target).unwrap_or(0);
            let mut diagnostics = Diagnostics::new(&file.source);
            diagnostics.add(
                Mistake::BrokenLink,
                at..at + target.len(),
                format!("there is no lesson `{slug}` in this course"),
                suggestion(&slug, &known),
            );
            file.diagnostics.extend(diagnostics.finish());
        }
    }
}

impl LessonFile {
    fn tell(&mut self, mistake: Mistake, message: String, mend: &str) {
        let span = lesson_block(&self.source).unwrap_or(0..0);
        let mut diagnostics = Diagnostics::new(&self.source);
        diagnostics.add(mistake, span, message, mend);
        self.diagnostics.extend(diagnostics.finish());
        self.diagnostics
            .sort_by_key(|diagnostic| diagnostic.span.start);
    }
}

/// Every running text of a lesson.
fn prose_of(lesson: &Lesson) -> Vec<&str> {
    lesson
        .steps
        .iter()
        .flat_map(|step| &step.parts)
        .filter_map(|part| match part {
            Part::Prose(text) | Part::Caution(text) => Some(text.as_str()),
            _ => None,
        })
        .collect()
}

/// The links `../SLUG/` of a text: slug and whole target.
fn lesson_links(text: &str) -> Vec<(String, String)> {
    Parser::new_ext(text, options())
        .filter_map(|event| match event {
            Event::Start(Tag::Link { dest_url, .. }) => match link_kind(&dest_url) {
                LinkKind::Lesson { slug, .. } => Some((slug, dest_url.to_string())),
                _ => None,
            },
            _ => None,
        })
        .collect()
}
