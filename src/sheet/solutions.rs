//! The solution sheet: every question of a lesson with what the model computes for it.

use super::{broken, drawing, heading, is_right, page, placeholder, text, worksheet};
use crate::experiment::{self, Setup, SetupSpec};
use crate::figure::chart::Mark;
use crate::figure::describe;
use crate::figure::{Role, Series};
use crate::lesson::spec::{
    Ask, Block, ChartSpec, Lesson, NumberSpec, Part, Prediction, Statement, Step,
};
use crate::page::html::escape;
use crate::page::shell::Assets;
use crate::prediction::number::answer_words;
use crate::prediction::pictures;
use crate::session::{Plot, PlotError, Remark, column_words};

/// The page, to be written to `lessons/SLUG/solutions.html`. Everything on it is computed now.
#[must_use]
pub fn solutions_page(lesson: &Lesson, assets: &Assets) -> String {
    let mut body = String::from(
        "<p>For those who have predicted. Your own lines belong beside these: print the lesson itself, and your \
         sketches stand dashed beside the computed curves.</p>\n",
    );
    for step in &lesson.steps {
        let html = answers(lesson, step);
        if !html.is_empty() {
            body.push_str(&format!("<section>\n{}{html}</section>\n", heading(step)));
        }
    }
    page(lesson, "solutions", "Solution sheet", &body, assets)
}

fn answers(lesson: &Lesson, step: &Step) -> String {
    let mut html = String::new();
    for part in &step.parts {
        match part {
            Part::Block(block) => match block.as_ref() {
                Block::Predict(prediction) => html.push_str(&predicted(lesson, prediction)),
                Block::Observe(observation) => {
                    html.push_str(&format!(
                        "<div class=\"question\">\n{}{}</div>\n",
                        text(&observation.prompt),
                        right(
                            lesson,
                            &observation.id,
                            &observation.options,
                            &observation.right
                        )
                    ));
                }
                Block::Question(question) => {
                    html.push_str(&format!(
                        "<div class=\"question\">\n{}{}<ul class=\"way\">",
                        text(&question.prompt),
                        number(&question.setup, &question.number)
                    ));
                    for hint in &question.hints {
                        html.push_str(&format!("<li>{}</li>", text(hint)));
                    }
                    html.push_str("</ul></div>\n");
                }
                Block::Bench(_) | Block::Board(_) | Block::Record(_) => {}
            },
            other => html.push_str(&placeholder(other).unwrap_or_default()),
        }
    }
    html
}

fn predicted(lesson: &Lesson, prediction: &Prediction) -> String {
    let answer = match &prediction.ask {
        Ask::Sketch {
            chart, pictures, ..
        } => sketch(prediction, chart, pictures),
        Ask::PickCurve { chart, pictures } => curve(lesson, prediction, chart, pictures),
        Ask::MarkAxis { chart, answer, .. } => mark(prediction, chart, answer),
        Ask::PickStatement {
            options,
            right: seal,
        }
        | Ask::MarkBoard {
            options,
            right: seal,
        } => Ok(format!(
            "{}{}",
            prediction
                .board
                .map(|picture| drawing::board(
                    &prediction.setup,
                    picture,
                    prediction.at.as_deref(),
                    true
                ))
                .unwrap_or_default(),
            right(lesson, &prediction.id, options, seal)
        )),
        Ask::Number(spec) => Ok(number(&prediction.setup, spec)),
    };
    format!(
        "<div class=\"question\">\n{}{}</div>\n",
        text(&prediction.prompt),
        answer.unwrap_or_else(|error| broken(&error))
    )
}

/// The computed curve, and those drawn lightly beside it.
fn truth(plot: &Plot, spec: &ChartSpec) -> Result<(Vec<Series>, Vec<Remark>), PlotError> {
    let trace = plot.trace()?;
    let mut series = Vec::new();
    for column in &spec.also {
        let words = column_words(column);
        series.push(plot.curve_of(&trace, column, &words, Role::Envelope)?);
    }
    series.push(plot.curve_of(&trace, plot.column(), "computed", Role::Computed)?);
    Ok((series, plot.remarks(&trace)))
}

