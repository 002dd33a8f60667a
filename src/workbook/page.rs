//! The page of one assignment. Without the script it reads as text, with the names of the drawn
//! values in their places.

use crate::homework::identifier::LONGEST;
use crate::homework::template::AssignmentFile;
use crate::homework::{Assignment, Draw};
use crate::lesson::spec::{Block, Part, Step};
use crate::page::contents::Homework;
use crate::page::html::escape;
use crate::page::island;
use crate::page::islands::IslandWords;
use crate::page::lesson;
use crate::page::prose::{phrase, prose};
use crate::page::shell::{ALONE, Assets, Shell};

use super::{fill, head, marks, task};

/// The page's place in the site.
#[must_use]
pub fn path(assignment: &Assignment) -> String {
    format!("homework/{}.html", assignment.slug)
}

/// The entry of an assignment on the contents page.
#[must_use]
pub fn entry(file: &AssignmentFile) -> Homework {
    Homework {
        href: path(&file.assignment),
        title: file.assignment.title.clone(),
        summary: file.lesson.summary.clone(),
        minutes: file.lesson.minutes,
        questions: file.assignment.tasks.len(),
        points: points(&file.assignment),
    }
}

fn points(assignment: &Assignment) -> u32 {
    assignment.tasks.iter().map(|task| task.points).sum()
}

/// The page, to be written to [`path`].
#[must_use]
pub fn workbook_page(file: &AssignmentFile, assets: &Assets) -> String {
    let assignment = &file.assignment;
    let lesson = &file.lesson;
    let mut body = format!(
        "<main class=\"lesson workbook\" id=\"lesson\" {workbook}=\"{slug}\" {of}=\"{points}\" {done_of}=\"{questions}\" tabindex=\"-1\">\n\
         <h1>{title}</h1>\n<p class=\"lede\">{summary}</p>\n\
         <p class=\"minutes\">Homework. About {minutes} minutes; {questions} questions, {points} points.</p>\n\
         <script type=\"application/json\" data-role=\"assignment\">{json}</script>\n",
        workbook = marks::WORKBOOK,
        slug = escape(&assignment.slug),
        of = marks::POINTS_OF,
        done_of = marks::DONE_OF,
        title = escape(&assignment.title),
        summary = escape(&lesson.summary),
        minutes = lesson.minutes,
        questions = assignment.tasks.len(),
        points = points(assignment),
        json = head::json(assignment),
    );
    body.push_str("<div class=\"news\" data-role=\"news\"></div>\n");
    body.push_str(&who());
    body.push_str(&mine(file));
    body.push_str(&rules(assignment));
    let mut steps = String::new();
    for (index, step) in lesson.steps.iter().enumerate() {
        steps.push_str(&section(file, index + 1, step));
    }
    // The file's addresses are those of a lesson beside the others; this page is not.
    body.push_str(&steps.replace("href=\"../", "href=\"../lessons/"));
    body.push_str(&hand_in());
    body.push_str(&standing(file));
    body.push_str("</main>\n");
    let assets = Assets {
        bundle: assets.homework.clone().or_else(|| assets.bundle.clone()),
        ..assets.clone()
    };
    let page = Shell {
        title: &format!("{} · homework · coldfringe", assignment.title),
        summary: &lesson.summary,
        root: "../",
        assets: &assets,
        has_slow: lesson::has_slow(lesson),
        sheets: &["workbook.css"],
        main: "lesson",
        header: if assets.alone {
            ALONE
        } else {
            "<nav aria-label=\"Course\"><a href=\"../index.html\">coldfringe: contents</a></nav>"
        },
        body: &body,
        footer: "",
    }
    .page();
    fill::filled(file, &page)
}

