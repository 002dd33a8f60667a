//! Whatever a reader, a student or a teacher hands in, nothing breaks off and nothing hangs: what
//! cannot be used is told in words. Texts are either anything at all or good ones, spoilt.
//!
//! Usually each target is tried a few hundred times. `COLDFRINGE_CASES` sets another number, for a
//! long run: see DEVELOPERS.md. Texts that ever broke something are kept below.
#![cfg(not(target_arch = "wasm32"))]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test stops at the first surprise"
)]

mod course;

use std::cell::RefCell;
use std::io::Write as _;
use std::sync::mpsc::{RecvTimeoutError, Sender, channel};
use std::time::{Duration, Instant};

use coldfringe::homework::demo;
use coldfringe::homework::grading::{Grader, Keep};
use coldfringe::homework::receipt::Receipt;
use coldfringe::homework::template::AssignmentFile;
use coldfringe::homework::{Identifier, roster, table};
use coldfringe::jobs::{Order, Parcel};
use coldfringe::lesson::plan::{Screen, ScreenKind};
use coldfringe::prediction::sketch::{Sketch, SketchGrid};
use coldfringe::quantity::{parse_quantity, parse_unit};
use coldfringe::session::Record;
use coldfringe::session::lecture::Lecture;
use proptest::prelude::*;
use proptest::test_runner::{Config, RngAlgorithm, TestCaseError, TestRng, TestRunner};

/// How often a target is tried; `usual` unless a long run is wanted.
fn cases(usual: u32) -> u32 {
    std::env::var("COLDFRINGE_CASES")
        .ok()
        .and_then(|count| count.parse().ok())
        .unwrap_or(usual)
}

/// One text may take at most this much of the processor's time: far more than any should, so that only a hang is met.
const PATIENCE: Duration = Duration::from_secs(120);

/// The processor's time that this program has used. On a busy machine that is far less than goes by: the longest lesson takes
/// a second, and once stood still for minutes. Where it is not known, the time that goes by stands for it.
fn used(start: Instant) -> Duration {
    // User's and system's time are numbers 14 and 15, counted in hundredths of a second; the second may hold blanks.
    let ticks = std::fs::read_to_string("/proc/self/stat")
        .ok()
        .and_then(|text| {
            let (_, rest) = text.rsplit_once(')')?;
            let mut fields = rest.split_whitespace().skip(11);
            let user: u64 = fields.next()?.parse().ok()?;
            let system: u64 = fields.next()?.parse().ok()?;
            Some(user + system)
        });
    ticks.map_or_else(
        || start.elapsed(),
        |ticks| Duration::from_millis(10 * ticks),
    )
}

/// A text that took more of it than this is slow enough to be shown after a long run.
const SLOW: Duration = Duration::from_secs(2);

/// Says something past the tests' own ears: what a test prints is kept from the eye.
fn tell(words: &str) {
    let _ = std::io::stderr().write_all(words.as_bytes());
}

/// Stops the run, showing the text, when one takes too long: a hang cannot be caught otherwise.
struct Watch(Sender<Option<String>>);

impl Watch {
    fn new(target: &'static str) -> Self {
        let (sender, receiver) = channel::<Option<String>>();
        std::thread::spawn(move || {
            let start = Instant::now();
            let mut going: Option<(String, Duration)> = None;
            loop {
                match receiver.recv_timeout(Duration::from_secs(10)) {
                    Ok(next) => going = next.map(|text| (text, used(start))),
                    Err(RecvTimeoutError::Timeout) => {
                        if let Some((text, begun)) = &going
                            && used(start).saturating_sub(*begun) > PATIENCE
                        {
                            tell(&format!("{target} hangs over\n{text:?}\n"));
                            std::process::abort();
                        }
                    }
                    Err(RecvTimeoutError::Disconnected) => return,
                }
            }
        });
        Self(sender)
    }
}

