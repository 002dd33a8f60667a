//! The lecture page of a lesson: its screens, the corner that tells where the lecture stands, and
//! the menu. Without the script it reads as one long page.

use super::html::escape;
use super::island;
use super::islands;
use super::lesson::{has_slow, words};
use super::prose::{phrase, prose};
use super::screens::{Content, LessonScreen, screens};
use super::shell::{Assets, Shell};
use crate::lesson::plan::ScreenKind;
use crate::lesson::spec::{Ask, Block, Lesson};

/// The letters of the options, as the page shows them.
pub(super) const LETTERS: [&str; 6] = ["A", "B", "C", "D", "E", "F"];

/// The page, to be written to `lessons/SLUG/lecture.html`.
#[must_use]
pub fn lecture_page(lesson: &Lesson, assets: &Assets) -> String {
    let screens = screens(lesson);
    let mut body = format!(
        "<main class=\"lecture\" id=\"lecture\" {attribute}=\"{slug}\" {lecture}=\"stage\" tabindex=\"-1\">\n",
        attribute = islands::LESSON,
        slug = escape(&lesson.slug),
        lecture = islands::LECTURE,
    );
    for screen in &screens {
        body.push_str(&section(lesson, screen));
    }
    body.push_str(&corner(&screens));
    body.push_str("<div class=\"blank\" data-role=\"blank\" hidden></div>\n</main>\n");
    Shell {
        title: &format!("{} · lecture · coldfringe", lesson.title),
        summary: &lesson.summary,
        root: "../../",
        assets,
        has_slow: has_slow(lesson),
        sheets: &["lecture.css", "lecture-blocks.css"],
        main: "lecture",
        header: "<nav aria-label=\"Course\"><a href=\"index.html\">The lesson itself</a></nav>",
        body: &body,
        footer: "",
    }
    .page()
}

/// The attributes by which the script knows a screen.
pub(super) fn attributes(screen: &LessonScreen<'_>) -> String {
    let screen = &screen.screen;
    format!(
        "{kind_is}=\"{kind}\" {name_is}=\"{name}\" {block_is}=\"{block}\" {options_are}=\"{options}\"",
        kind_is = islands::SCREEN,
        kind = screen.kind.name(),
        name_is = islands::SCREEN_NAME,
        name = escape(&screen.name),
        block_is = islands::SCREEN_BLOCK,
        block = escape(&screen.block),
        options_are = islands::OPTIONS,
        options = screen.options,
    )
}

fn section(lesson: &Lesson, screen: &LessonScreen<'_>) -> String {
    let name = escape(&screen.screen.name);
    let (class, content) = content(lesson, screen);
    let running = if screen.title.is_empty() {
        String::new()
    } else {
        format!(
            "<h1 class=\"running\" id=\"{name}-title\">{}</h1>\n",
            phrase(screen.title)
        )
    };
    format!(
        "<section class=\"screen {class}\" id=\"{name}\" {attributes} {after}=\"{name}\" \
         aria-labelledby=\"{name}-title\">\n{running}<div class=\"sheet\" tabindex=\"0\" role=\"group\" \
         aria-labelledby=\"{name}-title\">{content}</div>\n</section>\n",
        attributes = attributes(screen),
        after = islands::AFTER,
    )
}

/// The class of a screen and what stands on it.
fn content(lesson: &Lesson, screen: &LessonScreen<'_>) -> (&'static str, String) {
    match &screen.content {
        Content::Title => (
            "title",
            format!(
                "<p class=\"number\">Lesson {}</p><h1 id=\"title-title\">{}</h1><p>{}</p>",
                lesson.number,
                escape(&lesson.title),
                escape(&lesson.summary)
            ),
        ),
        Content::Prose(text) => ("words", raised(&prose(text))),
        Content::Caution(text) => (
            "words caution",
            format!(
                "<p class=\"caution-title\"><strong>Caution</strong></p>{}",
                prose(text)
            ),
        ),
        Content::Broken(message) => (
            "words",
            format!("<p class=\"broken\">{}</p>", escape(message)),
        ),
        Content::Block(block) => (class(block), live(&lesson.slug, screen, block)),
    }
}

