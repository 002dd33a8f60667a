//! The presenter's notes of a lesson: a page for a second window, which follows the lecture, or
//! for paper. It gives answers away, so no page for readers links to it or holds anything of it.

use super::html::escape;
use super::islands;
use super::lecture::{attributes, counts};
use super::prose::{phrase, prose};
use super::screens::{Content, LessonScreen, screens};
use super::shell::{Assets, Shell};
use crate::lesson::plan::{Phase, stages};
use crate::lesson::spec::{Block, Lesson};

/// The page, to be written to `lessons/SLUG/notes.html`. `notes` is the text of the notes, if
/// somebody has written any.
#[must_use]
pub fn notes_page(lesson: &Lesson, notes: Option<&str>, assets: &Assets) -> String {
    let screens = screens(lesson);
    let written = match notes {
        Some(text) => prose(without_title(text)),
        None => format!(
            "<p>Nobody has written notes for this lesson yet. They belong into <code>docs/notes/{}.md</code>.</p>",
            escape(&lesson.slug)
        ),
    };
    let body = format!(
        "<main class=\"notes\" id=\"notes\" {attribute}=\"{slug}\" {lecture}=\"notes\" tabindex=\"-1\">\n\
         <h1>Presenter's notes: {title}</h1>\n\
         <p class=\"warning\">These notes give answers away. Keep this window off the projector.</p>\n\
         {desk}\
         <div class=\"written\">\n{written}</div>\n\
         <h2>Every step</h2>\n<ol class=\"plan\">\n{plan}</ol>\n</main>\n",
        attribute = islands::LESSON,
        slug = escape(&lesson.slug),
        lecture = islands::LECTURE,
        title = escape(&lesson.title),
        desk = desk(),
        plan = plan(&screens),
    );
    Shell {
        title: &format!("Notes: {} · coldfringe", lesson.title),
        summary: "Presenter's notes.",
        root: "../../",
        assets,
        has_slow: false,
        sheets: &["notes.css"],
        main: "notes",
        header: "<nav aria-label=\"Course\"><a href=\"lecture.html\">The lecture itself</a> \
                 <a href=\"worksheet.html\">Worksheet on paper</a> \
                 <a href=\"solutions.html\">Solution sheet</a></nav>",
        body: &body,
        footer: "",
    }
    .page()
}

/// The notes without their first heading; the page has it already.
fn without_title(text: &str) -> &str {
    match text.strip_prefix("# ") {
        Some(rest) => rest.split_once('\n').map_or("", |(_, rest)| rest),
        None => text,
    }
}

/// Where the lecture stands, and hands to steer it.
fn desk() -> String {
    format!(
        "<section class=\"desk-now\" aria-label=\"The lecture now\">\
         <p class=\"notice\" data-role=\"notice\" role=\"status\"></p>\
         <p class=\"when\"><span data-role=\"position\"></span><span class=\"clock\" data-role=\"clock\" role=\"timer\"></span></p>\
         <h2>Now</h2><div class=\"stage-now\" data-role=\"now\"></div>\
         {counts}<p class=\"tally\" data-role=\"tally\"></p>\
         <p class=\"advice\" data-role=\"advice\" role=\"status\"></p>\
         <h2>Next</h2><div class=\"stage-next\" data-role=\"next\"></div>\
         <p class=\"desk-buttons\"><button type=\"button\" data-press=\"back\">Back</button>\
         <button type=\"button\" data-press=\"forward\">Go on</button>\
         <button type=\"button\" data-press=\"black\">Cover the screen</button></p>\
         <p class=\"how\">The lecture's keys work here too: Page Down, Page Up, the full stop, 1 to 6 for hands.</p></section>\n",
        counts = counts(),
    )
}

fn plan(list: &[LessonScreen<'_>]) -> String {
    let bare: Vec<_> = list.iter().map(|entry| entry.screen.clone()).collect();
    let stages = stages(&bare);
    let mut html = String::new();
    for (index, entry) in list.iter().enumerate() {
        let mut phases = String::new();
        for stage in stages.iter().filter(|stage| stage.screen == index) {
            phases.push_str(&format!(
                "<div {stage_is}=\"{name}\"><p class=\"step-title\">{title}{what}</p>{text}</div>",
                stage_is = islands::STAGE,
                name = escape(&stage.name),
                title = if entry.title.is_empty() {
                    "Title".to_owned()
                } else {
                    phrase(entry.title)
                },
                what = match stage.phase {
                    Phase::Show => "",
                    Phase::Ask => ": the question",
                    Phase::Discuss => ": talk it over, vote again",
                    Phase::Reveal => ": the answer",
                },
                text = match stage.phase {
                    Phase::Show | Phase::Ask => text(entry),
                    Phase::Discuss | Phase::Reveal => String::new(),
                },
            ));
        }
        let spec = match &entry.content {
            // What the count suggests is worked out from it.
            Content::Block(block) if entry.screen.options > 0 => format!(
                "<script type=\"application/json\" {}>{}</script>",
                islands::SPEC,
                islands::island_json(block)
            ),
            _ => String::new(),
        };
        html.push_str(&format!(
            "<li {attributes}>{phases}{spec}</li>\n",
            attributes = attributes(entry)
        ));
    }
    html
}

/// What stands on a screen, shortly.
fn text(entry: &LessonScreen<'_>) -> String {
    match &entry.content {
        Content::Title => String::new(),
        Content::Prose(text) | Content::Caution(text) => {
            // The first sentence tells the presenter where he is.
            let first = text.split("\n\n").next().unwrap_or_default();
            prose(first)
        }
        Content::Broken(message) => format!("<p>{}</p>", escape(message)),
        Content::Block(block) => match block {
            Block::Predict(prediction) => prose(&prediction.prompt),
            Block::Observe(observation) => prose(&observation.prompt),
            Block::Question(question) => prose(&question.prompt),
            Block::Bench(bench) => {
                let tasks: String = bench
                    .challenges
                    .iter()
                    .map(|challenge| format!("<li>{}</li>", escape(&challenge.text)))
                    .collect();
                if tasks.is_empty() {
                    "<p>The bench.</p>".to_owned()
                } else {
                    format!("<p>The bench.</p><ul>{tasks}</ul>")
                }
            }
            Block::Board(_) => "<p>The board picture.</p>".to_owned(),
            Block::Record(_) => "<p>The record.</p>".to_owned(),
        },
    }
}
