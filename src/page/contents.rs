//! The contents page of the course.

use super::html::escape;
use super::islands;
use super::shell::{Assets, Shell};
use crate::lesson::spec::{Block, Lesson, Part};

/// A strip of recorder paper: a loose guess is on it, and the pen waits at its edge.
const STRIP: &str = "<svg class=\"strip\" viewBox=\"0 0 360 120\" aria-hidden=\"true\" focusable=\"false\">\
     <rect class=\"sheet\" x=\"1\" y=\"1\" width=\"358\" height=\"118\"></rect>\
     <path class=\"grid\" d=\"M40 14V106M80 14V106M120 14V106M160 14V106M200 14V106M240 14V106M280 14V106M320 14V106\
     M1 37H359M1 60H359M1 83H359\"></path>\
     <path class=\"holes\" d=\"M12 8H352M12 112H352\"></path>\
     <path class=\"guess\" d=\"M46 88C74 88 82 42 112 42S150 86 180 84 216 30 246 32 286 76 346 66\"></path>\
     <path class=\"trace\" d=\"M1 88H40\"></path><path class=\"body\" d=\"M40 88L52 68 66 45 72 49 58 72Z\"></path></svg>";

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
             <p class=\"minutes\">About {minutes} minutes for a reader alone. \
             <a class=\"to-lecture\" href=\"lessons/{slug}/lecture.html\" aria-label=\"Lecture view: {title}\">Lecture view</a></p></li>\n",
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
         <div class=\"masthead\"><h1>coldfringe</h1>{STRIP}</div>\n\
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
        has_slow: false,
        has_lecture: false,
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
