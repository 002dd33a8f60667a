//! What can be asked of this floor in text: a set-up as written, and a quantity sought from it.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

/// A set-up as written: its kind and its parameters as text with units. Turned into a checked
/// set-up by `Setup::from_spec`.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct SetupSpec {
    /// Which experiment, e.g. `single-junction`.
    pub kind: String,
    /// Parameter name to value as written, e.g. `width` to `10 um`. Absent ones take defaults.
    pub parameters: BTreeMap<String, String>,
}

/// A quantity that the model supplies when it is needed, never before.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Sought {
    /// A reading of the set-up's trace, e.g. `first-zero`.
    Reading {
        /// The reading's name.
        reading: String,
    },
    /// The value of one parameter at which a reading takes a wanted value.
    Solve {
        /// The parameter to find, e.g. `width`.
        parameter: String,
        /// The reading, e.g. `first-zero`.
        reading: String,
        /// The wanted value with its unit.
        equals: String,
    },
    /// How many times a reading goes into a given span.
    Count {
        /// The span with its unit, e.g. `100 uT`.
        span: String,
        /// The reading, e.g. `period`.
        reading: String,
    },
    /// The value of a column at one place.
    At {
        /// The column.
        column: String,
        /// The place with its unit.
        at: String,
    },
}
