//! What a run of a set-up gives back: columns against x, readings, warnings.

use super::Method;

/// One column of numbers with its name and unit.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// Name as in the command's output, e.g. `critical-current`.
    pub name: &'static str,
    /// SI unit as in the command's output, e.g. `A` (flux in `Phi0`).
    pub unit: &'static str,
    /// The values, one for each x.
    pub values: Vec<f64>,
}

/// One number read off a trace, e.g. the field of the first zero.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// Name, e.g. `first-zero`.
    pub name: &'static str,
    /// Unit of the value; empty for a pure number.
    pub unit: &'static str,
    /// The value.
    pub value: f64,
}

/// A curve that is no function of x: all branches of a folded one.
#[derive(Debug, Clone, PartialEq)]
pub struct Folded {
    /// Name as in the command's output, e.g. `total-flux-all-branches`.
    pub name: &'static str,
    /// SI unit of the values (flux in `Phi0`).
    pub unit: &'static str,
    /// Its branches, in order along the curve.
    pub branches: Vec<Branch>,
}

/// One branch of a folded curve.
#[derive(Debug, Clone, PartialEq)]
pub struct Branch {
    /// Whether the device can stay on it.
    pub stable: bool,
    /// x and value along it.
    pub points: Vec<(f64, f64)>,
}

/// The result of running a set-up.
#[derive(Debug, Clone, PartialEq)]
pub struct Trace {
    /// What was swept.
    pub x: Column,
    /// What came out, in the order of the set-up's description.
    pub columns: Vec<Column>,
    /// Which method made each point, where there is more than one; else empty.
    pub methods: Vec<Method>,
    /// Curves over the range of x that are no functions of x, where there are such.
    pub folded: Vec<Folded>,
    /// Numbers that follow from the set-up alone, whatever range of x was asked for.
    pub readings: Vec<Reading>,
    /// Sentences for the reader where the model leaves its range of validity.
    pub warnings: Vec<String>,
}

impl Trace {
    /// The column of that name.
    #[must_use]
    pub fn column(&self, name: &str) -> Option<&Column> {
        self.columns.iter().find(|column| column.name == name)
    }

    /// The reading of that name.
    #[must_use]
    pub fn reading(&self, name: &str) -> Option<&Reading> {
        self.readings.iter().find(|reading| reading.name == name)
    }
}