/// Tries a target with texts of a strategy.
fn hold(
    target: &'static str,
    usual: u32,
    texts: impl Strategy<Value = String>,
    test: impl Fn(&str),
) {
    let config = Config {
        cases: cases(usual),
        failure_persistence: None,
        max_shrink_iters: 2000,
        ..Config::default()
    };
    // A long run looks elsewhere each time; the usual one is the same for everybody.
    let mut runner = if std::env::var_os("COLDFRINGE_CASES").is_some() {
        TestRunner::new(config)
    } else {
        let seed = TestRng::deterministic_rng(RngAlgorithm::ChaCha);
        TestRunner::new_with_rng(config, seed)
    };
    let watch = Watch::new(target);
    let begun = Instant::now();
    let slowest = RefCell::new((SLOW, String::new()));
    let result = runner.run(&texts, |text| {
        let _ = watch.0.send(Some(text.clone()));
        let start = used(begun);
        let done = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| test(&text)));
        let _ = watch.0.send(None);
        let took = used(begun).saturating_sub(start);
        if took > slowest.borrow().0 {
            slowest.replace((took, text));
        }
        done.map_err(|_| TestCaseError::fail("it broke off"))
    });
    let (longest, text) = slowest.into_inner();
    if longest > SLOW && std::env::var_os("COLDFRINGE_CASES").is_some() {
        tell(&format!(
            "{target}: the slowest text took {longest:.1?}\n{text:?}\n"
        ));
    }
    if let Err(error) = result {
        panic!("{target}: {error}");
    }
}

/// Pieces that have a meaning somewhere.
const PIECES: &[&str] = &[
    "-1",
    "1e308",
    "1e999",
    "-0",
    "NaN",
    "inf",
    "0.1",
    "1,5",
    "\u{2212}3",
    "10^-15",
    "\u{D7}10",
    "\u{B5}",
    "\u{3BC}",
    "uA",
    "Phi0",
    "\u{3A6}0/\u{221A}Hz",
    "T/sqrt(Hz)",
    "kg",
    "%",
    "\"",
    "'",
    "'''",
    "\\",
    "\\u0000",
    "\0",
    "\u{FEFF}",
    "\u{202E}",
    "\u{200B}",
    "\u{1F4A1}",
    "{",
    "}",
    "[",
    "]",
    "[[",
    ":",
    ",",
    "\n",
    "\r\n",
    "\t",
    "```",
    "````",
    "```predict a\n",
    "```draw b\n",
    "```record c\n",
    "@{",
    "@{width}",
    "}",
    "$",
    "$$",
    "\\frac{",
    "|",
    "#",
    "## ",
    "---",
    "<b>",
    "](",
    "![",
    "null",
    "true",
    "{}",
    "[]",
    "=",
    "a = 1",
    "../../etc/x",
    "/",
    "..",
    "~",
    "4294967296",
    "-9223372036854775809",
    "s6 ",
    "1,;",
    "setup = ",
    "kind = \"sketch\"",
    "from = ",
    "values = []",
    "entries",
    "chain",
    "\"at\":",
];

/// One spoiling of a text.
#[derive(Debug, Clone)]
enum Spoil {
    Insert(usize, String),
    Take(usize, usize),
    Twice(usize, usize),
    Swap(usize, usize, usize),
    Cut(usize),
}

fn bits() -> impl Strategy<Value = String> {
    prop_oneof![
        4 => prop::sample::select(PIECES).prop_map(str::to_owned),
        1 => "\\PC{0,8}",
        1 => any::<char>().prop_map(String::from),
        1 => "[ -~]{0,12}",
    ]
}

fn spoils() -> impl Strategy<Value = Vec<Spoil>> {
    let at = any::<usize>;
    prop::collection::vec(
        prop_oneof![
            4 => (at(), bits()).prop_map(|(at, text)| Spoil::Insert(at, text)),
            3 => (at(), 1..40_usize).prop_map(|(at, long)| Spoil::Take(at, long)),
            2 => (at(), 1..400_usize).prop_map(|(at, long)| Spoil::Twice(at, long)),
            1 => (at(), at(), 1..60_usize).prop_map(|(at, to, long)| Spoil::Swap(at, to, long)),
            1 => at().prop_map(Spoil::Cut),
        ],
        1..6,
    )
}

