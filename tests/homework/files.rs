//! Mistakes in assignment files are told, each at its place.

use coldfringe::homework::template::AssignmentFile;

use crate::course;

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

#[test]
fn a_lesson_takes_no_blocks_of_an_assignment() {
    let lesson = "```lesson\nslug = \"a\"\nnumber = 1\ntitle = \"A\"\nsummary = \"S.\"\nminutes = 5\n```\n\n## A\n\n";
    let (_, found) = coldfringe::lesson::parse(&format!("{lesson}{DRAW}"), "a.md");
    assert_eq!(found.len(), 1, "{found:#?}");
    assert_eq!(found[0].mistake.code(), "unknown-block");
}
