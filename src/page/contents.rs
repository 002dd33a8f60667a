//! The contents page of the course.

use super::desk::desk;
use super::html::escape;
use super::islands;
use super::looking_back::predictions;
use super::prose::phrase;
use super::shell::{Assets, Shell};
use crate::lesson::spec::{Ask, Block, Lesson};

/// A strip of recorder paper: a loose guess is on it, and the pen waits at its edge.
const STRIP: &str = "<svg class=\"strip\" viewBox=\"0 0 360 120\" aria-hidden=\"true\" focusable=\"false\">\
     <rect class=\"sheet\" x=\"1\" y=\"1\" width=\"358\" height=\"118\"></rect>\
     <path class=\"grid\" d=\"M40 14V106M80 14V106M120 14V106M160 14V106M200 14V106M240 14V106M280 14V106M320 14V106\
     M1 37H359M1 60H359M1 83H359\"></path>\
     <path class=\"holes\" d=\"M12 8H352M12 112H352\"></path>\
     <path class=\"guess\" d=\"M46 88C74 88 82 42 112 42S150 86 180 84 216 30 246 32 286 76 346 66\"></path>\
     <path class=\"trace\" d=\"M1 88H40\"></path><path class=\"body\" d=\"M40 88L52 68 66 45 72 49 58 72Z\"></path></svg>";

/// An assignment, as the contents page lists it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Homework {
    /// The way to its page from the root of the site.
    pub href: String,
    /// Its title.
    pub title: String,
    /// What it asks, in a sentence.
    pub summary: String,
    /// How long it takes, in minutes.
    pub minutes: u32,
    /// How many questions it has.
    pub questions: usize,
    /// How many points can be had.
    pub points: u32,
}

/// The page, to be written to `index.html`. The script adds how far the reader has come.
#[must_use]
pub fn contents_page(lessons: &[&Lesson], homework: &[Homework], assets: &Assets) -> String {
    let list: String = lessons.iter().map(|lesson| entry(lesson)).collect();
    let first = lessons.first().map_or_else(String::new, |lesson| {
        format!(
            "<p class=\"go-on\" data-role=\"go-on\"><span data-role=\"go-on-words\">Begin with:</span> \
             <a href=\"lessons/{}/index.html\">{}</a></p>\n",
            escape(&lesson.slug),
            escape(&lesson.title)
        )
    });
    let body = format!(
        "<main class=\"contents\" id=\"contents\" tabindex=\"-1\">\n\
         <div class=\"masthead\"><h1>coldfringe</h1>{STRIP}</div>\n\
         <p class=\"lede\">Superconducting quantum interference, from one slit to two, to the loop \
         that answers back. Each lesson asks for your prediction, keeps it, and then computes the \
         curve.</p>\n{first}\
         <ol class=\"lessons\">\n{list}</ol>\n\
         <p class=\"calibration\" data-role=\"calibration\" hidden></p>\n{homework}{desk}</main>\n",
        homework = set(homework),
        desk = desk(false),
    );
    Shell {
        title: "coldfringe: contents",
        summary: "A notebook about superconducting quantum interference: predict, then see the curve.",
        root: "",
        assets,
        has_slow: false,
        sheets: &[],
        main: "contents",
        header: "<p>A teaching notebook</p>",
        body: &body,
        footer: "",
    }
    .page()
}

/// The assignments; nothing where there are none.
fn set(homework: &[Homework]) -> String {
    if homework.is_empty() {
        return String::new();
    }
    let mut html = String::from(
        "<section class=\"homework\" aria-labelledby=\"homework-title\">\n\
         <h2 id=\"homework-title\">Homework</h2>\n<p>With numbers of your own, checked at once, and a receipt to hand in.</p>\n\
         <ul class=\"assignments\">\n",
    );
    for one in homework {
        html.push_str(&format!(
            "<li><a class=\"title\" href=\"{href}\">{title}</a>\
             <p class=\"summary\">{summary}</p>\
             <p class=\"minutes\">About {minutes} minutes; {questions} questions, {points} points.</p></li>\n",
            href = escape(&one.href),
            title = escape(&one.title),
            summary = escape(&one.summary),
            minutes = one.minutes,
            questions = one.questions,
            points = one.points,
        ));
    }
    html.push_str("</ul>\n</section>\n");
    html
}

/// One lesson of the list. For each of its steps stands a link that the script shows when the
/// reader was last there.
fn entry(lesson: &Lesson) -> String {
    let slug = escape(&lesson.slug);
    let count = lesson.steps.len();
    let mut steps = String::new();
    let mut needs = 0;
    for (index, step) in lesson.steps.iter().enumerate() {
        steps.push_str(&format!(
            " <a href=\"lessons/{slug}/index.html#{anchor}\" {link}=\"{anchor}\" {need}=\"{needs}\" hidden>\
             Go on at step {number} of {count}: {title}</a>",
            anchor = escape(&step.anchor),
            link = islands::STEP_LINK,
            need = islands::NEEDS,
            number = index + 1,
            title = phrase(&step.title),
        ));
        needs += predictions(step).len();
    }
    format!(
        "<li {link}=\"{slug}\" {predictions}=\"{needs}\">\
         <span class=\"number\" aria-hidden=\"true\">{number}</span>\
         <a class=\"title\" href=\"lessons/{slug}/index.html\">{title}</a>\
         <p class=\"summary\">{summary}</p>\
         <p class=\"minutes\">About {minutes} minutes for a reader alone.{asked} \
         <a class=\"to-lecture\" href=\"lessons/{slug}/lecture.html\" aria-label=\"Lecture view: {title}\">Lecture view</a></p>\
         <p class=\"progress\" data-role=\"progress\" hidden>\
         <span class=\"tape\" aria-hidden=\"true\">{tape}</span>\
         <span data-role=\"standing\"></span>{steps}</p></li>\n",
        link = islands::LESSON_LINK,
        predictions = islands::PREDICTIONS,
        number = lesson.number,
        title = escape(&lesson.title),
        summary = escape(&lesson.summary),
        minutes = lesson.minutes,
        asked = asked(lesson),
        tape = "<i></i>".repeat(count),
    )
}

/// What one predicts in a lesson, in a sentence; empty when nothing is predicted.
fn asked(lesson: &Lesson) -> String {
    let mut kinds: Vec<&str> = Vec::new();
    for block in lesson.blocks() {
        if let Block::Predict(prediction) = block {
            let kind = match prediction.ask {
                Ask::Sketch { .. } => "draw a curve",
                Ask::PickCurve { .. } => "choose a curve",
                Ask::PickStatement { .. } => "choose an answer",
                Ask::MarkAxis { .. } => "mark a place",
                Ask::MarkBoard { .. } => "point at a part",
                Ask::Number(_) => "give a number",
            };
            if !kinds.contains(&kind) {
                kinds.push(kind);
            }
        }
    }
    match kinds.split_last() {
        None => String::new(),
        Some((only, [])) => format!(" You {only}."),
        Some((last, before)) => format!(" You {} and {last}.", before.join(", ")),
    }
}
