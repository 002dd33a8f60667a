//! Homework: numbers of each student's own, receipts, marks. Laws that hold whatever the
//! assignment, and the published values that its answers come down to.
#![cfg(not(target_arch = "wasm32"))]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test stops at the first surprise"
)]

mod course;

use std::collections::{BTreeMap, BTreeSet};

use coldfringe::homework::grading::{Flag, Grader, Keep, Row};
use coldfringe::homework::judge::{Expected, Judgement};
use coldfringe::homework::receipt::{Receipt, Seal};
use coldfringe::homework::template::AssignmentFile;
use coldfringe::homework::{
    Assignment, Entry, Identifier, Kind, Paper, Variant, demo, mark, table,
};
use coldfringe::named::Named;
use coldfringe::prediction::Confidence;
use proptest::prelude::*;

/// CODATA 2022, exact digits: h/2e in webers.
const QUANTUM: f64 = 2.067_833_848_461_929e-15;

fn slits() -> &'static Assignment {
    &course::assignment("slits").assignment
}

fn student(name: &str) -> Identifier {
    Identifier::new(name).unwrap()
}

fn place(assignment: &Assignment, task: &str) -> usize {
    assignment.task(task).unwrap().0
}

fn entry(at: u32, task: &str, kind: Kind, text: &str) -> Entry {
    Entry {
        at,
        task: task.to_owned(),
        kind,
        text: text.to_owned(),
        sure: None,
    }
}

fn receipt_of(assignment: &Assignment, name: &str, entries: Vec<Entry>) -> Receipt {
    let variant = Variant::of(assignment, &student(name));
    let values: Named<String> = assignment
        .draws
        .iter()
        .enumerate()
        .map(|(place, draw)| {
            let value = variant.value(assignment, place).unwrap();
            (draw.name.clone(), value.to_owned())
        })
        .collect();
    Receipt {
        program: "0".to_owned(),
        course: assignment.course.clone(),
        assignment: assignment.slug.clone(),
        version: assignment.version,
        student: name.to_owned(),
        values,
        entries,
    }
}

fn graded(receipts: &[(&str, String)]) -> Vec<Row> {
    let grader = Grader::new(slits());
    let rows = receipts
        .iter()
        .map(|(file, text)| grader.row(file, Ok(text)).unwrap())
        .collect();
    grader.finish(rows, Keep::Best, None)
}

#[test]
fn every_assignment_is_fair_for_every_student() {
    for file in course::assignments() {
        assert!(
            file.diagnostics.is_empty(),
            "{}: {:#?}",
            file.file,
            file.diagnostics
        );
        let (report, unfair) = file.check();
        assert!(unfair.is_empty(), "{}: {unfair:#?}", file.file);
        assert!((4..=6).contains(&report.tasks), "{}: {report:?}", file.file);
        assert!(!report.cut, "{}: {report:?}", file.file);
        // With fewer variants, neighbours in a hall would often have the same numbers.
        assert!(report.variants >= 200, "{}: {report:?}", file.file);
    }
}

/// The answers of *Slits*, from the formulas by hand for a hundred students.
#[test]
fn the_answers_of_slits_are_those_of_the_formulas() {
    let assignment = slits();
    let paper = Paper::new(assignment);
    // Height of the first side lobe: 1/sqrt(1 + x^2) at the first root of tan x = x above zero
    // (Abramowitz and Stegun, table 4.19, from memory; recomputed).
    let root = 4.493_409_457_909_064;
    let lobe = 1.0 / (1.0_f64 + root * root).sqrt();
    for number in 0..100 {
        let variant = Variant::of(assignment, &student(&format!("s{number}")));
        let value = |name: &str| -> f64 {
            let place = assignment.draws.iter().position(|draw| draw.name == name);
            let text = variant.value(assignment, place.unwrap()).unwrap();
            let (number, unit) = text.split_once(' ').unwrap();
            let factor = match unit {
                "µm" => 1e-6,
                "nm" => 1e-9,
                "µA" => 1e-6,
                "µm²" => 1e-12,
                other => panic!("unit {other}"),
            };
            number.parse::<f64>().unwrap() * factor
        };
        let wanted = BTreeMap::from([
            (
                "first-zero",
                QUANTUM / (value("width") * value("thickness")),
            ),
            ("side-lobe", lobe * value("current")),
            ("period", QUANTUM / value("area")),
        ]);
        for (task, wanted) in wanted {
            let expected = paper.expected(place(assignment, task), &variant).unwrap();
            let Expected::Number(found) = &*expected else {
                panic!("{task}")
            };
            assert!(
                (found.value() / wanted - 1.0).abs() < 1e-6,
                "{task}: {} for {wanted}",
                found.value()
            );
            assert_eq!(expected.judge(&found.written(wanted, 4)), Judgement::Right);
        }
    }
}

