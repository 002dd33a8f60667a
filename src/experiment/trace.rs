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

/// The result of running a set-up.
#[derive(Debug, Clone, PartialEq)]
pub struct Trace {
    /// What was swept.
    pub x: Column,
    /// What came out, in the order of the set-up's description.
    pub columns: Vec<Column>,
    /// Which method made each point, where there is more than one; else empty.
    pub methods: Vec<Method>,
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
