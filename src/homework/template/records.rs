//! The records of an assignment: each student has one, with noise of its own, and it must lie on its
//! chart.

use super::super::assignment::{Assignment, Draw, Task};
use super::super::judge::{TaskError, axis};
use super::super::variant::Variant;
use super::physical::unphysical;
use super::retagged;
use crate::experiment::{Setup, record};
use crate::figure::describe::figures;
use crate::lesson::spec::{Block, Lesson, Recording};

/// The records, with the draws still open. They ask nothing, and count nothing.
pub(super) fn records(lesson: &Lesson, draws: &[Draw]) -> Vec<Task> {
    lesson
        .blocks()
        .filter(|block| matches!(block, Block::Record(_)))
        .map(|block| Task {
            id: block.id().to_owned(),
            points: 0,
            spec: retagged(
                &serde_json::to_string(block).unwrap_or_default(),
                draws,
                Draw::placeholder,
            ),
        })
        .collect()
}

/// What is wrong with one student's record, in words.
pub(super) fn off_chart(assignment: &Assignment, open: &Task, variant: &Variant) -> Option<String> {
    let block = match assignment.block(open, variant) {
        Ok(block) => block,
        Err(error) => return Some(error.to_string()),
    };
    let Block::Record(recording) = &block else {
        return None;
    };
    unphysical(&block, None).or_else(|| beyond(recording))
}

fn beyond(recording: &Recording) -> Option<String> {
    let y = &recording.chart.y;
    match heights(recording) {
        Err(error) => Some(error.to_string()),
        Ok(heights) => heights
            .into_iter()
            .find(|height| !(y.from..=y.to).contains(height))
            .map(|height| {
                format!(
                    "a point of the record lies at {}, and the axis runs from {} to {}",
                    figures(height),
                    figures(y.from),
                    figures(y.to)
                )
            }),
    }
}

/// The record in the unit of its y axis.
fn heights(recording: &Recording) -> Result<Vec<f64>, TaskError> {
    let setup = Setup::from_spec(&recording.setup)?;
    let chart = &recording.chart;
    let x = axis(&setup, chart)?;
    let y = setup.column_scale(&chart.column, &chart.y.scale)?;
    let places: Vec<f64> = recording
        .places()
        .into_iter()
        .map(|at| at * x.si_per_unit)
        .collect();
    let values = record(
        &setup,
        &chart.column,
        &places,
        &recording.noise,
        &recording.seed,
    )?;
    Ok(values
        .into_iter()
        .map(|value| value / y.si_per_unit)
        .collect())
}
