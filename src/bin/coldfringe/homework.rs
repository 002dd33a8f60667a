//! The assignments of a course: the files in the folder `homework` beside its lessons.

use std::path::Path;

use anyhow::{Result, bail};
use coldfringe::homework::template::AssignmentFile;

use crate::site::{lesson_files, read_lesson};

/// The folder of the assignments within that of the lessons.
const FOLDER: &str = "homework";

/// The assignments beside the lessons of a folder, in their order; none where there is no such
/// folder.
///
/// # Errors
/// When a file cannot be read, or two assignments have one name.
pub(crate) fn read_homework(lessons: &Path) -> Result<Vec<AssignmentFile>> {
    let folder = lessons.join(FOLDER);
    if !folder.is_dir() {
        return Ok(Vec::new());
    }
    let mut found: Vec<AssignmentFile> = Vec::new();
    for path in lesson_files(&folder)? {
        let file = AssignmentFile::read(&read_lesson(&path)?, &path.display().to_string());
        let same = |other: &&AssignmentFile| other.assignment.slug == file.assignment.slug;
        if let Some(other) = found.iter().find(same) {
            bail!(
                "`{}` and `{}` have the same slug `{}`; give one of them another",
                other.file,
                file.file,
                file.assignment.slug
            );
        }
        found.push(file);
    }
    found.sort_by(|one, other| {
        let key = |file: &AssignmentFile| (file.lesson.number, file.assignment.slug.clone());
        key(one).cmp(&key(other))
    });
    Ok(found)
}
