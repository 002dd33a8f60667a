//! The end of a lesson: each prediction with how sure the reader was, beside what came. The rows
//! are written at build time; the script fills in the reader's own words once all is committed.

use super::html::escape;
use super::islands;
use super::prose::phrase;
use crate::lesson::spec::{Block, Lesson, Part, Step};

/// The section, to stand at the end of the lesson; empty when the lesson asks for no prediction.
/// `paper` is HTML for a line about the solution sheet.
pub(super) fn looking_back(lesson: &Lesson, paper: &str) -> String {
    let mut rows = String::new();
    let mut last = None;
    for step in &lesson.steps {
        let ids = predictions(step);
        for (index, id) in ids.iter().enumerate() {
            let which = if ids.len() > 1 {
                format!(", question {}", index + 1)
            } else {
                String::new()
            };
            rows.push_str(&format!(
                "<tr {row}=\"{own}\"><th scope=\"row\"><a href=\"#{slug}-{own}\">{title}{which}</a></th>\
                 <td data-role=\"was\"></td><td data-role=\"came\"></td></tr>\n",
                row = islands::LOOKING_BACK,
                own = escape(id),
                slug = escape(&lesson.slug),
                title = phrase(&step.title),
            ));
            last = Some(*id);
        }
    }
    let Some(last) = last else {
        return String::new();
    };
    format!(
        "<section class=\"looking-back\" {after}=\"{last}\" aria-labelledby=\"looking-back-title\">\n\
         <div data-role=\"looking-back\" hidden><h2 id=\"looking-back-title\">Looking back at your predictions</h2>\n\
         <p>Nothing here is marked. Where you were surest and it came differently, there is most to gain: begin there.</p>\n\
         <table><thead><tr><th scope=\"col\">Prediction</th><th scope=\"col\">You were</th>\
         <th scope=\"col\">What came</th></tr></thead>\n<tbody>\n{rows}</tbody></table></div>\n{paper}</section>\n",
        after = islands::AFTER,
        last = escape(last),
    )
}

/// The predictions of a step, in order.
pub(super) fn predictions(step: &Step) -> Vec<&str> {
    step.parts
        .iter()
        .filter_map(|part| match part {
            Part::Block(block) => match block.as_ref() {
                Block::Predict(prediction) => Some(prediction.id.as_str()),
                _ => None,
            },
            _ => None,
        })
        .collect()
}
