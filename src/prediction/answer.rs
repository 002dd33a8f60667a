//! A committed answer of any kind, as it is kept in storage and in a receipt: a few short fields,
//! and nothing that was computed.

use serde::{Deserialize, Serialize};

use super::sketch::Sketch;

/// An answer.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Answer {
    /// A drawn curve.
    Sketch {
        /// The curve; in JSON its axes and a line of text.
        sketch: Sketch,
    },
    /// A chosen curve.
    PickCurve {
        /// The name of its picture; `model` for the computed curve.
        picture: String,
    },
    /// A chosen statement.
    PickStatement {
        /// Its identifier.
        option: String,
    },
    /// A marker on the horizontal axis.
    MarkAxis {
        /// Where, in the axis' unit.
        at: f64,
    },
    /// A part of the board picture.
    MarkBoard {
        /// Its identifier.
        option: String,
    },
    /// A number with its unit, as typed.
    Number {
        /// The text.
        text: String,
    },
}