/// A chart with its words and its numbers.
fn shown(
    plot: &Plot,
    series: Vec<Series>,
    marks: Vec<Mark>,
    remarks: &[Remark],
) -> Result<String, PlotError> {
    let (x, y) = plot.axes()?;
    let words = series
        .last()
        .map(|curve| describe::curve(curve, &x, &y))
        .unwrap_or_default();
    let mut html = drawing::chart(plot, &words, series.clone(), marks)?;
    html.push_str(&format!("<p>{}</p>\n", escape(&words)));
    for remark in remarks {
        html.push_str(&format!("<p class=\"how\">{}</p>\n", escape(&remark.words)));
    }
    html.push_str(&drawing::table(plot, &series)?);
    Ok(html)
}

fn sketch(
    prediction: &Prediction,
    chart: &ChartSpec,
    wrong: &[String],
) -> Result<String, PlotError> {
    let plot = drawing::plot(&prediction.setup, chart)?;
    let (series, remarks) = truth(&plot, chart)?;
    let mut html = shown(&plot, series, Vec::new(), &remarks)?;
    let names = (plot.setup().description().kind, plot.column());
    let known: Vec<_> = wrong
        .iter()
        .filter_map(|picture| pictures::find(names.0, names.1, picture))
        .collect();
    if !known.is_empty() {
        html.push_str(
            "<p>A sketch that looks different may come from one of these ideas:</p>\n<ul>",
        );
        for picture in known {
            html.push_str(&format!(
                "<li>{}. {}</li>",
                escape(picture.words),
                escape(picture.question)
            ));
        }
        html.push_str("</ul>\n");
    }
    Ok(html)
}

fn curve(
    lesson: &Lesson,
    prediction: &Prediction,
    chart: &ChartSpec,
    wrong: &[String],
) -> Result<String, PlotError> {
    let plot = drawing::plot(&prediction.setup, chart)?;
    let lettered = worksheet::lettered(lesson, &prediction.id, &plot, wrong)?;
    let names = (plot.setup().description().kind, plot.column());
    let mut told = String::new();
    let mut curves = Vec::new();
    for (picture, curve) in lettered {
        let words = if picture == pictures::MODEL {
            format!("<strong>Curve {} is the computed one.</strong>", curve.name)
        } else {
            format!(
                "Curve {}: {}.",
                curve.name,
                escape(pictures::words(names.0, names.1, picture))
            )
        };
        told.push_str(&format!("<li>{words}</li>"));
        curves.push(curve);
    }
    let mut html = drawing::chart(&plot, "The curves to choose from", curves, Vec::new())?;
    html.push_str(&format!("<ul>{told}</ul>\n"));
    let (series, remarks) = truth(&plot, chart)?;
    html.push_str(&shown(&plot, series, Vec::new(), &remarks)?);
    Ok(html)
}

fn mark(
    prediction: &Prediction,
    chart: &ChartSpec,
    answer: &experiment::Sought,
) -> Result<String, PlotError> {
    let plot = drawing::plot(&prediction.setup, chart)?;
    let (series, remarks) = truth(&plot, chart)?;
    let at = experiment::seek(plot.setup(), answer)? / plot.x_scale().si_per_unit;
    let (x, _) = plot.axes()?;
    let marks = vec![Mark {
        x: at,
        label: "computed".to_owned(),
        role: Role::Computed,
    }];
    Ok(format!(
        "<p><strong>At {} {}.</strong></p>\n{}",
        describe::figures(at),
        escape(x.unit()),
        shown(&plot, series, marks, &remarks)?
    ))
}

fn number(setup: &SetupSpec, spec: &NumberSpec) -> String {
    let find = || -> Result<String, Box<dyn std::error::Error>> {
        let setup = Setup::from_spec(setup)?;
        Ok(format!(
            "<p><strong>{}</strong>, judged within {} %.</p>\n",
            escape(&answer_words(&spec.task(&setup))?),
            (spec.within * 1000.0).round() / 10.0
        ))
    };
    find().unwrap_or_else(|error| broken(&error))
}

/// The right option with what the lesson says to it.
fn right(lesson: &Lesson, block: &str, options: &[Statement], seal: &str) -> String {
    options
        .iter()
        .filter(|option| is_right(lesson, block, &option.id, seal))
        .map(|option| {
            format!(
                "<p><strong>{}</strong></p>\n{}",
                escape(&option.text),
                text(&option.reply)
            )
        })
        .collect()
}
