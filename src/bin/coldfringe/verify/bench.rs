//! What the steps share: the project's folder, native cargo calls, this command itself, the built site.

use std::path::PathBuf;
use std::process::Command;

use anyhow::Context as _;

use crate::{child, place};

/// What the steps share.
#[derive(Debug)]
pub(super) struct Bench {
    /// The project's folder.
    pub(super) project: PathBuf,
    /// This command. Asked for at the start: the tests build it anew in the same place.
    coldfringe: PathBuf,
}

impl Bench {
    /// Finds the project and this command.
    pub(super) fn set_up() -> anyhow::Result<Bench> {
        Ok(Bench {
            project: place::project()?,
            coldfringe: std::env::current_exe()
                .context("the command's own file cannot be found")?,
        })
    }

    /// A native cargo call in the project, with the toolchain that this command was started with.
    pub(super) fn cargo(&self, subcommand: &str) -> Command {
        let mut command = child::command("cargo", &self.project);
        command.arg(subcommand);
        command
    }

    /// A call of this command in the project.
    pub(super) fn coldfringe(&self) -> Command {
        child::command(&self.coldfringe, &self.project)
    }

    /// Builds the site, as `coldfringe build` does, and returns its folder.
    pub(super) fn build_site(&self) -> anyhow::Result<PathBuf> {
        let site = place::native_target()?.join("site");
        child::show(self.coldfringe().arg("build").arg("--out").arg(&site))?;
        Ok(site)
    }

    /// The folder of the site, built if it is not there: a step run alone must not fail for want of an earlier one.
    pub(super) fn site(&self) -> anyhow::Result<PathBuf> {
        let site = place::native_target()?.join("site");
        if site.join("index.html").is_file() {
            Ok(site)
        } else {
            self.build_site()
        }
    }
}
