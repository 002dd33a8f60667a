//! From a scan of the critical current back to the current density across the junction.

use super::description::{
    ColumnDescription, Look, ParameterDescription, ParameterKind, Physics, ReadingDescription,
    SetupDescription, Work, told,
};
use super::profile::model_profile;
use super::scale::AxisScale;
use super::setup::Setup;
use super::single_junction::{
    CRITICAL_CURRENT_PARAMETER, EDGE_FRACTION_PARAMETER, PROFILE_PARAMETER, THICKNESS_PARAMETER,
    WIDTH_PARAMETER, densities, reading,
};
use super::{Inside, Reading, View};
use crate::constants::FLUX_QUANTUM;
use crate::decimal::{fixed, shortest};
use crate::model::diffraction::Profile;
use crate::model::inverse_profile::{LIFTED, Reconstruction};

const CRITICAL_CURRENT: usize = 0;
const WIDTH: usize = 1;
const THICKNESS: usize = 2;
const PROFILE: usize = 3;
const EDGE_FRACTION: usize = 4;
const RANGE: usize = 5;
const POINTS: usize = 6;

/// Points to a flux quantum below which zeros are no longer told from dips.
const FEWEST_TO_A_QUANTUM: f64 = 8.0;

/// How many local currents a picture shows.
const ARROWS: usize = 41;

pub(super) const DESCRIPTION: SetupDescription = SetupDescription {
    kind: "profile-from-pattern",
    summary: told(
        "a scan of one junction's critical current in a field, turned back into the current density across the junction, beside the true one",
    ),
    parameters: &[
        CRITICAL_CURRENT_PARAMETER,
        WIDTH_PARAMETER,
        THICKNESS_PARAMETER,
        ParameterDescription {
            default: "edge-heavy",
            ..PROFILE_PARAMETER
        },
        EDGE_FRACTION_PARAMETER,
        ParameterDescription {
            name: "scan-range",
            kind: ParameterKind::Quantity,
            unit: "Phi0",
            from: 0.5,
            to: 100.0,
            default: "8 Phi0",
            words: told("flux through the junction at the end of the scan, which starts at none"),
        },
        ParameterDescription {
            name: "scan-points",
            kind: ParameterKind::Whole,
            unit: "",
            from: 9.0,
            to: 4097.0,
            default: "257",
            words: told("points of the scan, both ends counted; at least eight to a flux quantum"),
        },
    ],
    x: ColumnDescription {
        name: "position",
        unit: "m",
        words: "position across the junction, from its middle",
    },
    other_x: &[],
    columns: &[
        ColumnDescription {
            name: "current-density",
            unit: "A/m",
            words: "current density won back from the scan",
        },
        ColumnDescription {
            name: "current-density-true",
            unit: "A/m",
            words: "true current density",
        },
    ],
    readings: &[
        ReadingDescription {
            name: "maximum",
            unit: "A/m",
            words: told("largest true density: critical current per width"),
        },
        ReadingDescription {
            name: "mean-density",
            unit: "A/m",
            words: told("critical current over the width, kept by the way there and back"),
        },
        ReadingDescription {
            name: "misfit",
            unit: "",
            words: told(
                "misfit: difference of the two densities (root of the mean square over the width) as a share of the mean density",
            ),
        },
        ReadingDescription {
            name: "resolution",
            unit: "m",
            words: told("finest detail: half the width over the flux quanta scanned"),
        },
        ReadingDescription {
            name: "field-range",
            unit: "T",
            words: told("field at the end of the scan"),
        },
        ReadingDescription {
            name: "zeros-passed",
            unit: "",
            words: told("zeros passed: where the sign of the transform was turned"),
        },
        ReadingDescription {
            name: "lifted-minimum",
            unit: "",
            words: told(
                "highest minimum: of the scan, as a share of the maximum; zero for a profile that is the same from both edges",
            ),
        },
    ],
    physics: Physics {
        conflict,
        work: Work::AtOnce { columns, readings },
        views: &[View::Junction],
        inside: Look::at_once(|setup, _, x| Ok(inside(setup, x))),
        axes: |setup| {
            vec![
                AxisScale {
                    name: "position",
                    label: "position across the junction",
                    unit: "um",
                    si_per_unit: 1e-6,
                },
                AxisScale {
                    name: "width",
                    label: "position / width",
                    unit: "",
                    si_per_unit: setup.number(WIDTH),
                },
            ]
        },
        window: |setup| {
            let half = 0.75 * setup.number(WIDTH);
            (-half, half)
        },
        warnings,
        // Beyond this the sum of cosines repeats itself.
        reach: |setup| 0.5 * setup.number(WIDTH) / step(setup),
        folded: None,
    },
};

