//! What the slips that a question lists make of its right value.

use super::{NumberTask, NumberTaskError};
use crate::experiment::{Setup, Sought, run, sought_unit};
use crate::prediction::slips::{Slip, SlipNumbers};

/// What each listed slip makes of the right value.
pub(super) fn made_by_slips(
    task: &NumberTask<'_>,
    wanted: f64,
) -> Result<Vec<(Slip, f64)>, NumberTaskError> {
    let numbers = slip_numbers(task, wanted)?;
    Ok(listed(task)?
        .into_iter()
        .flat_map(|slip| {
            slip.values(&numbers)
                .into_iter()
                .map(move |value| (slip, value))
        })
        .collect())
}

pub(super) fn listed(task: &NumberTask<'_>) -> Result<Vec<Slip>, NumberTaskError> {
    task.slips
        .iter()
        .map(|name| Slip::from_name(name).ok_or_else(|| NumberTaskError::UnknownSlip(name.clone())))
        .collect()
}

/// What the computed slips need from the model; what the set-up does not have stays unknown.
fn slip_numbers(task: &NumberTask<'_>, wanted: f64) -> Result<SlipNumbers, NumberTaskError> {
    let setup = task.setup;
    let junction = setup
        .get_si("width")
        .zip(setup.get_si("magnetic-thickness"))
        .map(|(width, thickness)| width * thickness);
    let largest = match task.answer {
        Sought::At { column, .. } => largest(setup, column)?,
        Sought::Reading { .. } if sought_unit(setup, task.answer)? == "A" => {
            largest(setup, "critical-current")?
        }
        _ => None,
    };
    Ok(SlipNumbers {
        wanted,
        largest,
        loop_over_junction: setup
            .get_si("loop-area")
            .zip(junction)
            .map(|(whole, junction)| whole / junction),
        wire: setup
            .get_si("wire-radius")
            .zip(setup.get_si("penetration-depth-wire"))
            .zip(setup.get_si("penetration-depth-solder"))
            .map(|((radius, wire), solder)| [radius, wire, solder]),
    })
}

/// Value of a column without field.
fn largest(setup: &Setup, column: &str) -> Result<Option<f64>, NumberTaskError> {
    Ok(run(setup, &[0.0])?
        .column(column)
        .and_then(|column| column.values.first().copied()))
}
