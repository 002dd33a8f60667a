//! Two junctions side by side around a hole, in a field, without screening.

use super::description::{
    ColumnDescription, Look, ParameterDescription, ParameterKind, Physics, ReadingDescription,
    SetupDescription, Work, told,
};
use super::scale::{AxisScale, MICROTESLA, field_axis};
use super::setup::Setup;
use super::single_junction::{THICKNESS_PARAMETER, WIDTH_PARAMETER, reading, wide_warning};
use super::{Inside, Reading, View};
use crate::constants::FLUX_QUANTUM;
use crate::model::interference::wide_pair;
use crate::numerics::elementary::sinc;
use crate::numerics::minimise;

use core::f64::consts::PI;

const LEFT: usize = 0;
const RIGHT: usize = 1;
const WIDTH: usize = 2;
const THICKNESS: usize = 3;
const AREA: usize = 4;

pub(super) const DESCRIPTION: SetupDescription = SetupDescription {
    kind: "junction-pair",
    summary: told(
        "two junctions in parallel round a hole, too small a loop to screen: the critical current against the field",
    ),
    parameters: &[
        ParameterDescription {
            name: "critical-current-left",
            kind: ParameterKind::Quantity,
            unit: "A",
            from: 1e-9,
            to: 0.1,
            default: "50 uA",
            words: told("critical current of the left junction at zero field"),
        },
        ParameterDescription {
            name: "critical-current-right",
            kind: ParameterKind::Quantity,
            unit: "A",
            from: 1e-9,
            to: 0.1,
            default: "50 uA",
            words: told("critical current of the right junction at zero field"),
        },
        ParameterDescription {
            default: "4 um",
            words: told("width of each junction, across the field and along its plane"),
            ..WIDTH_PARAMETER
        },
        THICKNESS_PARAMETER,
        ParameterDescription {
            name: "loop-area",
            kind: ParameterKind::Quantity,
            unit: "m^2",
            from: 1e-14,
            to: 1e-4,
            default: "12 um^2",
            words: told(
                "area of the loop between the middles of the junctions, as the field sees it",
            ),
        },
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
            name: "envelope",
            unit: "A",
            words: "envelope of the critical current",
        },
    ],
    readings: &[
        ReadingDescription {
            name: "maximum",
            unit: "A",
            words: told("largest critical current, at zero field"),
        },
        ReadingDescription {
            name: "minimum",
            unit: "A",
            words: told("current at the first minimum: the critical current there"),
        },
        ReadingDescription {
            name: "depth",
            unit: "",
            words: told("depth of the first minimum: as a share of the maximum"),
        },
        ReadingDescription {
            name: "period",
            unit: "T",
            words: told("period in field: one flux quantum more through the loop"),
        },
        ReadingDescription {
            name: "first-minimum",
            unit: "T",
            words: told("field of the first minimum"),
        },
        ReadingDescription {
            name: "first-zero",
            unit: "T",
            words: told(
                "first zero: field at which the critical current first vanishes; with unequal junctions the envelope must do it",
            ),
        },
        ReadingDescription {
            name: "envelope-zero",
            unit: "T",
            words: told(
                "first zero of the envelope: field that puts one flux quantum through each junction",
            ),
        },
        ReadingDescription {
            name: "difference",
            unit: "A",
            words: told(
                "difference of the junctions: of their critical currents, what the minima of unequal narrow junctions keep",
            ),
        },
        ReadingDescription {
            name: "fringes-under-central-lobe",
            unit: "",
            words: told(
                "fringes under the central lobe: between the first zeros of the envelope, one for each whole number of flux quanta in the loop",
            ),
        },
        ReadingDescription {
            name: "junction-area",
            unit: "m^2",
            words: told(
                "area of one junction: width times magnetic thickness, the area that the field threads",
            ),
        },
        ReadingDescription {
            name: "area-ratio",
            unit: "",
            words: told("loop area / junction area"),
        },
    ],
    physics: Physics {
        conflict: |_| None,
        work: Work::AtOnce { columns, readings },
        views: &[View::Phasors],
        inside: Look::at_once(|setup, _, field| Ok(inside(setup, field))),
        axes,
        window,
        warnings: |setup| {
            let warn = |which, place| {
                wide_warning(
                    which,
                    setup.number(place),
                    setup.number(WIDTH),
                    setup.number(THICKNESS),
                    false,
                )
            };
            warn("the left junction", LEFT)
                .into_iter()
                .chain(warn("the right junction", RIGHT))
                .collect()
        },
        reach: |_| 1e3,
        folded: None,
    },
};

