//! The lessons on paper: the worksheet asks everything and gives nothing away; the solution sheet
//! has every answer.
#![cfg(not(target_arch = "wasm32"))]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test stops at the first surprise"
)]

mod course;

use coldfringe::experiment::Setup;
use coldfringe::lesson::spec::{Ask, Block, Lesson, NumberSpec, SetupSpec, seal};
use coldfringe::lesson::text::course::read_course;
use coldfringe::page::html::escape;
use coldfringe::page::prose::prose;
use coldfringe::page::shell::Assets;
use coldfringe::prediction::number::{NumberTask, answer_words};
use coldfringe::sheet::{solutions_page, worksheet_page};
use course::lessons;

/// Lesson 1 alone.
fn one_slit() -> Lesson {
    let text = include_str!("../lessons/one-slit.md");
    let mut course = read_course(vec![("one-slit.md".to_owned(), text.to_owned())]);
    course.remove(0).lesson
}

/// Whether a drawing on the sheet has these words.
fn drawn(sheet: &str, words: &str) -> bool {
    let mut texts = sheet.split("<text").skip(1).filter_map(|rest| {
        let (_, inside) = rest.split_once('>')?;
        inside.split("</text>").next()
    });
    texts.any(|inside| inside.trim() == words)
}

fn answer(setup: &SetupSpec, number: &NumberSpec) -> String {
    let setup = Setup::from_spec(setup).unwrap();
    answer_words(&NumberTask {
        setup: &setup,
        answer: &number.answer,
        unit: &number.unit,
        within: number.within,
        slips: &number.slips,
    })
    .unwrap()
}

#[test]
fn a_worksheet_asks_everything_and_answers_nothing() {
    let mut sketches = 0;
    for lesson in lessons() {
        let sheet = worksheet_page(lesson, &Assets::default());
        let name = &lesson.slug;
        assert!(!sheet.contains("cannot be drawn"), "{name}: {sheet}");
        for block in lesson.blocks() {
            match block {
                Block::Predict(prediction) => {
                    assert!(sheet.contains(&prose(&prediction.prompt)), "{name}");
                    match &prediction.ask {
                        Ask::PickStatement { options, right }
                        | Ask::MarkBoard { options, right } => {
                            for option in options {
                                assert!(sheet.contains(&escape(&option.text)), "{name}");
                                let reply = prose(&option.reply);
                                assert!(
                                    reply.is_empty() || !sheet.contains(&reply),
                                    "{name}: the reply to {}",
                                    option.id
                                );
                            }
                            assert!(!sheet.contains(right.as_str()), "{name}: a seal");
                        }
                        Ask::Sketch { .. } => sketches += 1,
                        _ => {}
                    }
                }
                Block::Question(question) => {
                    assert!(sheet.contains(&prose(&question.prompt)), "{name}");
                    for hint in &question.hints {
                        assert!(!sheet.contains(&prose(hint)), "{name}: {hint}");
                    }
                }
                _ => {}
            }
        }
        // The computed curve has an ink of its own, and no worksheet shows it.
        assert!(!drawn(&sheet, "computed"), "{name}");
        assert!(!sheet.contains("<script"), "{name}");
        assert!(!sheet.contains("solutions.html"), "{name}");
    }
    assert!(sketches > 3, "{sketches} sketches were looked at");
}

#[test]
fn blank_axes_have_scale_and_grid_and_nothing_else() {
    let lesson = one_slit();
    let sheet = worksheet_page(&lesson, &Assets::default());
    let axes = sheet
        .split("<title>Blank axes</title>")
        .nth(1)
        .and_then(|rest| rest.split("</svg>").next())
        .unwrap();
    for word in ["\u{2212}3", "flux", "1.0"] {
        assert!(axes.contains(word), "no {word} on the axes: {axes}");
    }
    // Every line of blank axes is straight along one of them: an edge, a tick or the grid.
    let mut lines = 0;
    for line in axes.split("<polyline").skip(1) {
        let points = line.split("points=\"").nth(1).unwrap();
        let points: Vec<(f64, f64)> = points
            .split('"')
            .next()
            .unwrap()
            .split_whitespace()
            .map(|point| {
                let (x, y) = point.split_once(',').unwrap();
                (x.parse().unwrap(), y.parse().unwrap())
            })
            .collect();
        for pair in points.windows(2) {
            let (across, down) = (pair[1].0 - pair[0].0, pair[1].1 - pair[0].1);
            assert!(
                across.abs() < 0.5 || down.abs() < 0.5,
                "a slanting line on blank axes: {points:?}"
            );
        }
        lines += 1;
    }
    assert!(lines > 20, "{lines} lines");
}

#[test]
fn a_solution_sheet_has_every_answer() {
    let mut numbers = 0;
    for lesson in lessons() {
        let sheet = solutions_page(lesson, &Assets::default());
        let name = &lesson.slug;
        assert!(!sheet.contains("cannot be drawn"), "{name}");
        for block in lesson.blocks() {
            match block {
                Block::Predict(prediction) => match &prediction.ask {
                    Ask::Sketch { .. } | Ask::PickCurve { .. } | Ask::MarkAxis { .. } => {
                        assert!(drawn(&sheet, "computed"), "{name}");
                    }
                    Ask::Number(number) => {
                        let words = escape(&answer(&prediction.setup, number));
                        assert!(sheet.contains(&words), "{name}: {words}");
                    }
                    Ask::PickStatement { options, right } | Ask::MarkBoard { options, right } => {
                        let right = options
                            .iter()
                            .find(|one| seal(&lesson.slug, &prediction.id, &one.id) == *right)
                            .unwrap();
                        let words = format!("<strong>{}</strong>", escape(&right.text));
                        assert!(sheet.contains(&words), "{name}: {words}");
                    }
                },
                Block::Question(question) => {
                    let words = answer(&question.setup, &question.number);
                    assert!(
                        sheet.contains(&format!("<strong>{}</strong>", escape(&words))),
                        "{name}: {words}"
                    );
                    numbers += 1;
                }
                _ => {}
            }
        }
    }
    assert!(numbers > 5, "{numbers} numbers were looked at");
}

#[test]
fn the_first_zero_of_tern_stands_on_its_solution_sheet() {
    // Φ0/(w d) = 2.067 834 fWb / (10 µm × 181 nm) = 1.1425 mT, worked out by hand.
    let lesson = one_slit();
    let sheet = solutions_page(&lesson, &Assets::default());
    assert!(sheet.contains("<strong>At 1.14 mT.</strong>"), "{sheet}");
}