/// Headings one higher than on the lesson's page: the screen's own is the first here.
fn raised(html: &str) -> String {
    html.replace("<h3>", "<h2>").replace("</h3>", "</h2>")
}

fn class(block: &Block) -> &'static str {
    match block {
        Block::Predict(prediction) => match (&prediction.ask, prediction.board.is_some()) {
            (Ask::PickStatement { .. } | Ask::MarkBoard { .. }, true) => "picks boarded",
            (Ask::PickStatement { .. } | Ask::MarkBoard { .. }, false) => "picks",
            (Ask::Number(_), _) => "picks valued",
            (_, true) => "charted boarded",
            (_, false) => "charted",
        },
        Block::Observe(_) => "picks",
        Block::Question(_) => "picks worked",
        Block::Bench(bench) if bench.board.is_some() => "benched boarded",
        Block::Bench(_) => "benched",
        Block::Record(_) => "charted",
        Block::Board(_) => "alone",
    }
}

fn live(slug: &str, screen: &LessonScreen<'_>, block: &Block) -> String {
    let mut said = words(block);
    // In the hall they are the worked way, shown with the answer.
    let hints = std::mem::take(&mut said.hints_html);
    let html = island::render(slug, block, &said);
    let mut html = html.replace("<h4>", "<h2>").replace("</h4>", "</h2>");
    if !hints.is_empty() {
        html.push_str("<ol class=\"hints\">");
        for hint in hints {
            html.push_str(&format!("<li>{hint}</li>"));
        }
        html.push_str("</ol>");
    }
    if screen.screen.options > 0 {
        html.push_str(&bars(screen.screen.options));
    }
    for (phase, call) in calls(block) {
        html.push_str(&format!("<p class=\"call call-{phase}\">{call}</p>"));
    }
    html
}

/// The places of the votes, filled once the answer is there.
fn bars(options: usize) -> String {
    let mut html = String::from(
        "<div class=\"bars\" data-role=\"bars\" hidden>\
         <p class=\"few\">Too few hands to show: one could tell whose they are.</p>\
         <table><caption>Hands</caption><tr><td></td><th class=\"before\" scope=\"col\">before</th>\
         <th class=\"after\" scope=\"col\">after</th></tr>",
    );
    for letter in LETTERS.iter().take(options) {
        html.push_str(&format!("<tr data-bar><th scope=\"row\">{letter}</th>"));
        for round in ["before", "after"] {
            html.push_str(&format!(
                "<td class=\"{round}\"><span class=\"bar\"></span> <span class=\"count\"></span></td>"
            ));
        }
        html.push_str("</tr>");
    }
    html.push_str("</table></div>");
    html
}

/// What the class is asked to do.
fn calls(block: &Block) -> Vec<(&'static str, &'static str)> {
    match block {
        Block::Predict(prediction) => match prediction.ask {
            Ask::Sketch { .. } => vec![
                ("ask", "Everybody draws on paper; somebody draws here."),
                (
                    "discuss",
                    "Compare with your neighbour. Change your curve if you like. The next step shows the computed one.",
                ),
            ],
            Ask::PickCurve { .. } | Ask::PickStatement { .. } | Ask::MarkBoard { .. } => vec![
                ("ask", "Choose for yourself. Then hands up for one of them."),
                (
                    "discuss",
                    "Talk it over with your neighbour. Then hands up once more.",
                ),
            ],
            Ask::MarkAxis { .. } => vec![
                (
                    "ask",
                    "Choose a place for yourself; somebody puts the marker there.",
                ),
                (
                    "discuss",
                    "Talk it over with your neighbour. Move the marker if you like.",
                ),
            ],
            Ask::Number(_) => vec![
                ("ask", "Write a value down for yourself."),
                (
                    "discuss",
                    "Compare with your neighbour. The next step shows the computed value.",
                ),
            ],
        },
        Block::Observe(_) => vec![("ask", "Hands up for one of them.")],
        Block::Question(_) => vec![("ask", "Work it out. The next step shows the answer.")],
        Block::Bench(_) | Block::Board(_) | Block::Record(_) => Vec::new(),
    }
}

