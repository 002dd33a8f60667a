//! The four assignments: every kind of question in each, answers worked out by hand, records that can
//! be read as well as the tolerances ask, and receipts of all of them.
#![cfg(not(target_arch = "wasm32"))]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test stops at the first surprise"
)]

mod course;

use coldfringe::experiment::Setup;
use coldfringe::homework::grading::{Grader, Row};
use coldfringe::homework::judge::{Expected, Judgement};
use coldfringe::homework::template::AssignmentFile;
use coldfringe::homework::{Assignment, Identifier, Marks, Paper, Variant, demo};
use coldfringe::lesson::spec::{Ask, Block};
use coldfringe::numerics::elementary::cos;
use coldfringe::session::Plot;

/// CODATA 2022, exact digits: h/2e in webers, k in J/K.
const QUANTUM: f64 = 2.067_833_848_461_929e-15;
const BOLTZMANN: f64 = 1.380_649e-23;

fn assignment(slug: &str) -> &'static Assignment {
    &course::assignment(slug).assignment
}

/// The value of a draw in SI units.
fn drawn(assignment: &Assignment, variant: &Variant, name: &str) -> f64 {
    let place = assignment.draws.iter().position(|draw| draw.name == name);
    let text = variant.value(assignment, place.unwrap()).unwrap();
    let (number, unit) = text.split_once(' ').unwrap_or((text, ""));
    let factor = match unit {
        "" | "K" => 1.0,
        "µA" => 1e-6,
        "pH" | "pF" | "µm²" => 1e-12,
        other => panic!("unit {other}"),
    };
    number.parse::<f64>().unwrap() * factor
}

fn variants(assignment: &Assignment, count: usize) -> Vec<Variant> {
    (0..count)
        .map(|number| Variant::of(assignment, &Identifier::new(&format!("s{number}")).unwrap()))
        .collect()
}

#[test]
fn there_are_four_and_each_asks_in_every_way() {
    let mut slugs: Vec<&str> = course::assignments()
        .iter()
        .map(|file| file.assignment.slug.as_str())
        .collect();
    slugs.sort_unstable();
    assert_eq!(slugs, ["loops", "reading-data", "sensor-design", "slits"]);
    for file in course::assignments() {
        let mut kinds = [false; 4];
        for block in file.lesson.blocks() {
            let kind = match block {
                Block::Question(_) => 0,
                Block::Predict(prediction) => match prediction.ask {
                    Ask::Number(_) => 0,
                    Ask::PickCurve { .. } | Ask::PickStatement { .. } => 1,
                    Ask::MarkAxis { .. } | Ask::MarkBoard { .. } => 2,
                    Ask::Sketch { .. } => 3,
                },
                _ => continue,
            };
            kinds[kind] = true;
        }
        assert_eq!(
            kinds, [true; 4],
            "{}: number, pick, mark, sketch",
            file.file
        );
    }
}

/// What the formulas of the trade give, worked out by hand.
#[test]
fn the_answers_are_those_of_the_formulas() {
    use std::f64::consts::PI;
    let mut looked_at = 0;
    for (slug, task, formula) in [
        (
            "sensor-design",
            "shunt",
            (|value: &dyn Fn(&str) -> f64| {
                (value("damping") * QUANTUM / (2.0 * PI * value("current") * value("capacitance")))
                    .sqrt()
            }) as fn(&dyn Fn(&str) -> f64) -> f64,
        ),
        ("sensor-design", "thermal-rounding", |value| {
            2.0 * PI * BOLTZMANN * value("temperature") / (value("current") * QUANTUM)
        }),
        ("sensor-design", "noise-energy", |value| {
            9.0 * BOLTZMANN * value("temperature") * value("inductance") / 6.0
        }),
        ("loops", "largest", |value| {
            QUANTUM / (2.0 * value("inductance"))
        }),
        ("loops", "holds-out", |value| {
            0.5 * QUANTUM + value("inductance") * value("current")
        }),
        ("loops", "inductance-for-beta", |value| {
            value("wanted-beta") * QUANTUM / (2.0 * value("small-current"))
        }),
        ("reading-data", "first-maximum", |value| {
            QUANTUM / value("area") / 1e-6
        }),
        ("reading-data", "loop-area", |value| value("area")),
        ("reading-data", "weaker-junction", |value| value("weaker")),
        ("reading-data", "depth", |value| {
            2.0 * value("weaker") / (value("stronger") + value("weaker"))
        }),
        ("slits", "first-minimum", |value| {
            QUANTUM / value("area") / 2.0 / 1e-6
        }),
    ] {
        let assignment = assignment(slug);
        let paper = Paper::new(assignment);
        let (place, _) = assignment.task(task).unwrap();
        for variant in variants(assignment, 60) {
            let wanted = formula(&|name| drawn(assignment, &variant, name));
            let expected = paper.expected(place, &variant).unwrap();
            let found = match &*expected {
                Expected::Number(number) => {
                    assert_eq!(
                        expected.judge(&number.written(wanted, 4)),
                        Judgement::Right,
                        "{task}: {} for {wanted}",
                        number.written(wanted, 4)
                    );
                    number.value()
                }
                Expected::Place(marked) => {
                    assert_eq!(expected.judge(&format!("{wanted:.3}")), Judgement::Right);
                    marked.answer()
                }
                other => panic!("{task}: {other:?}"),
            };
            // The width of the junctions moves a minimum of the pair by a little.
            let near = if task == "depth" || task == "first-minimum" {
                1e-4
            } else {
                1e-6
            };
            assert!(
                (found / wanted - 1.0).abs() < near,
                "{task}: {found} for {wanted}"
            );
            looked_at += 1;
        }
    }
    assert_eq!(looked_at, 660);
}