fn spoil(text: &str, spoils: &[Spoil]) -> String {
    let mut letters: Vec<char> = text.chars().collect();
    for spoil in spoils {
        let whole = letters.len();
        let place = |at: usize| at % (whole + 1);
        let reach = |at: usize, long: usize| place(at)..(place(at) + long).min(whole);
        match spoil {
            Spoil::Insert(at, text) => {
                let at = place(*at);
                letters.splice(at..at, text.chars());
            }
            Spoil::Take(at, long) => {
                letters.drain(reach(*at, *long));
            }
            Spoil::Twice(at, long) => {
                let piece: Vec<char> = letters[reach(*at, *long)].to_vec();
                let at = place(*at);
                letters.splice(at..at, piece);
            }
            Spoil::Swap(at, to, long) => {
                let piece: Vec<char> = letters.drain(reach(*at, *long)).collect();
                let to = to % (letters.len() + 1);
                letters.splice(to..to, piece);
            }
            Spoil::Cut(at) => letters.truncate(place(*at)),
        }
    }
    letters.into_iter().collect()
}

/// Good texts, spoilt, and now and then anything.
fn spoilt(good: Vec<String>) -> impl Strategy<Value = String> {
    prop_oneof![
        9 => (prop::sample::select(good), spoils()).prop_map(|(text, how)| spoil(&text, &how)),
        1 => "\\PC{0,300}",
        1 => prop::collection::vec(bits(), 0..40).prop_map(|bits| bits.concat()),
    ]
}

fn texts(folder: &str) -> Vec<String> {
    course::files(folder)
        .into_iter()
        .map(|path| std::fs::read_to_string(path).unwrap())
        .collect()
}

fn number(text: &str) {
    if let Ok(parsed) = parse_quantity(text) {
        assert!(!parsed.value.is_nan(), "{text:?} is read as no number");
    }
    let _ = parse_unit(text);
}

fn identifier(text: &str) {
    if let Ok(student) = Identifier::new(text) {
        // The one form is its own.
        assert_eq!(Identifier::new(student.as_str()).as_ref(), Ok(&student));
    }
}

fn receipt(text: &str) {
    let _ = Receipt::read(text);
    for file in course::assignments() {
        let grader = Grader::new(&file.assignment);
        let row = grader.row("a.json", Ok(text)).unwrap();
        let rows = grader.finish(vec![row], Keep::Best, None);
        table::csv(&table::marks(&file.assignment, &rows)).unwrap();
    }
}

fn lesson(text: &str) {
    let (lesson, mistakes) = coldfringe::lesson::parse(text, "a.md");
    let _ = coldfringe::lesson::report::report(text, "a.md", &mistakes, false);
    let assets = coldfringe::page::shell::Assets::default();
    let page = coldfringe::page::lesson::lesson_page(&lesson, None, None, &assets);
    assert!(page.len() > text.len() / 1000);
}

fn assignment(text: &str) {
    let file = AssignmentFile::read(text, "a.md");
    let _ = coldfringe::lesson::report::report(text, "a.md", &file.diagnostics, false);
}

fn record(text: &str) {
    let loaded = Record::load(Some(text));
    let again = Record::load(Some(&loaded.record.text()));
    assert_eq!(again.unusable, None, "what is written can be read");
    if let Ok(mut record) = Record::from_file(text) {
        record.take_in(&loaded.record);
    }
}

