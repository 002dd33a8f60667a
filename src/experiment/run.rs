//! Running a set-up.

use super::{ExperimentError, Inside, Reading, Setup, Sweep, Trace, View};
use crate::quantity::show;

/// The most points of one run.
pub const MOST_POINTS: usize = 1_000_000;

/// The trace of a set-up at the values `x`, in the SI unit of its x (flux in flux quanta).
///
/// Readings follow from the set-up alone, whatever x is asked for.
///
/// # Errors
/// When the parameters do not fit together, or an x is not finite or far out of all reason.
pub fn run(setup: &Setup, x: &[f64]) -> Result<Trace, ExperimentError> {
    if let Some(answers) = setup.answers() {
        check(setup, x)?;
        return answers.run(setup, x);
    }
    let mut sweep = Sweep::begin(setup, x)?;
    while !sweep.slice() {}
    Ok(sweep.trace())
}

/// The readings alone.
///
/// # Errors
/// When the parameters do not fit together.
pub fn readings(setup: &Setup) -> Result<Vec<Reading>, ExperimentError> {
    Ok(run(setup, &[])?.readings)
}

/// Whether a set-up can be run at these values of x.
pub(super) fn check(setup: &Setup, x: &[f64]) -> Result<(), ExperimentError> {
    setup.check()?;
    if x.len() > MOST_POINTS {
        return Err(ExperimentError::TooMany(x.len(), MOST_POINTS));
    }
    for (k, value) in x.iter().enumerate() {
        check_place(setup, *value, k)?;
    }
    Ok(())
}

/// Whether a device can be looked into at one x, in the SI unit of its x.
///
/// # Errors
/// When the parameters do not fit together, or x is not finite or far out of all reason.
pub fn check_x(setup: &Setup, x: f64) -> Result<(), ExperimentError> {
    setup.check()?;
    check_place(setup, x, 0)
}

/// What goes on inside the device at one x, in the SI unit of its x, seen from its usual view.
///
/// # Errors
/// As for [`look_inside`].
pub fn inside(setup: &Setup, x: f64) -> Result<Inside, ExperimentError> {
    let usual = setup.description().physics.views.first().copied();
    look_inside(setup, usual.unwrap_or(View::Junction), x)
}

/// What goes on inside the device at one x, in the SI unit of its x, seen from one of its views.
///
/// # Errors
/// When the parameters do not fit together, x is not finite or far out of all reason, or there is no such
/// view; and [`ExperimentError::NotHere`] when this build does not hold the physics behind it.
pub fn look_inside(setup: &Setup, view: View, x: f64) -> Result<Inside, ExperimentError> {
    check_x(setup, x)?;
    let description = setup.description();
    if !description.physics.views.contains(&view) {
        return Err(ExperimentError::NoView(description.kind));
    }
    let look = description.physics.inside;
    match (look.slow.contains(&view), look.behind) {
        (false, _) => (look.at_once)(setup, view, x),
        (true, Some(behind)) => behind(setup, view, x),
        (true, None) => Err(ExperimentError::NotHere(description.kind)),
    }
}

/// Refuses an x that is not finite, or so far from zero that the model has no digits left there.
fn check_place(setup: &Setup, x: f64, k: usize) -> Result<(), ExperimentError> {
    let described = setup.x();
    if !x.is_finite() {
        return Err(ExperimentError::NotFinite(k + 1, described.name));
    }
    let reach = (setup.description().physics.reach)(setup);
    if x.abs() > reach {
        return Err(ExperimentError::TooFar {
            name: described.name,
            value: show(x, described.unit, 3),
            reach: show(reach, described.unit, 3),
        });
    }
    Ok(())
}
