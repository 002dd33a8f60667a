//! `coldfringe build`: the static site, or its pages as single files.

use std::path::PathBuf;

use anyhow::{Result, bail};
use clap::Args;
use coldfringe::homework::template::AssignmentFile;
use coldfringe::lesson::text::course::LessonFile;
use coldfringe::page::contents::contents_page;
use coldfringe::page::shell::Assets;
use coldfringe::workbook::page::entry;

use crate::bundle::Form;
use crate::offline;
use crate::one_file::{Luggage, one_file};
use crate::say;
use crate::site::{Model, Site, Sources, counted};
use crate::texts::Texts;

/// Arguments of `build`.
#[derive(Debug, Args)]
pub(crate) struct Options {
    /// Folder to write; it is made, or replaced if this command wrote it.
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    /// Write every page as one file with everything in it, to be opened from disk by a double click.
    #[arg(long)]
    single_file: bool,
    #[command(flatten)]
    sources: Sources,
}

/// The lessons and the assignments of a course, if none has a mistake.
///
/// # Errors
/// When one has mistakes, which are told, or a folder cannot be read.
pub(crate) fn faultless(sources: &Sources) -> Result<(Vec<LessonFile>, Vec<AssignmentFile>)> {
    let texts = Texts::read(sources)?;
    if texts.mistakes > 0 {
        bail!(
            "{} in the lessons; nothing was written",
            counted(texts.mistakes, "mistake")
        );
    }
    Ok((texts.course, texts.homework))
}

/// Builds the site.
///
/// # Errors
/// When a lesson has mistakes, a folder cannot be read, or the site cannot be written.
pub(crate) fn execute(options: &Options) -> Result<()> {
    let (course, homework) = faultless(&options.sources)?;
    let form = if options.single_file {
        Form::Classic
    } else {
        Form::Module
    };
    let model = options.sources.model(form)?;
    let (mut assets, mut more) = (model.assets(), model.files.clone());
    if !options.single_file {
        assets.extra_script = Some(offline::SCRIPT.to_owned());
        more.push((offline::SCRIPT.to_owned(), offline::SCRIPT_TEXT.into()));
    }
    let mut site = Site::make(
        &course,
        &homework,
        &options.sources.www()?,
        options.sources.notes().as_deref(),
        &assets,
        &more,
    )?;
    if options.single_file {
        // From disk, not every browser lets one page see what another one keeps: the list of pages says nothing of it.
        let lessons: Vec<_> = course.iter().map(|file| &file.lesson).collect();
        let homework: Vec<_> = homework.iter().map(entry).collect();
        site.put(
            "index.html",
            contents_page(&lessons, &homework, &Assets::default()),
        );
    }
    site.complete();
    if options.single_file {
        site = single_files(&site, &model)?;
    } else {
        offline::add_keeper(&mut site);
    }
    site.write(&options.out)?;
    say::line(&format!(
        "{}, {}, {} written to {}",
        counted(course.len(), "lesson"),
        counted(homework.len(), "assignment"),
        counted(site.files.len(), "file"),
        options.out.display()
    ));
    Ok(())
}

/// Every page of a site as one file, in one folder.
fn single_files(site: &Site, model: &Model) -> Result<Site> {
    let luggage = Luggage::pack(model, None)?;
    let name = |path: &str| site.files.contains_key(path).then(|| flat(path));
    let mut files = Site::default();
    for path in site.files.keys().filter(|path| path.ends_with(".html")) {
        files.put(&flat(path), one_file(site, path, luggage.as_ref(), name)?);
    }
    Ok(files)
}

/// The name of a page in one folder with all others: `lessons/one-slit/lecture.html` is `one-slit-lecture.html`.
fn flat(path: &str) -> String {
    path.strip_prefix("lessons/")
        .unwrap_or(path)
        .replace("/index.html", ".html")
        .replace('/', "-")
}
