//! `coldfringe lessons`: check lesson files, or begin one.

use std::fs;
use std::io::Read as _;
use std::path::{Path, PathBuf};

use anyhow::{Context as _, Result, bail};
use clap::{Args, Subcommand};
use coldfringe::lesson::report::short_report;
use coldfringe::lesson::text::course::{LessonFile, check_links, read_course};

use crate::say;
use crate::site::{counted, here_or_in_project, lesson_files, mistakes, read_lesson};

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
        let mut course = read_course(texts);
        // Links between lessons can be judged only when a whole course is looked at.
        if paths.iter().any(|path| path.is_dir()) {
            check_links(&mut course);
        }
        let (words, count) = if self.short {
            short(&course)
        } else {
            mistakes(&course)
        };
        if count > 0 {
            say::trouble(words.trim_end());
        }
        let files = counted(course.len(), "lesson file");
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
        say::line(&format!("{files}, no mistakes"));
        Ok(())
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
        let files = lesson_files(path)?;
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
