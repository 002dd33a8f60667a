//! Every kind of mistake: told once, at its place, with a mend; and no text ever stops the reader.
#![cfg(not(target_arch = "wasm32"))]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test stops at the first surprise"
)]

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

/// What must be told of each text: the mistake, the text at fault, words of the mend.
fn cases() -> Vec<(String, Mistake, &'static str, &'static str)> {
    let tern = "setup = \"tern\"\n";
    let number = "setup = \"tern\"\nanswer = { reading = \"first-zero\" }\nwithin = 0.02\n";
    let mark =
        "```predict p\nkind = \"mark-axis\"\nprompt = \"Where?\"\nsetup = \"tern\"\nwithin = 0.1\n";
    let bench = format!("```bench b\nsetup = \"tern\"\n{CHART}");
    let slider = "[[sliders]]\nparameter = \"width\"\nlabel = \"W\"\nunit = \"um\"\nfrom = 2\nto = 20\nstep = 1\n";
    let challenge = "[[challenges]]\ntext = \"T\"\nreading = \"first-zero\"\ntarget = \"0.5 mT\"\nwithin = 0.1\n";
    vec![
        (
            format!("{DEVICES}## S\ntext\n"),
            Mistake::NoLessonBlock,
            "",
            "three backticks",
        ),
        (
            format!("## S\ntext\n{HEAD}"),
            Mistake::NoLessonBlock,
            "```lesson",
            "top",
        ),
        (
            lesson("At @{nowhere} it is zero.\n"),
            Mistake::UnknownPlaceholder,
            "@{nowhere}",
            "`value nowhere`",
        ),
        (
            lesson(&format!("{VALUE}No word of it.\n")),
            Mistake::UnusedValue,
            "```value zero",
            "`@{zero}`",
        ),
        (
            lesson(&format!("{}At @{{zero}}.\n", VALUE.replace("mT", "uA"))),
            Mistake::BadQuantity,
            "\"uA\"",
            "`T`",
        ),
        (
            // The place is right beyond a value that is longer than its placeholder.
            lesson(&format!("{VALUE}At @{{zero}} [there](#nowhere).\n")),
            Mistake::BrokenLink,
            "[there](#nowhere)",
            "",
        ),
        (
            lesson("```predikt p\n```\n"),
            Mistake::UnknownBlock,
            "```predikt p",
            "`predict`",
        ),
        (
            lesson("```text\nx\n"),
            Mistake::UnclosedBlock,
            "```text",
            "```",
        ),
        (
            lesson(" ```caution\n a\n ```\n"),
            Mistake::IndentedBlock,
            "```caution",
            "begin the line",
        ),
        (
            lesson(&sketch(tern, "chart = \n")),
            Mistake::BadToml,
            "",
            "key = value",
        ),
        (
            lesson(&sketch("setup = \"tern\"\nraesons = []\n", CHART)),
            Mistake::UnknownKey,
            "raesons",
            "`reasons`",
        ),
        (
            lesson(&sketch(
                "setup = \"tern\"\nreasons = [\"A.\", \"B.\"]\nbecause = [\"C.\"]\n",
                CHART,
            )),
            Mistake::UnknownWord,
            "\"C.\"",
            "as it stands there",
        ),
        (
            lesson(&sketch(tern, "")),
            Mistake::MissingKey,
            "```predict p",
            "add `chart",
        ),
        (
            lesson(&sketch("setup = \"tern\"\ncolumns = \"many\"\n", CHART)),
            Mistake::WrongType,
            "\"many\"",
            "whole number",
        ),
        (
            lesson(&sketch("setup = \"tern\"\ncolumns = 1\n", CHART)),
            Mistake::OutOfRange,
            "1",
            "2 to 65",
        ),
        (
            lesson("```predict\nkind = \"sketch\"\n```\n"),
            Mistake::BadName,
            "```predict",
            "one name",
        ),
        (
            lesson("```predict A_b\nkind = \"sketch\"\n```\n"),
            Mistake::BadName,
            "A_b",
            "small letters",
        ),
        (
            lesson(&format!("{0}{0}", sketch(tern, CHART))),
            Mistake::DuplicateName,
            "p",
            "another name",
        ),
        (
            lesson("```setup tern\nkind = \"screened-loop\"\n```\n"),
            Mistake::DuplicateName,
            "tern",
            "another name",
        ),
        (
            lesson("```predict p\nkind = \"scetch\"\nprompt = \"D\"\nsetup = \"tern\"\n```\n"),
            Mistake::UnknownWord,
            "\"scetch\"",
            "`sketch`",
        ),
        (
            lesson(&sketch("setup = \"term\"\n", CHART)),
            Mistake::UnknownSetup,
            "\"term\"",
            "`tern`",
        ),
        (
            lesson(&sketch(
                "setup = { is = \"tern\", widht = \"5 um\" }\n",
                CHART,
            )),
            Mistake::BadParameter,
            "widht",
            "width",
        ),
        (
            lesson(&sketch(
                "setup = { is = \"tern\", width = \"5 mA\" }\n",
                CHART,
            )),
            Mistake::BadParameter,
            "\"5 mA\"",
            "length",
        ),
        (
            lesson(&sketch("setup = { is = \"tern\", width = 5 }\n", CHART)),
            Mistake::BadParameter,
            "5",
            "write it in m",
        ),
        (
            lesson(&sketch(
                "setup = { is = \"tern\", width = \"5 km\" }\n",
                CHART,
            )),
            Mistake::BadParameter,
            "\"5 km\"",
            "from",
        ),
        (
            lesson(&sketch(tern, &CHART.replace("critical", "critcal"))),
            Mistake::UnknownColumn,
            "\"critcal-current\"",
            "`critical-current`",
        ),
        (
            lesson(&sketch(tern, &CHART.replace("junction-flux", "loop-flux"))),
            Mistake::UnknownScale,
            "\"loop-flux\"",
            "`junction-flux`",
        ),
        (
            lesson(&sketch(tern, &CHART.replace("relative", "mT"))),
            Mistake::UnknownScale,
            "\"mT\"",
            "unit",
        ),
        (
            lesson(&sketch(tern, &CHART.replace("from = -3", "from = 4"))),
            Mistake::EmptyRange,
            "{ scale = \"junction-flux\", from = 4, to = 3 }",
            "below",
        ),
        (
            lesson(&sketch(tern, &CHART.replace("to = 3 ", "to = inf "))),
            Mistake::OutOfRange,
            "inf",
            "ordinary number",
        ),
        (
            lesson(&sketch(tern, &CHART.replace("to = 1.1", "to = 0.9"))),
            Mistake::AnswerOutsideChart,
            "{ scale = \"relative\", from = 0, to = 0.9 }",
            "widen",
        ),
        (
            lesson(&sketch("setup = \"tern\"\npictures = [\"shadw\"]\n", CHART)),
            Mistake::UnknownPicture,
            "\"shadw\"",
            "`shadow`",
        ),
        (
            lesson(&sketch("setup = \"tern\"\nboard = \"loop\"\n", CHART)),
            Mistake::BoardDoesNotFit,
            "\"loop\"",
            "`junction`",
        ),
        (
            lesson(&format!(
                "```setup godwit\nkind = \"profile-from-pattern\"\n```\n{}",
                sketch(
                    "setup = \"godwit\"\nboard = \"junction\"\n",
                    "[chart]\ncolumn = \"current-density-true\"\nx = { scale = \"width\", from = -0.5, to = 0.5 }\ny = { scale = \"relative\", from = 0, to = 1.1 }\n"
                )
            )),
            Mistake::BoardDoesNotFit,
            "```predict p",
            "leave `board` out",
        ),
        (
            lesson(&format!(
                "{bench}[paint]\nparameter = \"width\"\nstrips = 20\n```\n"
            )),
            Mistake::BadParameter,
            "\"width\"",
            "`profile`",
        ),
        (
            lesson(&format!(
                "{bench}[paint]\nparameter = \"profile\"\nstrips = 20\npresets = [\"unifrm\"]\n```\n"
            )),
            Mistake::BadParameter,
            "\"unifrm\"",
            "did you mean \"uniform\"",
        ),
        (
            lesson(&format!(
                "{bench}[paint]\nparameter = \"profile\"\nstrips = 1\n```\n"
            )),
            Mistake::OutOfRange,
            "1",
            "2 to 64",
        ),
        (
            lesson(&format!(
                "```bench b\nsetup = \"tern\"\nboard = \"junction\"\n{CHART}[paint]\nparameter = \"profile\"\nstrips = 20\n```\n"
            )),
            Mistake::BoardDoesNotFit,
            "[paint]",
            "block of its own",
        ),
        (
            lesson(&sketch("setup = \"tern\"\nboard = \"lop\"\n", CHART)),
            Mistake::UnknownWord,
            "\"lop\"",
            "`loop`",
        ),
        (
            lesson(&question(
                "setup = \"tern\"\nanswer = { reading = \"frist-zero\" }\nwithin = 0.02\nunit = \"mT\"\n",
            )),
            Mistake::UnknownReading,
            "\"frist-zero\"",
            "`first-zero`",
        ),
        (
            lesson(&question(&format!("{number}unit = \"uA\"\n"))),
            Mistake::BadQuantity,
            "\"uA\"",
            "try",
        ),
        (
            lesson(&question(&format!(
                "{number}unit = \"mT\"\nslips = [\"factor-3\"]\n"
            ))),
            Mistake::UnknownWord,
            "\"factor-3\"",
            "factor-",
        ),
        (
            lesson(&question(
                "setup = \"tern\"\nanswer = { reading = \"first-zero\" }\nunit = \"mT\"\nwithin = 2\n",
            )),
            Mistake::OutOfRange,
            "2",
            "0.02",
        ),
        (
            lesson(&question(
                "setup = \"tern\"\nanswer = { parameter = \"width\", reading = \"first-zero\", equals = \"900 T\" }\nunit = \"um\"\nwithin = 0.02\n",
            )),
            Mistake::AnswerNotComputable,
            "{ parameter = \"width\", reading = \"first-zero\", equals = \"900 T\" }",
            "",
        ),
        (
            lesson(&format!(
                "{mark}answer = {{ reading = \"first-zero\" }}\n{}```\n",
                CHART.replace("from = -3, to = 3", "from = 0, to = 0.9")
            )),
            Mistake::AnswerOutsideChart,
            "{ reading = \"first-zero\" }",
            "widen",
        ),
        (
            lesson(&format!(
                "{mark}answer = {{ reading = \"maximum\" }}\n{CHART}```\n"
            )),
            Mistake::AnswerNotComputable,
            "{ reading = \"maximum\" }",
            "reading in T",
        ),
        (
            lesson(&format!(
                "```observe o\nprompt = \"?\"\n{}```\n",
                OPTIONS.replace("right = true\n", "")
            )),
            Mistake::NotOneRight,
            "```observe o",
            "right = true",
        ),
        (
            lesson(&format!(
                "```observe o\nprompt = \"?\"\n{OPTIONS}right = true\n```\n"
            )),
            Mistake::NotOneRight,
            "",
            "one of them",
        ),
        (
            lesson(&format!(
                "```observe o\nprompt = \"?\"\n{}```\n",
                OPTIONS.replace("\"b\"", "\"a\"")
            )),
            Mistake::DuplicateName,
            "\"a\"",
            "own",
        ),
        (
            lesson(&format!(
                "{bench}{}```\n",
                slider.replace("\"width\"", "\"wdth\"")
            )),
            Mistake::BadParameter,
            "\"wdth\"",
            "`width`",
        ),
        (
            lesson(&format!(
                "{bench}{}```\n",
                slider.replace("from = 2", "from = 15")
            )),
            Mistake::OutOfRange,
            "",
            "slider",
        ),
        (
            lesson(&format!(
                "{bench}{}```\n",
                slider.replace("\"um\"", "\"mA\"")
            )),
            Mistake::BadParameter,
            "",
            "length",
        ),
        (
            lesson(&format!(
                "{bench}{slider}{}```\n",
                challenge.replace("0.5 mT", "0.5 uA")
            )),
            Mistake::BadQuantity,
            "\"0.5 uA\"",
            "field",
        ),
        (
            lesson("```board b\nsetup = \"pair\"\npicture = \"phasors\"\nat = \"half\"\n```\n"),
            Mistake::BadQuantity,
            "\"half\"",
            "",
        ),
        (
            lesson("```caution\nstandard = \"criogens\"\n```\n"),
            Mistake::UnknownWord,
            "\"criogens\"",
            "`cryogens`",
        ),
        (
            lesson("a $\\Phi_$ b\n"),
            Mistake::BadFormula,
            "$\\Phi_$",
            "braces",
        ),
        (
            lesson("a $$x b\n"),
            Mistake::BadFormula,
            "$$",
            "end the formula",
        ),
        (
            lesson("| a | b |\n|---|---|\n| $|x|$ | c |\n"),
            Mistake::BadFormula,
            "$",
            "\\lvert",
        ),
        (
            lesson("$\\def\\x{\\x}\\x$\n"),
            Mistake::BadFormula,
            "$\\def\\x{\\x}\\x$",
            "write the formula out",
        ),
        (
            lesson(&question(&format!(
                "{number}unit = \"mT\"\nhints = ['ab $x^$']\n"
            ))),
            Mistake::BadFormula,
            "$x^$",
            "braces",
        ),
        (
            lesson("$$a\n\nb$$\n"),
            Mistake::BlankLineInFormula,
            "$$a\n\nb$$",
            "blank line",
        ),
        (
            lesson("a <b>c</b>\n").replace("</b>", ""),
            Mistake::RawHtml,
            "<b>",
            "backticks",
        ),
        (
            lesson("![a](b.png)\n"),
            Mistake::Image,
            "![a](b.png)",
            "board",
        ),
        (lesson("# Big\n"), Mistake::HeadingLevel, "# Big\n", "## "),
        (
            lesson("text\n---\n"),
            Mistake::HeadingLevel,
            "text\n---\n",
            "blank line",
        ),
        (
            format!("{HEAD}text\n## S\n"),
            Mistake::TextBeforeHeading,
            "text",
            "## ",
        ),
        (
            lesson("[a](#stop)\n"),
            Mistake::BrokenLink,
            "[a](#stop)",
            "`step`",
        ),
        (
            lesson("[a](javascript:x)\n"),
            Mistake::BrokenLink,
            "[a](javascript:x)",
            "https",
        ),
    ]
}

#[test]
fn every_mistake_is_told_once_at_its_place_with_its_mend() {
    let mut met = BTreeSet::new();
    let mut failures = Vec::new();
    for (source, mistake, at, mend) in cases() {
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
        // These concern assignments: tests/homework/files.rs.
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