/// A record as its student gets it: microtesla and microampere.
fn record(assignment: &Assignment, file: &AssignmentFile, variant: &Variant) -> Vec<(f64, f64)> {
    let json = file
        .lesson
        .blocks()
        .find(|block| matches!(block, Block::Record(_)))
        .map(|block| serde_json::to_string(block).unwrap())
        .unwrap();
    let open = file.opened(&json, coldfringe::homework::Draw::placeholder);
    let json = assignment.filled(&open, variant);
    let Block::Record(recording) = coldfringe::lesson::read::block(&json).unwrap() else {
        panic!("a record")
    };
    let setup = Setup::from_spec(&recording.setup).unwrap();
    Plot::new(setup, &recording.chart)
        .unwrap()
        .record(&recording)
        .unwrap()
        .points
}

fn square(value: f64) -> f64 {
    value * value
}

/// Period, greatest and smallest current of a record, read without the model: the square of the
/// current of two narrow junctions is a cosine about its mean. For every trial period the cosine is
/// fitted by least squares; the period that fits best is taken.
fn read(points: &[(f64, f64)]) -> [f64; 3] {
    let fit = |period: f64| -> (f64, f64, f64) {
        let wave = |x: f64| cos(2.0 * std::f64::consts::PI * x / period);
        let count = points.len() as f64;
        let sum = |of: &dyn Fn(f64, f64) -> f64| -> f64 {
            points.iter().map(|&(x, y)| of(x, y * y)).sum()
        };
        let (c, cc) = (sum(&|x, _| wave(x)), sum(&|x, _| wave(x) * wave(x)));
        let (s, sc) = (sum(&|_, s| s), sum(&|x, s| s * wave(x)));
        let height = (count * sc - c * s) / (count * cc - c * c);
        let mean = (s - height * c) / count;
        let rest = sum(&|x, s| square(s - mean - height * wave(x)));
        (rest, mean, height)
    };
    let mut best = (f64::INFINITY, 0.0);
    for step in 0..6000_u32 {
        let period = 5.0 + 0.0025 * f64::from(step);
        let rest = fit(period).0;
        if rest < best.0 {
            best = (rest, period);
        }
    }
    let (_, mean, height) = fit(best.1);
    [
        best.1,
        (mean + height).sqrt(),
        (mean - height).max(0.0).sqrt(),
    ]
}

/// Who reads the record with care is right, with room to spare: to half of every tolerance.
#[test]
fn every_record_can_be_read_to_half_of_the_tolerance() {
    let file = course::assignment("reading-data");
    let assignment = &file.assignment;
    let paper = Paper::new(assignment);
    for variant in variants(assignment, 40) {
        let points = record(assignment, file, &variant);
        assert_eq!(points.len(), 241);
        let [period, most, least] = read(&points);
        let found = [
            ("first-maximum", period),
            ("loop-area", QUANTUM / (period * 1e-6)),
            ("depth", (most - least) / most),
            ("weaker-junction", (most - least) / 2.0 * 1e-6),
        ];
        for (task, read) in found {
            let (place, _) = assignment.task(task).unwrap();
            let expected = paper.expected(place, &variant).unwrap();
            let (right, within) = match (&*expected, task) {
                (Expected::Place(place), _) => (place.answer(), 0.6),
                (Expected::Number(number), "loop-area") => (number.value(), 0.05 * number.value()),
                (Expected::Number(number), "depth") => (number.value(), 0.08 * number.value()),
                (Expected::Number(number), _) => (number.value(), 0.09 * number.value()),
                (other, _) => panic!("{other:?}"),
            };
            assert!(
                (read - right).abs() < 0.5 * within,
                "{task} of {:?}: read {read} for {right}",
                variant.chosen
            );
        }
    }
}