fn conflict(setup: &Setup) -> Option<String> {
    let (range, points) = (setup.number(RANGE), setup.number(POINTS));
    let needed = (FEWEST_TO_A_QUANTUM * range).ceil() + 1.0;
    (points < needed).then(|| {
        format!(
            "{} points are too few for a scan over {} flux quanta; give scan-points of at least {}, or a smaller scan-range",
            shortest(points),
            shortest(range),
            shortest(needed)
        )
    })
}

fn device(setup: &Setup) -> Profile {
    model_profile(setup.at(PROFILE), setup.number(EDGE_FRACTION))
}

/// Flux quanta from one point of the scan to the next.
fn step(setup: &Setup) -> f64 {
    setup.number(RANGE) / (setup.number(POINTS) - 1.0)
}

/// Scans the pattern and goes back.
fn reconstruction(setup: &Setup, profile: &Profile) -> Option<Reconstruction> {
    let step = step(setup);
    let pattern: Vec<f64> = (0..setup.number(POINTS) as u32)
        .map(|k| profile.critical_current(step * f64::from(k)))
        .collect();
    Reconstruction::new(step, &pattern)
}

fn columns(setup: &Setup, x: &[f64]) -> Vec<Vec<f64>> {
    let profile = device(setup);
    let width = setup.number(WIDTH);
    let mean = setup.number(CRITICAL_CURRENT) / width;
    let found = reconstruction(setup, &profile);
    let of = |density: &dyn Fn(f64) -> f64| -> Vec<f64> {
        x.iter()
            .map(|place| mean * density(place / width))
            .collect()
    };
    vec![
        of(&|x| found.as_ref().map_or(f64::NAN, |found| found.density(x))),
        of(&|x| profile.density(x)),
    ]
}

fn readings(setup: &Setup) -> Vec<Reading> {
    const PLACES: u32 = 400;
    let profile = device(setup);
    let width = setup.number(WIDTH);
    let mean = setup.number(CRITICAL_CURRENT) / width;
    let places = || (0..PLACES).map(|k| (f64::from(k) + 0.5) / f64::from(PLACES) - 0.5);
    let largest = places().map(|x| profile.density(x)).fold(0.0, f64::max);
    let mut readings = vec![
        reading("maximum", "A/m", largest * mean),
        reading("mean-density", "A/m", mean),
    ];
    if let Some(found) = reconstruction(setup, &profile) {
        let square = places()
            .map(|x| {
                let off = found.density(x) - profile.density(x);
                off * off
            })
            .sum::<f64>();
        readings.push(reading("misfit", "", (square / f64::from(PLACES)).sqrt()));
        readings.push(reading("resolution", "m", found.resolution() * width));
        readings.push(reading(
            "field-range",
            "T",
            setup.number(RANGE) * FLUX_QUANTUM / (width * setup.number(THICKNESS)),
        ));
        readings.push(reading("zeros-passed", "", found.turned() as f64));
        readings.push(reading("lifted-minimum", "", found.lifted()));
    }
    readings
}

fn warnings(setup: &Setup) -> Vec<String> {
    let lifted = reconstruction(setup, &device(setup)).map_or(0.0, |found| found.lifted());
    if lifted <= LIFTED {
        return Vec::new();
    }
    vec![format!(
        "a minimum of the scan stays at {} % of the maximum: the profile is not the same from both edges. Its pattern is also that of other profiles, such as its mirror image, and the symmetric one shown here is not it",
        fixed(100.0 * lifted, 0)
    )]
}

/// The junction at no field, where every local current is the density itself.
fn inside(setup: &Setup, _: f64) -> Inside {
    Inside::Junction {
        flux: 0.0,
        density: densities(&device(setup)),
        local_current: device(setup).local_currents(0.0, ARROWS),
        total: 1.0,
    }
}
