//! The worksheet: the scene, and each question with room for an answer. Nothing computed is on it
//! but curves to choose from, which are the question.

use super::{broken, drawing, heading, order, page, placeholder, text};
use crate::figure::{Role, Series};
use crate::lesson::spec::{Ask, Block, Lesson, Part, Prediction, Statement, Step};
use crate::page::html::escape;
use crate::page::shell::Assets;
use crate::prediction::confidence::Confidence;
use crate::prediction::pick;
use crate::session::PlotError;

const LETTERS: [char; 6] = ['A', 'B', 'C', 'D', 'E', 'F'];

/// The page, to be written to `lessons/SLUG/worksheet.html`.
#[must_use]
pub fn worksheet_page(lesson: &Lesson, assets: &Assets) -> String {
    let mut body = String::from(
        "<p class=\"who\">Name or code: <span class=\"blank\"></span> Date: <span class=\"blank short\"></span></p>\n\
         <p>Answer one sheet before you turn to the next. A guess is welcome: nothing here is marked, and mistaken \
         predictions teach most.</p>\n",
    );
    let mut asked = 0;
    let mut numbers = String::new();
    for step in &lesson.steps {
        let has_prediction = step.parts.iter().any(is_prediction);
        if has_prediction {
            if asked > 0 {
                body.push_str("<section class=\"new-sheet\">\n");
            } else {
                body.push_str("<section>\n");
            }
            body.push_str(&heading(step));
            for (index, part) in step.parts.iter().enumerate() {
                // What stands after a prediction speaks of its answer.
                let after = step.parts[..index].iter().any(is_prediction);
                match part {
                    Part::Prose(words) if !after => body.push_str(&text(words)),
                    Part::Block(block) => match block.as_ref() {
                        Block::Predict(prediction) => {
                            body.push_str(&question(lesson, prediction));
                            asked += 1;
                        }
                        Block::Board(board) if !after => body.push_str(&drawing::board(
                            &board.setup,
                            board.picture,
                            Some(&board.at),
                            true,
                        )),
                        // A record is given, wherever it stands before a question.
                        Block::Record(recording) if !after => {
                            body.push_str(&drawing::record(recording));
                        }
                        _ => {}
                    },
                    other => body.push_str(&placeholder(other).unwrap_or_default()),
                }
            }
            body.push_str("</section>\n");
        } else if asked == 0 {
            body.push_str(&scene(lesson, step));
        }
        numbers.push_str(&questions(step));
    }
    if !numbers.is_empty() {
        body.push_str(&format!(
            "<section class=\"new-sheet\"><h2>Numbers</h2>\n<p>Give each answer with its unit.</p>\n\
             <ol class=\"numbers-asked\">\n{numbers}</ol></section>\n"
        ));
    }
    page(lesson, "worksheet", "Worksheet", &body, assets)
}

fn is_prediction(part: &Part) -> bool {
    matches!(part, Part::Block(block) if matches!(block.as_ref(), Block::Predict(_)))
}

/// A step before the first prediction: what one needs to know.
fn scene(lesson: &Lesson, step: &Step) -> String {
    let mut html = String::from("<section>\n");
    html.push_str(&heading(step));
    for part in &step.parts {
        match part {
            Part::Prose(words) => html.push_str(&text(words)),
            Part::Block(block) => match block.as_ref() {
                Block::Board(board) => html.push_str(&drawing::board(
                    &board.setup,
                    board.picture,
                    Some(&board.at),
                    true,
                )),
                Block::Record(recording) => html.push_str(&drawing::record(recording)),
                Block::Observe(observation) if observation.recall => {
                    html.push_str("<div class=\"question\">");
                    html.push_str(&text(&observation.prompt));
                    html.push_str(&boxes(lesson, &observation.id, &observation.options));
                    html.push_str("</div>\n");
                }
                _ => {}
            },
            other => html.push_str(&placeholder(other).unwrap_or_default()),
        }
    }
    html.push_str("</section>\n");
    html
}