fn address(text: &str) {
    let screens: Vec<Screen> = (0..4)
        .map(|place| Screen {
            name: format!("s{place}"),
            kind: ScreenKind::Predict,
            block: format!("s{place}"),
            options: 3,
        })
        .collect();
    let lecture = Lecture::new(screens, None, text, "one", 0.0);
    assert!(!lecture.is_revealed("s3"), "an address reveals nothing");
    assert!(lecture.address().len() < 100);
}

fn sketch(text: &str) {
    let grid = SketchGrid::new(-3.0, 3.0, 0.0, 1.1, 25);
    if let Ok(sketch) = Sketch::decode(grid, text) {
        assert!(Sketch::decode(grid, &sketch.encode()).is_ok());
    }
}

fn order(text: &str) {
    let _ = Order::unpack(&Parcel {
        text: text.to_owned(),
        numbers: vec![vec![1.0], vec![0.0, f64::NAN]],
    });
}

#[test]
fn numbers_with_units() {
    let good = [
        "2.07e-15 Wb",
        "1,14 mT",
        "\u{2212}3.5\u{B7}10^-6 A",
        "1.2 uPhi0/sqrt(Hz)",
        "2.068\u{D7}10\u{207B}\u{B9}\u{2075} V s",
        "0.5 kA/cm^2",
        "12 \u{3BC}m\u{B2}",
    ];
    hold(
        "numbers",
        3000,
        spoilt(good.map(str::to_owned).to_vec()),
        number,
    );
}

#[test]
fn identifiers() {
    let good = [
        "ab12",
        " Ren\u{E9} ",
        "\u{FF41}b\u{FF11}2",
        "o\u{FB03}ce",
        "\u{130}x",
        "s-0001@x",
    ];
    hold(
        "identifiers",
        3000,
        spoilt(good.map(str::to_owned).to_vec()),
        identifier,
    );
}

#[test]
fn rosters() {
    let good = [
        "student,name\nab12,A\ncd34,\"B, C\"\n",
        "ab12\r\ncd34\r\n",
        "\u{FEFF}id\n\"a\"\"b\"\n",
    ];
    hold(
        "rosters",
        1000,
        spoilt(good.map(str::to_owned).to_vec()),
        |text| {
            let _ = roster::read(text);
        },
    );
}

#[test]
fn receipts() {
    let mut good = Vec::new();
    for file in course::assignments() {
        let class = demo::class(&file.assignment, 6).unwrap();
        good.extend(class.into_iter().map(|(_, text)| text));
    }
    hold("receipts", 150, spoilt(good), receipt);
}

#[test]
fn lesson_texts() {
    let mut good = texts("lessons");
    // Pieces of the page that describes the format: short, and with every kind of block.
    good.extend(
        include_str!("../docs/lesson-format.md")
            .split("````")
            .map(str::to_owned),
    );
    hold("lessons", 30, spoilt(good), lesson);
}

#[test]
fn assignment_texts() {
    hold(
        "assignments",
        30,
        spoilt(texts("lessons/homework")),
        assignment,
    );
}

#[test]
fn records() {
    let good = vec![include_str!("records/version-1.json").to_owned()];
    hold("records", 500, spoilt(good), record);
}

#[test]
fn addresses_of_a_lecture() {
    let good = ["s1", "s2~dark", "s3.reveal", "s0~light", "s3-reveal"];
    hold(
        "addresses",
        2000,
        spoilt(good.map(str::to_owned).to_vec()),
        address,
    );
}

#[test]
fn sketches() {
    let mut drawn = Sketch::new(SketchGrid::new(-3.0, 3.0, 0.0, 1.1, 25));
    drawn.stroke(&[(-3.0, 0.1), (0.0, 1.0), (3.0, 0.2)]);
    hold("sketches", 2000, spoilt(vec![drawn.encode()]), sketch);
}

#[test]
fn orders_to_a_worker() {
    let good = "{\"number\":3,\"order\":\"run\",\"kind\":\"single-junction\",\"texts\":{\"profile\":\"1; 2; 3\"}}";
    hold("orders", 1000, spoilt(vec![good.to_owned()]), order);
}
