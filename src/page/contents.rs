//! The contents page of the course.

use super::html::escape;
use super::islands;
use super::shell::{Assets, Shell};
use crate::lesson::spec::{Block, Lesson, Part};

/// The page, to be written to `index.html`. The script adds how far the reader has come.
#[must_use]
pub fn contents_page(lessons: &[&Lesson], assets: &Assets) -> String {
    let mut list = String::new();
    for lesson in lessons {
        list.push_str(&format!(
            "<li {link}=\"{slug}\" {count}=\"{predictions}\">\
             <span class=\"number\" aria-hidden=\"true\">{number}</span>\
             <a href=\"lessons/{slug}/index.html\">{title}</a>\
             <p class=\"summary\">{summary}</p>\
             <p class=\"minutes\">About {minutes} minutes for a reader alone.</p></li>\n",
            link = islands::LESSON_LINK,
            count = islands::PREDICTIONS,
            slug = escape(&lesson.slug),
            predictions = predictions(lesson),
            number = lesson.number,
            title = escape(&lesson.title),
            summary = escape(&lesson.summary),
            minutes = lesson.minutes,
        ));
    }
    let body = format!(
        "<main class=\"contents\" id=\"contents\" tabindex=\"-1\">\n\
         <h1>coldfringe</h1>\n\
         <p class=\"lede\">Superconducting quantum interference, from one slit to two, to the loop \
         that answers back. Each lesson asks for your prediction, keeps it, and then computes the \
         curve.</p>\n\
         <ol class=\"lessons\">\n{list}</ol>\n</main>\n"
    );
    Shell {
        title: "coldfringe: contents",
        summary: "A notebook about superconducting quantum interference: predict, then see the curve.",
        root: "",
        assets,
        main: "contents",
        header: "<p>A teaching notebook</p>",
        body: &body,
        footer: "",
    }
    .page()
}

/// How many predictions a lesson asks for.
fn predictions(lesson: &Lesson) -> usize {
    lesson
        .steps
        .iter()
        .flat_map(|step| &step.parts)
        .filter(|part| {
            matches!(part, Part::Block(block) if matches!(block.as_ref(), Block::Predict(_)))
        })
        .count()
}
