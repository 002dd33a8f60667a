//! One junction in a field along its plane: the critical current against the field.

use super::description::{
    ColumnDescription, Look, ParameterDescription, ParameterKind, Physics, ReadingDescription,
    SetupDescription, Work, told,
};
use super::parameter::ParameterValue;
use super::profile::model_profile;
use super::scale::{AxisScale, field_axis};
use super::setup::Setup;
use super::{Inside, Reading, View};
use crate::constants::{FLUX_QUANTUM, VACUUM_PERMEABILITY};
use crate::model::diffraction::Profile;
use crate::model::penetration::josephson_depth;
use crate::quantity::show;

use core::f64::consts::PI;

/// Width of each edge strip of the edge-heavy profile, as a share of the junction's width.
pub(super) const EDGE_STRIP: f64 = 0.1;

/// How many local currents a picture shows.
const ARROWS: usize = 41;

/// Places at which the density of the critical current is shown.
const DENSITIES: usize = 120;

const CRITICAL_CURRENT: usize = 0;
const WIDTH: usize = 1;
const THICKNESS: usize = 2;
const PROFILE: usize = 3;
const EDGE_FRACTION: usize = 4;

/// Parameters that a junction shares with other set-ups.
pub(super) const WIDTH_PARAMETER: ParameterDescription = ParameterDescription {
    name: "width",
    kind: ParameterKind::Quantity,
    unit: "m",
    from: 50e-9,
    to: 1e-3,
    default: "10 um",
    words: told(
        "width of the junction, across the field and along its plane (diameter of a circular one)",
    ),
};

/// Depth of the region that holds the field.
pub(super) const THICKNESS_PARAMETER: ParameterDescription = ParameterDescription {
    name: "magnetic-thickness",
    kind: ParameterKind::Quantity,
    unit: "m",
    from: 1e-9,
    to: 10e-6,
    default: "181 nm",
    words: told("barrier and the depth to which the field enters both films"),
};

/// Critical current of one junction.
pub(super) const CRITICAL_CURRENT_PARAMETER: ParameterDescription = ParameterDescription {
    name: "critical-current",
    kind: ParameterKind::Quantity,
    unit: "A",
    from: 1e-9,
    to: 0.1,
    default: "100 uA",
    words: told("critical current at zero field"),
};

/// How the current runs across the width.
pub(super) const PROFILE_PARAMETER: ParameterDescription = ParameterDescription {
    name: "profile",
    kind: ParameterKind::Profile,
    unit: "",
    from: 0.0,
    to: 0.0,
    default: "uniform",
    words: told(
        "how the current runs across the width: uniform, circular, triangular, half-cosine, edge-heavy, or densities from the left edge to the right such as \"1; 2; 3; 2; 1\"",
    ),
};

/// What the edge-heavy profile needs beside.
pub(super) const EDGE_FRACTION_PARAMETER: ParameterDescription = ParameterDescription {
    name: "edge-fraction",
    kind: ParameterKind::Quantity,
    unit: "",
    from: 0.0,
    to: 1.0,
    default: "0.5",
    words: told(
        "for the edge-heavy profile: share of the current in a strip along each edge (a tenth of the width each), the rest being uniform",
    ),
};

pub(super) const DESCRIPTION: SetupDescription = SetupDescription {
    kind: "single-junction",
    summary: told(
        "one junction in a magnetic field along its plane: its critical current against the field",
    ),
    parameters: &[
        CRITICAL_CURRENT_PARAMETER,
        WIDTH_PARAMETER,
        THICKNESS_PARAMETER,
        PROFILE_PARAMETER,
        EDGE_FRACTION_PARAMETER,
    ],
    x: ColumnDescription {
        name: "field",
        unit: "T",
        words: "magnetic field",
    },
    other_x: &[],
    columns: &[ColumnDescription {
        name: "critical-current",
        unit: "A",
        words: "critical current",
    }],
    readings: &[
        ReadingDescription {
            name: "maximum",
            unit: "A",
            words: told("largest critical current, at zero field"),
        },
        ReadingDescription {
            name: "first-zero",
            unit: "T",
            words: told(
                "first zero: field at which the critical current first vanishes, where it does (a painted profile unlike its mirror image: only with one flux quantum in each of its strips)",
            ),
        },
        ReadingDescription {
            name: "first-minimum",
            unit: "T",
            words: told("field of the first minimum, a zero or not"),
        },
        ReadingDescription {
            name: "minimum",
            unit: "A",
            words: told(
                "current at the first minimum: nothing, unless the profile differs from its mirror image",
            ),
        },
        ReadingDescription {
            name: "zero-spacing",
            unit: "T",
            words: told("first zero to the second"),
        },
        ReadingDescription {
            name: "first-side-lobe",
            unit: "",
            words: told("first side lobe: its height as a share of the maximum"),
        },
        ReadingDescription {
            name: "first-side-lobe-current",
            unit: "A",
            words: told("current at the first side lobe: the critical current at its top"),
        },
        ReadingDescription {
            name: "first-side-lobe-field",
            unit: "T",
            words: told("field at the first side lobe: at its top"),
        },
        ReadingDescription {
            name: "flux-quantum-field",
            unit: "T",
            words: told("field of one flux quantum: through the junction"),
        },
        ReadingDescription {
            name: "junction-area",
            unit: "m^2",
            words: told(
                "area of the junction: width times magnetic thickness, the area that the field threads",
            ),
        },
    ],
    physics: Physics {
        conflict: |_| None,
        work: Work::AtOnce { columns, readings },
        views: &[View::Junction],
        inside: Look::at_once(|setup, _, field| Ok(inside(setup, field))),
        axes,
        window: |setup| {
            let quantum = quantum_field(setup);
            (-3.0 * quantum, 3.0 * quantum)
        },
        warnings: |setup| {
            let circular = matches!(setup.at(PROFILE), Some(ParameterValue::Profile("circular")));
            wide_warning(
                "the junction",
                setup.number(CRITICAL_CURRENT),
                setup.number(WIDTH),
                setup.number(THICKNESS),
                circular,
            )
            .into_iter()
            .collect()
        },
        reach: |_| 1e3,
        folded: None,
    },
};

