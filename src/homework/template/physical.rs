//! Whether the devices of an assignment, and the answers that are devices, could stand on a bench:
//! ranges of the trade (common practice, no source), narrower than those that the model takes.

use crate::experiment::Setup;
use crate::figure::describe::figures;
use crate::lesson::spec::{Ask, Block, Sought};

use super::super::judge::Expected;

/// A range in which sane devices lie.
struct Range {
    /// The parameters that it is for: those whose names begin so.
    begins: &'static str,
    /// In words.
    words: &'static str,
    /// Least and greatest value, SI.
    from: f64,
    to: f64,
}

const RANGES: [Range; 5] = [
    Range {
        begins: "critical-current",
        words: "a critical current from 1 to 100 \u{B5}A",
        from: 1e-6,
        to: 100e-6,
    },
    Range {
        begins: "loop-inductance",
        words: "an inductance from 10 pH to 1 nH",
        from: 10e-12,
        to: 1e-9,
    },
    // Areas of squares with sides from 10 \u{B5}m to 1 mm.
    Range {
        begins: "loop-area",
        words: "a loop from 10 \u{B5}m to 1 mm across",
        from: 1e-10,
        to: 1e-6,
    },
    Range {
        begins: "effective-area",
        words: "a loop from 10 \u{B5}m to 1 mm across",
        from: 1e-10,
        to: 1e-6,
    },
    Range {
        begins: "shunt-resistance",
        words: "a shunt from 0.1 to 100 \u{3A9}",
        from: 0.1,
        to: 100.0,
    },
];

/// What is not as on a bench, in words.
pub(super) fn unphysical(block: &Block, expected: Option<&Expected>) -> Option<String> {
    let setup = Setup::from_spec(block.setup()?).ok()?;
    let warnings = (setup.description().physics.warnings)(&setup);
    if let Some(warning) = warnings.into_iter().next() {
        return Some(warning);
    }
    let parameters = setup.description().parameters;
    let odd = parameters
        .iter()
        .find_map(|parameter| outside(parameter.name, setup.get_si(parameter.name)?));
    odd.or_else(|| sought_outside(block, expected))
}

/// An answer that is a parameter of a device.
fn sought_outside(block: &Block, expected: Option<&Expected>) -> Option<String> {
    let (Block::Question(question), Some(Expected::Number(number))) = (block, expected) else {
        return None;
    };
    match &question.number.answer {
        Sought::Solve { parameter, .. } => outside(parameter, number.value()),
        _ => None,
    }
}

/// The unit of the axis on which a place is marked or a record drawn: if it were not the same for
/// everybody, one student's chart would be a thousand times another's.
pub(super) fn axis_unit(block: &Block) -> Option<&'static str> {
    let (setup, chart) = match block {
        Block::Record(recording) => (&recording.setup, &recording.chart),
        Block::Predict(prediction) => match &prediction.ask {
            Ask::Sketch { chart, .. }
            | Ask::PickCurve { chart, .. }
            | Ask::MarkAxis { chart, .. } => (&prediction.setup, chart),
            _ => return None,
        },
        _ => return None,
    };
    Some(Setup::from_spec(setup).ok()?.axis(&chart.x.scale)?.unit)
}

/// What is said of an axis that has another unit than the first variant's.
pub(super) fn other_unit(unit: Option<&str>, first: Option<&str>) -> Option<String> {
    (unit != first).then(|| {
        format!(
            "the x axis is in {}, and for other students in {}: choose an axis that has one unit",
            unit.unwrap_or("no unit"),
            first.unwrap_or("no unit")
        )
    })
}

fn outside(name: &str, value: f64) -> Option<String> {
    let range = RANGES.iter().find(|range| name.starts_with(range.begins))?;
    // The ends belong to it, however they were rounded.
    let slack = 1e-9;
    let inside = range.from * (1.0 - slack) <= value && value <= range.to * (1.0 + slack);
    (!inside).then(|| {
        format!(
            "`{name}` is {} in SI units, and {} is sane",
            figures(value),
            range.words
        )
    })
}
