//! The parts of the library that are compiled apart, and how.

use std::path::PathBuf;

use crate::place;

/// A part of the library, compiled apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Part {
    /// What every page of a lesson fetches: small first.
    Page,
    /// What the page of an assignment fetches: the same, with the student's numbers, receipts and marks.
    Homework,
    /// What computes in the background: fast first.
    Worker,
}

impl Part {
    /// The profile in the manifest. Each part has its own, and so a folder of its own: flags never change within one, and
    /// both can be built at the same time.
    pub(super) fn profile(self) -> &'static str {
        match self {
            Self::Page => "wasm",
            Self::Homework => "wasm-homework",
            Self::Worker => "wasm-worker",
        }
    }

    /// Compiler flags.
    pub(super) fn flags(self) -> &'static [&'static str] {
        match self {
            // The digest's rounds in a loop instead of written out.
            Self::Page => &[
                "--cfg",
                "coldfringe_part=\"page\"",
                "--cfg",
                "coldfringe_without_homework",
                "--cfg",
                "sha2_backend_soft=\"compact\"",
            ],
            Self::Homework => &[
                "--cfg",
                "coldfringe_part=\"page\"",
                "--cfg",
                "sha2_backend_soft=\"compact\"",
            ],
            // Two numbers at a time: every browser that runs module workers can do that.
            Self::Worker => &[
                "--cfg",
                "coldfringe_part=\"worker\"",
                "-C",
                "target-feature=+simd128",
            ],
        }
    }

    /// What kind of library is compiled: every kind in the manifest, or one.
    pub(super) fn library(self) -> &'static [&'static str] {
        match self {
            // For the browser alone: beside a library for Rust, an eighth more would be kept for other crates to call.
            Self::Page | Self::Homework => &["--crate-type", "cdylib"],
            // Fast first, the same makes this one a tenth larger: more is written out in its callers.
            Self::Worker => &[],
        }
    }

    /// What its files are called, before the digest.
    pub(crate) fn name(self) -> &'static str {
        match self {
            Self::Page => "coldfringe",
            Self::Homework => "coldfringe-homework",
            Self::Worker => "coldfringe-worker",
        }
    }

    /// What it is, in words.
    pub(super) fn words(self) -> &'static str {
        match self {
            Self::Page => "the page's code",
            Self::Homework => "the code of an assignment's page",
            Self::Worker => "the code that computes in the background",
        }
    }

    /// The folder of its finished files.
    pub(super) fn shelf(self, form: Form) -> Result<PathBuf, place::PlaceError> {
        let name = match form {
            Form::Module => self.profile().to_owned(),
            Form::Classic => format!("{}-classic", self.profile()),
        };
        Ok(place::wasm_target()?.join("bundle").join(name))
    }
}

/// How the script of a bundle is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Form {
    /// As a module, which a served page imports.
    Module,
    /// As a classic script that defines `wasm_bindgen`, for pages in one file: from disk, no page may import anything.
    Classic,
}