/// Fields of one flux quantum in the loop and in a junction.
fn quanta(setup: &Setup) -> (f64, f64) {
    (
        FLUX_QUANTUM / setup.number(AREA),
        FLUX_QUANTUM / (setup.number(WIDTH) * setup.number(THICKNESS)),
    )
}

fn critical_current(setup: &Setup, field: f64) -> f64 {
    let (loop_quantum, junction_quantum) = quanta(setup);
    wide_pair(
        setup.number(LEFT),
        setup.number(RIGHT),
        field / loop_quantum,
        field / junction_quantum,
    )
}

fn columns(setup: &Setup, x: &[f64]) -> Vec<Vec<f64>> {
    let (_, junction_quantum) = quanta(setup);
    let sum = setup.number(LEFT) + setup.number(RIGHT);
    vec![
        x.iter()
            .map(|field| critical_current(setup, *field))
            .collect(),
        x.iter()
            .map(|field| sum * sinc(field / junction_quantum).abs())
            .collect(),
    ]
}

fn readings(setup: &Setup) -> Vec<Reading> {
    let (loop_quantum, junction_quantum) = quanta(setup);
    let maximum = setup.number(LEFT) + setup.number(RIGHT);
    let ratio = junction_quantum / loop_quantum;
    // Where both junctions are equal, the first minimum is a zero of one of the two factors.
    let equal = (setup.number(LEFT) - setup.number(RIGHT)).abs() <= 0.0;
    let shorter = (0.5 * loop_quantum).min(junction_quantum);
    let (place, minimum) = if equal {
        (shorter, 0.0)
    } else {
        minimise::first_dip(
            |share| critical_current(setup, share * shorter),
            0.0,
            2.5,
            250,
            1e-10,
        )
        .map_or((shorter, critical_current(setup, shorter)), |(t, least)| {
            (t * shorter, least)
        })
    };
    // A fringe that falls on the envelope's zero is not seen.
    let whole = (ratio * (1.0 - 1e-12)).floor();
    vec![
        reading("maximum", "A", maximum),
        reading("minimum", "A", minimum),
        reading("depth", "", 1.0 - minimum / maximum),
        reading("period", "T", loop_quantum),
        reading("first-minimum", "T", place),
        reading(
            "first-zero",
            "T",
            if equal { shorter } else { junction_quantum },
        ),
        reading("envelope-zero", "T", junction_quantum),
        reading(
            "difference",
            "A",
            (setup.number(LEFT) - setup.number(RIGHT)).abs(),
        ),
        reading("fringes-under-central-lobe", "", 2.0 * whole + 1.0),
        reading(
            "junction-area",
            "m^2",
            setup.number(WIDTH) * setup.number(THICKNESS),
        ),
        reading("area-ratio", "", ratio),
    ]
}

fn inside(setup: &Setup, field: f64) -> Inside {
    let (loop_quantum, junction_quantum) = quanta(setup);
    let flux = field / loop_quantum;
    let sum = setup.number(LEFT) + setup.number(RIGHT);
    // The junctions' own patterns shorten the phasors; where a pattern is negative they turn over.
    let pattern = sinc(field / junction_quantum);
    let over = if pattern < 0.0 { PI } else { 0.0 };
    Inside::Phasors {
        flux,
        phasors: vec![
            (setup.number(LEFT) / sum * pattern.abs(), PI * flux + over),
            (setup.number(RIGHT) / sum * pattern.abs(), -PI * flux + over),
        ],
        resultant: critical_current(setup, field) / sum,
    }
}

fn axes(setup: &Setup) -> Vec<AxisScale> {
    let (loop_quantum, junction_quantum) = quanta(setup);
    vec![
        field_axis(window(setup).1),
        MICROTESLA,
        AxisScale {
            name: "loop-flux",
            label: "flux through the loop",
            unit: "Phi0",
            si_per_unit: loop_quantum,
        },
        AxisScale {
            name: "junction-flux",
            label: "flux through each junction",
            unit: "Phi0",
            si_per_unit: junction_quantum,
        },
    ]
}

/// One and a half central lobes, but no more than twenty-five fringes to each side.
fn window(setup: &Setup) -> (f64, f64) {
    let (loop_quantum, junction_quantum) = quanta(setup);
    let half = (1.5 * junction_quantum).min(25.0 * loop_quantum);
    (-half, half)
}
