//! A current profile painted by hand: a sketch whose keyboard columns are the middles of equal strips
//! across a junction. What is set at a column is what its strip carries; only ratios count.

use crate::experiment::{Setup, SetupError};
use crate::prediction::sketch::{FULL_SCALE, Sketch, SketchGrid};

/// The paper of a profile in so many strips: places in widths from the middle of the junction,
/// densities from 0 to 1. The columns begin and end half a strip inside the edges.
#[must_use]
pub fn paper(strips: u16) -> SketchGrid {
    let half = 0.5 / f64::from(strips.max(1));
    SketchGrid::new(half - 0.5, 0.5 - half, 0.0, 1.0, strips)
}

/// Paints the profile of a device as it stands. Nothing is painted where the parameter is no profile.
pub fn fill(sketch: &mut Sketch, setup: &Setup, parameter: &str) {
    let strips = usize::from(sketch.grid().columns);
    if let Some(shares) = setup.density_shares(parameter, strips) {
        let values: Vec<u16> = shares
            .iter()
            .map(|share| sketch.grid().value(*share))
            .collect();
        sketch.fill_columns(&values);
    }
}

/// Makes the right half the mirror image of the left one; one step back undoes it.
pub fn mirror(sketch: &mut Sketch) {
    let mut values = strips(sketch);
    let last = values.len().saturating_sub(1);
    for k in 0..values.len() / 2 {
        values[last - k] = values[k];
    }
    sketch.fill_columns(&values);
}

/// Gives a device the painted profile; `false`, and the device is as it was, where no strip carries anything.
///
/// # Errors
/// When the parameter is not one of the device's profiles.
pub fn apply(sketch: &Sketch, setup: &mut Setup, parameter: &str) -> Result<bool, SetupError> {
    let densities: Vec<f64> = strips(sketch).into_iter().map(f64::from).collect();
    if densities.iter().all(|density| *density <= 0.0) {
        return Ok(false);
    }
    setup.set_densities(parameter, &densities)?;
    Ok(true)
}

/// The outline of the strips, to be drawn: two points for each.
#[must_use]
pub fn outline(sketch: &Sketch) -> Vec<(f64, f64)> {
    let values = strips(sketch);
    let count = values.len().max(1) as f64;
    values
        .iter()
        .enumerate()
        .flat_map(|(k, value)| {
            let y = f64::from(*value) / f64::from(FULL_SCALE);
            [k, k + 1].map(|edge| (edge as f64 / count - 0.5, y))
        })
        .collect()
}

/// What each strip carries, in thousandths; nothing where nothing is painted.
fn strips(sketch: &Sketch) -> Vec<u16> {
    (0..sketch.grid().columns)
        .map(|column| sketch.column(column).map_or(0, |sample| sample.value))
        .collect()
}
