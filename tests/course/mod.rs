//! The lessons and the assignments of the course, as the tests read them.

#![allow(
    dead_code,
    clippy::unwrap_used,
    reason = "each test file uses its share; a test stops at the first surprise"
)]

use std::path::PathBuf;
use std::sync::LazyLock;

use coldfringe::homework::template::AssignmentFile;
use coldfringe::lesson::spec::Lesson;
use coldfringe::lesson::text::course::{check_links, read_course};

/// The lesson files of a folder of the project, in the order of their names.
pub(crate) fn files(folder: &str) -> Vec<PathBuf> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(folder);
    let mut files: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "md"))
        .collect();
    files.sort();
    files
}

/// Every lesson in order, without a mistake. Reading them computes every answer and every number
/// in their texts, so it is done once for all tests of a file.
pub(crate) fn lessons() -> &'static [Lesson] {
    static LESSONS: LazyLock<Vec<Lesson>> = LazyLock::new(|| {
        let texts = files("lessons")
            .into_iter()
            .map(|path| {
                let text = std::fs::read_to_string(&path).unwrap();
                (path.display().to_string(), text)
            })
            .collect();
        let mut course = read_course(texts);
        check_links(&mut course);
        course
            .into_iter()
            .map(|file| {
                let mistakes = &file.diagnostics;
                assert!(mistakes.is_empty(), "{}: {mistakes:#?}", file.file);
                file.lesson
            })
            .collect()
    });
    &LESSONS
}

/// The file of an assignment, by its slug.
pub(crate) fn assignment_path(slug: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(format!("lessons/homework/{slug}.md"))
}

/// Every assignment in the order of the files' names, without a mistake.
pub(crate) fn assignments() -> &'static [AssignmentFile] {
    static ASSIGNMENTS: LazyLock<Vec<AssignmentFile>> = LazyLock::new(|| {
        let all: Vec<_> = files("lessons/homework")
            .into_iter()
            .map(|path| {
                let source = std::fs::read_to_string(&path).unwrap();
                let file = AssignmentFile::read(&source, &path.display().to_string());
                let mistakes = &file.diagnostics;
                assert!(mistakes.is_empty(), "{}: {mistakes:#?}", file.file);
                file
            })
            .collect();
        assert!(all.len() >= 2);
        all
    });
    &ASSIGNMENTS
}

/// An assignment, by its slug.
pub(crate) fn assignment(slug: &str) -> &'static AssignmentFile {
    let mut all = assignments().iter();
    all.find(|file| file.assignment.slug == slug).unwrap()
}
