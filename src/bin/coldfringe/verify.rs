//! Everything that is checked, step by step, with one closing line that counts.

mod ahead;
mod bench;
mod browser;
mod budget;
mod links;
mod npm;
mod rust;
mod site;
mod tally;
mod wasm;

use std::process::ExitCode;
use std::time::Instant;

use clap::ValueEnum as _;

use crate::say;
use ahead::Ahead;
use bench::Bench;
use tally::Tally;

/// How to run the checks.
#[derive(Debug, clap::Args)]
pub(crate) struct Options {
    /// Run only these steps, separated by commas.
    #[arg(long, value_enum, value_delimiter = ',', value_name = "STEP")]
    only: Vec<Step>,
}

/// One kind of check. The order is the order they run in: quick and telling ones first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
enum Step {
    /// Every file is formatted.
    Format,
    /// The native code passes the linter without a warning.
    Lints,
    /// The wasm code passes the linter without a warning.
    WasmLints,
    /// Unit, integration and documentation tests.
    Tests,
    /// The documentation builds without a warning.
    Docs,
    /// Tests of the library in a browser.
    WasmTests,
    /// Every lesson is free of mistakes.
    Lessons,
    /// The static site builds.
    Site,
    /// What the reader fetches keeps to its budget.
    Budgets,
    /// Every link leads somewhere in the site.
    Links,
    /// The served notebook, steered in a browser.
    Browser,
    /// Times of the page in a browser: printed, not judged. Runs only when asked for.
    PageTimes,
}

impl Step {
    fn heading(self) -> &'static str {
        match self {
            Step::Format => "every file is formatted",
            Step::Lints => "native code, linted",
            Step::WasmLints => "wasm code, linted",
            Step::Tests => "native tests",
            Step::Docs => "documentation builds",
            Step::WasmTests => "wasm tests in a browser",
            Step::Lessons => "every lesson is free of mistakes",
            Step::Site => "the static site builds",
            Step::Budgets => "what the reader fetches keeps to its budget",
            Step::Links => "every link leads somewhere in the site",
            Step::Browser => "the notebook in a browser, from end to end",
            Step::PageTimes => "times of the page in a browser",
        }
    }

    fn run(self, bench: &Bench, ahead: &mut Ahead) -> anyhow::Result<Tally> {
        if matches!(self, Step::WasmTests | Step::Browser | Step::PageTimes) {
            ahead.wait();
        }
        match self {
            Step::Format => rust::format(bench),
            Step::Lints => rust::lints(bench),
            Step::WasmLints => wasm::lints(),
            Step::Tests => rust::tests(bench),
            Step::Docs => rust::docs(bench),
            Step::WasmTests => wasm::tests(),
            Step::Lessons => site::lessons(bench),
            Step::Site => site::build(bench),
            Step::Budgets => budget::check(bench),
            Step::Links => links::check(bench),
            Step::Browser => browser::checks(bench),
            Step::PageTimes => browser::times(bench),
        }
    }
}

/// Runs the steps and prints their outcome; the last line reads `N passed, M failed, K skipped`.
///
/// That line stays the last: a failure is told by the exit code alone.
///
/// # Errors
/// When the project's folder is not found.
pub(crate) fn run(options: &Options) -> anyhow::Result<ExitCode> {
    let bench = Bench::set_up()?;
    let steps: Vec<Step> = if options.only.is_empty() {
        Step::value_variants()
            .iter()
            .copied()
            .filter(|step| *step != Step::PageTimes)
            .collect()
    } else {
        options.only.clone()
    };
    let mut ahead = Ahead::fetch(&steps);
    let mut total = Tally::default();
    let mut summary = Vec::new();
    for step in &steps {
        say::line(&format!("\n== {}: {}", name(*step), step.heading()));
        let start = Instant::now();
        let tally = step.run(&bench, &mut ahead).unwrap_or_else(|error| {
            say::trouble(&format!("error: {error:#}"));
            Tally::failure()
        });
        let line = format!(
            "{:<12} {:<6} {:>6.1} s   {tally}",
            name(*step),
            if tally.failed == 0 { "ok" } else { "FAILED" },
            start.elapsed().as_secs_f64(),
        );
        say::line(&format!("-- {line}"));
        summary.push(line);
        total += tally;
    }
    say::line("\n== summary");
    for line in summary {
        say::line(&line);
    }
    say::line(&total.to_string());
    Ok(if total.failed == 0 {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    })
}

fn name(step: Step) -> String {
    step.to_possible_value()
        .map(|value| value.get_name().to_owned())
        .unwrap_or_default()
}
