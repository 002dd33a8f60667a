//! Every kind of mistake: told once, at its place, with a mend; and no text ever stops the reader.

mod answers;
mod blocks;
mod devices;
mod prose;

use std::collections::BTreeSet;

use coldfringe::lesson::report::{report, short_report};
use coldfringe::lesson::spec::{Lesson, Part};
use coldfringe::lesson::text::LARGEST_FILE;
use coldfringe::lesson::text::course::{check_links, read_course};
use coldfringe::lesson::{Diagnostic, Mistake, parse};
use proptest::prelude::*;

const HEAD: &str =
    "```lesson\nslug = \"a\"\nnumber = 1\ntitle = \"A\"\nsummary = \"S.\"\nminutes = 5\n```\n";
const DEVICES: &str = "```setup tern\nkind = \"single-junction\"\n```\n```setup pair\nkind = \"junction-pair\"\n```\n```setup avocet\nkind = \"screened-loop\"\n```\n";
const CHART: &str = "[chart]\ncolumn = \"critical-current\"\nx = { scale = \"junction-flux\", from = -3, to = 3 }\ny = { scale = \"relative\", from = 0, to = 1.1 }\n";
const OPTIONS: &str =
    "[[options]]\nid = \"a\"\ntext = \"A\"\nright = true\n[[options]]\nid = \"b\"\ntext = \"B\"\n";

/// A lesson whose step holds `text`.
fn lesson(text: &str) -> String {
    format!("{HEAD}{DEVICES}## Step\n{text}")
}

/// A `predict` block of a sketch with `keys` before its chart.
fn sketch(keys: &str, chart: &str) -> String {
    format!("```predict p\nkind = \"sketch\"\nprompt = \"Draw.\"\n{keys}{chart}```\n")
}

/// A computed value that a text may speak of.
const VALUE: &str = "```value zero\nsetup = \"tern\"\nanswer = { reading = \"first-zero\" }\nunit = \"mT\"\n```\n\n";

/// A numeric question with these keys.
fn question(keys: &str) -> String {
    format!("```question q\nprompt = \"How much?\"\n{keys}```\n")
}

/// Reads `source` and returns its only mistake.
fn only(source: &str) -> Diagnostic {
    let (_, diagnostics) = parse(source, "x.md");
    assert_eq!(diagnostics.len(), 1, "{source}\n{diagnostics:#?}");
    diagnostics.into_iter().next().unwrap()
}

/// What must be told of a text: the text, the mistake, the words at fault, words of the mend.
type Case = (String, Mistake, &'static str, &'static str);

#[test]
fn every_mistake_is_told_once_at_its_place_with_its_mend() {
    let mut met = BTreeSet::new();
    let mut failures = Vec::new();
    let cases = [
        blocks::cases(),
        devices::cases(),
        answers::cases(),
        prose::cases(),
    ];
    for (source, mistake, at, mend) in cases.into_iter().flatten() {
        let (_, diagnostics) = parse(&source, "x.md");
        let told = match diagnostics.as_slice() {
            [found] => {
                let start = found.span.start;
                let line_start = source[..start].rfind('\n').map_or(0, |end| end + 1);
                let line = source[..start].matches('\n').count() + 1;
                let column = source[line_start..start].chars().count() + 1;
                found.mistake == mistake
                    && (at.is_empty() || &source[found.span.clone()] == at)
                    && (found.line, found.column) == (line, column)
                    && !found.message.is_empty()
                    && !found.mend.is_empty()
                    && found.mend.contains(mend)
            }
            _ => false,
        };
        if !told {
            failures.push(format!(
                "wanted {mistake:?} at {at:?}, mend {mend:?}\n{diagnostics:#?}\n{source}"
            ));
        }
        met.insert(mistake);
    }
    assert!(failures.is_empty(), "{}", failures.join("\n\n"));
    // These concern the file as a whole or several files, and have tests of their own below.
    met.extend([
        Mistake::UnreadableFile,
        Mistake::DuplicateSlug,
        Mistake::DuplicateNumber,
        // These concern assignments, and have tests there.
        Mistake::NoAssignmentBlock,
        Mistake::BadDraw,
        Mistake::NotFourHints,
        Mistake::TooClose,
    ]);
    let missed: Vec<_> = Mistake::ALL
        .iter()
        .filter(|kind| !met.contains(kind))
        .collect();
    assert!(missed.is_empty(), "no case for {missed:?}");
}

#[test]
fn a_broken_block_leaves_the_rest_standing() {
    let source = lesson(&format!(
        "before\n\n{}\nafter\n\n## Next\n\n{}",
        sketch("setup = \"nobody\"\n", CHART),
        sketch("setup = \"tern\"\n", CHART).replace("predict p", "predict other"),
    ));
    let (lesson, diagnostics) = parse(&source, "x.md");
    assert_eq!(diagnostics.len(), 1, "{diagnostics:#?}");
    let kinds: Vec<&str> = parts(&lesson);
    assert_eq!(kinds, ["prose", "broken", "prose", "block"]);
}