#[test]
fn numbers_follow_from_the_identifier_alone() {
    let assignment = slits();
    let of = |name: &str| Variant::of(assignment, &student(name)).chosen;
    assert_eq!(of("ab12"), of(" AB12 "));
    // Worked out with another implementation of SHA-256 and SplitMix64 (Python's hashlib; the
    // lines stand in docs/receipt.md): the promise that nobody's numbers change.
    assert_eq!(of("ab12"), [4, 0, 2, 3]);
    assert_eq!(of("demo-0001"), [4, 0, 1, 2]);
    let mut other = assignment.clone();
    other.version += 1;
    let differ = (0..50)
        .filter(|number| {
            let student = student(&format!("s{number}"));
            Variant::of(&other, &student) != Variant::of(assignment, &student)
        })
        .count();
    assert!(
        differ > 40,
        "{differ} of 50 have other numbers in another version"
    );
}

/// Every value of a draw comes out about as often as any other.
#[test]
fn draws_are_even() {
    let assignment = slits();
    let count = 6000;
    for (place, draw) in assignment.draws.iter().enumerate() {
        let mut seen = vec![0_u32; draw.values.len()];
        for number in 0..count {
            seen[Variant::of(assignment, &student(&format!("id{number}"))).chosen[place]] += 1;
        }
        let share = 1.0 / draw.values.len() as f64;
        // Five standard deviations of a binomial count.
        let room = 5.0 * (f64::from(count) * share * (1.0 - share)).sqrt();
        for seen in seen {
            assert!(
                (f64::from(seen) - f64::from(count) * share).abs() < room,
                "{}: {seen}",
                draw.name
            );
        }
    }
}

#[test]
fn marks_follow_the_rules() {
    let assignment = slits();
    let paper = Paper::new(assignment);
    let variant = Variant::of(assignment, &student("ab12"));
    let task = place(assignment, "first-zero");
    let expected = paper.expected(task, &variant).unwrap();
    let Expected::Number(number) = &*expected else {
        panic!()
    };
    let right = number.written(number.value(), 4);
    let double = number.written(2.0 * number.value(), 4);
    let odd = number.written(1.3 * number.value(), 4);
    let marked = |steps: &[(Kind, &str)]| {
        let entries: Vec<Entry> = steps
            .iter()
            .zip(1..)
            .map(|((kind, text), at)| entry(at, "first-zero", *kind, text))
            .collect();
        mark(&paper, &variant, &entries).unwrap().tasks[task].clone()
    };
    use Kind::{Answer, Hint};
    let at_once = marked(&[(Answer, &right)]);
    assert!(at_once.right_at_once());
    assert!((at_once.points - 1.0).abs() < 1e-12);
    // What cannot be read, or is of another kind, costs nothing; so does the same again.
    let patient = marked(&[
        (Answer, "1,234"),
        (Answer, "3 kg"),
        (Answer, ""),
        (Answer, &double),
        (Answer, &double.replace(' ', "")),
        (Answer, &right),
    ]);
    assert_eq!((patient.tries, patient.right), (2, true));
    assert!(
        (patient.points - 1.0).abs() < 1e-12,
        "two tries count in full"
    );
    assert_eq!(patient.slips, ["factor-2"]);
    let third = marked(&[(Answer, &double), (Answer, &odd), (Answer, &right)]);
    assert!((third.points - 0.5).abs() < 1e-12);
    // Five tries, then none.
    let wrong: Vec<String> = (0..5)
        .map(|step| number.written(number.value() * (1.3 + 0.1 * f64::from(step)), 4))
        .collect();
    let mut steps: Vec<(Kind, &str)> = wrong.iter().map(|text| (Answer, text.as_str())).collect();
    steps.push((Answer, &right));
    let spent = marked(&steps);
    assert_eq!((spent.tries, spent.right, spent.late), (5, false, 1));
    // The worked solution closes the question.
    let told = marked(&[(Hint, "1"), (Hint, "4"), (Answer, &right)]);
    assert_eq!((told.right, told.late, told.hints), (false, 1, 4));
    // After a right answer nothing more counts.
    let done = marked(&[(Answer, &right), (Answer, &odd)]);
    assert_eq!((done.right, done.tries, done.late), (true, 1, 1));
}

