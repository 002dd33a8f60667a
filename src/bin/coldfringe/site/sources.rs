//! Where the site comes from: the folders of its sources, and the compiled model.

use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context as _, Result};
use clap::Args;
use coldfringe::page::shell::{Assets, Bundle};

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
