//! `coldfringe build`: the static site.

use std::path::PathBuf;

use anyhow::{Result, bail};
use clap::Args;
use coldfringe::page::shell::Assets;

use crate::homework::{mistakes_of, read_homework};
use crate::say;
use crate::site::{Site, Sources, counted, mistakes, read_folder};

/// Arguments of `build`.
#[derive(Debug, Args)]
pub(crate) struct Options {
    /// Folder to write; it is made, or replaced if this command wrote it.
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    #[command(flatten)]
    sources: Sources,
}

/// Builds the site.
///
/// # Errors
/// When a lesson has mistakes, a folder cannot be read, or the site cannot be written.
pub(crate) fn execute(options: &Options) -> Result<()> {
    let folder = options.sources.lessons()?;
    let course = read_folder(&folder)?;
    let homework = read_homework(&folder)?;
    let (mut words, mut count) = mistakes(&course);
    let (more, further) = mistakes_of(&homework);
    words.push_str(&more);
    count += further;
    if count > 0 {
        say::trouble(words.trim_end());
        bail!(
            "{} in the lessons; nothing was written",
            counted(count, "mistake")
        );
    }
    let www = options.sources.www()?;
    let model = options.sources.model()?;
    let assets = Assets {
        bundle: model.bundle,
        extra_script: None,
    };
    let mut site = Site::make(
        &course,
        &homework,
        &www,
        options.sources.notes().as_deref(),
        &assets,
        &model.files,
    )?;
    site.complete();
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
