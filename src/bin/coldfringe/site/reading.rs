//! Reading the files of a course, and telling their mistakes.

use std::fs;
use std::io::IsTerminal as _;
use std::path::{Path, PathBuf};

use anyhow::{Context as _, Result, bail};
use coldfringe::lesson::Diagnostic;
use coldfringe::lesson::report::report;
use coldfringe::lesson::text::course::{LessonFile, check_links, read_course};

/// The lesson files of a folder, by name.
pub(crate) fn lesson_files(folder: &Path) -> Result<Vec<PathBuf>> {
    let entries = fs::read_dir(folder).with_context(|| {
        format!(
            "cannot read the folder `{}`; run from the project's folder, or name the folder of the lessons",
            folder.display()
        )
    })?;
    let mut files = Vec::new();
    for entry in entries {
        let path = entry
            .with_context(|| format!("cannot read `{}`", folder.display()))?
            .path();
        let hidden = path
            .file_name()
            .is_some_and(|name| name.to_string_lossy().starts_with('.'));
        if path.extension().is_some_and(|ending| ending == "md") && !hidden && path.is_file() {
            files.push(path);
        }
    }
    files.sort();
    Ok(files)
}

/// Reads every lesson of a folder as one course.
pub(crate) fn read_folder(folder: &Path) -> Result<Vec<LessonFile>> {
    let mut texts = Vec::new();
    for path in lesson_files(folder)? {
        texts.push((path.display().to_string(), read_lesson(&path)?));
    }
    if texts.is_empty() {
        bail!(
            "the folder `{}` holds no lesson (a file that ends in .md); begin one with `coldfringe lessons new NAME`",
            folder.display()
        );
    }
    let mut course = read_course(texts);
    check_links(&mut course);
    Ok(course)
}

/// The presenter's notes of a lesson, if there are any.
pub(super) fn read_notes(folder: Option<&Path>, slug: &str) -> Result<Option<String>> {
    match folder.map(|folder| folder.join(format!("{slug}.md"))) {
        Some(path) if path.is_file() => read_lesson(&path).map(Some),
        _ => Ok(None),
    }
}

/// The text of one lesson file.
pub(crate) fn read_lesson(path: &Path) -> Result<String> {
    let bytes =
        fs::read(path).with_context(|| format!("cannot read the lesson `{}`", path.display()))?;
    String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        anyhow::anyhow!(
            "`{}` is not UTF-8 text (byte {at} is at fault); save it as UTF-8",
            path.display()
        )
    })
}

/// The mistakes of a course as words for the terminal, and how many there are.
pub(crate) fn mistakes(course: &[LessonFile]) -> (String, usize) {
    let words = course
        .iter()
        .map(|file| told(&file.source, &file.file, &file.diagnostics))
        .collect();
    let count = course.iter().map(|file| file.diagnostics.len()).sum();
    (words, count)
}

/// The mistakes of one file as words for the terminal, in colour where it shows any.
pub(crate) fn told(source: &str, file: &str, mistakes: &[Diagnostic]) -> String {
    let colour = std::io::stderr().is_terminal() && std::env::var_os("NO_COLOR").is_none();
    report(source, file, mistakes, colour)
}

/// A number of things in words: `1 lesson`, `2 lessons`.
pub(crate) fn counted(number: usize, thing: &str) -> String {
    if number == 1 {
        format!("1 {thing}")
    } else {
        format!("{number} {thing}s")
    }
}