#[test]
fn a_receipt_is_read_as_it_was_written() {
    let mut entries = vec![
        entry(0, "first-zero", Kind::Answer, "1,14 mT \"sic\"\n\u{1F4A1}"),
        entry(9, "first-zero", Kind::Hint, "1"),
    ];
    entries[0].sure = Some(Confidence::FairlySure);
    let receipt = receipt_of(slits(), "René", entries);
    let text = receipt.text();
    assert_eq!(Receipt::read(&text), Ok((receipt.clone(), Seal::Whole)));
    // Laid out anew by another program, it says the same.
    let value: serde_json::Value = serde_json::from_str(&text).unwrap();
    let pretty = serde_json::to_string_pretty(&value).unwrap();
    assert_eq!(Receipt::read(&pretty), Ok((receipt, Seal::Whole)));
}

#[test]
fn every_edit_is_noticed() {
    let entries = vec![
        entry(3, "first-zero", Kind::Answer, "1.1 mT"),
        entry(7, "side-lobe", Kind::Answer, "20 uA"),
    ];
    let text = receipt_of(slits(), "ab12", entries).text();
    let seal = |text: &str| Receipt::read(text).unwrap().1;
    assert_eq!(seal(&text.replace("1.1 mT", "1.2 mT")), Seal::BrokenAt(1));
    assert_eq!(seal(&text.replace("20 uA", "21 uA")), Seal::BrokenAt(2));
    assert_eq!(
        seal(&text.replace("\"at\":7", "\"at\":8")),
        Seal::BrokenAt(2)
    );
    assert_eq!(seal(&text.replace("ab12", "ab13")), Seal::BrokenAt(0));
    assert_eq!(
        seal(&text.replace("\"assignment-version\": 1", "\"assignment-version\": 2")),
        Seal::BrokenAt(0)
    );
}

#[test]
fn files_that_are_no_receipts_are_told() {
    let told = |text: &str| {
        Receipt::read(text)
            .map(|_| ())
            .map_err(|error| error.to_string())
    };
    assert!(told("").unwrap_err().contains("not JSON"));
    assert!(told("[]").unwrap_err().contains("outermost"));
    assert!(
        told("{\"format\":\"other\"}")
            .unwrap_err()
            .contains("not a receipt")
    );
    let text = receipt_of(slits(), "ab12", Vec::new()).text();
    assert!(
        told(&text.replace("\"format-version\": 1", "\"format-version\": 9"))
            .unwrap_err()
            .contains("version 9")
    );
    assert!(
        told(&text.replace("\"student\"", "\"who\""))
            .unwrap_err()
            .contains("student")
    );
    assert!(told(&" ".repeat(5 << 20)).unwrap_err().contains("at most"));
    assert!(told(&"[".repeat(100_000)).is_err());
}

/// A class of forty with two of each peculiarity.
#[test]
fn an_invented_class_is_marked_and_its_peculiarities_are_told() {
    let receipts = demo::class(slits(), 40).unwrap();
    let files: Vec<(&str, String)> = receipts
        .iter()
        .map(|(name, text)| (name.as_str(), text.clone()))
        .collect();
    let rows = graded(&files);
    let flags = |file: &str| -> Vec<String> {
        let row = rows.iter().find(|row| row.file == file).unwrap();
        row.flags.iter().map(ToString::to_string).collect()
    };
    let has = |file: &str, words: &str| {
        let flags = flags(file);
        assert!(
            flags.iter().any(|flag| flag.contains(words)),
            "{file}: {flags:?}"
        );
    };
    for round in [0, 20] {
        let name = |place: usize| format!("demo-{:04}.json", round + place + 1);
        has(&name(3), "edited");
        has(&name(5), "backwards");
        has(&name(8), "one of 2 files");
        // Others may have the same numbers by chance; the neighbour is among those named.
        has(&name(11), "wrong answers fit the numbers of demo-");
        has(&name(11), &format!("demo-{:04}", round + 11));
        assert!(flags(&name(13)).is_empty(), "{:?}", flags(&name(13)));
        has(&name(16), "unreadable");
        has(&name(18), "another version");
        // Honest ones are not bothered.
        for place in [0, 1, 2, 4, 6, 7, 9, 10] {
            assert!(
                flags(&name(place)).is_empty(),
                "{place}: {:?}",
                flags(&name(place))
            );
        }
    }
    // Of several files of one student exactly one counts.
    let counting: Vec<&Row> = rows.iter().filter(|row| row.counts).collect();
    let students: BTreeSet<_> = counting.iter().map(|row| &row.identifier).collect();
    assert_eq!(students.len(), counting.len());
    let reports = table::class_report(slits(), &rows);
    assert!(
        reports.iter().all(|report| report.answered > 25),
        "{reports:?}"
    );
    assert!(
        reports
            .iter()
            .any(|report| report.slips.contains_key("factor-2"))
    );
    assert!(reports.iter().any(|report| report.sure_and_wrong > 0));
}

