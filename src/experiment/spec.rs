//! What can be asked of this floor in text: a set-up as written, and a quantity sought from it.

use serde::Serialize;

use super::{Pace, description_of};
use crate::fields::Fields;
use crate::named::Named;

/// A set-up as written: its kind and its parameters as text with units. Turned into a checked
/// set-up by `Setup::from_spec`.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct SetupSpec {
    /// Which experiment, e.g. `single-junction`.
    pub kind: String,
    /// Parameter name to value as written, e.g. `width` to `10 um`. Absent ones take defaults.
    pub parameters: Named<String>,
}

impl SetupSpec {
    /// Whether curves or a view of such a set-up are computed in the background of a page. One of
    /// unknown kind is not computed at all.
    #[must_use]
    pub fn is_slow(&self) -> bool {
        description_of(&self.kind).is_some_and(|known| {
            let mut looks = known.views().iter().map(|view| known.look_pace(*view));
            known.pace() != Pace::AtOnce || looks.any(|pace| pace != Pace::AtOnce)
        })
    }

    /// Reads a set-up back from its JSON.
    #[must_use]
    pub fn read(fields: &Fields<'_>) -> Self {
        let values = fields.part("parameters");
        let mut parameters = Named::new();
        for name in values.names() {
            parameters.insert(name.to_owned(), values.text(name));
        }
        Self {
            kind: fields.text("kind"),
            parameters,
        }
    }
}

/// A quantity that the model supplies when it is needed, never before.
#[derive(Debug, Clone, PartialEq, Serialize)]
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
    /// The value of a parameter: what a device that was recorded is like.
    Parameter {
        /// The parameter, e.g. `loop-area`.
        parameter: String,
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

impl Sought {
    /// Reads a sought quantity back from its JSON.
    #[must_use]
    pub fn read(outer: &Fields<'_>) -> Option<Self> {
        let (kind, inside) = outer.variant();
        let fields = &inside;
        Some(match kind {
            "reading" => Self::Reading {
                reading: fields.text("reading"),
            },
            "solve" => Self::Solve {
                parameter: fields.text("parameter"),
                reading: fields.text("reading"),
                equals: fields.text("equals"),
            },
            "parameter" => Self::Parameter {
                parameter: fields.text("parameter"),
            },
            "count" => Self::Count {
                span: fields.text("span"),
                reading: fields.text("reading"),
            },
            "at" => Self::At {
                column: fields.text("column"),
                at: fields.text("at"),
            },
            _ => return outer.refuse("", "one of reading, solve, parameter, count, at"),
        })
    }
}
