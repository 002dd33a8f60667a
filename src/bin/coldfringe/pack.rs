//! `coldfringe pack`: packages for a course system, one for each lesson and each assignment.
//!
//! A package is a page in one file, with a small script that speaks with the system's run-time, and a manifest. So nothing
//! in it depends on how the system serves files: no module, no wasm of its own kind, no path.

mod manifest;

use std::io::{Cursor, Write as _};
use std::path::PathBuf;

use anyhow::{Context as _, Result};
use clap::{Args, ValueEnum};
use coldfringe::page::shell::Assets;
use coldfringe::workbook;
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, ZipWriter};

use crate::build::faultless;
use crate::bundle::Form;
use crate::one_file::{Luggage, one_file};
use crate::say;
use crate::site::{Site, Sources, counted};
use manifest::{Contents, NAME, manifest};

/// The script that speaks with the run-time: a function that wants to know the version.
const HANDOVER: &str = include_str!("pack/handover.js");

/// The page of a package.
const PAGE: &str = "index.html";

/// Arguments of `pack`.
#[derive(Debug, Args)]
pub(crate) struct Options {
    /// The standard that the course system takes.
    #[arg(long, value_enum, value_name = "VERSION")]
    scorm: Scorm,
    /// Folder to write, a zip file for each lesson and assignment; it is made, or replaced if this command wrote it.
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    #[command(flatten)]
    sources: Sources,
}

/// The standard of a package.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Scorm {
    /// SCORM 1.2, which nearly every course system takes.
    #[value(name = "1.2")]
    V12,
    /// SCORM 2004, 3rd Edition: more room for a student's work.
    #[value(name = "2004")]
    V2004,
}

/// Writes the packages.
///
/// # Errors
/// When a lesson has mistakes, a folder cannot be read, or the packages cannot be written; then nothing is written.
pub(crate) fn execute(options: &Options) -> Result<()> {
    let (course, homework) = faultless(&options.sources)?;
    let model = options.sources.model(Form::Classic)?;
    let assets = Assets {
        alone: true,
        ..model.assets()
    };
    let site = Site::make(
        &course,
        &homework,
        &options.sources.www()?,
        None,
        &assets,
        &[],
    )?;
    let script = format!(
        "{HANDOVER}coldfringeHandOver({});\n",
        options.scorm == Scorm::V2004
    );
    let luggage = Luggage::pack(&model, Some(&script))?;
    let lessons = course.iter().map(|file| {
        let lesson = &file.lesson;
        (
            lesson.slug.clone(),
            lesson.title.as_str(),
            format!("lessons/{}/index.html", lesson.slug),
        )
    });
    let assignments = homework.iter().map(|file| {
        let assignment = &file.assignment;
        (
            format!("homework-{}", assignment.slug),
            assignment.title.as_str(),
            workbook::page::path(assignment),
        )
    });
    let mut packages = Site::default();
    for (slug, title, path) in lessons.chain(assignments) {
        let page = one_file(&site, &path, luggage.as_ref(), |_| None)?;
        let contents = Contents {
            name: &format!("coldfringe-{slug}"),
            title,
            page: PAGE,
            speaks: luggage.is_some(),
        };
        let files = [(NAME, manifest(options.scorm, contents)), (PAGE, page)];
        let package = zipped(&files).with_context(|| format!("the package of `{slug}`"))?;
        packages.files.insert(format!("{slug}.zip"), package);
    }
    packages.write(&options.out)?;
    say::line(&format!(
        "{} written to {}",
        counted(packages.files.len(), "package"),
        options.out.display()
    ));
    Ok(())
}

/// Files as one zip file. The same files give the same bytes: no time is in it, and the order is the given one.
fn zipped(files: &[(&str, String)]) -> Result<Vec<u8>> {
    let options = SimpleFileOptions::default()
        .compression_method(CompressionMethod::Deflated)
        .last_modified_time(DateTime::default())
        .unix_permissions(0o644);
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, text) in files {
        writer.start_file(*name, options)?;
        writer.write_all(text.as_bytes())?;
    }
    Ok(writer.finish()?.into_inner())
}
