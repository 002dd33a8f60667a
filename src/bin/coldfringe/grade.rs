//! `coldfringe grade`: receipts to marks, or an invented class to try it with.

mod collect;
mod page;

use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context as _, Result, bail};
use clap::{Args, ValueEnum};
use coldfringe::homework::demo;
use coldfringe::homework::grading::{Flag, Grader, Keep, Row};
use coldfringe::homework::identifier::Identifier;
use coldfringe::homework::template::AssignmentFile;
use coldfringe::homework::{roster, table};

use crate::site::{counted, read_lesson, told};
use crate::{say, write};

/// Arguments of `grade`.
#[derive(Debug, Args)]
pub(crate) struct Options {
    /// The assignment file.
    #[arg(long, value_name = "FILE")]
    assignment: PathBuf,
    /// Receipts, and folders of them.
    #[arg(value_name = "RECEIPT", required_unless_present = "demo_class")]
    receipts: Vec<PathBuf>,
    /// Where the marks go (CSV). Beside them, a class report is written as CSV and as a page. With
    /// `--demo-class`, the folder for its receipts.
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// Everybody who should hand in: a text file with one identifier a line, or a CSV file with
    /// the identifiers in its first column.
    #[arg(long, value_name = "FILE")]
    roster: Option<PathBuf>,
    /// Which of several receipts of one student counts.
    #[arg(long, value_enum, default_value_t = KeepWord::Best)]
    keep: KeepWord,
    /// Instead of marking, write the receipts of an invented class of so many students.
    #[arg(long, value_name = "N", conflicts_with_all = ["receipts", "roster"])]
    demo_class: Option<usize>,
}

/// Words for [`Keep`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum KeepWord {
    /// The one with most points.
    Best,
    /// The one with most entries.
    Longest,
}

/// Marks receipts, or invents some.
///
/// # Errors
/// When the assignment cannot be used, or the results cannot be written. A receipt that cannot be
/// used is no error: its row says so.
pub(crate) fn execute(options: &Options) -> Result<()> {
    let file = read_assignment(&options.assignment)?;
    match options.demo_class {
        Some(count) => invent(&file, count, &options.out),
        None => grade(&file, options),
    }
}

fn read_assignment(path: &Path) -> Result<AssignmentFile> {
    let source = read_lesson(path)?;
    let file = AssignmentFile::read(&source, &path.display().to_string());
    if !file.diagnostics.is_empty() {
        say::trouble(told(&source, &file.file, &file.diagnostics).trim_end());
        bail!(
            "`{}` cannot be marked by: {}",
            path.display(),
            counted(file.diagnostics.len(), "mistake")
        );
    }
    Ok(file)
}

fn invent(file: &AssignmentFile, count: usize, folder: &Path) -> Result<()> {
    if count == 0 {
        bail!("--demo-class 0 has no students; ask for one or more");
    }
    if folder.exists() && !folder.is_dir() {
        bail!("--out {} is a file; name a folder", folder.display());
    }
    let files = demo::class(&file.assignment, count)?;
    fs::create_dir_all(folder)
        .with_context(|| format!("cannot make the folder `{}`", folder.display()))?;
    for (name, text) in &files {
        write::file(&folder.join(name), text.as_bytes())?;
    }
    say::line(&format!(
        "{} of an invented class in `{}`",
        counted(files.len(), "receipt"),
        folder.display()
    ));
    Ok(())
}

fn grade(file: &AssignmentFile, options: &Options) -> Result<()> {
    let roster = options.roster.as_deref().map(read_roster).transpose()?;
    let found = collect::files(&options.receipts)?;
    if found.receipts.is_empty() {
        bail!("there is no receipt (a file that ends in .json) in what was named");
    }
    let grader = Grader::new(&file.assignment);
    let rows = collect::rows(&grader, &found.receipts)?;
    let rows = grader.finish(
        rows,
        match options.keep {
            KeepWord::Best => Keep::Best,
            KeepWord::Longest => Keep::Longest,
        },
        roster.as_deref(),
    );
    let reports = table::class_report(&file.assignment, &rows);
    // All is made before anything is written.
    let marks = table::csv(&table::marks(&file.assignment, &rows))?;
    let report = table::csv(&table::report(&file.assignment, &reports))?;
    let page = page::page(&file.assignment, &rows, &reports);
    write::file(&options.out, marks.as_bytes())?;
    write::file(&beside(&options.out, "csv"), report.as_bytes())?;
    write::file(&beside(&options.out, "html"), page.as_bytes())?;
    tell(&rows, &found, &options.out);
    Ok(())
}

/// `marks.csv` to `marks-report.csv`.
fn beside(out: &Path, ending: &str) -> PathBuf {
    let stem = out.file_stem().unwrap_or_default().to_string_lossy();
    out.with_file_name(format!("{stem}-report.{ending}"))
}

fn tell(rows: &[Row], found: &collect::Found, out: &Path) {
    let students = rows.iter().filter(|row| row.counts).count();
    let flagged = rows.iter().filter(|row| !row.flags.is_empty()).count();
    let unreadable = rows
        .iter()
        .filter(|row| {
            row.flags
                .iter()
                .any(|flag| matches!(flag, Flag::Unreadable(_)))
        })
        .count();
    say::line(&format!(
        "{}, {}, {} with a flag ({} not readable); marks in `{}`",
        counted(found.receipts.len(), "receipt"),
        counted(students, "student"),
        flagged,
        unreadable,
        out.display()
    ));
    if found.left > 0 {
        say::line(&format!(
            "{} left alone: not .json",
            counted(found.left, "file")
        ));
    }
}

/// The identifiers of a roster.
fn read_roster(path: &Path) -> Result<Vec<Identifier>> {
    let text = fs::read_to_string(path)
        .with_context(|| format!("cannot read the roster `{}` as UTF-8 text", path.display()))?;
    roster::read(&text).with_context(|| format!("cannot use the roster `{}`", path.display()))
}
