//! The current profile of a junction: its names, and densities in equal strips.

use crate::model::diffraction::Profile;
use crate::quantity::parse_quantity;
use crate::spelling;

use super::description::ParameterDescription;
use super::parameter::{LONGEST_LIST, pieces};
use super::{ParameterValue, SetupError};

/// Names of the current profiles. Samples are written as numbers instead.
const PROFILES: [&str; 5] = [
    "uniform",
    "circular",
    "triangular",
    "half-cosine",
    "edge-heavy",
];

/// A profile from text: a name, or densities.
pub(super) fn read(
    parameter: &ParameterDescription,
    text: &str,
) -> Result<ParameterValue, SetupError> {
    let word = text.trim();
    if let Some(name) = PROFILES.iter().copied().find(|name| *name == word) {
        return Ok(ParameterValue::Profile(name));
    }
    let starts_like_a_number =
        word.starts_with(|letter: char| letter.is_ascii_digit() || "+-.−".contains(letter));
    if !starts_like_a_number {
        return Err(SetupError::UnknownProfile {
            name: parameter.name.to_string(),
            text: word.chars().take(40).collect(),
            mend: format!(
                "{} – or give densities from the left edge to the right, such as \"1 2 3 2 1\"",
                spelling::mend(word, PROFILES)
            ),
        });
    }
    let mut pieces = pieces(word);
    if let [only] = pieces.as_slice() {
        pieces = only.split_whitespace().map(str::to_string).collect();
    }
    check_count(parameter, pieces.len())?;
    let mut samples = Vec::with_capacity(pieces.len());
    for (k, piece) in pieces.iter().enumerate() {
        let parsed = parse_quantity(piece).map_err(|error| SetupError::Quantity {
            name: parameter.name.to_string(),
            error,
        })?;
        if parsed.unit.is_some() {
            return Err(bad(
                parameter,
                format!(
                    "density number {} has a unit; densities are relative",
                    k + 1
                ),
            ));
        }
        samples.push(parsed.value);
    }
    of_densities(parameter, samples)
}

fn bad(parameter: &ParameterDescription, why: String) -> SetupError {
    SetupError::BadSamples {
        name: parameter.name.to_string(),
        why,
    }
}

fn check_count(parameter: &ParameterDescription, count: usize) -> Result<(), SetupError> {
    if (2..=LONGEST_LIST).contains(&count) {
        return Ok(());
    }
    Err(bad(
        parameter,
        format!(
            "{} is not a profile; give 2 to {LONGEST_LIST} densities from the left edge to the right, such as \"1 2 3 2 1\"",
            if count < 2 {
                "one number"
            } else {
                "so long a list"
            }
        ),
    ))
}

/// A profile from densities in equal strips, from the left edge to the right.
pub(super) fn of_densities(
    parameter: &ParameterDescription,
    samples: Vec<f64>,
) -> Result<ParameterValue, SetupError> {
    check_count(parameter, samples.len())?;
    for (k, density) in samples.iter().enumerate() {
        if !(0.0..=1e6).contains(density) {
            return Err(bad(
                parameter,
                format!("density number {} is not between 0 and a million", k + 1),
            ));
        }
    }
    if samples.iter().all(|density| *density <= 0.0) {
        return Err(bad(
            parameter,
            "all densities are zero; at least one must carry current".to_string(),
        ));
    }
    Ok(ParameterValue::Samples(samples))
}

/// The profile of the model for a parameter's value.
pub(super) fn model_profile(value: Option<&ParameterValue>, edge_fraction: f64) -> Profile {
    match value {
        Some(ParameterValue::Samples(samples)) => Profile::Samples(samples.clone()),
        Some(ParameterValue::Profile("circular")) => Profile::Circular,
        Some(ParameterValue::Profile("triangular")) => Profile::Triangular,
        Some(ParameterValue::Profile("half-cosine")) => Profile::HalfCosine,
        Some(ParameterValue::Profile("edge-heavy")) => Profile::EdgeHeavy {
            fraction: edge_fraction,
            strip: super::single_junction::EDGE_STRIP,
        },
        _ => Profile::Uniform,
    }
}

/// Densities in the middle of equal strips, as shares of the largest of them.
pub(super) fn shares(value: &ParameterValue, edge_fraction: f64, count: usize) -> Vec<f64> {
    let profile = model_profile(Some(value), edge_fraction);
    let mut shares: Vec<f64> = (0..count)
        .map(|k| profile.density((k as f64 + 0.5) / count as f64 - 0.5))
        .collect();
    let largest = shares.iter().copied().fold(0.0, f64::max);
    if largest > 0.0 {
        for share in &mut shares {
            *share /= largest;
        }
    }
    shares
}
