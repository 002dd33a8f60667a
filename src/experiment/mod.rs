//! Floor 3: named set-ups with SI parameters in, traces and readings out.
//! Must not know drawing.
//!
//! A set-up is one file here (its description and the way from its SI parameters to the normalised
//! model) and one line in the list of all set-ups below.

mod answers;
mod biased;
mod current_voltage;
mod description;
mod error;
mod flux_locked_loop;
mod inside;
mod junction_array;
mod junction_pair;
mod long_junction;
mod method;
mod parameter;
mod profile;
mod profile_from_pattern;
mod recorded;
mod rf_loop;
mod rf_readout;
mod run;
mod scale;
mod screened_loop;
mod seek;
mod setup;
mod shunted;
mod single_junction;
mod spec;
mod sweep;
mod trace;
mod voltage_flux;
mod wire_loop;
mod working_point;

pub use answers::Answers;
pub use description::{
    ColumnDescription, Pace, ParameterDescription, ParameterKind, ReadingDescription,
    SetupDescription,
};
pub use error::{ExperimentError, SetupError};
pub use inside::{
    CurvePiece, EnergyBranch, FeedbackLoop, Inside, OperatingPoint, View, Wire, WorkingPoint,
};
pub use method::Method;
pub use parameter::ParameterValue;
pub use recorded::{deviation, record};
pub use run::{MOST_POINTS, check_x, inside, look_inside, readings, run};
pub use scale::{AxisScale, ColumnScale};
pub use seek::{read_place, seek, sought_unit};
pub use setup::Setup;
pub use spec::{SetupSpec, Sought};
pub use sweep::Sweep;
pub use trace::{Branch, Column, Folded, Reading, Trace};

static DESCRIPTIONS: &[SetupDescription] = &[
    single_junction::DESCRIPTION,
    profile_from_pattern::DESCRIPTION,
    junction_pair::DESCRIPTION,
    junction_array::DESCRIPTION,
    long_junction::DESCRIPTION,
    wire_loop::DESCRIPTION,
    screened_loop::DESCRIPTION,
    current_voltage::DESCRIPTION,
    voltage_flux::DESCRIPTION,
    working_point::DESCRIPTION,
    flux_locked_loop::DESCRIPTION,
    rf_loop::DESCRIPTION,
    rf_readout::DESCRIPTION,
];

/// Every kind of set-up.
#[must_use]
pub fn descriptions() -> &'static [SetupDescription] {
    DESCRIPTIONS
}

fn description_of(kind: &str) -> Option<&'static SetupDescription> {
    DESCRIPTIONS
        .iter()
        .find(|description| description.kind == kind)
}

fn kinds() -> impl Iterator<Item = &'static str> + Clone {
    DESCRIPTIONS.iter().map(|description| description.kind)
}
