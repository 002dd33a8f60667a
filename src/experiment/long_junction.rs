//! A junction so wide that its own current's field counts, fed in line and alike at both ends: the
//! critical current against the field.

use super::description::{
    ColumnDescription, Look, ParameterDescription, ParameterKind, Physics, ReadingDescription,
    SetupDescription, behind, told,
};
use super::scale::{AxisScale, field_axis};
use super::setup::Setup;
use super::single_junction::{THICKNESS_PARAMETER, WIDTH_PARAMETER, reading};
use super::{Inside, Reading, View};
use crate::constants::{FLUX_QUANTUM, VACUUM_PERMEABILITY};
use crate::decimal::shortest;
use crate::model::long_junction::{
    CriticalCurve, ENTRY_FIELD, LOWER_FIELD, SATURATION, SATURATION_ONE_END,
};
use crate::model::penetration::josephson_depth;
use crate::numerics::minimise;
use crate::quantity::show;

use core::f64::consts::PI;

const DENSITY: usize = 0;
const WIDTH: usize = 1;
const EXTENT: usize = 2;
const THICKNESS: usize = 3;

/// The longest junction, in penetration depths. Beyond it the state at one end no longer knows of the other
/// to the digits of a number.
const LONGEST: f64 = 20.0;

/// How many local currents a picture shows.
const ARROWS: usize = 41;

pub(super) const DESCRIPTION: SetupDescription = SetupDescription {
    kind: "long-junction",
    summary: told(
        "one wide junction whose own current's field counts, fed in line and alike at both ends: its critical current against the field",
    ),
    parameters: &[
        ParameterDescription {
            name: "critical-current-density",
            kind: ParameterKind::Quantity,
            unit: "A/m^2",
            from: 1e3,
            to: 1e12,
            default: "1 kA/cm^2",
            words: told("critical current per area, the same everywhere"),
        },
        ParameterDescription {
            default: "60 um",
            words: told(
                "width of the junction, across the field and along its plane, up to twenty Josephson penetration depths",
            ),
            ..WIDTH_PARAMETER
        },
        ParameterDescription {
            name: "extent",
            kind: ParameterKind::Quantity,
            unit: "m",
            from: 50e-9,
            to: 1e-3,
            default: "5 um",
            words: told("extent of the junction along the field"),
        },
        THICKNESS_PARAMETER,
    ],
    x: ColumnDescription {
        name: "field",
        unit: "T",
        words: "magnetic field",
    },
    other_x: &[],
    columns: &[
        ColumnDescription {
            name: "critical-current",
            unit: "A",
            words: "critical current",
        },
        ColumnDescription {
            name: "critical-current-short",
            unit: "A",
            words: "critical current without the field of the current itself",
        },
    ],
    readings: &[
        ReadingDescription {
            name: "maximum",
            unit: "A",
            words: told("largest critical current, at zero field"),
        },
        ReadingDescription {
            name: "maximum-short",
            unit: "A",
            words: told(
                "maximum without own field: density times area, the current's own field left out (and that of a junction fed evenly over its width)",
            ),
        },
        ReadingDescription {
            name: "maximum-share",
            unit: "",
            words: told(
                "maximum / that without own field: the largest critical current as a share of that without the current's own field",
            ),
        },
        ReadingDescription {
            name: "josephson-depth",
            unit: "m",
            words: told("Josephson penetration depth"),
        },
        ReadingDescription {
            name: "width-in-depths",
            unit: "",
            words: told("width in penetration depths: over the Josephson penetration depth"),
        },
        ReadingDescription {
            name: "saturation",
            unit: "A",
            words: told(
                "current of an ever wider junction: the critical current tends to four penetration depths' worth",
            ),
        },
        ReadingDescription {
            name: "saturation-one-end",
            unit: "A",
            words: told(
                "the same fed at one end: the current goes in and out there, two penetration depths' worth",
            ),
        },
        ReadingDescription {
            name: "entry-field",
            unit: "T",
            words: told(
                "vortices enter at: the field at which they enter a very wide junction that carries no current",
            ),
        },
        ReadingDescription {
            name: "lower-field",
            unit: "T",
            words: told(
                "vortices are at rest from: the field from which a vortex in the middle of a very wide junction lowers the energy",
            ),
        },
        ReadingDescription {
            name: "first-minimum",
            unit: "T",
            words: told("field of the first minimum"),
        },
        ReadingDescription {
            name: "minimum",
            unit: "A",
            words: told("current at the first minimum: the critical current there"),
        },
        ReadingDescription {
            name: "flux-quantum-field",
            unit: "T",
            words: told("field of one flux quantum: through the junction, if nothing screened it"),
        },
    ],
    physics: Physics {
        conflict: |setup| {
            let device = Device::new(setup);
            (device.length > LONGEST).then(|| {
                format!(
                    "the junction is {} Josephson penetration depths ({}) wide; give a smaller width or critical-current-density, for at most {}",
                    show(device.length, "", 3),
                    show(device.depth, "m", 3),
                    shortest(LONGEST)
                )
            })
        },
        work: behind(columns, readings),
        views: &[View::Junction],
        inside: Look::behind(&[View::Junction], |setup, _, field| {
            Ok(inside(setup, field))
        }),
        axes,
        window: |setup| {
            let to = Device::new(setup).window();
            (-to, to)
        },
        warnings: |_| Vec::new(),
        reach: |_| 1e3,
        folded: None,
    },
};

