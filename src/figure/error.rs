//! What can be wrong with a figure that is asked for.

use crate::decimal::shortest;

/// Why a figure cannot be drawn.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum FigureError {
    /// An axis end is infinite or not a number.
    #[error(
        "the axis \"{label}\" runs from {} to {}; both ends must be finite numbers, so give it other ends",
        shortest(*.from),
        shortest(*.to)
    )]
    BoundNotFinite {
        /// The axis' words.
        label: String,
        /// Where it was to start.
        from: f64,
        /// Where it was to end.
        to: f64,
    },
    /// An axis does not run upwards.
    #[error(
        "the axis \"{label}\" runs from {} to {}; the first end must be the smaller by a visible span, so swap or part them",
        shortest(*.from),
        shortest(*.to)
    )]
    BoundsNotRising {
        /// The axis' words.
        label: String,
        /// Where it was to start.
        from: f64,
        /// Where it was to end.
        to: f64,
    },
    /// A size or scale that no drawing can have.
    #[error(
        "a drawing of {} by {} pixels at scale {} cannot be made; sizes and scale must be positive and the whole at most {limit} pixels",
        shortest(*.width),
        shortest(*.height),
        shortest(*.scale)
    )]
    Size {
        /// Width in logical pixels.
        width: f64,
        /// Height in logical pixels.
        height: f64,
        /// Output pixels for each logical one.
        scale: f64,
        /// The most pixels that are allowed.
        limit: u64,
    },
    /// The drawing backend refused a call.
    #[error("the drawing backend refused to draw {what}: {cause}")]
    Backend {
        /// What was being drawn.
        what: &'static str,
        /// What the backend said.
        cause: String,
    },
    /// The built-in font could not be read.
    #[error(
        "the built-in font could not be used; this copy of the program is damaged, so build it again"
    )]
    Font,
    /// The finished bitmap could not be packed.
    #[error("the picture could not be packed as PNG: {cause}")]
    Packing {
        /// What the packer said.
        cause: String,
    },
}
