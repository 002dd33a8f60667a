//! A superconducting loop with two junctions that answers the applied flux with a circulating current.

use super::description::{
    ColumnDescription, Look, ParameterDescription, ParameterKind, Physics, ReadingDescription,
    SetupDescription, Work, told,
};
use super::scale::AxisScale;
use super::setup::Setup;
use super::single_junction::reading;
use super::{EnergyBranch, Inside, Reading, View};
use crate::constants::FLUX_QUANTUM;
use crate::model::loop_sweep::Sweep;
use crate::model::screened_loop::Loop;
use crate::model::simple_picture;

const LEFT: usize = 0;
const RIGHT: usize = 1;
const INDUCTANCE: usize = 2;
const LEFT_FRACTION: usize = 3;

const JUNCTION: ParameterDescription = ParameterDescription {
    name: "critical-current-left",
    kind: ParameterKind::Quantity,
    unit: "A",
    from: 1e-9,
    to: 10e-3,
    default: "10 uA",
    words: told("critical current of the left junction"),
};

/// The parameters of a loop.
pub(super) const PARAMETERS: [ParameterDescription; 4] = [
    JUNCTION,
    ParameterDescription {
        name: "critical-current-right",
        words: told("critical current of the right junction"),
        ..JUNCTION
    },
    ParameterDescription {
        name: "loop-inductance",
        kind: ParameterKind::Quantity,
        unit: "H",
        from: 1e-15,
        to: 1e-6,
        default: "100 pH",
        words: told("inductance of the whole loop"),
    },
    ParameterDescription {
        name: "left-inductance-fraction",
        kind: ParameterKind::Quantity,
        unit: "",
        from: 0.0,
        to: 1.0,
        default: "0.5",
        words: told("share of the inductance in the left arm"),
    },
];

pub(super) const DESCRIPTION: SetupDescription = SetupDescription {
    kind: "screened-loop",
    summary: told(
        "a superconducting loop with two small junctions and its own inductance: critical current, circulating current and total flux against the applied flux",
    ),
    parameters: &PARAMETERS,
    x: ColumnDescription {
        name: "flux",
        unit: "Phi0",
        words: "applied flux",
    },
    other_x: &[],
    columns: &[
        ColumnDescription {
            name: "critical-current",
            unit: "A",
            words: "critical current",
        },
        ColumnDescription {
            name: "circulating-current",
            unit: "A",
            words: "circulating current",
        },
        ColumnDescription {
            name: "total-flux",
            unit: "Phi0",
            words: "total flux in the loop",
        },
        ColumnDescription {
            name: "critical-current-simple",
            unit: "A",
            words: "critical current in the simple picture",
        },
        ColumnDescription {
            name: "circulating-current-simple",
            unit: "A",
            words: "circulating current in the simple picture",
        },
        ColumnDescription {
            name: "circulating-current-rising",
            unit: "A",
            words: "circulating current without bias, applied flux risen from far below",
        },
        ColumnDescription {
            name: "circulating-current-falling",
            unit: "A",
            words: "circulating current without bias, applied flux fallen from far above",
        },
    ],
    readings: &[
        ReadingDescription {
            name: "maximum",
            unit: "A",
            words: told("largest critical current"),
        },
        ReadingDescription {
            name: "maximum-flux",
            unit: "Phi0",
            words: told(
                "flux of the maximum: applied flux of the largest critical current nearest to zero",
            ),
        },
        ReadingDescription {
            name: "minimum",
            unit: "A",
            words: told("smallest critical current"),
        },
        ReadingDescription {
            name: "depth",
            unit: "",
            words: told(
                "depth of modulation: 1 less the smallest over the largest critical current",
            ),
        },
        ReadingDescription {
            name: "period",
            unit: "Phi0",
            words: told("period in applied flux: of the critical current"),
        },
        ReadingDescription {
            name: "beta-l",
            unit: "",
            words: told(
                "screening 2 L I0 / Phi0: the screening parameter, I0 the mean critical current of the junctions",
            ),
        },
        ReadingDescription {
            name: "flux-quantum-current",
            unit: "A",
            words: told("flux quantum / inductance: one flux quantum over the loop inductance"),
        },
        ReadingDescription {
            name: "circulating-current-before-jump",
            unit: "A",
            words: told(
                "circulating current before the jump: its size without bias just below half a flux quantum, in the state of lowest energy",
            ),
        },
        ReadingDescription {
            name: "circulating-current-before-jump-simple",
            unit: "A",
            words: told(
                "current before the jump (simple): size of the circulating current just before the jump, in the simple picture",
            ),
        },
        ReadingDescription {
            name: "critical-current-minimum-simple",
            unit: "A",
            words: told(
                "smallest current (simple): the smallest critical current in the simple picture",
            ),
        },
        ReadingDescription {
            name: "jump-flux",
            unit: "Phi0",
            words: told(
                "first jump at: the applied flux when it rises from zero without bias (left out when nothing jumps)",
            ),
        },
    ],
    physics: Physics {
        conflict: |_| None,
        work: Work::AtOnce { columns, readings },
        views: &[View::Loop],
        inside: Look::at_once(|setup, _, flux| Ok(inside(setup, flux))),
        axes: |_| {
            vec![AxisScale {
                name: "flux",
                label: "applied flux",
                unit: "Phi0",
                si_per_unit: 1.0,
            }]
        },
        window: |_| (0.0, 2.0),
        warnings: |_| Vec::new(),
        reach: |_| 1e6,
        folded: None,
    },
};

