//! A loop by accident: two stray contacts along a wire whose own current threads the area between them.

use super::description::{
    ColumnDescription, Look, ParameterDescription, ParameterKind, Physics, ReadingDescription,
    SetupDescription, Work, told,
};
use super::scale::AxisScale;
use super::setup::Setup;
use super::single_junction::reading;
use super::{Inside, Reading, View, Wire};
use crate::constants::{FLUX_QUANTUM, VACUUM_PERMEABILITY};
use crate::model::interference::pair;
use crate::numerics::elementary::{atan2, cos, sin_cos};

use core::f64::consts::PI;

const LEFT: usize = 0;
const RIGHT: usize = 1;
const SPACING: usize = 2;
const RADIUS: usize = 3;
const WIRE_DEPTH: usize = 4;
const SOLDER_DEPTH: usize = 5;

/// A penetration depth of one of the two metals.
const fn depth(
    name: &'static str,
    default: &'static str,
    words: &'static str,
) -> ParameterDescription {
    ParameterDescription {
        name,
        kind: ParameterKind::Quantity,
        unit: "m",
        from: 1e-9,
        to: 10e-6,
        default,
        words,
    }
}

pub(super) const DESCRIPTION: SetupDescription = SetupDescription {
    kind: "wire-loop",
    summary: told(
        "an oxidised wire frozen in solder, with two stray contacts: the critical current between wire and solder against the current along the wire",
    ),
    parameters: &[
        ParameterDescription {
            name: "critical-current-left",
            kind: ParameterKind::Quantity,
            unit: "A",
            from: 1e-9,
            to: 0.1,
            default: "30 uA",
            words: told("critical current of the left contact"),
        },
        ParameterDescription {
            name: "critical-current-right",
            kind: ParameterKind::Quantity,
            unit: "A",
            from: 1e-9,
            to: 0.1,
            default: "30 uA",
            words: told("critical current of the right contact"),
        },
        ParameterDescription {
            name: "contact-spacing",
            kind: ParameterKind::Quantity,
            unit: "m",
            from: 1e-6,
            to: 10e-3,
            default: "0.1 mm",
            words: told("distance between the contacts along the wire"),
        },
        ParameterDescription {
            name: "wire-radius",
            kind: ParameterKind::Quantity,
            unit: "m",
            from: 1e-6,
            to: 1e-3,
            default: "50 um",
            words: told("radius of the wire"),
        },
        depth(
            "penetration-depth-wire",
            "80 nm",
            "penetration depth of the wire",
        ),
        depth(
            "penetration-depth-solder",
            "120 nm",
            "penetration depth of the solder",
        ),
    ],
    x: ColumnDescription {
        name: "wire-current",
        unit: "A",
        words: "current along the wire",
    },
    other_x: &[],
    columns: &[ColumnDescription {
        name: "critical-current",
        unit: "A",
        words: "critical current between wire and solder",
    }],
    readings: &[
        ReadingDescription {
            name: "maximum",
            unit: "A",
            words: told("largest critical current, with no current along the wire"),
        },
        ReadingDescription {
            name: "minimum",
            unit: "A",
            words: told("smallest critical current: the difference of the contacts'"),
        },
        ReadingDescription {
            name: "depth",
            unit: "",
            words: told("depth of the minimum: as a share of the maximum"),
        },
        ReadingDescription {
            name: "period",
            unit: "A",
            words: told(
                "period: current along the wire that puts one flux quantum between the contacts",
            ),
        },
        ReadingDescription {
            name: "first-minimum",
            unit: "A",
            words: told("first minimum: current along the wire there"),
        },
        ReadingDescription {
            name: "loop-area",
            unit: "m^2",
            words: told(
                "loop area: spacing times both penetration depths, the area that the field threads",
            ),
        },
        ReadingDescription {
            name: "period-field",
            unit: "T",
            words: told(
                "field of one period: at the wire's surface, one flux quantum between the contacts",
            ),
        },
    ],
    physics: Physics {
        conflict: |_| None,
        work: Work::AtOnce { columns, readings },
        views: &[View::Phasors, View::Wire],
        inside: Look::at_once(|setup, view, current| Ok(inside(setup, view, current))),
        axes,
        window: |setup| {
            let period = period(setup);
            (-2.5 * period, 2.5 * period)
        },
        warnings: |setup| {
            let depth = setup.number(WIRE_DEPTH);
            if depth < 0.2 * setup.number(RADIUS) {
                return Vec::new();
            }
            vec!["the wire is not much thicker than its penetration depth: the current then does not flow at its surface alone, and the flux between the contacts is not this one".to_string()]
        },
        reach: |_| 1e3,
        folded: None,
    },
};

fn area(setup: &Setup) -> f64 {
    setup.number(SPACING) * (setup.number(WIRE_DEPTH) + setup.number(SOLDER_DEPTH))
}

/// Current along the wire for one flux quantum. The field at its surface is `B = mu0 I / (2 pi r)`, all of it
/// within the penetration depths.
fn period(setup: &Setup) -> f64 {
    2.0 * PI * setup.number(RADIUS) * FLUX_QUANTUM / (VACUUM_PERMEABILITY * area(setup))
}

fn columns(setup: &Setup, x: &[f64]) -> Vec<Vec<f64>> {
    let period = period(setup);
    vec![
        x.iter()
            .map(|current| pair(setup.number(LEFT), setup.number(RIGHT), current / period))
            .collect(),
    ]
}

fn readings(setup: &Setup) -> Vec<Reading> {
    let (left, right) = (setup.number(LEFT), setup.number(RIGHT));
    let period = period(setup);
    let minimum = (left - right).abs();
    vec![
        reading("maximum", "A", left + right),
        reading("minimum", "A", minimum),
        reading("depth", "", 1.0 - minimum / (left + right)),
        reading("period", "A", period),
        reading("first-minimum", "A", 0.5 * period),
        reading("loop-area", "m^2", area(setup)),
        reading("period-field", "T", FLUX_QUANTUM / area(setup)),
    ]
}

fn inside(setup: &Setup, view: View, current: f64) -> Inside {
    let (left, right) = (setup.number(LEFT), setup.number(RIGHT));
    let (left, right) = (left / (left + right), right / (left + right));
    let flux = current / period(setup);
    let resultant = pair(left, right, flux);
    if view == View::Wire {
        // Each contact carries what its phasor has along the sum.
        let (sine, cosine) = sin_cos(PI * flux);
        let way = atan2((left - right) * sine, (left + right) * cosine);
        return Inside::Wire(Wire {
            current,
            flux,
            field: VACUUM_PERMEABILITY * current / (2.0 * PI * setup.number(RADIUS)),
            spacing: setup.number(SPACING),
            depth: area(setup) / setup.number(SPACING),
            contacts: (left * cos(PI * flux - way), right * cos(PI * flux + way)),
            resultant,
        });
    }
    Inside::Phasors {
        flux,
        phasors: vec![(left, PI * flux), (right, -PI * flux)],
        resultant,
    }
}

fn axes(setup: &Setup) -> Vec<AxisScale> {
    let period = period(setup);
    let milli = 2.5 * period < 1.0;
    vec![
        AxisScale {
            name: "wire-current",
            label: "current along the wire",
            unit: if milli { "mA" } else { "A" },
            si_per_unit: if milli { 1e-3 } else { 1.0 },
        },
        AxisScale {
            name: "loop-flux",
            label: "flux between the contacts",
            unit: "Phi0",
            si_per_unit: period,
        },
    ]
}
