//! Scales for charts: in which unit x or a column is shown.

use crate::constants::FLUX_QUANTUM;
use crate::quantity::{Unit, parse_unit};

use super::SetupError;

/// A scale for the horizontal axis.
#[derive(Debug, Clone, PartialEq)]
pub struct AxisScale {
    /// Its name: `field`, `microtesla`, `junction-flux`, `loop-flux` or `flux`.
    pub name: &'static str,
    /// Words under the axis, e.g. `flux through the junction`.
    pub label: &'static str,
    /// Its unit, e.g. `mT` or `Phi0`.
    pub unit: &'static str,
    /// How much of the set-up's x (in its SI unit) one unit of this axis is.
    pub si_per_unit: f64,
}

/// A scale for a column.
#[derive(Debug, Clone, PartialEq)]
pub struct ColumnScale {
    /// Words beside the axis, e.g. `critical current`.
    pub label: String,
    /// Its unit, e.g. `uA`; empty for a share of the largest value.
    pub unit: String,
    /// How much of the column (in its SI unit) one unit of this axis is.
    pub si_per_unit: f64,
}

/// The field axis in microtesla, whatever the device: for charts that show devices of several sizes.
pub(super) const MICROTESLA: AxisScale = AxisScale {
    name: "microtesla",
    label: "magnetic field",
    unit: "uT",
    si_per_unit: 1e-6,
};

/// The field axis in millitesla or microtesla, whichever suits a window that ends at `to`.
pub(super) fn field_axis(to: f64) -> AxisScale {
    let milli = to.abs() >= 0.3e-3;
    AxisScale {
        name: "field",
        label: "magnetic field",
        unit: if milli { "mT" } else { "uT" },
        si_per_unit: if milli { 1e-3 } else { 1e-6 },
    }
}

/// The unit that a set-up's own quantities are kept in: `A`, `m^2`, `Phi0`, or none.
///
/// Flux is kept in flux quanta, not in webers, so one `Phi0` here is one.
pub(super) fn factor_in(unit: &Unit, base: &str) -> Result<Option<f64>, SetupError> {
    if base.is_empty() {
        let none = crate::quantity::Dimension::NONE;
        return Ok((unit.dimension == none).then_some(unit.factor));
    }
    let own = parse_unit(base).map_err(|error| SetupError::Quantity {
        name: base.to_string(),
        error,
    })?;
    if own.dimension != unit.dimension {
        return Ok(None);
    }
    // Exactly one for the unit itself.
    if base == "Phi0" && (unit.factor - FLUX_QUANTUM).abs() <= 0.0 {
        return Ok(Some(1.0));
    }
    Ok(Some(unit.factor / own.factor))
}