/// The device in its own units.
struct Device {
    /// Josephson penetration depth.
    depth: f64,
    /// Width in penetration depths.
    length: f64,
    /// Field of one in the model's unit.
    field: f64,
    /// Critical current of one penetration depth.
    current: f64,
    /// Field of one flux quantum through the junction, unscreened.
    quantum: f64,
}

impl Device {
    fn new(setup: &Setup) -> Self {
        let (density, thickness) = (setup.number(DENSITY), setup.number(THICKNESS));
        let (width, extent) = (setup.number(WIDTH), setup.number(EXTENT));
        let self_flux = VACUUM_PERMEABILITY * density * width * extent * thickness / FLUX_QUANTUM;
        let depth = width * josephson_depth(self_flux, width / extent);
        Self {
            depth,
            length: width / depth,
            field: FLUX_QUANTUM / (2.0 * PI * thickness * depth),
            current: density * depth * extent,
            quantum: FLUX_QUANTUM / (width * thickness),
        }
    }

    /// Three quanta, or half as far again as vortices need to enter.
    fn window(&self) -> f64 {
        f64::max(3.0 * self.quantum, 1.5 * ENTRY_FIELD * self.field)
    }

    fn curve(&self, field: f64) -> CriticalCurve {
        CriticalCurve::new(self.length, field / self.field)
    }
}

fn columns(setup: &Setup, x: &[f64]) -> Vec<Vec<f64>> {
    let device = Device::new(setup);
    let curve = device.curve(x.iter().fold(0.0, |far, field| f64::max(far, field.abs())));
    let of = |value: &dyn Fn(f64) -> f64| -> Vec<f64> {
        x.iter()
            .map(|field| device.current * value(field / device.field))
            .collect()
    };
    vec![
        of(&|field| curve.at(field)),
        of(&|field| curve.without_own_field(field)),
    ]
}

fn readings(setup: &Setup) -> Vec<Reading> {
    let device = Device::new(setup);
    // The first minimum stands at one quantum in a short junction, and near the entry field in a long one.
    let far = f64::max(1.3 * 2.0 * PI / device.length, 1.3 * ENTRY_FIELD);
    let curve = CriticalCurve::new(device.length, far);
    let short = device.current * device.length;
    let maximum = device.current * curve.maximum();
    let mut readings = vec![
        reading("maximum", "A", maximum),
        reading("maximum-short", "A", short),
        reading("maximum-share", "", maximum / short),
        reading("josephson-depth", "m", device.depth),
        reading("width-in-depths", "", device.length),
        reading("saturation", "A", SATURATION * device.current),
        reading(
            "saturation-one-end",
            "A",
            SATURATION_ONE_END * device.current,
        ),
        reading("entry-field", "T", ENTRY_FIELD * device.field),
        reading("lower-field", "T", LOWER_FIELD * device.field),
    ];
    let dip = minimise::first_dip(|field| curve.at(field), 0.0, far, 600, 1e-9);
    if let Some((place, least)) = dip {
        readings.push(reading("first-minimum", "T", place * device.field));
        readings.push(reading("minimum", "A", least * device.current));
    }
    readings.push(reading("flux-quantum-field", "T", device.quantum));
    readings
}

fn inside(setup: &Setup, field: f64) -> Inside {
    let device = Device::new(setup);
    let state = device.curve(field).state(field / device.field);
    let local_current = (0..ARROWS)
        .map(|k| {
            let share = (k as f64 + 0.5) / ARROWS as f64 - 0.5;
            state.density(share * device.length)
        })
        .collect();
    Inside::Junction {
        flux: state.flux(),
        density: vec![1.0; 2],
        local_current,
        total: state.current / device.length,
    }
}

fn axes(setup: &Setup) -> Vec<AxisScale> {
    let device = Device::new(setup);
    vec![
        field_axis(device.window()),
        AxisScale {
            name: "junction-flux",
            label: "applied flux through the junction",
            unit: "Phi0",
            si_per_unit: device.quantum,
        },
        AxisScale {
            name: "entry-field",
            label: "field / entry field",
            unit: "",
            si_per_unit: ENTRY_FIELD * device.field,
        },
    ]
}