fn device(setup: &Setup) -> Profile {
    model_profile(setup.at(PROFILE), setup.number(EDGE_FRACTION))
}

/// Field of one flux quantum through the junction.
fn quantum_field(setup: &Setup) -> f64 {
    FLUX_QUANTUM / (setup.number(WIDTH) * setup.number(THICKNESS))
}

fn columns(setup: &Setup, x: &[f64]) -> Vec<Vec<f64>> {
    let profile = device(setup);
    let quantum = quantum_field(setup);
    let current = setup.number(CRITICAL_CURRENT);
    vec![
        x.iter()
            .map(|field| current * profile.critical_current(field / quantum))
            .collect(),
    ]
}

fn readings(setup: &Setup) -> Vec<Reading> {
    let profile = device(setup);
    let quantum = quantum_field(setup);
    let current = setup.number(CRITICAL_CURRENT);
    let mut readings = vec![reading("maximum", "A", current)];
    let zeros = profile.zeros(2);
    if let Some(first) = zeros.first() {
        readings.push(reading("first-zero", "T", first * quantum));
        if let Some(second) = zeros.get(1) {
            readings.push(reading("zero-spacing", "T", (second - first) * quantum));
        }
    }
    if let Some((place, least)) = profile.first_minimum() {
        readings.push(reading("first-minimum", "T", place * quantum));
        readings.push(reading("minimum", "A", least * current));
    }
    if let Some((place, height)) = profile.first_side_lobe() {
        readings.push(reading("first-side-lobe", "", height));
        readings.push(reading("first-side-lobe-current", "A", height * current));
        readings.push(reading("first-side-lobe-field", "T", place * quantum));
    }
    readings.push(reading("flux-quantum-field", "T", quantum));
    readings.push(reading(
        "junction-area",
        "m^2",
        setup.number(WIDTH) * setup.number(THICKNESS),
    ));
    readings
}

pub(super) fn reading(name: &'static str, unit: &'static str, value: f64) -> Reading {
    Reading { name, unit, value }
}

/// The density at even places from edge to edge, as a share of the largest.
pub(super) fn densities(profile: &Profile) -> Vec<f64> {
    let density = |k: usize| profile.density((k as f64 + 0.5) / DENSITIES as f64 - 0.5);
    let largest = (0..DENSITIES).map(density).fold(1e-300, f64::max);
    (0..DENSITIES).map(|k| density(k) / largest).collect()
}

fn inside(setup: &Setup, field: f64) -> Inside {
    let profile = device(setup);
    let flux = field / quantum_field(setup);
    let (real, imaginary) = profile.transform(flux);
    Inside::Junction {
        flux,
        density: densities(&profile),
        local_current: profile.local_currents(flux, ARROWS),
        total: if imaginary.abs() <= 0.0 {
            real
        } else {
            profile.critical_current(flux)
        },
    }
}

fn axes(setup: &Setup) -> Vec<AxisScale> {
    let quantum = quantum_field(setup);
    vec![
        field_axis(3.0 * quantum),
        AxisScale {
            name: "junction-flux",
            label: "flux through the junction",
            unit: "Phi0",
            si_per_unit: quantum,
        },
    ]
}

/// A warning when a junction, taken to be as long along the field as it is wide (or round), is wider
/// than its Josephson penetration depth.
pub(super) fn wide_warning(
    which: &str,
    current: f64,
    width: f64,
    thickness: f64,
    circular: bool,
) -> Option<String> {
    let self_flux = VACUUM_PERMEABILITY * current * thickness / FLUX_QUANTUM;
    // A disc has pi/4 of the square's area, and so a density higher by 4/pi.
    let (shape, spread) = if circular {
        ("round", 4.0 / PI)
    } else {
        ("as long along the field as it is wide", 1.0)
    };
    let depth = width * josephson_depth(self_flux * spread, 1.0);
    (depth < width).then(|| {
        format!(
            "{which}, taken to be {shape}, is wider ({}) than its Josephson penetration depth ({}): its own current's field then matters, and the true pattern is not this one",
            show(width, "m", 3),
            show(depth, "m", 3)
        )
    })
}