/// The keys of the lecture, and what each of them does.
const KEYS: [(&str, &str); 13] = [
    (
        "Page Down, →, ↓, Space, Enter",
        "go on; the pen's way is cut short",
    ),
    ("Page Up, ←, ↑, Shift + Space", "go back"),
    ("Home, End", "the start; the furthest step shown so far"),
    (". or b", "cover the screen with black"),
    (", or w", "cover the screen with paper"),
    ("1 to 6", "one hand more for A to F; with Shift one less"),
    ("v", "boxes to type the counts"),
    ("a", "what the count suggests"),
    ("t", "timer"),
    ("d", "dark or bright"),
    ("f or F5", "full screen"),
    ("n", "presenter's notes in a window of their own"),
    (
        "? or m",
        "this menu; Esc shuts it, and then leaves the lecture",
    ),
];

fn corner(screens: &[LessonScreen<'_>]) -> String {
    let button = |role: &str, words: &str| {
        format!("<button type=\"button\" data-press=\"{role}\">{words}</button>")
    };
    let switch = |what: &str, words: &str| {
        format!(
            "<button type=\"button\" data-switch=\"{what}\" aria-pressed=\"false\">{words}</button>"
        )
    };
    let keys: String = KEYS
        .iter()
        .map(|(key, act)| format!("<tr><th scope=\"row\">{key}</th><td>{act}</td></tr>"))
        .collect();
    format!(
        "<nav class=\"corner\" aria-label=\"Lecture\">\
         <p class=\"notice\" data-role=\"notice\" role=\"status\"></p>\
         <p class=\"advice\" data-role=\"advice\" role=\"status\"></p>\
         {counts}<p class=\"tally\" data-role=\"tally\" role=\"status\"></p>\
         <p class=\"clock\" data-role=\"clock\" role=\"timer\"></p>\
         <button type=\"button\" data-press=\"back\" aria-label=\"Back\">‹</button>\
         <span class=\"position\" data-role=\"position\"></span>\
         <button type=\"button\" data-press=\"forward\" aria-label=\"Go on\">›</button>\
         <details class=\"menu\" data-role=\"menu\"><summary>Menu</summary><div class=\"menu-sheet\">\
         <p class=\"menu-buttons\">{full}{notes}{clock}{dark}{typed}{advice}{black}{quiet}{again}{leave}</p>\
         <div class=\"menu-columns\"><div><h2>Keys</h2><table>{keys}</table></div>\
         <div><h2>Steps</h2><ol class=\"steps\">{steps}</ol></div></div></div></details></nav>\n",
        counts = counts(),
        full = button("full", "Full screen"),
        notes = button("notes", "Presenter's notes"),
        clock = switch("clock", "Timer"),
        dark = switch("dark", "Dark"),
        typed = switch("counts", "Type the counts"),
        advice = switch("advice", "What the count suggests"),
        black = button("black", "Cover the screen"),
        quiet = switch("quiet-keys", "Letters and digits do nothing"),
        again = button("again", "Begin a new lecture"),
        leave = button("leave", "Leave"),
        steps = steps(screens),
    )
}

/// Boxes for the counts of the options.
pub(super) fn counts() -> String {
    let mut html = String::from(
        "<div class=\"counts\" data-role=\"counts\" role=\"group\" aria-label=\"Hands counted\" hidden>",
    );
    for (index, letter) in LETTERS.iter().enumerate() {
        html.push_str(&format!(
            "<label data-count-label=\"{index}\">{letter} <input type=\"number\" data-count=\"{index}\" min=\"0\" max=\"9999\" step=\"1\"></label>"
        ));
    }
    html.push_str("</div>");
    html
}

/// Links to the first screen of each step, and to each prediction.
fn steps(screens: &[LessonScreen<'_>]) -> String {
    let mut html = String::new();
    let mut before = None;
    for screen in screens {
        let name = escape(&screen.screen.name);
        if before != Some(screen.title) {
            let title = match screen.content {
                Content::Title => "Title".to_owned(),
                _ => phrase(screen.title),
            };
            html.push_str(&format!("<li><a href=\"#{name}\">{title}</a></li>"));
            before = Some(screen.title);
        } else if screen.screen.kind == ScreenKind::Predict {
            html.push_str(&format!(
                "<li class=\"inner\"><a href=\"#{name}\">prediction</a></li>"
            ));
        }
    }
    html
}