/// Where the identifier is typed. The script shows it.
fn who() -> String {
    format!(
        "<section class=\"who\" data-role=\"who\" aria-labelledby=\"who-title\" hidden>\n\
         <h2 id=\"who-title\">Your identifier first</h2>\n\
         <p>It decides which numbers you get: everybody has their own. <span data-role=\"kept-where\">It stays on this machine and in \
         the receipt that you save; nothing is sent anywhere.</span></p>\n\
         <form class=\"answer\" data-role=\"who-form\"><div class=\"field\">\
         <label for=\"who-name\">The identifier that your course gave you</label>\
         <input type=\"text\" id=\"who-name\" data-role=\"who-name\" autocomplete=\"off\" autocapitalize=\"off\" \
         spellcheck=\"false\" maxlength=\"{longest}\" aria-describedby=\"who-echo\">\
         <output class=\"echo\" id=\"who-echo\" data-role=\"who-echo\" for=\"who-name\"></output></div>\
         <p class=\"problem\" data-role=\"who-problem\" role=\"alert\"></p>\
         <p class=\"commit\"><button type=\"submit\" class=\"primary\">Show me my numbers</button></p></form>\n\
         <p class=\"desk-buttons\">Begun on another machine? <button type=\"button\" data-role=\"take-up\">Take up a receipt</button></p>\n\
         <p class=\"desk-said\" data-role=\"who-said\" role=\"status\"></p>\n</section>\n",
        longest = 4 * LONGEST,
    )
}

/// The draws that the text and the questions tell of. Others may be what is to be found out.
fn told(file: &AssignmentFile) -> impl Iterator<Item = &Draw> {
    let mut texts = String::new();
    for step in &file.lesson.steps {
        texts.push_str(&step.title);
        for part in &step.parts {
            texts.push_str(match part {
                Part::Prose(text) | Part::Caution(text) => text,
                Part::Broken { .. } => "",
                Part::Block(block) => match block.as_ref() {
                    Block::Predict(prediction) => &prediction.prompt,
                    Block::Question(question) => &question.prompt,
                    _ => "",
                },
            });
        }
    }
    let texts = file.opened(&texts, Draw::placeholder);
    let draws = file.assignment.draws.iter();
    draws.filter(move |draw| texts.contains(&draw.placeholder()))
}

/// Whose page it is and the numbers, once they are known.
fn mine(file: &AssignmentFile) -> String {
    let mut numbers = String::new();
    for draw in told(file) {
        numbers.push_str(&format!(
            "<div><dt>{}</dt><dd>{}</dd></div>",
            escape(&fill::words(draw)),
            fill::element("span", draw, "")
        ));
    }
    format!(
        "<section class=\"mine\" data-role=\"mine\" aria-label=\"Your numbers\" tabindex=\"-1\" hidden>\n\
         <p>These are the numbers of <strong data-role=\"student\"></strong>. \
         <button type=\"button\" data-role=\"correct\">Not you? Correct it</button></p>\n\
         <dl class=\"numbers\">{numbers}</dl>\n</section>\n"
    )
}

fn rules(assignment: &Assignment) -> String {
    let rules = &assignment.rules;
    let tries = if rules.tries == 1 {
        "A number has one try.".to_owned()
    } else if rules.full >= rules.tries {
        format!("A number has {} tries.", rules.tries)
    } else {
        let full = match rules.full {
            0 => String::new(),
            1 => "the first counts in full, ".to_owned(),
            more => format!("the first {more} count in full, "),
        };
        format!(
            "A number has {} tries: {full}later ones with {} % of the points.",
            rules.tries,
            (rules.later * 100.0).round()
        )
    };
    format!(
        "<details class=\"rules\"><summary>How it counts</summary>\n<p>{tries} What cannot be read, is of another kind, or was \
         given before costs no try. Hints cost nothing; the worked solution closes its question. A sketch, a choice or a marker \
         is committed once.</p>\n<p><span data-role=\"kept-where\">What you do is kept in this browser at every step.</span> Close it and come back when you \
         like.</p></details>\n"
    )
}

fn section(file: &AssignmentFile, number: usize, step: &Step) -> String {
    let anchor = escape(&step.anchor);
    let mut html = format!(
        "<section class=\"step\" id=\"{anchor}\" data-step=\"{number}\" aria-labelledby=\"{anchor}-title\">\n\
         <h2 id=\"{anchor}-title\">{title}</h2>\n",
        title = phrase(&fill::in_formulas(file, &step.title)),
    );
    for part in &step.parts {
        html.push_str(&part_html(file, part));
    }
    html.push_str("</section>\n");
    html
}

