//! The site: what goes where, made in memory, then written or served.

use std::collections::BTreeMap;
use std::fs;
use std::io::IsTerminal as _;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};

use anyhow::{Context as _, Result, bail};
use clap::Args;
use coldfringe::homework::template::AssignmentFile;
use coldfringe::lesson::Diagnostic;
use coldfringe::lesson::report::report;
use coldfringe::lesson::spec::Lesson;
use coldfringe::lesson::text::course::{LessonFile, check_links, read_course};
use coldfringe::page::contents::contents_page;
use coldfringe::page::lecture::lecture_page;
use coldfringe::page::lesson::{Neighbour, lesson_page};
use coldfringe::page::notes::notes_page;
use coldfringe::page::shell::{Assets, Bundle};
use coldfringe::sheet::{solutions_page, worksheet_page};
use coldfringe::workbook::page::{entry, path, workbook_page};

use crate::bundle::{self, BundleNames, Form};
use crate::place;

/// Where the sources of the site are.
#[derive(Debug, Clone, Args)]
pub(crate) struct Sources {
    /// Folder of the lesson files [default: `lessons` here, or in the project around].
    #[arg(long, value_name = "DIR")]
    lessons: Option<PathBuf>,
    /// Folder of the files served as written: style, start-up script, icons [default: `www`].
    #[arg(long, value_name = "DIR")]
    www: Option<PathBuf>,
    /// Folder of the presenter's notes, a file `SLUG.md` for each lesson [default: `docs/notes`].
    #[arg(long, value_name = "DIR")]
    notes: Option<PathBuf>,
    /// Leave the compiled model out: the pages can be read, nothing on them is live.
    #[arg(long)]
    without_model: bool,
}

impl Sources {
    /// Folder of the lesson files.
    pub(crate) fn lessons(&self) -> Result<PathBuf> {
        here_or_in_project(self.lessons.as_deref(), "lessons")
    }

    /// Folder of the files served as written.
    pub(crate) fn www(&self) -> Result<PathBuf> {
        here_or_in_project(self.www.as_deref(), "www")
    }

    /// Folder of the presenter's notes. It may be missing: a lecture can be given without notes.
    pub(crate) fn notes(&self) -> Option<PathBuf> {
        here_or_in_project(self.notes.as_deref(), "docs/notes").ok()
    }

    /// The compiled model: its names, and its files for `assets/`. Built if anything changed.
    pub(crate) fn model(&self, form: Form) -> Result<Model> {
        if self.without_model {
            return Ok(Model::default());
        }
        let shelf = place::native_target()?.join(match form {
            Form::Module => "site-assets",
            Form::Classic => "one-file-assets",
        });
        let bundles = bundle::build(&shelf, form).context(
            "the model could not be compiled for the browser (`--without-model` makes pages that can only be read)",
        )?;
        let mut files = Vec::new();
        for names in [&bundles.page, &bundles.homework, &bundles.worker] {
            for name in [&names.script, &names.wasm] {
                let path = shelf.join(name);
                let bytes =
                    fs::read(&path).with_context(|| format!("cannot read `{}`", path.display()))?;
                files.push((name.clone(), bytes));
            }
        }
        let worker = bundles.worker.script.trim_end_matches(".js");
        let bundle = |names: BundleNames| Bundle {
            script: names.script,
            wasm: names.wasm,
            worker: worker.to_owned(),
        };
        Ok(Model {
            bundle: Some(bundle(bundles.page)),
            homework: Some(bundle(bundles.homework)),
            files,
        })
    }
}

/// The folder that was named, or the one of that name here, or the one in the project around.
pub(crate) fn here_or_in_project(named: Option<&Path>, name: &str) -> Result<PathBuf> {
    if let Some(named) = named {
        return Ok(named.to_path_buf());
    }
    let here = PathBuf::from(name);
    if here.is_dir() {
        return Ok(here);
    }
    Ok(place::project()?.join(name))
}

/// The compiled model for the browser.
#[derive(Debug, Clone, Default)]
pub(crate) struct Model {
    /// The names of its files; none when it is left out.
    pub(crate) bundle: Option<Bundle>,
    /// The same for the pages of assignments.
    pub(crate) homework: Option<Bundle>,
    /// The files, for `assets/`.
    pub(crate) files: Vec<(String, Vec<u8>)>,
}

impl Model {
    /// What pages with this model load.
    pub(crate) fn assets(&self) -> Assets {
        Assets {
            bundle: self.bundle.clone(),
            homework: self.homework.clone(),
            ..Assets::default()
        }
    }
}

/// The files of the site by their path from its root, e.g. `lessons/one-slit/index.html`.
#[derive(Debug, Default)]
pub(crate) struct Site {
    pub(crate) files: BTreeMap<String, Vec<u8>>,
    /// Those that are made when they are asked for.
    sheets: BTreeMap<String, Sheet>,
}

