//! The texts of a course, lessons and assignments, as `build`, `pack` and `serve` take them in.

use anyhow::Result;
use coldfringe::homework::template::AssignmentFile;
use coldfringe::lesson::text::course::LessonFile;

use crate::homework::read_homework;
use crate::say;
use crate::site::{Sources, mistakes, read_folder, told};

/// What was read.
#[derive(Debug)]
pub(crate) struct Texts {
    /// The lessons.
    pub(crate) course: Vec<LessonFile>,
    /// The assignments beside them.
    pub(crate) homework: Vec<AssignmentFile>,
    /// How many mistakes are in them.
    pub(crate) mistakes: usize,
}

impl Texts {
    /// Reads the lessons and the assignments, and tells their mistakes.
    ///
    /// # Errors
    /// When a folder or a file cannot be read.
    pub(crate) fn read(sources: &Sources) -> Result<Self> {
        let folder = sources.lessons()?;
        let course = read_folder(&folder)?;
        let homework = read_homework(&folder)?;
        let (mut words, mut count) = mistakes(&course);
        for file in &homework {
            words.push_str(&told(&file.source, &file.file, &file.diagnostics));
            count += file.diagnostics.len();
        }
        if count > 0 {
            say::trouble(words.trim_end());
        }
        Ok(Self {
            course,
            homework,
            mistakes: count,
        })
    }
}
