//! Wrong pictures as computed curves. Each is a belief that readers are known, or expected, to
//! hold, turned into the curve that would be true if the belief were; so a wrong curve offered
//! beside the right one is an honest competitor, and a sketch can be compared with it.
//!
//! The set-up's own numbers make every curve. The list of beliefs is our own: those on optics
//! follow Ambrose, Shaffer, Steinberg and `McDermott`, Am. J. Phys. 67, 146 (1999), who found that
//! many students do not use a wave model at all; those on loops are hypotheses (no study known).

mod circulating;
mod current_voltage;
mod flux_locked_loop;
mod junction_array;
mod junction_pair;
mod profile;
mod rf_loop;
mod rf_readout;
mod screened_loop;
mod single_junction;
mod total_flux;
mod voltage_flux;
mod wire_loop;

use thiserror::Error;

use crate::experiment::{ExperimentError, Setup, SetupError, run};

/// The name under which [`curve`] gives the computed curve itself.
pub const MODEL: &str = "model";

/// A wrong picture: what it is called, and how to speak of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Picture {
    /// Name in lesson files, e.g. `two-slits`.
    pub name: &'static str,
    /// An honest name for the curve, to follow "this is": e.g. `what two narrow slits alone do`.
    pub words: &'static str,
    /// The idea behind it, asked back as a question.
    pub question: &'static str,
    /// What to move, and what to watch, to see the idea fail.
    pub look_at: &'static str,
    /// How far a hand may stretch this curve and still mean it.
    pub(super) freedom: Freedom,
}

/// Ranges of x-scale and y-scale within which a drawn curve still counts as a candidate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Freedom {
    pub(super) x: (f64, f64),
    pub(super) y: (f64, f64),
}

/// What a hand does to any curve.
pub(super) const BY_HAND: Freedom = Freedom {
    x: (0.78, 1.28),
    y: (0.6, 1.5),
};

/// For pictures whose belief fixes no height or slope.
const ANY_HEIGHT: Freedom = Freedom {
    x: (0.78, 1.28),
    y: (0.2, 2.5),
};

/// For pictures whose belief fixes no width.
const ANY_WIDTH: Freedom = Freedom {
    x: (0.4, 2.5),
    y: (0.6, 1.5),
};

/// Why a picture's curve cannot be computed.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum PictureError {
    /// No picture of that name belongs to the set-up and column.
    #[error("no picture `{picture}` is known for `{column}` of `{setup}`; known are: {known}")]
    UnknownPicture {
        /// The name asked for.
        picture: String,
        /// The set-up's kind.
        setup: String,
        /// The column.
        column: String,
        /// The names that are known, divided by commas.
        known: String,
    },
    /// The set-up has no such column.
    #[error("`{setup}` has no column `{column}`; `coldfringe setups` lists the columns")]
    UnknownColumn {
        /// The set-up's kind.
        setup: String,
        /// The column asked for.
        column: String,
    },
    /// The set-up refused a parameter.
    #[error(transparent)]
    Setup(#[from] SetupError),
    /// The model failed.
    #[error(transparent)]
    Experiment(#[from] ExperimentError),
}

/// The wrong pictures known for a column of a set-up; none when nothing is known.
#[must_use]
pub fn known(kind: &str, column: &str) -> &'static [Picture] {
    match (kind, column) {
        ("single-junction", "critical-current") => single_junction::PICTURES,
        ("profile-from-pattern", _) => profile::PICTURES,
        ("junction-pair", "critical-current") => junction_pair::PICTURES,
        ("junction-pair", "envelope") => junction_pair::ENVELOPE,
        ("junction-array", "critical-current") => junction_array::PICTURES,
        ("screened-loop", "circulating-current" | "circulating-current-simple") => {
            circulating::PICTURES
        }
        ("screened-loop", "critical-current" | "critical-current-simple") => {
            screened_loop::PICTURES
        }
        ("screened-loop", "total-flux") => total_flux::PICTURES,
        ("rf-loop", "total-flux-rising") => rf_loop::PICTURES,
        ("rf-readout", "tank-voltage") => rf_readout::PICTURES,
        ("current-voltage", "voltage") => current_voltage::PICTURES,
        ("voltage-flux", "voltage") => voltage_flux::PICTURES,
        ("voltage-flux", "transfer") => voltage_flux::SLOPE,
        ("flux-locked-loop", "output-flux") => flux_locked_loop::PICTURES,
        ("wire-loop", "critical-current") => wire_loop::PICTURES,
        _ => &[],
    }
}

