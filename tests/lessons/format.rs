//! The page on the lesson format is its own test: every example in it is read, those marked as
//! mistakes give exactly that mistake, and every mistake that exists is named in it.

use coldfringe::homework::template::AssignmentFile;
use coldfringe::lesson::spec::Part;
use coldfringe::lesson::{Mistake, parse};

const PAGE: &str = include_str!("../../docs/lesson-format.md");

/// An example of the page: the words after its four backticks, its text, its line in the page.
struct Example {
    words: String,
    text: String,
    line: usize,
}

fn examples() -> Vec<Example> {
    let mut found = Vec::new();
    let mut open: Option<Example> = None;
    for (index, line) in PAGE.lines().enumerate() {
        match (&mut open, line.strip_prefix("````")) {
            (None, Some(words)) => {
                open = Some(Example {
                    words: words.to_owned(),
                    text: String::new(),
                    line: index + 1,
                });
            }
            (Some(_), Some("")) => found.extend(open.take()),
            (Some(example), _) => {
                example.text.push_str(line);
                example.text.push('\n');
            }
            (None, None) => {}
        }
    }
    assert!(open.is_none(), "an example is not closed");
    found
}

fn frame() -> String {
    let frames: Vec<Example> = examples()
        .into_iter()
        .filter(|example| example.words == "lesson-frame")
        .collect();
    assert_eq!(frames.len(), 1, "one frame");
    format!("{}\n", frames[0].text)
}

#[test]
fn every_sound_example_is_read_without_mistakes() {
    let frame = frame();
    let mut count = 0;
    for example in examples() {
        let source = match example.words.as_str() {
            "lesson-file" => example.text.clone(),
            "lesson-part" => format!("{frame}{}", example.text),
            _ => continue,
        };
        let (lesson, diagnostics) = parse(&source, "example.md");
        assert!(
            diagnostics.is_empty(),
            "line {} of the page: {diagnostics:#?}",
            example.line
        );
        let parts = lesson
            .steps
            .iter()
            .map(|step| step.parts.len())
            .sum::<usize>();
        assert!(parts > 0, "line {}: nothing was read", example.line);
        count += 1;
    }
    assert!(count >= 10, "only {count} examples were found");
}

#[test]
fn every_assignment_on_the_page_is_sound_and_fair() {
    let mut count = 0;
    for example in examples() {
        if example.words != "assignment-file" {
            continue;
        }
        let file = AssignmentFile::read(&example.text, "example.md");
        assert!(file.diagnostics.is_empty(), "{:#?}", file.diagnostics);
        let (report, unfair) = file.check();
        assert!(unfair.is_empty() && report.computed > 0, "{unfair:#?}");
        count += 1;
    }
    assert!(count > 0, "no assignment was found");
}

#[test]
fn every_marked_mistake_is_told_at_its_place() {
    let frame = frame();
    let frame_lines = frame.lines().count();
    let mut count = 0;
    for example in examples() {
        let Some(mark) = example.words.strip_prefix("lesson-part with mistake ") else {
            continue;
        };
        let (code, place) = mark.split_once(" at ").expect("CODE at LINE:COLUMN");
        let (line, column) = place.split_once(':').expect("LINE:COLUMN");
        let (lesson, diagnostics) = parse(&format!("{frame}{}", example.text), "example.md");
        let told: Vec<String> = diagnostics
            .iter()
            .map(|found| {
                format!(
                    "{} at {}:{}",
                    found.mistake.code(),
                    found.line - frame_lines,
                    found.column
                )
            })
            .collect();
        assert_eq!(
            told,
            [format!("{code} at {line}:{column}")],
            "line {} of the page: {diagnostics:#?}",
            example.line
        );
        assert!(!diagnostics[0].mend.is_empty(), "{code} has no mend");
        let broken = lesson
            .steps
            .iter()
            .flat_map(|step| &step.parts)
            .any(|part| matches!(part, Part::Broken { .. } | Part::Prose(_)));
        assert!(
            broken,
            "line {}: the rest of the page is gone",
            example.line
        );
        count += 1;
    }
    assert!(count >= 5, "only {count} mistakes were found");
}

#[test]
fn every_kind_of_example_is_known() {
    for example in examples() {
        assert!(
            [
                "lesson-file",
                "lesson-frame",
                "lesson-part",
                "assignment-file"
            ]
            .contains(&example.words.as_str())
                || example.words.starts_with("lesson-part with mistake "),
            "line {}: an example nobody runs: {}",
            example.line,
            example.words
        );
    }
}

#[test]
fn every_mistake_is_named_on_the_page() {
    for mistake in Mistake::ALL {
        let row = format!("| `{}` |", mistake.code());
        assert!(PAGE.contains(&row), "no row {row}");
    }
}

#[test]
fn the_template_of_a_new_lesson_has_no_mistakes_and_shows_every_common_block() {
    let template = include_str!("../../src/bin/coldfringe/lessons/new_lesson.md")
        .replace("SLUG", "a-new-one")
        .replace("NUMBER", "12");
    let (lesson, diagnostics) = parse(&template, "a-new-one.md");
    assert!(diagnostics.is_empty(), "{diagnostics:#?}");
    assert_eq!((lesson.slug.as_str(), lesson.number), ("a-new-one", 12));
    for kind in [
        "lesson", "setup", "observe", "board", "predict", "bench", "question", "caution",
    ] {
        assert!(
            template.contains(&format!("```{kind}")),
            "no `{kind}` block in the template"
        );
    }
}

#[test]
fn every_kind_of_block_and_of_prediction_has_an_example() {
    let examples: String = examples()
        .into_iter()
        .filter(|example| !example.words.contains("mistake"))
        .map(|example| example.text)
        .collect();
    for kind in [
        "lesson", "setup", "observe", "board", "predict", "bench", "question", "caution",
    ] {
        assert!(examples.contains(&format!("```{kind}")), "no `{kind}`");
    }
    for kind in [
        "sketch",
        "pick-curve",
        "pick-statement",
        "mark-axis",
        "mark-board",
        "number",
    ] {
        assert!(
            examples.contains(&format!("kind = \"{kind}\"")),
            "no prediction of kind `{kind}`"
        );
    }
}
