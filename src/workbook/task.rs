//! The markup of one question of an assignment: a frame that says what it counts, and in it the
//! block. Predictions are those of a lesson; numbers have tries and a ladder of hints.

use crate::homework::{Rules, Task};
use crate::lesson::spec::{Block, Question};
use crate::page::html::escape;
use crate::page::island::{self, number_field, verdict_place};
use crate::page::islands::{self, IslandWords};

use super::marks;
use super::standing::{points, tries};

/// The markup of one question.
pub(super) fn render(
    slug: &str,
    task: &Task,
    rules: &Rules,
    block: &Block,
    words: &IslandWords,
) -> String {
    let body = match block {
        Block::Question(question) => number(slug, question, rules, words),
        other => island::render(slug, other, words),
    };
    let worth = points(f64::from(task.points));
    let often = match block {
        Block::Question(_) => tries(rules.tries),
        _ => "committed once".to_owned(),
    };
    format!(
        "<div class=\"task\" {attribute}=\"{id}\">\n<p class=\"worth\"><span>{worth}, {often}</span> \
         <strong data-role=\"task-standing\"></strong></p>\n{body}</div>\n",
        attribute = marks::TASK,
        id = escape(&task.id),
    )
}

fn number(slug: &str, question: &Question, rules: &Rules, words: &IslandWords) -> String {
    let id = escape(&format!("{slug}-{}", question.id));
    let (solution, hints) = match words.hints_html.split_last() {
        Some((last, before)) => (last.as_str(), before),
        None => ("", &[][..]),
    };
    let mut ladder = String::new();
    for (index, hint) in hints.iter().enumerate() {
        ladder.push_str(&format!(
            "<div class=\"hint\" data-hint=\"{number}\" hidden><p class=\"hint-title\">Hint {number} of {count}</p>{hint}</div>",
            number = index + 1,
            count = hints.len(),
        ));
    }
    ladder.push_str(&format!(
        "<div class=\"hint solution\" data-hint=\"{}\" hidden><p class=\"hint-title\">Worked solution</p>{solution}</div>",
        hints.len() + 1
    ));
    format!(
        "<section class=\"island island-question\" id=\"{id}\" {kind}=\"question\" {block_id}=\"{own}\" role=\"group\" aria-labelledby=\"{id}-title\">\
         <h3 class=\"island-title\" id=\"{id}-title\">Work it out</h3>\
         <div class=\"prompt\">{prompt}</div>\
         <form class=\"answer\" data-role=\"form\">{field}\
         <p class=\"problem\" data-role=\"problem\" role=\"alert\"></p>\
         <p class=\"commit\"><button type=\"submit\" class=\"primary\" data-role=\"check\">Check</button> \
         <span class=\"tries\" data-role=\"tries\">{tries}</span></p></form>\
         {verdict}\
         <div class=\"ladder\" data-role=\"ladder\">{ladder}\
         <p class=\"ladder-buttons\"><button type=\"button\" data-role=\"next-hint\">Show a hint</button></p>\
         <div class=\"confirm\" data-role=\"solution-ask\" hidden><p>The worked solution closes this question: \
         no points can be had for it any more.</p>\
         <button type=\"button\" class=\"primary\" data-role=\"solution-yes\">Show it and close the question</button> \
         <button type=\"button\" data-role=\"solution-no\">Keep trying</button></div></div>\
         <script type=\"application/json\" {spec}>{json}</script></section>\n",
        kind = islands::ISLAND,
        block_id = islands::BLOCK_ID,
        own = escape(&question.id),
        prompt = words.prompt_html,
        field = number_field(&id, &question.number),
        tries = tries(rules.tries),
        verdict = verdict_place(),
        spec = islands::SPEC,
        json = islands::island_json(&Block::Question(question.clone())),
    )
}
