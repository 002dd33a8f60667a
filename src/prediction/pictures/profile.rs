//! Wrong pictures of the current profile of a junction, won back from its pattern; and what those of
//! the pattern need to know of the profile. Positions are in widths from the middle of the junction.

use super::{ANY_HEIGHT, Picture, PictureError, model, parameter};
use crate::experiment::{Inside, Setup, inside, readings};

/// Flux quanta of the pattern, from the middle, that lie over half the width when a profile is drawn
/// like its pattern: three, as far as such patterns are usually shown.
const QUANTA: f64 = 3.0;

pub(super) const PICTURES: &[Picture] = &[
    Picture {
        name: "like-its-pattern",
        words: "a profile with the shape of its own pattern",
        question: "The pattern's axis is flux. What runs along this axis, and does each lobe have a place on it?",
        look_at: "Paint a profile with lobes, and look at the pattern it makes.",
        freedom: ANY_HEIGHT,
    },
    Picture {
        name: "uniform-always",
        words: "an even profile",
        question: "Where would the first zero be, and how high the first side lobe, if the current were even?",
        look_at: "Paint an even profile and compare its first zero and its side lobes.",
        freedom: ANY_HEIGHT,
    },
    Picture {
        name: "opposite-profile",
        words: "the opposite profile, strong where this one is weak",
        question: "Do strong edges bring the first zero nearer or push it out?",
        look_at: "Paint strong edges and watch the first zero.",
        freedom: ANY_HEIGHT,
    },
];

pub(super) fn curves(
    picture: &str,
    setup: &Setup,
    x: &[f64],
) -> Result<Vec<Vec<f64>>, PictureError> {
    let width = parameter(setup, "width");
    let mean = parameter(setup, "critical-current") / width;
    let shares = densities(setup)?;
    // The largest density over the mean one.
    let total: f64 = shares.iter().sum();
    let largest = mean * shares.len() as f64 / total;
    let values = match picture {
        "like-its-pattern" => {
            let mut junction = Setup::new("single-junction")?;
            junction.set_densities("profile", &shares)?;
            let quantum = junction
                .axis("junction-flux")
                .map_or(f64::NAN, |axis| axis.si_per_unit);
            let field: Vec<f64> = x
                .iter()
                .map(|place| place / width * 2.0 * QUANTA * quantum)
                .collect();
            let top = parameter(&junction, "critical-current");
            model(&junction, "critical-current", &field)?
                .into_iter()
                .map(|current| largest * current / top)
                .collect()
        }
        // It goes on beyond the edges, so that a hand that stretches it does not meet its ends.
        "uniform-always" => vec![mean; x.len()],
        // "opposite-profile"
        _ => {
            let mut opposite = setup.clone();
            opposite.set_densities("profile", &opposite_of(&shares))?;
            model(&opposite, "current-density-true", x)?
        }
    };
    Ok(vec![values])
}

/// Densities in even strips, each a share of the largest.
fn densities(setup: &Setup) -> Result<Vec<f64>, PictureError> {
    Ok(match inside(setup, 0.0)? {
        Inside::Junction { local_current, .. } => local_current,
        _ => Vec::new(),
    })
}

/// The profile that is strong where this one is weak.
pub(super) fn opposite(setup: &Setup) -> Result<Vec<f64>, PictureError> {
    Ok(opposite_of(&densities(setup)?))
}

fn opposite_of(shares: &[f64]) -> Vec<f64> {
    let least = shares.iter().copied().fold(1.0, f64::min);
    shares
        .iter()
        .map(|share| (1.0 + least - share).max(0.0))
        .collect()
}

/// Flux of the pattern's first minimum, in quanta; one where it has none that is near.
pub(super) fn first_minimum(setup: &Setup) -> Result<f64, PictureError> {
    let readings = readings(setup)?;
    let read = |name: &str| {
        readings
            .iter()
            .find(|reading| reading.name == name)
            .map(|reading| reading.value)
    };
    Ok(match (read("first-minimum"), read("flux-quantum-field")) {
        (Some(field), Some(quantum)) => field / quantum,
        _ => 1.0,
    })
}