fn parts(lesson: &Lesson) -> Vec<&'static str> {
    lesson
        .steps
        .iter()
        .flat_map(|step| &step.parts)
        .map(|part| match part {
            Part::Prose(_) => "prose",
            Part::Block(_) => "block",
            Part::Caution(_) => "caution",
            Part::Broken { .. } => "broken",
        })
        .collect()
}

#[test]
fn several_mistakes_are_all_told_in_the_order_of_the_file() {
    let source = lesson(&format!(
        "a $x^$\n\n{}",
        sketch(
            "setup = \"tern\"\nwidth = 1\ncolumns = 1\n",
            &CHART.replace("critical", "x")
        )
    ));
    let (_, diagnostics) = parse(&source, "x.md");
    let kinds: Vec<Mistake> = diagnostics.iter().map(|found| found.mistake).collect();
    assert_eq!(
        kinds,
        [
            Mistake::BadFormula,
            Mistake::UnknownKey,
            Mistake::OutOfRange,
            Mistake::UnknownColumn
        ],
        "{diagnostics:#?}"
    );
}

#[test]
fn a_file_that_is_too_large_is_refused() {
    let source = "a".repeat(LARGEST_FILE + 1);
    assert_eq!(only(&source).mistake, Mistake::UnreadableFile);
}

#[test]
fn lessons_of_one_course_must_differ_and_know_each_other() {
    let one = format!("{HEAD}## S\n[to b](../b/) [nowhere](../c/#x)\n");
    let two = HEAD.replace("number = 1", "number = 2");
    let mut course = read_course(vec![
        ("1.md".to_owned(), one),
        ("2.md".to_owned(), two),
        ("3.md".to_owned(), HEAD.replace("\"a\"", "\"b\"")),
    ]);
    check_links(&mut course);
    let told: Vec<(String, &str)> = course
        .iter()
        .flat_map(|file| {
            file.diagnostics
                .iter()
                .map(|found| (file.file.clone(), found.mistake.code()))
        })
        .collect();
    let expected = [
        ("1.md".to_owned(), "broken-link"),
        ("3.md".to_owned(), "duplicate-number"),
        ("2.md".to_owned(), "duplicate-slug"),
    ];
    assert_eq!(told, expected);
}

#[test]
fn the_reports_show_place_cause_and_mend() {
    let source = lesson(&sketch("setup = \"term\"\n", CHART));
    let (_, diagnostics) = parse(&source, "lessons/x.md");
    let long = report(&source, "lessons/x.md", &diagnostics, false);
    let line = diagnostics[0].line;
    for words in [
        "error[unknown-setup]",
        &format!("lessons/x.md:{line}:9"),
        "no `setup` block defines `term`",
        "did you mean `tern`?",
        "setup = \"term\"",
    ] {
        assert!(long.contains(words), "no {words:?} in\n{long}");
    }
    assert_eq!(
        short_report("lessons/x.md", &diagnostics),
        format!(
            "lessons/x.md:{line}:9: no `setup` block defines `term`. Mend: did you mean `tern`? [unknown-setup]\n"
        )
    );
}

/// Pieces of lessons, to be put together in any order.
fn piece() -> impl Strategy<Value = String> {
    let pieces = [
        HEAD,
        DEVICES,
        CHART,
        OPTIONS,
        "```",
        "```predict p\n",
        "```bench b\n",
        "```\n",
        "## ",
        "# ",
        "$",
        "$$",
        "|",
        "\n\n",
        "[[options]]\n",
        "setup = ",
        "\"tern\"\n",
        "= [",
        "{",
        "}",
        "\\",
        "é",
        "\u{0}",
        "<b>",
        "![](",
        "](#",
        "standard = ",
        "kind = \"sketch\"\n",
        "- ",
        "> ",
        "    ",
        "\r\n",
        "~~~",
        "\\frac",
        "^",
        "_",
        "\\left|",
        "\\begin{aligned}",
        "&",
        "\u{1F300}",
    ];
    prop_oneof![
        3 => proptest::sample::select(pieces.to_vec()).prop_map(str::to_owned),
        1 => any::<String>(),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]

    #[test]
    fn no_text_stops_the_reader(pieces in proptest::collection::vec(piece(), 0..40)) {
        let source = pieces.concat();
        let (lesson, diagnostics) = parse(&source, "any.md");
        for found in &diagnostics {
            prop_assert!(source.get(found.span.clone()).is_some(), "{found:?}");
            prop_assert!(found.line >= 1 && found.column >= 1, "{found:?}");
        }
        let words = report(&source, "any.md", &diagnostics, false);
        prop_assert_eq!(words.matches("error[").count() >= diagnostics.len(), true);
        let page = coldfringe::page::lesson::lesson_page(
            &lesson, None, None, &coldfringe::page::shell::Assets::default());
        prop_assert!(page.ends_with("</html>\n"));
    }
}