/// The same receipts in any order and under any names of folders give the same bytes.
#[test]
fn the_tables_do_not_depend_on_the_order() {
    let receipts = demo::class(slits(), 25).unwrap();
    let mut files: Vec<(&str, String)> = receipts
        .iter()
        .map(|(name, text)| (name.as_str(), text.clone()))
        .collect();
    let bytes =
        |files: &[(&str, String)]| table::csv(&table::marks(slits(), &graded(files))).unwrap();
    let first = bytes(&files);
    files.reverse();
    assert_eq!(first, bytes(&files));
    files.rotate_left(7);
    assert_eq!(first, bytes(&files));
}

#[test]
fn the_roster_is_compared() {
    let grader = Grader::new(slits());
    let text = receipt_of(slits(), "AB12", Vec::new()).text();
    let row = grader.row("a.json", Ok(&text)).unwrap();
    let stranger = receipt_of(slits(), "zz", Vec::new()).text();
    let other = grader.row("z.json", Ok(&stranger)).unwrap();
    let rows = grader.finish(
        vec![row, other],
        Keep::Best,
        Some(&[student("ab12"), student("cd34")]),
    );
    let flags: Vec<(&str, Vec<Flag>)> = rows
        .iter()
        .map(|row| (row.student.as_str(), row.flags.clone()))
        .collect();
    assert_eq!(
        flags,
        [
            ("AB12", vec![]),
            ("cd34", vec![Flag::Missing]),
            ("zz", vec![Flag::NotOnRoster]),
        ]
    );
}

#[test]
fn a_record_handed_in_under_two_names_is_told() {
    let entries = vec![entry(3, "first-zero", Kind::Answer, "1.1 mT")];
    let rows = graded(&[
        (
            "a.json",
            receipt_of(slits(), "ab12", entries.clone()).text(),
        ),
        ("b.json", receipt_of(slits(), "cd34", entries).text()),
    ]);
    assert_eq!(rows[0].flags, [Flag::SameRecord("cd34".to_owned())]);
    assert_eq!(rows[1].flags, [Flag::SameRecord("ab12".to_owned())]);
}

/// One bit changed anywhere: the marks are those of before, or a flag says why not.
#[test]
fn no_bit_can_be_turned_unnoticed() {
    let receipts = demo::class(slits(), 1).unwrap();
    let text = &receipts[0].1;
    let grader = Grader::new(slits());
    let honest = grader.row("a.json", Ok(text)).unwrap();
    let points = |row: &Row| row.marks.as_ref().map(coldfringe::homework::Marks::points);
    assert!(honest.flags.is_empty() && points(&honest).is_some());
    let bytes = text.as_bytes();
    let mut tried = 0;
    // Every bit of every seventh byte; the step is prime to the width of the lines.
    for at in (0..bytes.len()).step_by(7) {
        for bit in 0..8 {
            let mut changed = bytes.to_vec();
            changed[at] ^= 1 << bit;
            let row = match std::str::from_utf8(&changed) {
                Ok(text) => grader.row("a.json", Ok(text)).unwrap(),
                Err(_) => grader.row("a.json", Err("not UTF-8".to_owned())).unwrap(),
            };
            tried += 1;
            let same = row.student == honest.student && points(&row) == points(&honest);
            assert!(same || !row.flags.is_empty(), "bit {bit} of byte {at}");
        }
    }
    assert!(tried > 1000, "{tried}");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    #[test]
    fn no_text_makes_the_marking_stumble(text in "\\PC{0,200}", answer in "\\PC{0,60}") {
        let grader = Grader::new(slits());
        let row = grader.row("x.json", Ok(&text)).unwrap();
        prop_assert!(!row.flags.is_empty());
        let entries: Vec<Entry> = slits()
            .tasks
            .iter()
            .map(|task| entry(1, &task.id, Kind::Answer, &answer))
            .collect();
        let receipt = receipt_of(slits(), "ab12", entries).text();
        let row = grader.row("x.json", Ok(&receipt)).unwrap();
        prop_assert!(row.marks.is_some());
    }
}

