//! What the steps share: the project's folder and native cargo calls.

use std::path::PathBuf;
use std::process::Command;

use crate::{child, place};

/// What the steps share.
#[derive(Debug)]
pub(super) struct Bench {
    /// The project's folder.
    pub(super) project: PathBuf,
}

impl Bench {
    /// Finds the project.
    pub(super) fn set_up() -> anyhow::Result<Bench> {
        Ok(Bench {
            project: place::project()?,
        })
    }

    /// A native cargo call in the project, with the toolchain that this command was started with.
    pub(super) fn cargo(&self, subcommand: &str) -> Command {
        let mut command = child::command("cargo", &self.project);
        command.arg(subcommand);
        command
    }
}