fn part_html(file: &AssignmentFile, part: &Part) -> String {
    let assignment = &file.assignment;
    match part {
        Part::Prose(text) => prose(&fill::in_formulas(file, text)),
        Part::Caution(text) => lesson::caution(&fill::in_formulas(file, text)),
        Part::Broken { message } => lesson::broken(message),
        Part::Block(block) => {
            let words = words(file, block);
            match assignment.task(block.id()) {
                Some((_, known)) => {
                    task::render(&assignment.slug, known, &assignment.rules, block, &words)
                }
                None => island::render(&assignment.slug, block, &words),
            }
        }
    }
}

/// The texts of a block as HTML, with drawn values in formulas marked.
fn words(file: &AssignmentFile, block: &Block) -> IslandWords {
    let mut marked = block.clone();
    match &mut marked {
        Block::Predict(prediction) => {
            prediction.prompt = fill::in_formulas(file, &prediction.prompt);
        }
        Block::Question(question) => {
            question.prompt = fill::in_formulas(file, &question.prompt);
            for hint in &mut question.hints {
                *hint = fill::in_formulas(file, hint);
            }
        }
        Block::Observe(observation) => {
            observation.prompt = fill::in_formulas(file, &observation.prompt);
        }
        Block::Bench(_) | Block::Board(_) | Block::Record(_) => {}
    }
    lesson::words(&marked)
}

fn hand_in() -> String {
    "<section class=\"desk hand-in\" data-role=\"hand-in\" aria-labelledby=\"hand-in-title\" hidden>\n\
     <h2 id=\"hand-in-title\">Hand it in</h2>\n<p data-role=\"summary\"></p>\n\
     <p>The receipt is one file with your identifier, your numbers and what you answered. Hand it in as your course asks. \
     On another machine you can take it up again and go on. Edits to it are noticed, but a determined forger is not \
     stopped: it counts as homework done at home does.</p>\n\
     <p class=\"desk-buttons\"><button type=\"button\" class=\"primary\" data-role=\"save-receipt\">Save the receipt</button> \
     <button type=\"button\" data-role=\"take-up\">Take up a receipt</button> \
     <button type=\"button\" data-role=\"somebody-else\">Start over as somebody else</button>\
     <input type=\"file\" accept=\".json,application/json\" aria-label=\"File of a receipt\" data-role=\"receipt-file\" hidden></p>\n\
     <div class=\"confirm\" data-role=\"leave-ask\" hidden><p>This takes the work of <strong data-role=\"student\"></strong> out of \
     this browser. What is not in a saved receipt is lost.</p>\
     <button type=\"button\" class=\"primary\" data-role=\"leave-save\">Save the receipt, then start over</button> \
     <button type=\"button\" data-role=\"leave-yes\">Start over without it</button> \
     <button type=\"button\" data-role=\"leave-no\">Stay</button></div>\n\
     <p class=\"desk-said\" data-role=\"hand-in-said\" role=\"status\"></p>\n\
     <label class=\"option\"><input type=\"checkbox\" data-role=\"forget\"><span>This computer is shared: keep my work in this \
     tab only, and forget it when the tab is closed.</span></label>\n</section>\n"
        .to_owned()
}

/// How every question stands, at the foot of the window.
fn standing(file: &AssignmentFile) -> String {
    let assignment = &file.assignment;
    let mut links = String::new();
    for step in &file.lesson.steps {
        for part in &step.parts {
            let Part::Block(block) = part else { continue };
            let Some((place, known)) = assignment.task(block.id()) else {
                continue;
            };
            links.push_str(&format!(
                "<li><a href=\"#{slug}-{id}\" {link}=\"{id}\"><span class=\"unseen\">Question </span>{number}\
                 <span class=\"unseen\">, {title}: <span data-role=\"link-standing\">open</span></span></a></li>",
                slug = escape(&assignment.slug),
                id = escape(&known.id),
                link = marks::TASK_LINK,
                number = place + 1,
                title = phrase(&step.title),
            ));
        }
    }
    format!(
        "<nav class=\"standing\" data-role=\"standing\" aria-label=\"Your questions\" hidden>\n<ol>{links}</ol>\n\
         <p data-role=\"sum\"></p></nav>\n"
    )
}
