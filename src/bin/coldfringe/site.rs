//! The site: what goes where, made in memory, then written or served.

mod folder;
mod reading;
mod sheet;
mod sources;

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;

use anyhow::Result;
use coldfringe::homework::template::AssignmentFile;
use coldfringe::lesson::text::course::LessonFile;
use coldfringe::page::contents::contents_page;
use coldfringe::page::lecture::lecture_page;
use coldfringe::page::lesson::{Neighbour, lesson_page};
use coldfringe::page::notes::notes_page;
use coldfringe::page::shell::Assets;
use coldfringe::workbook::page::{entry, path, workbook_page};

use crate::served;
use reading::read_notes;
pub(crate) use reading::{counted, lesson_files, mistakes, read_folder, read_lesson, told};
use sheet::Sheet;
pub(crate) use sources::{Model, Sources, here_or_in_project};

/// The files of the site by their path from its root, e.g. `lessons/one-slit/index.html`.
#[derive(Debug, Default)]
pub(crate) struct Site {
    pub(crate) files: BTreeMap<String, Vec<u8>>,
    /// Those that are made when they are asked for.
    sheets: BTreeMap<String, Sheet>,
}

impl Site {
    /// The pages of a course and everything in `www`; `more` are further files of `assets/`.
    pub(crate) fn make(
        course: &[LessonFile],
        homework: &[AssignmentFile],
        www: &Path,
        notes: Option<&Path>,
        assets: &Assets,
        more: &[(String, Vec<u8>)],
    ) -> Result<Self> {
        let mut site = Self::default();
        let lessons: Vec<_> = course.iter().map(|file| &file.lesson).collect();
        let listed: Vec<_> = homework.iter().map(entry).collect();
        site.put("index.html", contents_page(&lessons, &listed, assets));
        for file in homework {
            site.put(&path(&file.assignment), workbook_page(file, assets));
        }
        for (index, lesson) in lessons.iter().enumerate() {
            let previous = index.checked_sub(1).and_then(|before| lessons.get(before));
            let next = lessons.get(index + 1);
            let page = lesson_page(
                lesson,
                previous.map(|lesson| Neighbour::of(lesson)),
                next.map(|lesson| Neighbour::of(lesson)),
                assets,
            );
            let folder = format!("lessons/{}", lesson.slug);
            site.put(&format!("{folder}/index.html"), page);
            site.put(
                &format!("{folder}/lecture.html"),
                lecture_page(lesson, assets),
            );
            let notes = read_notes(notes, &lesson.slug)?;
            let page = notes_page(lesson, notes.as_deref(), assets);
            site.put(&format!("{folder}/notes.html"), page);
        }
        for lesson in &lessons {
            let lesson = Arc::new((*lesson).clone());
            for (name, is_solutions) in [("worksheet", false), ("solutions", true)] {
                let sheet = Sheet {
                    lesson: Arc::clone(&lesson),
                    is_solutions,
                    assets: assets.clone(),
                };
                let path = format!("lessons/{}/{name}.html", lesson.slug);
                site.sheets.insert(path, sheet);
            }
        }
        for (name, bytes) in served::files(www)? {
            site.files.insert(format!("assets/{name}"), bytes);
        }
        for (name, bytes) in more {
            site.files.insert(format!("assets/{name}"), bytes.clone());
        }
        Ok(site)
    }

    /// A file of the site; made now if it was not yet.
    pub(crate) fn file(&self, path: &str) -> Option<Vec<u8>> {
        match self.files.get(path) {
            Some(bytes) => Some(bytes.clone()),
            None => self.sheets.get(path).map(|sheet| sheet.bytes(path)),
        }
    }

    /// Makes everything that was left for later, side by side.
    pub(crate) fn complete(&mut self) {
        let sheets = std::mem::take(&mut self.sheets);
        std::thread::scope(|scope| {
            let working: Vec<_> = sheets
                .iter()
                .map(|(path, sheet)| (path, scope.spawn(|| sheet.bytes(path))))
                .collect();
            for (path, work) in working {
                if let Ok(bytes) = work.join() {
                    self.files.insert(path.clone(), bytes);
                }
            }
        });
    }

    /// Puts a page in.
    pub(crate) fn put(&mut self, path: &str, text: String) {
        self.files.insert(path.to_owned(), text.into_bytes());
    }
}
