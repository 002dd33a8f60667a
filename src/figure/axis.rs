//! One axis of a chart: its words, its unit, its ends.

use super::error::FigureError;
use crate::quantity::shown_unit;

/// An axis with checked ends.
#[derive(Debug, Clone, PartialEq)]
pub struct Axis {
    label: String,
    unit: String,
    from: f64,
    to: f64,
}

impl Axis {
    /// An axis from `from` to `to` in `unit` (as set-ups write it: `Phi0`, `uA`, `mT`; empty or
    /// `1` for a pure number).
    ///
    /// # Errors
    /// When an end is not finite, or `from` is not below `to` by a span that numbers of that size
    /// can resolve.
    pub fn new(
        label: impl Into<String>,
        unit: &str,
        from: f64,
        to: f64,
    ) -> Result<Self, FigureError> {
        let label = label.into();
        // The span must be finite too: from -1e308 to 1e308 it is not.
        if !(from.is_finite() && to.is_finite() && (to - from).is_finite()) {
            return Err(FigureError::BoundNotFinite { label, from, to });
        }
        let resolved = (from.abs().max(to.abs()) * 1e-9).max(1e-290);
        if to - from <= resolved {
            return Err(FigureError::BoundsNotRising { label, from, to });
        }
        Ok(Self {
            label: label.replace("Phi0", "\u{3a6}\u{2080}"),
            unit: shown_unit(unit),
            from,
            to,
        })
    }

    /// What runs along it, without the unit.
    #[must_use]
    pub fn label(&self) -> &str {
        &self.label
    }

    /// Its unit as shown, e.g. `µA` or `Φ₀`; empty for a pure number.
    #[must_use]
    pub fn unit(&self) -> &str {
        &self.unit
    }

    /// Its lower end.
    #[must_use]
    pub fn from(&self) -> f64 {
        self.from
    }

    /// Its upper end.
    #[must_use]
    pub fn to(&self) -> f64 {
        self.to
    }

    /// The words beside it: label, then the unit in brackets.
    #[must_use]
    pub fn words(&self) -> String {
        if self.unit.is_empty() {
            self.label.clone()
        } else {
            format!("{} ({})", self.label, self.unit)
        }
    }

    /// Whether it counts flux quanta, so that whole numbers and quarters are its natural marks.
    #[must_use]
    pub fn in_quanta(&self) -> bool {
        self.unit == "\u{3a6}\u{2080}"
    }
}
