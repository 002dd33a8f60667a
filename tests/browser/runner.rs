//! Runs the checks one after the other and reports as cargo's own test runner does.

use std::future::Future;
use std::path::PathBuf;
use std::pin::Pin;
use std::process::ExitCode;
use std::time::{Duration, Instant};

use crate::browser::driver::Driver;
use crate::browser::page::{Checked, Page};
use crate::browser::server::Server;
use crate::browser::{course_system, offline, one_file};

/// A check that takes longer has hung.
const LIMIT: Duration = Duration::from_secs(120);

/// A named check.
pub(crate) struct Check {
    /// Its path, as in `contents::reads_without_script`.
    pub(crate) name: &'static str,
    /// What it does with a fresh session.
    pub(crate) run: fn(Page) -> Pin<Box<dyn Future<Output = Checked> + Send>>,
}

/// Lists a check by the path of its function.
macro_rules! check {
    ($path:path) => {
        Check {
            name: stringify!($path),
            run: |page| Box::pin($path(page)),
        }
    };
}
pub(crate) use check;

/// Runs what the arguments and the environment ask for.
pub(crate) fn main(checks: &[Check]) -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let filters: Vec<&String> = arguments
        .iter()
        .filter(|argument| !argument.starts_with('-'))
        .collect();
    // Measurements run only when named.
    let wanted = |name: &str| {
        if filters.is_empty() {
            !name.starts_with("measure::")
        } else {
            filters.iter().any(|filter| name.contains(filter.as_str()))
        }
    };
    let chosen: Vec<&Check> = checks.iter().filter(|check| wanted(check.name)).collect();
    if arguments.iter().any(|argument| argument == "--list") {
        for check in &chosen {
            println!("{}: test", check.name);
        }
        return ExitCode::SUCCESS;
    }
    if std::env::var("COLDFRINGE_BROWSER").is_ok_and(|value| value == "1") {
        run(&chosen, checks.len())
    } else {
        println!("\nrunning 0 tests");
        println!(
            "The {} checks in a browser were left out: `cargo verify` runs them, or set COLDFRINGE_BROWSER=1.",
            chosen.len()
        );
        println!(
            "test result: ok. 0 passed; 0 failed; 0 ignored; 0 measured; {} filtered out\n",
            checks.len()
        );
        ExitCode::SUCCESS
    }
}

fn run(chosen: &[&Check], all: usize) -> ExitCode {
    let start = Instant::now();
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("browser");
    let pictures = std::env::var_os("COLDFRINGE_PICTURES")
        .map_or_else(|| folder.join("pictures"), PathBuf::from);
    std::fs::create_dir_all(&folder).expect("a folder for logs");
    std::fs::create_dir_all(&pictures).expect("a folder for pictures");
    let runtime = tokio::runtime::Runtime::new().expect("a runtime");
    let server = Server::start("lessons", &folder);
    // Lessons that only the checks have, for checks of their own room.
    let own = chosen
        .iter()
        .any(|check| is_of_own_lessons(check))
        .then(|| Server::start("tests/browser/lessons", &folder));
    let driver = Driver::start(&folder);
    // What the command writes for some of them: it may take its time, which is not theirs.
    let any = |part: &str| chosen.iter().any(|check| check.name.contains(part));
    if any("one_file") || any("firefox") {
        one_file::folder();
    }
    if any("offline") {
        offline::folder();
    }
    if any("course_system") {
        course_system::folder();
    }
    println!("\nrunning {} tests", chosen.len());
    let mut failed = Vec::new();
    for (number, check) in chosen.iter().enumerate() {
        let profile = folder.join(format!("profile-{}-{number}", std::process::id()));
        let begun = Instant::now();
        let outcome = runtime.block_on(async {
            let site = own
                .as_ref()
                .filter(|_| is_of_own_lessons(check))
                .unwrap_or(&server);
            let page = Page::open(&driver.address(), &site.address(), &profile, &pictures)
                .await
                .map_err(|error| format!("no browser session: {error}"))?;
            // In a task of its own, so that a panic comes back as a value and the browser is always closed.
            let outcome =
                tokio::time::timeout(LIMIT, tokio::spawn((check.run)(page.clone()))).await;
            let outcome = match outcome {
                Ok(Ok(Ok(()))) => Ok(()),
                Ok(Ok(Err(error))) => Err(error.to_string()),
                Ok(Err(stopped)) => Err(said(stopped)),
                Err(_) => Err(format!("not done after {LIMIT:?}")),
            };
            if outcome.is_err() {
                let _ = page
                    .picture(&format!("failed-{}", check.name.replace("::", "-")))
                    .await;
            }
            let _ = page.client.clone().close().await;
            outcome
        });
        let _ = std::fs::remove_dir_all(&profile);
        let seconds = begun.elapsed().as_secs_f64();
        match outcome {
            Ok(()) => println!("test {} ... ok ({seconds:.1} s)", check.name),
            Err(message) => {
                println!(
                    "test {} ... FAILED ({seconds:.1} s)\n    {message}",
                    check.name
                );
                failed.push(check.name);
            }
        }
    }
    drop(driver);
    drop(server);
    drop(own);
    if !failed.is_empty() {
        println!(
            "\nfailures:\n    {}\npictures of them are in {}",
            failed.join("\n    "),
            pictures.display()
        );
    }
    println!(
        "\ntest result: {}. {} passed; {} failed; 0 ignored; 0 measured; {} filtered out; finished in {:.2}s\n",
        if failed.is_empty() { "ok" } else { "FAILED" },
        chosen.len() - failed.len(),
        failed.len(),
        all - chosen.len(),
        start.elapsed().as_secs_f64()
    );
    if failed.is_empty() {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    }
}

/// Whether a check walks lessons that are not part of the course.
fn is_of_own_lessons(check: &Check) -> bool {
    check.name.contains("slow")
}

/// What a panic said.
fn said(stopped: tokio::task::JoinError) -> String {
    match stopped.try_into_panic() {
        Ok(payload) => payload
            .downcast_ref::<String>()
            .cloned()
            .or_else(|| {
                payload
                    .downcast_ref::<&str>()
                    .map(|text| (*text).to_owned())
            })
            .unwrap_or_else(|| "a panic without words".to_owned()),
        Err(stopped) => stopped.to_string(),
    }
}
