//! Set-ups by hand, and what is read from them.

use coldfringe::experiment::{Setup, SetupError, SetupSpec, Sought, readings};

/// The set-up of that kind with these parameters, the others at their defaults.
pub(super) fn setup(kind: &str, parameters: &[(&str, &str)]) -> Result<Setup, SetupError> {
    Setup::from_spec(&SetupSpec {
        kind: kind.into(),
        parameters: parameters
            .iter()
            .map(|(name, value)| ((*name).into(), (*value).into()))
            .collect(),
    })
}

/// A reading by its name.
pub(super) fn reading(setup: &Setup, name: &str) -> f64 {
    readings(setup)
        .unwrap()
        .iter()
        .find(|reading| reading.name == name)
        .unwrap_or_else(|| panic!("no reading {name}"))
        .value
}

/// What asks for that reading.
pub(super) fn sought(name: &str) -> Sought {
    Sought::Reading {
        reading: name.into(),
    }
}

/// Holds a number to another, to a share of it.
pub(super) fn close(found: f64, expected: f64, share: f64) {
    assert!(
        (found - expected).abs() <= share * expected.abs(),
        "{found} instead of {expected}"
    );
}