/// Two students with the same chip have tapes of their own, and neither has the curve without noise.
#[test]
fn each_tape_has_noise_of_its_own() {
    let file = course::assignment("reading-data");
    let assignment = &file.assignment;
    let mut variant = Variant::first(assignment);
    let one = record(assignment, file, &variant);
    assert_eq!(
        one,
        record(assignment, file, &variant),
        "the same each time"
    );
    let tape = assignment
        .draws
        .iter()
        .position(|draw| draw.name == "tape")
        .unwrap();
    variant.chosen[tape] = 1;
    let other = record(assignment, file, &variant);
    let apart: f64 = one.iter().zip(&other).map(|(a, b)| square(a.1 - b.1)).sum();
    // The difference of two noises of 1.5 µA each has a variance of 4.5 µA².
    let variance = apart / one.len() as f64;
    assert!(
        (variance - 4.5).abs() < 5.0 * 4.5 * (2.0 / 241.0_f64).sqrt(),
        "{variance}"
    );
}

/// One bit changed anywhere in a receipt of any assignment: the marks are those of before, or a flag
/// says why not. Usually a part of the bits is tried; `COLDFRINGE_CASES`, whatever it says, asks for
/// every one.
#[test]
fn no_bit_of_any_receipt_can_be_turned_unnoticed() {
    let step = if std::env::var_os("COLDFRINGE_CASES").is_some() {
        1
    } else {
        149
    };
    for file in course::assignments() {
        let grader = Grader::new(&file.assignment);
        let text = &demo::class(&file.assignment, 2).unwrap()[1].1;
        let honest = grader.row("a.json", Ok(text)).unwrap();
        let points = |row: &Row| row.marks.as_ref().map(Marks::points);
        assert!(honest.flags.is_empty() && points(&honest).is_some());
        let mut tried = 0;
        for at in (0..text.len()).step_by(step) {
            for bit in 0..8 {
                let mut changed = text.as_bytes().to_vec();
                changed[at] ^= 1 << bit;
                let row = match std::str::from_utf8(&changed) {
                    Ok(text) => grader.row("a.json", Ok(text)).unwrap(),
                    Err(_) => grader.row("a.json", Err("not UTF-8".to_owned())).unwrap(),
                };
                tried += 1;
                let same = row.student == honest.student && points(&row) == points(&honest);
                assert!(
                    same || !row.flags.is_empty(),
                    "{}: bit {bit} of byte {at}",
                    file.file
                );
            }
        }
        assert!(tried > 100, "{}: {tried}", file.file);
    }
}

/// What the check says of *Reading data* with something changed, and where.
#[test]
fn what_no_bench_has_and_no_chart_shows_is_told() {
    let good = std::fs::read_to_string(course::assignment_path("reading-data")).unwrap();
    let line = |words: &str| good.lines().position(|line| line == words).unwrap() + 1;
    for (from, to, code, wanted, place) in [
        (
            "\"84 \u{B5}A\"",
            "\"184 \u{B5}A\"",
            "bad-draw",
            "1 to 100 \u{B5}A",
            "```predict first-maximum",
        ),
        (
            "\"300 \u{B5}m\u{B2}\"",
            "\"90 \u{B5}m\u{B2}\"",
            "bad-draw",
            "10 \u{B5}m to 1 mm",
            "```predict first-maximum",
        ),
        (
            "to = 60 }\ny = { scale = \"uA\", from = 0, to = 125 }",
            "to = 60 }\ny = { scale = \"uA\", from = 0, to = 105 }",
            "answer-outside-chart",
            "a point of the record",
            "```record sweep",
        ),
        (
            "scale = \"microtesla\", from = 0",
            "scale = \"field\", from = 0",
            "bad-draw",
            "one unit",
            "```predict first-maximum",
        ),
    ] {
        let changed = good.replace(from, to);
        assert_ne!(changed, good);
        let file = AssignmentFile::read(&changed, "a.md");
        assert!(file.diagnostics.is_empty(), "{to}: {:#?}", file.diagnostics);
        let (_, found) = file.check();
        assert!(
            found.iter().any(|it| it.mistake.code() == code
                && it.message.contains(wanted)
                && it.line == line(place)),
            "{to}: {found:#?}"
        );
    }
}

/// The command, in a folder of its own; what it said.
fn grade(arguments: &[&str]) -> String {
    let output = std::process::Command::new(env!("CARGO_BIN_EXE_coldfringe"))
        .arg("grade")
        .args(arguments)
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{arguments:?}: {said}");
    String::from_utf8(output.stdout).unwrap()
}

/// A folder for one test, empty at first, and taken away again.
struct Folder(std::path::PathBuf);

impl Folder {
    fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("coldfringe-{name}-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&path);
        std::fs::create_dir_all(&path).unwrap();
        Self(path)
    }