/// A prediction with room for its answer, a reason and how sure one is.
fn question(lesson: &Lesson, prediction: &Prediction) -> String {
    let mut html = String::from("<div class=\"question\">\n");
    html.push_str(&text(&prediction.prompt));
    html.push_str("<div class=\"stage\">");
    if let Some(picture) = prediction.board {
        html.push_str(&drawing::board(
            &prediction.setup,
            picture,
            prediction.at.as_deref(),
            false,
        ));
    }
    html.push_str(&axes(lesson, prediction).unwrap_or_else(|error| broken(&error)));
    html.push_str("</div>\n");
    match &prediction.ask {
        Ask::PickStatement { options, .. } | Ask::MarkBoard { options, .. } => {
            html.push_str(&boxes(lesson, &prediction.id, options));
        }
        Ask::PickCurve { pictures, .. } => {
            html.push_str("<p class=\"boxes\">My curve:");
            for letter in LETTERS.iter().take(pictures.len() + 1) {
                html.push_str(&format!(" <span class=\"box\">{letter}</span>"));
            }
            html.push_str("</p>\n");
        }
        Ask::Number(number) => html.push_str(&format!(
            "<p class=\"who\">My value, with its unit ({}): <span class=\"blank\"></span></p>\n",
            escape(if number.unit.is_empty() {
                "none"
            } else {
                &number.unit
            })
        )),
        Ask::Sketch { .. } => {
            html.push_str("<p class=\"how\">Draw from one end of the axes to the other.</p>\n")
        }
        Ask::MarkAxis { .. } => {
            html.push_str("<p class=\"how\">Put one upright stroke on the axis.</p>\n")
        }
    }
    html.push_str(
        "<p class=\"who reason\">Because: <span class=\"blank line\"></span><span class=\"blank line\"></span></p>\n\
         <p class=\"boxes\">",
    );
    for sure in Confidence::ALL {
        html.push_str(&format!("<span class=\"box\">{}</span> ", sure.words()));
    }
    html.push_str("</p></div>\n");
    html
}

/// Blank axes, or the curves to choose from.
fn axes(lesson: &Lesson, prediction: &Prediction) -> Result<String, PlotError> {
    match &prediction.ask {
        Ask::Sketch { chart, .. } | Ask::MarkAxis { chart, .. } => {
            let plot = drawing::plot(&prediction.setup, chart)?;
            drawing::chart(&plot, "Blank axes", Vec::new(), Vec::new())
        }
        Ask::PickCurve { chart, pictures } => {
            let plot = drawing::plot(&prediction.setup, chart)?;
            let curves = lettered(lesson, &prediction.id, &plot, pictures)?;
            let curves = curves.into_iter().map(|(_, curve)| curve).collect();
            drawing::chart(&plot, "The curves to choose from", curves, Vec::new())
        }
        _ => Ok(String::new()),
    }
}

/// The curves to choose from, each with the picture behind it, in the order of their letters on
/// paper.
pub(super) fn lettered(
    lesson: &Lesson,
    block: &str,
    plot: &crate::session::Plot,
    pictures: &[String],
) -> Result<Vec<(&'static str, Series)>, PlotError> {
    let all = pick::curves(plot.setup().description().kind, plot.column(), pictures);
    let mut curves = Vec::new();
    for (letter, index) in LETTERS.iter().zip(order(lesson, block, all.len())) {
        let Some(picture) = all.get(index) else {
            continue;
        };
        let role = Role::Candidate(u8::try_from(curves.len()).unwrap_or(u8::MAX));
        curves.push((*picture, plot.picture(picture, &letter.to_string(), role)?));
    }
    Ok(curves)
}

/// Options with a box to tick before each.
fn boxes(lesson: &Lesson, block: &str, options: &[Statement]) -> String {
    let mut html = String::from("<ul class=\"boxes\">");
    for index in order(lesson, block, options.len()) {
        if let Some(option) = options.get(index) {
            html.push_str(&format!(
                "<li><span class=\"box\">{}</span></li>",
                escape(&option.text)
            ));
        }
    }
    html.push_str("</ul>\n");
    html
}

/// The numeric questions of a step.
fn questions(step: &Step) -> String {
    let mut html = String::new();
    for part in &step.parts {
        if let Part::Block(block) = part
            && let Block::Question(question) = block.as_ref()
        {
            html.push_str(&format!(
                "<li>{}<p class=\"room\"></p><p class=\"who\">Answer ({}): <span class=\"blank\"></span></p></li>\n",
                text(&question.prompt),
                escape(if question.number.unit.is_empty() {
                    "no unit"
                } else {
                    &question.number.unit
                })
            ));
        }
    }
    html
}
