//! Scales for charts: in which unit x or a column of a set-up is shown.

use crate::constants::FLUX_QUANTUM;
use crate::quantity::{Unit, parse_unit};
use crate::spelling;

use super::description::Work;
use super::{Setup, SetupError};

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

impl Setup {
    /// The scales that x can be shown on, the set-up's own first.
    #[must_use]
    pub fn axes(&self) -> Vec<AxisScale> {
        (self.description().physics.axes)(self)
    }

    /// The scale of that name for x.
    #[must_use]
    pub fn axis(&self, name: &str) -> Option<AxisScale> {
        self.axes().into_iter().find(|axis| axis.name == name)
    }

    /// The scale on which a column is shown: `relative` (a share of the largest critical current, or of
    /// the largest circulating current) or a unit such as `uA`.
    ///
    /// # Errors
    /// For an unknown column, and a unit of the wrong kind.
    pub fn column_scale(&self, column: &str, scale: &str) -> Result<ColumnScale, SetupError> {
        let described =
            self.description()
                .column(column)
                .ok_or_else(|| SetupError::UnknownColumn {
                    kind: self.description().kind,
                    column: column.to_string(),
                    mend: spelling::mend(column, self.description().columns.iter().map(|c| c.name)),
                })?;
        let bad = |mend: String| SetupError::BadScale {
            column: column.to_string(),
            scale: scale.to_string(),
            mend,
        };
        if scale == "relative" {
            // A circulating current is largest just before the jump; beside the critical current it
            // would be lost.
            let largest = match column {
                "circulating-current" => "circulating-current-before-jump",
                "circulating-current-simple" => "circulating-current-before-jump-simple",
                "circulating-current-rising" | "circulating-current-falling" => {
                    "circulating-current-largest"
                }
                _ => "maximum",
            };
            let Work::AtOnce { readings, .. } = self.description().physics.work else {
                return Err(bad(format!(
                    "its largest value is only known once the curve is computed: give a unit such as \"{}\"",
                    described.unit
                )));
            };
            let maximum = readings(self)
                .iter()
                .find(|reading| reading.name == largest && reading.unit == described.unit)
                .map(|reading| reading.value)
                .ok_or_else(|| bad(format!("give a unit such as \"{}\"", described.unit)))?;
            return Ok(ColumnScale {
                label: format!("{} / largest", described.words),
                unit: String::new(),
                si_per_unit: maximum,
            });
        }
        let unit = parse_unit(scale).map_err(|error| bad(error.to_string()))?;
        let factor = factor_in(&unit, described.unit)?
            .ok_or_else(|| bad(format!("give a unit such as \"{}\"", described.unit)))?;
        Ok(ColumnScale {
            label: described.words.to_string(),
            unit: unit.symbol,
            si_per_unit: factor,
        })
    }
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
