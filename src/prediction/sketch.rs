//! A curve drawn by hand: one array of whole numbers that every way of drawing fills, by stroke,
//! by single taps or by keyboard, so that the same shape gets the same verdict however it came.
//!
//! The array has a value for each of [`SketchGrid::samples`] places along x. Values run from 0
//! (foot of the vertical axis) to [`FULL_SCALE`] (its top). A value that the reader gave is a
//! *stroke* or a *knot*; between a knot and its nearest neighbour the program joins with a
//! straight line. Two strokes with a gap between them are not joined.

mod drawing;
mod grid;
mod text;

pub use grid::{COLUMNS, SAMPLES_PER_COLUMN, SketchGrid};
pub use text::SketchTextError;

/// The value of a sample at the top of the vertical axis.
pub const FULL_SCALE: u16 = 1000;

/// How a sample came to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// Drawn with a pointer, finger or pen.
    Stroke,
    /// Set by a single tap or by keyboard.
    Knot,
    /// Put in by the program on the straight line between a knot and its neighbour.
    Joined,
}

/// One sample.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sample {
    /// The value, 0 to [`FULL_SCALE`]; at a jump, the value coming from the left.
    pub value: u16,
    /// At a jump, the value going on to the right.
    pub after: Option<u16>,
    /// How it came to be.
    pub origin: Origin,
}

impl Sample {
    /// The value on the right-hand side.
    #[must_use]
    pub fn right(&self) -> u16 {
        self.after.unwrap_or(self.value)
    }
}

/// Which of the two values at a jump is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// The only value, or both.
    Both,
    /// The value coming from the left.
    Left,
    /// The value going on to the right.
    Right,
}

/// A sketch in the making or finished.
#[derive(Debug, Clone)]
pub struct Sketch {
    grid: SketchGrid,
    samples: Vec<Option<Sample>>,
    history: Vec<Vec<Option<Sample>>>,
}

impl PartialEq for Sketch {
    /// Two sketches are equal when they show the same; how they came about does not count.
    fn eq(&self, other: &Self) -> bool {
        self.grid == other.grid && self.samples == other.samples
    }
}

impl Sketch {
    /// Empty axes.
    #[must_use]
    pub fn new(grid: SketchGrid) -> Self {
        Self {
            grid,
            samples: vec![None; grid.samples()],
            history: Vec::new(),
        }
    }

    /// A sketch from given samples; joined ones are worked out again.
    fn from_samples(grid: SketchGrid, samples: Vec<Option<Sample>>) -> Self {
        let mut sketch = Self {
            grid,
            samples,
            history: Vec::new(),
        };
        sketch.samples.resize(grid.samples(), None);
        sketch.join();
        sketch
    }

    /// The axes.
    #[must_use]
    pub fn grid(&self) -> &SketchGrid {
        &self.grid
    }

    /// The samples, from left to right.
    #[must_use]
    pub fn samples(&self) -> &[Option<Sample>] {
        &self.samples
    }

    /// The sample under a keyboard column.
    #[must_use]
    pub fn column(&self, column: u16) -> Option<Sample> {
        self.samples
            .get(self.grid.column_sample(column))
            .copied()
            .flatten()
    }

    /// Whether nothing has been drawn.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.samples.iter().all(Option::is_none)
    }

    /// Takes back the last change; `false` when there is none.
    pub fn undo(&mut self) -> bool {
        match self.history.pop() {
            Some(samples) => {
                self.samples = samples;
                true
            }
            None => false,
        }
    }

    /// Whether there is a change to take back.
    #[must_use]
    pub fn can_undo(&self) -> bool {
        !self.history.is_empty()
    }

    /// Share of the x axis that has a curve, 0 to 1.
    #[must_use]
    pub fn coverage(&self) -> f64 {
        let there = self.samples.iter().filter(|slot| slot.is_some()).count();
        there as f64 / self.samples.len() as f64
    }

    /// Stretches of the x axis without a curve, from left to right, in the axis's unit.
    #[must_use]
    pub fn gaps(&self) -> Vec<(f64, f64)> {
        let last = self.samples.len() - 1;
        let mut gaps = Vec::new();
        let mut start = None;
        for (index, slot) in self.samples.iter().enumerate() {
            match (slot, start) {
                (None, None) => start = Some(index.saturating_sub(1)),
                (Some(_), Some(from)) => {
                    gaps.push((self.grid.x(from), self.grid.x(index)));
                    start = None;
                }
                _ => {}
            }
        }
        if let Some(from) = start {
            gaps.push((self.grid.x(from), self.grid.x(last)));
        }
        gaps
    }

    /// Whether enough is drawn to be read: nine tenths of the axis, and no gap above a twentieth
    /// of it.
    #[must_use]
    pub fn is_complete(&self) -> bool {
        let longest = 0.05 * (self.grid.to - self.grid.from).abs();
        self.coverage() >= 0.9 && self.gaps().iter().all(|(from, to)| to - from <= longest)
    }

    /// The curve in data units for drawing: one list of points for each unbroken piece. A jump
    /// gives two points at one x.
    #[must_use]
    pub fn points(&self) -> Vec<Vec<(f64, f64)>> {
        let mut pieces = Vec::new();
        let mut piece = Vec::new();
        for (index, slot) in self.samples.iter().enumerate() {
            match slot {
                Some(sample) => {
                    let x = self.grid.x(index);
                    piece.push((x, self.grid.y(sample.value)));
                    if let Some(after) = sample.after {
                        piece.push((x, self.grid.y(after)));
                    }
                }
                None if !piece.is_empty() => pieces.push(std::mem::take(&mut piece)),
                None => {}
            }
        }
        if !piece.is_empty() {
            pieces.push(piece);
        }
        pieces
    }

    /// The knots in data units, for drawing handles: x, y, and at a jump the y on the right.
    #[must_use]
    pub fn knots(&self) -> Vec<(f64, f64, Option<f64>)> {
        self.samples
            .iter()
            .enumerate()
            .filter_map(|(index, slot)| {
                let sample = slot.filter(|sample| sample.origin == Origin::Knot)?;
                Some((
                    self.grid.x(index),
                    self.grid.y(sample.value),
                    sample.after.map(|after| self.grid.y(after)),
                ))
            })
            .collect()
    }

    /// The sketch as a short line of text for storage (see [`Sketch::decode`]).
    #[must_use]
    pub fn encode(&self) -> String {
        text::encode(&self.samples)
    }

    /// Reads what [`Sketch::encode`] wrote, for the same axes.
    ///
    /// # Errors
    /// When the text is of another kind, another version or another length, or holds a value
    /// beyond the axis.
    pub fn decode(grid: SketchGrid, text: &str) -> Result<Self, SketchTextError> {
        Ok(Self::from_samples(grid, text::decode(grid, text)?))
    }
}