/// The wrong picture of that name.
#[must_use]
pub fn find(kind: &str, column: &str, picture: &str) -> Option<&'static Picture> {
    known(kind, column)
        .iter()
        .find(|known| known.name == picture)
}

/// Short words for a picture, to offer it as an option; the computed curve has some too. Empty
/// when the picture is not known.
#[must_use]
pub fn words(kind: &str, column: &str, picture: &str) -> &'static str {
    if picture == MODEL {
        "the computed curve, drawn freely"
    } else {
        find(kind, column, picture).map_or("", |picture| picture.words)
    }
}

/// The curve of a picture at each x (SI base unit of the set-up's x), in the column's SI unit.
/// The picture [`MODEL`] is the computed curve itself.
///
/// # Errors
/// When the picture or the column is not known for this set-up, or the model fails.
pub fn curve(
    picture: &str,
    setup: &Setup,
    column: &str,
    x: &[f64],
) -> Result<Vec<f64>, PictureError> {
    let mut curves = variants(picture, setup, column, x)?;
    Ok(curves.swap_remove(0))
}

/// The curve of a picture, followed by other curves that the same belief may lead to. There is
/// always at least one.
pub(super) fn variants(
    picture: &str,
    setup: &Setup,
    column: &str,
    x: &[f64],
) -> Result<Vec<Vec<f64>>, PictureError> {
    let kind = setup.description().kind;
    if picture == MODEL {
        return Ok(vec![model(setup, column, x)?]);
    }
    if find(kind, column, picture).is_none() {
        let known: Vec<&str> = known(kind, column).iter().map(|known| known.name).collect();
        return Err(PictureError::UnknownPicture {
            picture: picture.to_owned(),
            setup: kind.to_owned(),
            column: column.to_owned(),
            known: if known.is_empty() {
                "none".to_owned()
            } else {
                known.join(", ")
            },
        });
    }
    match (kind, column) {
        ("single-junction", _) => single_junction::curves(picture, setup, x),
        ("profile-from-pattern", _) => profile::curves(picture, setup, x),
        ("junction-array", _) => junction_array::curves(picture, setup, x),
        ("junction-pair", "envelope") => Ok(junction_pair::envelopes(picture, setup, x)),
        ("junction-pair", _) => junction_pair::curves(picture, setup, x),
        ("rf-loop", _) => rf_loop::curves(picture, setup, x),
        ("rf-readout", _) => rf_readout::curves(picture, setup, x),
        ("current-voltage", _) => current_voltage::curves(picture, setup, column, x),
        ("voltage-flux", _) => voltage_flux::curves(picture, setup, x),
        ("flux-locked-loop", _) => flux_locked_loop::curves(picture, setup, x),
        ("wire-loop", _) => wire_loop::curves(picture, setup, x),
        (_, "circulating-current" | "circulating-current-simple") => {
            circulating::curves(picture, setup, column, x)
        }
        (_, "total-flux") => Ok(vec![total_flux::curve(picture, setup, x)]),
        _ => screened_loop::curves(picture, setup, column, x),
    }
}

/// The model's own column.
fn model(setup: &Setup, column: &str, x: &[f64]) -> Result<Vec<f64>, PictureError> {
    let mut trace = run(setup, x)?;
    trace
        .columns
        .iter()
        .position(|found| found.name == column)
        .map(|place| trace.columns.swap_remove(place).values)
        .ok_or_else(|| PictureError::UnknownColumn {
            setup: setup.description().kind.to_owned(),
            column: column.to_owned(),
        })
}

/// A parameter in SI units; those of a set-up of the right kind are always there.
fn parameter(setup: &Setup, name: &str) -> f64 {
    setup.get_si(name).unwrap_or(f64::NAN)
}

/// `sin(pi f) / (pi f)`.
fn sinc(f: f64) -> f64 {
    let angle = std::f64::consts::PI * f;
    if angle.abs() < 1e-9 {
        1.0
    } else {
        crate::numerics::elementary::sin(angle) / angle
    }
}

/// `cos(pi f)`.
fn cosine(f: f64) -> f64 {
    crate::numerics::elementary::cos(std::f64::consts::PI * f)
}

/// `sin(pi f)`.
fn sine(f: f64) -> f64 {
    crate::numerics::elementary::sin(std::f64::consts::PI * f)
}