/// The loop in normalised quantities, and the mean critical current.
struct Device {
    model: Loop,
    mean: f64,
}

fn device(setup: &Setup) -> Option<Device> {
    let mean = 0.5 * (setup.number(LEFT) + setup.number(RIGHT));
    let beta_l = 2.0 * setup.number(INDUCTANCE) * mean / FLUX_QUANTUM;
    let model = Loop::new(
        setup.number(LEFT),
        setup.number(RIGHT),
        beta_l,
        setup.number(LEFT_FRACTION),
    )?;
    Some(Device { model, mean })
}

fn columns(setup: &Setup, x: &[f64]) -> Vec<Vec<f64>> {
    // The ranges of the parameters leave no loop that the model refuses.
    let Some(Device { model, mean }) = device(setup) else {
        return vec![vec![f64::NAN; x.len()]; DESCRIPTION.columns.len()];
    };
    let curve = model.critical_curve();
    let sweep = Sweep::new(&model);
    let mut columns = vec![Vec::with_capacity(x.len()); DESCRIPTION.columns.len()];
    for flux in x {
        let state = model.lowest_state(*flux);
        let row = [
            mean * curve.at(*flux).current,
            mean * state.circulating,
            state.flux,
            mean * simple_picture::critical_current(
                *flux,
                model.beta_l(),
                model.left(),
                model.right(),
            ),
            mean * simple_picture::circulating_current(*flux, model.beta_l()),
            mean * sweep.rising(*flux).circulating,
            mean * sweep.falling(*flux).circulating,
        ];
        for (column, value) in columns.iter_mut().zip(row) {
            column.push(value);
        }
    }
    columns
}

fn readings(setup: &Setup) -> Vec<Reading> {
    let Some(Device { model, mean }) = device(setup) else {
        return Vec::new();
    };
    let curve = model.critical_curve();
    let (_, minimum) = curve.minimum();
    let peak = curve.peak();
    let beta_l = model.beta_l();
    let quantum = FLUX_QUANTUM / setup.number(INDUCTANCE);
    let mut readings = vec![
        reading("maximum", "A", mean * curve.maximum()),
        reading("maximum-flux", "Phi0", peak - peak.round()),
        reading("minimum", "A", mean * minimum),
        reading("depth", "", 1.0 - minimum / curve.maximum()),
        reading("period", "Phi0", 1.0),
        reading("beta-l", "", beta_l),
        reading("flux-quantum-current", "A", quantum),
        reading(
            "circulating-current-before-jump",
            "A",
            mean * model.lowest_state(0.5).circulating.abs(),
        ),
        reading("circulating-current-before-jump-simple", "A", 0.5 * quantum),
        reading(
            "critical-current-minimum-simple",
            "A",
            mean * simple_picture::critical_current(0.5, beta_l, model.left(), model.right()),
        ),
    ];
    readings.extend(
        Sweep::new(&model)
            .end()
            .map(|end| reading("jump-flux", "Phi0", end.applied)),
    );
    readings
}

pub(super) fn inside(setup: &Setup, flux: f64) -> Inside {
    let (state, limit, beta_l, sum, left, right) = match device(setup) {
        Some(Device { model, .. }) => (
            Some(model.lowest_state(flux)),
            Some(model.critical_curve().at(flux)),
            model.beta_l(),
            model.left() + model.right(),
            model.left(),
            model.right(),
        ),
        None => (None, None, f64::NAN, 2.0, 1.0, 1.0),
    };
    let occupied = simple_picture::quanta(flux);
    let branches = (-2..=2)
        .map(|step| {
            let quanta = occupied + f64::from(step);
            EnergyBranch {
                quanta: quanta as i32,
                energy: simple_picture::energy(flux, quanta),
            }
        })
        .collect();
    Inside::Loop {
        flux,
        total_flux: state.map_or(f64::NAN, |state| state.flux),
        circulating: state.map_or(f64::NAN, |state| state.circulating),
        circulating_simple: simple_picture::circulating_current(flux, beta_l),
        critical: limit.map_or(f64::NAN, |limit| limit.current / sum),
        at_limit: limit.map_or((f64::NAN, f64::NAN), |limit| {
            (limit.left / left, limit.right / right)
        }),
        branches,
        occupied: occupied as i32,
    }
}
