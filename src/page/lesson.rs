//! The page of one lesson.

use super::desk::desk;
use super::html::escape;
use super::island;
use super::islands::{self, IslandWords};
use super::looking_back::looking_back;
use super::prose::{phrase, prose};
use super::shell::{ALONE, Assets, Shell};
use crate::lesson::spec::{Ask, Block, Lesson, Part, SetupSpec, Statement, Step};

/// A lesson beside this one, for the links at the foot of the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Neighbour<'a> {
    /// Its slug.
    pub slug: &'a str,
    /// Its title.
    pub title: &'a str,
}

impl<'a> Neighbour<'a> {
    /// The lesson as a neighbour.
    #[must_use]
    pub fn of(lesson: &'a Lesson) -> Self {
        Self {
            slug: &lesson.slug,
            title: &lesson.title,
        }
    }
}

/// The page, to be written to `lessons/SLUG/index.html`.
#[must_use]
pub fn lesson_page(
    lesson: &Lesson,
    previous: Option<Neighbour<'_>>,
    next: Option<Neighbour<'_>>,
    assets: &Assets,
) -> String {
    // What only a site has.
    let beside = |html: &'static str| if assets.alone { "" } else { html };
    let mut body = format!(
        "<main class=\"lesson\" id=\"lesson\" {attribute}=\"{slug}\" tabindex=\"-1\">\n\
         <h1>{title}</h1>\n<p class=\"lede\">{summary}</p>\n\
         <p class=\"minutes\">Lesson {number}. About {minutes} minutes for a reader alone.\
         {worksheet}</p>\n\
         <p class=\"go-on\" data-role=\"go-on\" hidden>You left at <a href=\"#lesson\"></a>.</p>\n",
        attribute = islands::LESSON,
        slug = escape(&lesson.slug),
        number = lesson.number,
        title = escape(&lesson.title),
        summary = escape(&lesson.summary),
        minutes = lesson.minutes,
        worksheet = beside(" <a href=\"worksheet.html\">Worksheet on paper</a>"),
    );
    let mut after: Option<&str> = None;
    for (index, step) in lesson.steps.iter().enumerate() {
        body.push_str(&step_section(&lesson.slug, index + 1, step, &mut after));
    }
    body.push_str(&looking_back(
        lesson,
        beside("<p>On paper: <a href=\"solutions.html\">the solution sheet</a>.</p>\n"),
    ));
    body.push_str(&desk(true));
    body.push_str("</main>\n");
    Shell {
        title: &format!("{} · coldfringe", lesson.title),
        summary: &lesson.summary,
        root: "../../",
        assets,
        has_slow: has_slow(lesson),
        sheets: &[],
        main: "lesson",
        header: if assets.alone {
            ALONE
        } else {
            "<nav aria-label=\"Course\"><a href=\"../../index.html\">coldfringe: contents</a>\
             <a href=\"lecture.html\">Lecture view</a></nav>"
        },
        body: &body,
        footer: &neighbours(previous, next),
    }
    .page()
}

/// Whether a block of the lesson is computed in the background.
pub(crate) fn has_slow(lesson: &Lesson) -> bool {
    lesson
        .blocks()
        .filter_map(Block::setup)
        .any(SetupSpec::is_slow)
}

/// One step. `after` is the last prediction before it, and is carried on.
fn step_section<'a>(
    slug: &str,
    number: usize,
    step: &'a Step,
    after: &mut Option<&'a str>,
) -> String {
    let anchor = escape(&step.anchor);
    let mut html = format!(
        "<section class=\"step\" id=\"{anchor}\" data-step=\"{number}\" \
         aria-labelledby=\"{anchor}-title\"{shut}>\n<h2 id=\"{anchor}-title\">{title}</h2>\n",
        shut = after.map_or_else(String::new, shut),
        title = phrase(&step.title),
    );
    // What follows a prediction goes into a wrapper, opened only when something does follow.
    let mut waiting: Option<&str> = None;
    let mut open = false;
    for part in &step.parts {
        if let Some(prediction) = waiting.take() {
            if open {
                html.push_str("</div>\n");
            }
            html.push_str(&format!("<div{}>\n", shut(prediction)));
            open = true;
        }
        html.push_str(&part_html(slug, part));
        if let Part::Block(block) = part
            && let Block::Predict(prediction) = block.as_ref()
        {
            *after = Some(&prediction.id);
            waiting = *after;
        }
    }
    if open {
        html.push_str("</div>\n");
    }
    html.push_str("</section>\n");
    html
}

fn shut(prediction: &str) -> String {
    format!(" {}=\"{}\"", islands::AFTER, escape(prediction))
}

fn part_html(slug: &str, part: &Part) -> String {
    match part {
        Part::Prose(text) => prose(text),
        Part::Caution(text) => caution(text),
        Part::Broken { message } => broken(message),
        Part::Block(block) => island::render(slug, block, &words(block)),
    }
}

/// A caution in the text.
pub(crate) fn caution(text: &str) -> String {
    format!(
        "<div class=\"caution\" role=\"note\" aria-label=\"Caution\">\
         <p class=\"caution-title\"><strong>Caution</strong></p>\n{}</div>\n",
        prose(text)
    )
}

/// What stands in place of a block with a mistake.
pub(crate) fn broken(message: &str) -> String {
    format!(
        "<p class=\"broken\" role=\"note\" aria-label=\"Broken block\">{}</p>\n",
        escape(message)
    )
}

/// The texts of a block as HTML.
pub(crate) fn words(block: &Block) -> IslandWords {
    let (prompt, options, hints): (&str, &[Statement], &[String]) = match block {
        Block::Predict(prediction) => (
            &prediction.prompt,
            match &prediction.ask {
                Ask::PickStatement { options, .. } | Ask::MarkBoard { options, .. } => options,
                _ => &[],
            },
            &[],
        ),
        Block::Observe(observation) => (&observation.prompt, &observation.options, &[]),
        Block::Question(question) => (&question.prompt, &[], &question.hints),
        Block::Bench(_) | Block::Board(_) | Block::Record(_) => ("", &[], &[]),
    };
    IslandWords {
        prompt_html: prose(prompt),
        replies_html: options
            .iter()
            .filter(|option| !option.reply.is_empty())
            .map(|option| (option.id.clone(), prose(&option.reply)))
            .collect(),
        hints_html: hints.iter().map(|hint| prose(hint)).collect(),
    }
}

fn neighbours(previous: Option<Neighbour<'_>>, next: Option<Neighbour<'_>>) -> String {
    if previous.is_none() && next.is_none() {
        return String::new();
    }
    let mut html = String::from("<nav aria-label=\"Lessons before and after\">");
    for (relation, words, neighbour) in [("prev", "Before", previous), ("next", "Next", next)] {
        if let Some(neighbour) = neighbour {
            html.push_str(&format!(
                "<a rel=\"{relation}\" href=\"../{}/index.html\">{words}: {}</a> ",
                escape(neighbour.slug),
                escape(neighbour.title)
            ));
        }
    }
    html.push_str("</nav>\n");
    html
}
