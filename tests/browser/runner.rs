//! Runs the checks, two at a time where there are processors for it, and reports in their order as cargo's own test runner
//! does. A check spends most of its time waiting for the page, and has a browser with a profile of its own.

use std::future::Future;
use std::path::PathBuf;
use std::pin::Pin;
use std::process::ExitCode;
use std::sync::Arc;
use std::time::{Duration, Instant};

use tokio::sync::{Semaphore, mpsc};
use tokio::task::JoinHandle;

use crate::browser::driver::Driver;
use crate::browser::page::{Checked, Page};
use crate::browser::server::Server;
use crate::browser::{course_system, homework_from_disk, offline, one_file};

/// A check that takes longer has hung.
const LIMIT: Duration = Duration::from_secs(180);

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
pub(crate) fn main(checks: &'static [Check]) -> ExitCode {
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
    let chosen: Vec<&'static Check> = checks.iter().filter(|check| wanted(check.name)).collect();
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

fn run(chosen: &[&'static Check], all: usize) -> ExitCode {
    let start = Instant::now();
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("browser");
    let pictures = std::env::var_os("COLDFRINGE_PICTURES")
        .map_or_else(|| folder.join("pictures"), PathBuf::from);
    std::fs::create_dir_all(&folder).expect("a folder for logs");
    std::fs::create_dir_all(&pictures).expect("a folder for pictures");
    // More threads than checks: some wait for a command or another browser, and hold up no other.
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(4)
        .enable_all()
        .build()
        .expect("a runtime");
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
    if any("an_assignment_works_from_disk") {
        homework_from_disk::folder();
    }
    if any("course_system") {
        course_system::folder();
    }
    println!("\nrunning {} tests", chosen.len());
    let rooms = Rooms {
        driver: driver.address(),
        site: server.address(),
        own: own.as_ref().map(Server::address),
        folder,
        pictures: pictures.clone(),
    };
    let failed = runtime.block_on(all_of(chosen, Arc::new(rooms), at_once(chosen)));
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

/// How many checks run at a time: measurements alone, all others in pairs.
fn at_once(chosen: &[&Check]) -> usize {
    let are_measurements = chosen
        .iter()
        .any(|check| check.name.starts_with("measure::"));
    let processors = std::thread::available_parallelism().map_or(1, usize::from);
    if are_measurements {
        1
    } else {
        processors.min(2)
    }
}

/// Where the checks find what they share.
struct Rooms {
    driver: String,
    site: String,
    /// The site of lessons that only the checks have.
    own: Option<String>,
    folder: PathBuf,
    pictures: PathBuf,
}

/// Runs the checks and tells how each ended, in their order; returns the names of those that failed.
async fn all_of(chosen: &[&'static Check], rooms: Arc<Rooms>, at_once: usize) -> Vec<&'static str> {
    let (begun, mut to_tell) = mpsc::unbounded_channel::<(&'static str, JoinHandle<Ended>)>();
    let teller = tokio::spawn(async move {
        let mut failed = Vec::new();
        while let Some((name, check)) = to_tell.recv().await {
            let (outcome, seconds) = check.await.expect("a check's own panic is caught");
            match outcome {
                Ok(()) => println!("test {name} ... ok ({seconds:.1} s)"),
                Err(message) => {
                    println!("test {name} ... FAILED ({seconds:.1} s)\n    {message}");
                    failed.push(name);
                }
            }
        }
        failed
    });
    let places = Arc::new(Semaphore::new(at_once));
    for (number, check) in chosen.iter().copied().enumerate() {
        let place = Arc::clone(&places).acquire_owned().await;
        let rooms = Arc::clone(&rooms);
        let running = tokio::spawn(async move {
            let ended = one(check, number, &rooms).await;
            drop(place);
            ended
        });
        begun.send((check.name, running)).expect("a teller");
    }
    drop(begun);
    teller.await.expect("the teller's list")
}

/// How a check ended, and after how many seconds.
type Ended = (Result<(), String>, f64);

/// Runs one check in a browser of its own, and takes a picture of what fails.
async fn one(check: &'static Check, number: usize, rooms: &Rooms) -> Ended {
    let begun = Instant::now();
    let profile = rooms
        .folder
        .join(format!("profile-{}-{number}", std::process::id()));
    let site = rooms.own.as_ref().filter(|_| is_of_own_lessons(check));
    let site = site.unwrap_or(&rooms.site);
    let outcome = match Page::open(&rooms.driver, site, &profile, &rooms.pictures).await {
        Err(error) => Err(format!("no browser session: {error}")),
        Ok(page) => {
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
        }
    };
    let _ = std::fs::remove_dir_all(&profile);
    (outcome, begun.elapsed().as_secs_f64())
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
