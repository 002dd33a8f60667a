//! `coldfringe lessons`: check lesson files, or begin one.

use std::fs;
use std::io::Read as _;
use std::path::{Path, PathBuf};

use anyhow::{Context as _, Result, bail};
use clap::{Args, Subcommand};
use coldfringe::homework::template::{AssignmentFile, Report, is_assignment};
use coldfringe::lesson::Diagnostic;
use coldfringe::lesson::report::short_report;
use coldfringe::lesson::text::course::{LessonFile, check_links, read_course};

use crate::say;
use crate::site::{counted, here_or_in_project, lesson_files, mistakes, read_lesson, told};

/// What to do with lesson files.
#[derive(Debug, Subcommand)]
pub(crate) enum Options {
    /// Tell every mistake with its place and mend; fails on any.
    Check(Check),
    /// Begin a lesson file with an example of what it needs.
    New(New),
}

/// Arguments of `lessons check`.
#[derive(Debug, Args)]
pub(crate) struct Check {
    /// Lesson files, folders of them, or `-` for standard input.
    /// By default the folder `lessons` here, or in the project around.
    #[arg(value_name = "PATH")]
    paths: Vec<PathBuf>,
    /// One line for each mistake, without the text around it.
    #[arg(long)]
    short: bool,
}

/// Arguments of `lessons new`.
#[derive(Debug, Args)]
pub(crate) struct New {
    /// The lesson's name in addresses: small letters, digits and hyphens.
    #[arg(value_name = "SLUG")]
    slug: String,
    /// Folder of the lesson files.
    #[arg(long, value_name = "DIR")]
    lessons: Option<PathBuf>,
}

/// Checks or begins lessons.
///
/// # Errors
/// When there is any mistake, or a file cannot be read or written.
pub(crate) fn execute(options: &Options) -> Result<()> {
    match options {
        Options::Check(check) => check.run(),
        Options::New(new) => new.run(),
    }
}

impl Check {
    fn run(&self) -> Result<()> {
        let paths = if self.paths.is_empty() {
            vec![here_or_in_project(None, "lessons")?]
        } else {
            self.paths.clone()
        };
        let mut texts = Vec::new();
        let mut unread = 0;
        for path in &paths {
            match read_path(path) {
                Ok(found) => texts.extend(found),
                Err(error) => {
                    unread += 1;
                    say::trouble(&format!("error: {error:#}"));
                }
            }
        }
        let (assignments, texts): (Vec<_>, Vec<_>) = texts
            .into_iter()
            .partition(|(_, source)| is_assignment(source));
        let checked: Vec<CheckedAssignment> = assignments
            .iter()
            .map(|(file, source)| CheckedAssignment::new(file, source))
            .collect();
        let mut course = read_course(texts);
        // Links between lessons can be judged only when a whole course is looked at.
        if paths.iter().any(|path| path.is_dir()) {
            check_links(&mut course);
        }
        let (mut words, mut count) = if self.short {
            short(&course)
        } else {
            mistakes(&course)
        };
        for file in &checked {
            words.push_str(&if self.short {
                short_report(&file.file, &file.diagnostics)
            } else {
                told(&file.source, &file.file, &file.diagnostics)
            });
            count += file.diagnostics.len();
        }
        if count > 0 {
            say::trouble(words.trim_end());
        }
        let mut files = counted(course.len(), "lesson file");
        if !checked.is_empty() {
            files = format!("{files}, {}", counted(checked.len(), "assignment"));
        }
        if unread > 0 {
            bail!(
                "{files}, {}, {} not read",
                counted(count, "mistake"),
                counted(unread, "path")
            );
        }
        if count > 0 {
            bail!("{files}, {}", counted(count, "mistake"));
        }
        for file in &checked {
            say::line(&file.words());
        }
        say::line(&format!("{files}, no mistakes"));
        Ok(())
    }
}

/// An assignment file with all that was found in it.
struct CheckedAssignment {
    file: String,
    source: String,
    diagnostics: Vec<Diagnostic>,
    report: Report,
}

impl CheckedAssignment {
    fn new(file: &str, source: &str) -> Self {
        let read = AssignmentFile::read(source, file);
        let (report, unfair) = read.check();
        let mut diagnostics = read.diagnostics;
        diagnostics.extend(unfair);
        Self {
            file: file.to_owned(),
            source: source.to_owned(),
            diagnostics,
            report,
        }
    }

    /// What was looked at.
    fn words(&self) -> String {
        let Report {
            tasks,
            computed,
            records,
            variants,
            cut,
        } = self.report;
        format!(
            "{}: {}, {variants} variants; {computed} variants of single questions{} computed{}",
            self.file,
            counted(tasks, "question"),
            if records > 0 {
                format!(" and {}", counted(records, "record"))
            } else {
                String::new()
            },
            if cut { ", not all" } else { ", which is all" }
        )
    }
}

fn short(course: &[LessonFile]) -> (String, usize) {
    let words = course
        .iter()
        .map(|file| short_report(&file.file, &file.diagnostics))
        .collect();
    let count = course.iter().map(|file| file.diagnostics.len()).sum();
    (words, count)
}

/// The lesson texts at a path: a file, a folder of files, or standard input.
fn read_path(path: &Path) -> Result<Vec<(String, String)>> {
    if path.as_os_str() == "-" {
        let mut text = String::new();
        std::io::stdin()
            .lock()
            .read_to_string(&mut text)
            .context("cannot read standard input as UTF-8 text")?;
        return Ok(vec![("standard input".to_owned(), text)]);
    }
    let files = if path.is_dir() {
        let mut files = lesson_files(path)?;
        let homework = path.join("homework");
        if homework.is_dir() {
            files.extend(lesson_files(&homework)?);
        }
        if files.is_empty() {
            bail!(
                "the folder `{}` holds no lesson (a file that ends in .md)",
                path.display()
            );
        }
        files
    } else {
        vec![path.to_path_buf()]
    };
    files
        .iter()
        .map(|file| Ok((file.display().to_string(), read_lesson(file)?)))
        .collect()
}

impl New {
    fn run(&self) -> Result<()> {
        let sound = self
            .slug
            .starts_with(|first: char| first.is_ascii_lowercase())
            && self
                .slug
                .bytes()
                .all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit() || byte == b'-');
        if !sound || self.slug.ends_with('-') || self.slug.contains("--") {
            bail!(
                "`{}` cannot be the name of a lesson; use small letters, digits and single hyphens",
                self.slug
            );
        }
        let folder = here_or_in_project(self.lessons.as_deref(), "lessons")?;
        fs::create_dir_all(&folder)
            .with_context(|| format!("cannot make the folder `{}`", folder.display()))?;
        let path = folder.join(format!("{}.md", self.slug));
        if path.exists() {
            bail!("`{}` is there already; choose another name", path.display());
        }
        let course = read_path(&folder).map(read_course).unwrap_or_default();
        let number = course
            .iter()
            .map(|file| file.lesson.number)
            .max()
            .map_or(1, |last| last.saturating_add(1));
        let text = include_str!("lessons/new_lesson.md")
            .replace("SLUG", &self.slug)
            .replace("NUMBER", &number.to_string());
        let beside = folder.join(format!(".{}.md.new", self.slug));
        fs::write(&beside, text)
            .and_then(|()| fs::rename(&beside, &path))
            .with_context(|| format!("cannot write `{}`", path.display()))?;
        say::line(&format!(
            "begun {}; see it with `coldfringe serve --watch`",
            path.display()
        ));
        Ok(())
    }
}
