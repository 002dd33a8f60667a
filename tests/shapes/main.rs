#![cfg(not(target_arch = "wasm32"))]
//! Shapes as physics: painted profiles, the way back from a pattern, penetration depths, rows of junctions, and the
//! set-ups built on them.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test stops at the first surprise"
)]

mod depths;
mod profiles;
mod reading_back;
mod rows;
mod setups;

use core::f64::consts::PI;

use coldfringe::constants::FLUX_QUANTUM;
use coldfringe::experiment::{Inside, Setup, inside, readings, run};
use coldfringe::model::diffraction::Profile;
use coldfringe::model::interference::{row_critical_current, row_mean_square};
use coldfringe::model::inverse_profile::{LIFTED, OVERSHOOT, Reconstruction};
use coldfringe::model::penetration::{josephson_depth, magnetic_thickness, self_field_thickness};
use coldfringe::numerics::elementary::{cos, hypot, pow, sin, sinc};
use coldfringe::numerics::quadrature::integrate;
use proptest::prelude::*;

fn setup(kind: &str, parameters: &[(&str, &str)]) -> Setup {
    let mut setup = Setup::new(kind).unwrap();
    for (name, text) in parameters {
        setup.set(name, text).unwrap();
    }
    setup
}

fn reading(setup: &Setup, name: &str) -> f64 {
    readings(setup)
        .unwrap()
        .iter()
        .find(|reading| reading.name == name)
        .unwrap_or_else(|| panic!("no reading {name}"))
        .value
}

fn has(setup: &Setup, name: &str) -> bool {
    readings(setup)
        .unwrap()
        .iter()
        .any(|reading| reading.name == name)
}

fn scan(profile: &Profile, step: f64, points: u32) -> Reconstruction {
    let pattern: Vec<f64> = (0..points)
        .map(|k| profile.critical_current(step * f64::from(k)))
        .collect();
    Reconstruction::new(step, &pattern).unwrap()
}

const EDGES: Profile = Profile::EdgeHeavy {
    fraction: 0.9,
    strip: 0.1,
};

// ---------------------------------------------------------------- painted profiles