    fn path(&self, name: &str) -> String {
        self.0.join(name).display().to_string()
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// The worked example of the guide is what the commands give today.
#[test]
fn the_worked_example_of_the_guide_is_true() {
    let guide = include_str!("../docs/homework.md");
    let told = |fence: &str| {
        let (_, rest) = guide.split_once(&format!("```csv {fence}\n")).unwrap();
        rest.split_once("```").unwrap().0.to_owned()
    };
    let folder = Folder::new("guide");
    let (class, marks) = (folder.path("class"), folder.path("marks.csv"));
    let assignment = course::assignment_path("slits").display().to_string();
    grade(&[
        "--assignment",
        &assignment,
        "--demo-class",
        "20",
        "--out",
        &class,
    ]);
    let said = grade(&["--assignment", &assignment, &class, "--out", &marks]);
    let first = said
        .split_once("; marks in")
        .unwrap()
        .0
        .trim_start_matches("coldfringe: ");
    assert!(guide.contains(&format!("`{first}`")), "{said}");
    for (name, fence) in [("marks.csv", "marks"), ("marks-report.csv", "report")] {
        let written = std::fs::read_to_string(folder.path(name)).unwrap();
        assert_eq!(written.replace("\r\n", "\n"), told(fence), "{name}");
    }
    // The table of assignments counts the students right.
    for file in course::assignments() {
        let variants = file
            .assignment
            .draws
            .iter()
            .map(|draw| draw.values.len())
            .product::<usize>();
        let slug = &file.assignment.slug;
        let row = guide
            .lines()
            .find(|line| line.starts_with(&format!("| `{slug}.md`")))
            .unwrap();
        assert!(
            row.ends_with(&format!("| {variants} |")),
            "{row}: {variants}"
        );
    }
}

/// Identifiers, questions and file names that would lead elsewhere lead nowhere: marking writes its
/// three files and nothing else.
#[test]
fn nothing_in_a_receipt_leads_out_of_the_folder() {
    let folder = Folder::new("hostile");
    let class = folder.0.join("class");
    std::fs::create_dir_all(&class).unwrap();
    let assignment = assignment("slits");
    let honest = &demo::class(assignment, 1).unwrap()[0].1;
    let names = [
        "../../escaped",
        "/tmp/escaped",
        "..\\..\\escaped",
        "C:\\escaped",
        "=cmd|' /C calc'!A0",
        "<script>escaped()</script>",
        "con",
        "a/b/../../c",
        "%2e%2e%2fescaped",
    ];
    for (place, name) in names.iter().enumerate() {
        let typed = serde_json::Value::from(*name).to_string();
        let changed = honest
            .replace("\"demo-0001\"", &typed)
            .replace("\"first-zero\"", &typed);
        std::fs::write(class.join(format!("{place}.json")), changed).unwrap();
    }
    // Names of files as a file system takes them.
    for name in [
        "..%2f..%2fescaped.json",
        "=1+1.json",
        "a,\"b\".json",
        "<b>.json",
        "-rf.json",
    ] {
        std::fs::write(class.join(name), honest).unwrap();
    }
    std::fs::create_dir_all(class.join("deep/..json")).unwrap();
    #[cfg(unix)]
    std::os::unix::fs::symlink("/etc", class.join("link")).unwrap();
    #[cfg(unix)]
    std::os::unix::fs::symlink("/etc/hostname", class.join("link.json")).unwrap();
    let before = everything(&folder.0);
    let (all, marks) = (folder.path("class"), folder.path("marks.csv"));
    let slits = course::assignment_path("slits").display().to_string();
    let said = grade(&["--assignment", &slits, &all, "--out", &marks]);
    assert!(
        said.contains("14 receipts"),
        "links are not followed: {said}"
    );
    let mut after = everything(&folder.0);
    after.retain(|name| !before.contains(name));
    assert_eq!(
        after,
        ["marks-report.csv", "marks-report.html", "marks.csv"]
    );
    let table = std::fs::read_to_string(&marks).unwrap();
    assert!(
        table.contains("'=cmd"),
        "a formula is kept from being one: {table}"
    );
    let page = std::fs::read_to_string(folder.path("marks-report.html")).unwrap();
    assert!(
        !page.contains("<script") && !page.contains("<b>"),
        "words stay words"
    );
}

/// Every file below a folder, links not followed.
fn everything(folder: &std::path::Path) -> Vec<String> {
    let mut found = Vec::new();
    let mut open = vec![folder.to_owned()];
    while let Some(next) = open.pop() {
        for entry in std::fs::read_dir(next).unwrap() {
            let entry = entry.unwrap();
            if entry.file_type().unwrap().is_dir() {
                open.push(entry.path());
            } else {
                let path = entry.path();
                found.push(path.strip_prefix(folder).unwrap().display().to_string());
            }
        }
    }
    found.sort();
    found
}