/// The file that marks a folder as written by this command, so that it may be replaced.
const MARK: &str = ".coldfringe-site";

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
        for (name, bytes) in files_under(www)? {
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

    /// Writes the site into a folder: beside it first, then by renaming, so that nobody ever sees
    /// half of it. A folder with other things in it is not touched.
    pub(crate) fn write(&self, out: &Path) -> Result<()> {
        let name = out
            .file_name()
            .with_context(|| format!("`{}` is not the name of a folder", out.display()))?
            .to_string_lossy()
            .into_owned();
        if out.exists() && !may_replace(out)? {
            bail!(
                "`{}` holds files that are not a built notebook; choose an empty folder, or a new name",
                out.display()
            );
        }
        let parent = match out.parent() {
            Some(parent) if !parent.as_os_str().is_empty() => parent.to_path_buf(),
            _ => PathBuf::from("."),
        };
        fs::create_dir_all(&parent)
            .with_context(|| format!("cannot make the folder `{}`", parent.display()))?;
        let beside = parent.join(format!(".{name}.new-{}", std::process::id()));
        let old = parent.join(format!(".{name}.old-{}", std::process::id()));
        let written = self.write_files(&beside).and_then(|()| {
            if out.exists() {
                fs::rename(out, &old)
                    .with_context(|| format!("cannot replace `{}`", out.display()))?;
            }
            fs::rename(&beside, out).with_context(|| format!("cannot write `{}`", out.display()))
        });
        if written.is_err() {
            // Put back what was there, and leave nothing half-written.
            if old.exists() && !out.exists() {
                let _kept = fs::rename(&old, out);
            }
            let _gone = fs::remove_dir_all(&beside);
            return written;
        }
        if old.exists() {
            fs::remove_dir_all(&old)
                .with_context(|| format!("cannot remove `{}`", old.display()))?;
        }
        Ok(())
    }

    fn write_files(&self, folder: &Path) -> Result<()> {
        for (path, bytes) in &self.files {
            let file = folder.join(path);
            if let Some(parent) = file.parent() {
                fs::create_dir_all(parent)
                    .with_context(|| format!("cannot make the folder `{}`", parent.display()))?;
            }
            fs::write(&file, bytes)
                .with_context(|| format!("cannot write `{}`", file.display()))?;
        }
        fs::write(folder.join(MARK), "written by coldfringe build\n")
            .with_context(|| format!("cannot write into `{}`", folder.display()))
    }
}

/// A sheet on paper: computed when it is asked for, since some curves take seconds.
#[derive(Debug, Clone)]
struct Sheet {
    lesson: Arc<Lesson>,
    is_solutions: bool,
    assets: Assets,
}

/// Sheets made so far, by path, with the lesson they were made of: while lessons are written, only
/// a changed one is computed again.
static MADE: Mutex<BTreeMap<String, Made>> = Mutex::new(BTreeMap::new());

/// The lesson that a sheet was made of, and the sheet.
type Made = (Arc<Lesson>, Vec<u8>);

impl Sheet {
    fn bytes(&self, path: &str) -> Vec<u8> {
        if let Ok(made) = MADE.lock()
            && let Some((lesson, bytes)) = made.get(path)
            && *lesson == self.lesson
        {
            return bytes.clone();
        }
        let make = if self.is_solutions {
            solutions_page
        } else {
            worksheet_page
        };
        let bytes = make(&self.lesson, &self.assets).into_bytes();
        if let Ok(mut made) = MADE.lock() {
            made.insert(path.to_owned(), (Arc::clone(&self.lesson), bytes.clone()));
        }
        bytes
    }
}

/// Whether a folder is empty or was written by this command.
fn may_replace(folder: &Path) -> Result<bool> {
    if !folder.is_dir() {
        return Ok(false);
    }
    if folder.join(MARK).is_file() {
        return Ok(true);
    }
    let mut entries = fs::read_dir(folder)
        .with_context(|| format!("cannot read the folder `{}`", folder.display()))?;
    Ok(entries.next().is_none())
}

/// Every file under a folder by its path from there with `/`, hidden ones left out.
fn files_under(folder: &Path) -> Result<Vec<(String, Vec<u8>)>> {
    let mut found = Vec::new();
    let mut waiting = vec![(folder.to_path_buf(), String::new())];
    while let Some((here, prefix)) = waiting.pop() {
        let entries = fs::read_dir(&here).with_context(|| {
            format!(
                "cannot read the folder `{}`; run from the project's folder or name it",
                here.display()
            )
        })?;
        for entry in entries {
            let entry = entry.with_context(|| format!("cannot read `{}`", here.display()))?;
            let name = entry.file_name().to_string_lossy().into_owned();
            if name.starts_with('.') {
                continue;
            }
            let path = entry.path();
            let place = format!("{prefix}{name}");
            if path.is_dir() {
                waiting.push((path, format!("{place}/")));
            } else {
                let bytes =
                    fs::read(&path).with_context(|| format!("cannot read `{}`", path.display()))?;
                found.push((place, bytes));
            }
        }
    }
    found.sort();
    Ok(found)
}

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
fn read_notes(folder: Option<&Path>, slug: &str) -> Result<Option<String>> {
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
