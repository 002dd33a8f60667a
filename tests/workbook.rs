//! An assignment as a page: its HTML, and the state of a student's work on it.
#![cfg(not(target_arch = "wasm32"))]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test stops at the first surprise"
)]

mod course;

use coldfringe::homework::template::AssignmentFile;
use coldfringe::page::shell::{Assets, Bundle};
use coldfringe::workbook::{head, workbook_page};

fn assets() -> Assets {
    Assets {
        bundle: Some(Bundle {
            script: "a.js".to_owned(),
            wasm: "a.wasm".to_owned(),
            worker: "w".to_owned(),
        }),
        ..Assets::default()
    }
}

/// The text of every element that the opening tag begins.
fn between<'a>(html: &'a str, open: &str, close: &str) -> Vec<&'a str> {
    html.split(open)
        .skip(1)
        .filter_map(|rest| {
            rest.split_once('>')?
                .1
                .split_once(close)
                .map(|(text, _)| text)
        })
        .collect()
}

#[test]
fn no_value_of_anybody_stands_in_a_page() {
    for file in course::assignments() {
        let html = workbook_page(file, &assets());
        assert!(
            !html.contains(['\u{2060}', '\u{200B}', '\u{27E6}', '\u{27E7}']),
            "{}: a mark is left over",
            file.file
        );
        // Outside the list of what may be drawn, no value is left; each draw has its places.
        let text: String = html
            .split("<script type=\"application/json\" data-role=\"assignment\">")
            .enumerate()
            .map(|(place, part)| match place {
                0 => part,
                _ => part.split_once("</script>").unwrap().1,
            })
            .collect();
        for draw in &file.assignment.draws {
            assert!(
                text.matches(&draw.placeholder()).count() > 0,
                "{}",
                draw.name
            );
        }
        assert!(!text.contains("@{}"));
        // Every placeholder stands within a block's JSON.
        let outside: String = text
            .split("<script type=\"application/json\"")
            .enumerate()
            .map(|(place, part)| match place {
                0 => part,
                _ => part.split_once("</script>").unwrap().1,
            })
            .collect();
        assert!(!outside.contains("@{"), "{}", file.file);
    }
}

#[test]
fn the_script_reads_back_the_assignment_that_is_marked() {
    for file in course::assignments() {
        let html = workbook_page(file, &assets());
        let json = between(
            &html,
            "<script type=\"application/json\" data-role=\"assignment\"",
            "</script>",
        );
        let specs = between(
            &html,
            "<script type=\"application/json\" data-island-spec",
            "</script>",
        );
        let back = head::read(json[0], |id| {
            let start = [format!("{{\"id\":\"{id}\""), format!("\"id\":\"{id}\"")];
            (*specs
                .iter()
                .find(|spec| start.iter().any(|start| spec.contains(start)))
                .unwrap())
            .to_owned()
        })
        .unwrap();
        assert_eq!(back.draws, file.assignment.draws);
        assert_eq!(back.rules, file.assignment.rules);
        assert_eq!(back.version, file.assignment.version);
        for (task, known) in back.tasks.iter().zip(&file.assignment.tasks) {
            assert_eq!(task.id, known.id);
            assert_eq!(task.points, known.points);
            // The page writes `<` as an escape; what is read is the same.
            assert_eq!(task.spec.replace("\\u003c", "<"), known.spec, "{}", task.id);
        }
        assert_eq!(back.tasks.len(), file.assignment.tasks.len());
    }
}

#[test]
fn a_drawn_value_in_a_formula_has_an_element_of_its_own() {
    let source = std::fs::read_to_string(course::assignment_path("slits"))
        .unwrap()
        .replace(
            "The current flows evenly.",
            "So $w = @{width}$, and\n$$d = \\text{@{thickness}} \\quad $$\n for 3 \\$.",
        );
    let file = AssignmentFile::read(&source, "slits");
    assert!(file.diagnostics.is_empty(), "{:?}", file.diagnostics);
    let html = workbook_page(&file, &assets());
    for name in ["width", "thickness"] {
        let mark = format!("<mtext class=\"draw\" data-draw=\"{name}\">{name}</mtext>");
        assert!(html.contains(&mark), "{name}");
    }
    assert!(
        !html.contains(['\u{2060}', '\u{200B}', '\u{27E6}']),
        "a mark is left over"
    );
}

#[test]
fn what_is_to_be_found_out_stands_nowhere_in_the_text() {
    // The values of a recorded device are drawn, and are what the questions ask for; the tape's
    // number is told.
    let file = course::assignment("reading-data");
    let html = workbook_page(file, &assets());
    let shown = |name: &str| html.contains(&format!("data-draw=\"{name}\""));
    for secret in ["stronger", "weaker", "area"] {
        assert!(!shown(secret), "{secret}");
    }
    assert!(shown("tape"));
    // In the others everything is told, in the slip too.
    for name in ["slits", "loops"] {
        let file = course::assignment(name);
        let html = workbook_page(file, &assets());
        for draw in &file.assignment.draws {
            let mark = format!("data-draw=\"{}\"", draw.name);
            assert!(html.matches(&mark).count() > 1, "{name}: {}", draw.name);
        }
    }
}
