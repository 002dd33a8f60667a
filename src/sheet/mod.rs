//! Floor 7: a lesson on paper (native only): a worksheet with blank axes, for predictions made
//! with a pencil, and a solution sheet with everything computed. Both are whole pages that need no
//! script. Must not know files or servers.

mod drawing;
mod solutions;
mod worksheet;

pub use solutions::solutions_page;
pub use worksheet::worksheet_page;

use crate::lesson::spec::{Lesson, Part, Step, seal};
use crate::page::html::escape;
use crate::page::prose::prose;
use crate::page::shell::{Assets, Shell};
use crate::prediction::pick;

/// A sheet as a whole page. `kind` is the name of its class; `body` is HTML.
fn page(lesson: &Lesson, kind: &str, name: &str, body: &str, assets: &Assets) -> String {
    // Paper needs no script but the one that shows a change while a lesson is written.
    let assets = Assets {
        extra_script: assets.extra_script.clone(),
        alone: assets.alone,
        ..Assets::default()
    };
    Shell {
        title: &format!("{name}: {} · coldfringe", lesson.title),
        summary: &lesson.summary,
        root: "../../",
        assets: &assets,
        has_slow: false,
        sheets: &[],
        main: "sheet",
        header: "<nav aria-label=\"Course\"><a href=\"../../index.html\">coldfringe: contents</a> \
                 <a href=\"index.html\">the lesson</a></nav>",
        body: &format!(
            "<main class=\"on-paper {kind}\" id=\"sheet\" tabindex=\"-1\">\n\
             <p class=\"sheet-kind\">{name} for lesson {number}</p>\n<h1>{title}</h1>\n{body}</main>\n",
            number = lesson.number,
            title = escape(&lesson.title),
        ),
        footer: "",
    }
    .page()
}

/// A text of the lesson. Its own steps are not on the sheet: links to them lead to the lesson.
fn text(words: &str) -> String {
    prose(words).replace("href=\"#", "href=\"index.html#")
}

/// The options in an order that does not give the right one away: always the same for a block, so
/// that worksheet and solution sheet agree.
fn order(lesson: &Lesson, block: &str, count: usize) -> Vec<usize> {
    pick::shuffled(count, pick::seed(&format!("paper|{}|{block}", lesson.slug)))
}

/// Whether an option is the right one.
fn is_right(lesson: &Lesson, block: &str, option: &str, right: &str) -> bool {
    seal(&lesson.slug, block, option) == right
}

/// A step's heading.
fn heading(step: &Step) -> String {
    format!("<h2>{}</h2>\n", crate::page::prose::phrase(&step.title))
}

/// What went wrong with a drawing, in its place.
fn broken(error: &impl std::fmt::Display) -> String {
    format!(
        "<p class=\"broken\" role=\"note\">This cannot be drawn: {}.</p>\n",
        escape(&error.to_string())
    )
}

/// The placeholder of a block that could not be read.
fn placeholder(part: &Part) -> Option<String> {
    match part {
        Part::Broken { message } => Some(broken(message)),
        _ => None,
    }
}
