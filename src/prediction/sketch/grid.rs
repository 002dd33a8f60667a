//! The paper: axes, samples and keyboard columns.

use super::FULL_SCALE;

/// Samples from one keyboard column to the next.
pub const SAMPLES_PER_COLUMN: u16 = 8;
/// Fewest and most keyboard columns.
pub const COLUMNS: std::ops::RangeInclusive<u16> = 2..=129;

/// The empty axes that a sketch is drawn on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SketchGrid {
    /// x at the left end, in the axis's own unit.
    pub from: f64,
    /// x at the right end.
    pub to: f64,
    /// y at the foot, in the axis's own unit.
    pub bottom: f64,
    /// y at the top.
    pub top: f64,
    /// Columns that the keyboard walks over.
    pub columns: u16,
}

impl SketchGrid {
    /// Axes from `from` to `to` and from `bottom` to `top`, with that many keyboard columns.
    /// Columns outside [`COLUMNS`] are brought to the nearest end.
    #[must_use]
    pub fn new(from: f64, to: f64, bottom: f64, top: f64, columns: u16) -> Self {
        Self {
            from,
            to,
            bottom,
            top,
            columns: columns.clamp(*COLUMNS.start(), *COLUMNS.end()),
        }
    }

    /// How many samples a sketch on these axes has.
    #[must_use]
    pub fn samples(&self) -> usize {
        let columns = self.columns.clamp(*COLUMNS.start(), *COLUMNS.end());
        usize::from(columns - 1) * usize::from(SAMPLES_PER_COLUMN) + 1
    }

    /// x of a sample, in the axis's unit.
    #[must_use]
    pub fn x(&self, sample: usize) -> f64 {
        let share = sample as f64 / (self.samples() - 1) as f64;
        self.from + share * (self.to - self.from)
    }

    /// x of a keyboard column, in the axis's unit.
    #[must_use]
    pub fn column_x(&self, column: u16) -> f64 {
        self.x(self.column_sample(column))
    }

    /// The sample that a keyboard column stands on (the last one, for a column beyond the end).
    #[must_use]
    pub fn column_sample(&self, column: u16) -> usize {
        (usize::from(column) * usize::from(SAMPLES_PER_COLUMN)).min(self.samples() - 1)
    }

    /// The keyboard column nearest to an x.
    #[must_use]
    pub fn nearest_column(&self, x: f64) -> u16 {
        let place = self.place(x) / f64::from(SAMPLES_PER_COLUMN);
        // A float-to-integer cast saturates and sends NaN to zero, so any x has a column.
        (place.round() as u16).min(self.columns.saturating_sub(1))
    }

    /// y of a value, in the axis's unit.
    #[must_use]
    pub fn y(&self, value: u16) -> f64 {
        self.bottom + f64::from(value) / f64::from(FULL_SCALE) * (self.top - self.bottom)
    }

    /// The value nearest to a y; what lies beyond the axis is brought to its end.
    #[must_use]
    pub fn value(&self, y: f64) -> u16 {
        let share = (y - self.bottom) / (self.top - self.bottom);
        (share * f64::from(FULL_SCALE))
            .round()
            .clamp(0.0, f64::from(FULL_SCALE)) as u16
    }

    /// Place of an x among the samples, as a fraction.
    pub(super) fn place(&self, x: f64) -> f64 {
        (x - self.from) / (self.to - self.from) * (self.samples() - 1) as f64
    }
}