const HEAD: &str = "```assignment\nslug = \"a\"\ntitle = \"A\"\nsummary = \"S.\"\nminutes = 5\ncourse = \"c\"\nversion = 1\n```\n";
const DRAW: &str = "```draw width\nvalues = [\"8 µm\", \"10 µm\"]\n```\n";
const DEVICE: &str =
    "```setup j\nkind = \"single-junction\"\nwidth = \"@{width}\"\n```\n\n## A\n\n";

fn asks(slips: &str, hints: usize) -> String {
    format!(
        "```question q\nsetup = \"j\"\nprompt = \"At which field for @{{width}}?\"\n\
         answer = {{ reading = \"first-zero\" }}\nunit = \"mT\"\nwithin = 0.02\n\
         slips = [{slips}]\nhints = [{}]\n```\n",
        "\"Think.\", ".repeat(hints)
    )
}

/// What an assignment file does to deserve each of its mistakes, and the line that is named.
#[test]
fn mistakes_in_assignments_are_told_where_they_are() {
    let good = format!("{HEAD}{DRAW}{DEVICE}{}", asks("\"factor-2\"", 4));
    assert!(AssignmentFile::read(&good, "a.md").diagnostics.is_empty());
    let cases = [
        (
            good.replace("```assignment", "```lesson"),
            "no-assignment-block",
            1,
        ),
        (format!("{good}\n{HEAD}"), "no-assignment-block", 29),
        (format!("{HEAD}\n## A\n\nText.\n"), "no-assignment-block", 1),
        (good.replace(", \"10 µm\"", ""), "bad-draw", 9),
        (good.replace("\"10 µm\"", "\"8 µm\""), "bad-draw", 10),
        (good.replace("\"10 µm\"", "\"{}\""), "bad-draw", 10),
        (
            good.replace("width = \"@{width}\"", "")
                .replace(" for @{width}", ""),
            "bad-draw",
            9,
        ),
        (
            good.replace("for @{width}", "for @{depth}"),
            "unknown-placeholder",
            21,
        ),
        (
            good.replace("for @{width}?\"", "for @{width\""),
            "unknown-placeholder",
            21,
        ),
        (
            format!("{HEAD}{DRAW}{DEVICE}{}", asks("", 3)),
            "not-four-hints",
            19,
        ),
        // Inside a text that follows a drawn value on its line, the place is still right.
        (
            good.replace("unit = \"mT\"", "unit = \"mA\""),
            "bad-quantity",
            23,
        ),
        (
            good.replace("version = 1", "version = 1\ntries = 0"),
            "out-of-range",
            8,
        ),
        (
            good.replace("version = 1", "version = 1\n[points]\nnobody = 2"),
            "unknown-word",
            9,
        ),
        (
            good.replace("slug = \"a\"", "slug = \"A b\""),
            "bad-name",
            2,
        ),
        (
            good.replace("```draw width", "```draw Width"),
            "bad-name",
            9,
        ),
        (good.replace("8 µm", "8 kg"), "bad-parameter", 14),
    ];
    for (source, code, line) in cases {
        let found = AssignmentFile::read(&source, "a.md").diagnostics;
        assert!(
            found
                .iter()
                .any(|it| it.mistake.code() == code && it.line == line),
            "wanted {code} in line {line}\n{found:#?}\n{source}"
        );
    }
    // These need the answers computed.
    let close = format!(
        "{HEAD}{DRAW}{DEVICE}{}",
        asks("\"factor-2\", \"radius-for-diameter\"", 4)
    );
    let (_, found) = AssignmentFile::read(&close, "a.md").check();
    assert_eq!(found[0].mistake.code(), "answers-too-close", "{found:#?}");
    assert_eq!(found[0].line, 19);
    let far = good.replace("\"10 µm\"", "\"9 mm\"");
    let file = AssignmentFile::read(&far, "a.md");
    assert!(
        !file.check().1.is_empty() || !file.diagnostics.is_empty(),
        "9 mm is no width"
    );
}

#[test]
fn a_lesson_takes_no_blocks_of_an_assignment() {
    let lesson = "```lesson\nslug = \"a\"\nnumber = 1\ntitle = \"A\"\nsummary = \"S.\"\nminutes = 5\n```\n\n## A\n\n";
    let (_, found) = coldfringe::lesson::parse(&format!("{lesson}{DRAW}"), "a.md");
    assert_eq!(found.len(), 1, "{found:#?}");
    assert_eq!(found[0].mistake.code(), "unknown-block");
}
