//! A curve drawn by hand: one array of whole numbers that every way of drawing fills, by stroke,
//! by single taps or by keyboard, so that the same shape gets the same verdict however it came.
//!
//! The array has a value for each of [`SketchGrid::samples`] places along x. Values run from 0
//! (foot of the vertical axis) to [`FULL_SCALE`] (its top). A value that the reader gave is a
//! *stroke* or a *knot*; between a knot and its nearest neighbour the program joins with a
//! straight line. Two strokes with a gap between them are not joined.

use serde::{Deserialize, Serialize};

use super::sketch_text::{self, SketchTextError, SketchWire};

/// The value of a sample at the top of the vertical axis.
pub const FULL_SCALE: u16 = 1000;
/// Samples from one keyboard column to the next.
pub const SAMPLES_PER_COLUMN: u16 = 8;
/// Fewest and most keyboard columns.
pub const COLUMNS: std::ops::RangeInclusive<u16> = 2..=129;
/// A tap this near to a knot (in samples) moves the knot instead of setting another.
const SAME_KNOT: usize = 2;
/// Steps that can be undone.
const HISTORY: usize = 100;

/// The empty axes that a sketch is drawn on.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
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
    fn place(&self, x: f64) -> f64 {
        (x - self.from) / (self.to - self.from) * (self.samples() - 1) as f64
    }
}

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
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(try_from = "SketchWire", into = "SketchWire")]
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
    pub(super) fn from_samples(grid: SketchGrid, samples: Vec<Option<Sample>>) -> Self {
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

    /// Draws through points in data units, in the order in which they came. What a stroke
    /// passes it overwrites, itself included when it turns back. Points that are not finite are
    /// left out; a stroke of a single point is a tap.
    pub fn stroke(&mut self, points: &[(f64, f64)]) {
        let mut places = points
            .iter()
            .filter(|(x, y)| x.is_finite() && y.is_finite())
            .map(|&(x, y)| (self.grid.place(x), y));
        let Some(first) = places.next() else { return };
        let places: Vec<(f64, f64)> = places.collect();
        let Some(&last) = places.last() else {
            if let Some(&(x, y)) = points.iter().find(|(x, y)| x.is_finite() && y.is_finite()) {
                self.tap(x, y);
            }
            return;
        };
        self.remember();
        let mut passed = vec![false; self.samples.len()];
        let end = (self.samples.len() - 1) as f64;
        let mut before = first;
        for &(place, y) in &places {
            let (left, right) = (before.0.min(place), before.0.max(place));
            if right >= 0.0 && left <= end {
                let mut index = left.max(0.0).ceil() as usize;
                while index as f64 <= right.min(end) {
                    let run = place - before.0;
                    let share = if run.abs() > 0.0 {
                        (index as f64 - before.0) / run
                    } else {
                        1.0
                    };
                    self.put(index, before.1 + share * (y - before.1), Origin::Stroke);
                    if let Some(mark) = passed.get_mut(index) {
                        *mark = true;
                    }
                    index += 1;
                }
            }
            before = (place, y);
        }
        // A stroke too short to pass a sample still leaves its ends.
        for (place, y) in [first, last] {
            let nearest = place.round();
            if (0.0..=end).contains(&nearest)
                && !passed.get(nearest as usize).copied().unwrap_or(true)
            {
                self.put(nearest as usize, y, Origin::Stroke);
            }
        }
        self.join();
    }

    /// Sets one point in data units; the program joins it with its neighbours. On a drawn curve
    /// it bends the curve within one column to either side. Outside the axes nothing happens.
    pub fn tap(&mut self, x: f64, y: f64) {
        let place = self.grid.place(x).round();
        if !y.is_finite() || !(0.0..=(self.samples.len() - 1) as f64).contains(&place) {
            return;
        }
        let index = place as usize;
        self.remember();
        self.make_room(index);
        let from = index.saturating_sub(SAME_KNOT);
        for (_, slot) in self
            .samples
            .iter_mut()
            .enumerate()
            .skip(from)
            .take(index + SAME_KNOT - from + 1)
        {
            if slot.is_some_and(|sample| sample.after.is_none()) {
                *slot = None;
            }
        }
        self.put(index, y, Origin::Knot);
        self.join();
    }

    /// Sets a keyboard column to a y in data units.
    pub fn set_column(&mut self, column: u16, y: f64, side: Side) {
        if y.is_finite() {
            let value = self.grid.value(y);
            self.set_column_value(column, value, side);
        }
    }

    /// Sets a keyboard column to a value from 0 to [`FULL_SCALE`]. Given [`Side::Both`], a jump
    /// there is closed; given one side of a column that is no jump, it becomes one.
    pub fn set_column_value(&mut self, column: u16, value: u16, side: Side) {
        if column >= self.grid.columns {
            return;
        }
        let index = self.grid.column_sample(column);
        let value = value.min(FULL_SCALE);
        let old = self.samples.get(index).copied().flatten();
        let (left, right) = match (side, old) {
            (Side::Both, _) | (_, None) => (value, None),
            (Side::Left, Some(old)) => (value, Some(old.right())),
            (Side::Right, Some(old)) => (old.value, Some(value)),
        };
        self.remember();
        self.make_room(index);
        if let Some(slot) = self.samples.get_mut(index) {
            *slot = Some(Sample {
                value: left,
                after: right,
                origin: Origin::Knot,
            });
        }
        self.join();
    }

    /// Raises a column by so many thousandths of the axis (lowers it, when negative). An empty
    /// column starts from the value that the nearest given one has, or from the middle.
    pub fn raise(&mut self, column: u16, thousandths: i32, side: Side) {
        let index = self.grid.column_sample(column);
        let start = match (self.column(column), side) {
            (Some(sample), Side::Right) => sample.right(),
            (Some(sample), _) => sample.value,
            (None, _) => self.nearest_value(index).unwrap_or(FULL_SCALE / 2),
        };
        // A jump moved as a whole keeps its height as far as the axis allows.
        let moved = |value: u16| {
            i32::from(value)
                .saturating_add(thousandths)
                .clamp(0, i32::from(FULL_SCALE)) as u16
        };
        match (self.column(column).and_then(|sample| sample.after), side) {
            (Some(after), Side::Both) => {
                self.set_column_value(column, moved(start), Side::Left);
                self.set_column_value(column, moved(after), Side::Right);
                // One key press is one step back.
                self.history.pop();
            }
            _ => self.set_column_value(column, moved(start), side),
        }
    }

    /// Lowers a column by so many thousandths of the axis.
    pub fn lower(&mut self, column: u16, thousandths: i32, side: Side) {
        self.raise(column, thousandths.saturating_neg(), side);
    }

    /// Takes away what was given at a column and halfway to its neighbours.
    pub fn remove(&mut self, column: u16) {
        if column >= self.grid.columns {
            return;
        }
        let index = self.grid.column_sample(column);
        self.remember();
        let half = usize::from(SAMPLES_PER_COLUMN / 2);
        let from = index.saturating_sub(half);
        for slot in self
            .samples
            .iter_mut()
            .skip(from)
            .take(index + half - from + 1)
        {
            *slot = None;
        }
        self.join();
    }

    /// Makes a column a jump with two values, or closes the jump that is there. An empty column
    /// starts from the nearest given value, or from the middle.
    pub fn jump(&mut self, column: u16) {
        if column >= self.grid.columns {
            return;
        }
        let index = self.grid.column_sample(column);
        let old = self.column(column);
        let value = old.map_or_else(
            || self.nearest_value(index).unwrap_or(FULL_SCALE / 2),
            |sample| sample.value,
        );
        let after = match old.and_then(|sample| sample.after) {
            Some(_) => None,
            None => Some(value),
        };
        self.remember();
        self.make_room(index);
        if let Some(slot) = self.samples.get_mut(index) {
            *slot = Some(Sample {
                value,
                after,
                origin: Origin::Knot,
            });
        }
        self.join();
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

    /// Empties the axes (can be undone).
    pub fn clear(&mut self) {
        if !self.is_empty() {
            self.remember();
            self.samples.fill(None);
        }
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
        sketch_text::encode(&self.samples)
    }

    /// Reads what [`Sketch::encode`] wrote, for the same axes.
    ///
    /// # Errors
    /// When the text is of another kind, another version or another length, or holds a value
    /// beyond the axis.
    pub fn decode(grid: SketchGrid, text: &str) -> Result<Self, SketchTextError> {
        Ok(Self::from_samples(grid, sketch_text::decode(grid, text)?))
    }

    fn put(&mut self, index: usize, y: f64, origin: Origin) {
        let value = self.grid.value(y);
        if let Some(slot) = self.samples.get_mut(index) {
            *slot = Some(Sample {
                value,
                after: None,
                origin,
            });
        }
    }

    /// Before a knot is set on a drawn curve: takes the stroke away within one column to either
    /// side, so that the curve bends instead of growing a spike.
    fn make_room(&mut self, index: usize) {
        let reach = usize::from(SAMPLES_PER_COLUMN) - 1;
        let from = index.saturating_sub(reach);
        for slot in self
            .samples
            .iter_mut()
            .skip(from)
            .take(index + reach - from + 1)
        {
            if slot.is_some_and(|sample| sample.origin == Origin::Stroke) {
                *slot = None;
            }
        }
    }

    fn nearest_value(&self, index: usize) -> Option<u16> {
        let left = self
            .samples
            .iter()
            .take(index)
            .enumerate()
            .rev()
            .find_map(|(at, slot)| slot.map(|sample| (index - at, sample.right())));
        let right = self
            .samples
            .iter()
            .enumerate()
            .skip(index)
            .find_map(|(at, slot)| slot.map(|sample| (at - index, sample.value)));
        match (left, right) {
            (Some((near, left)), Some((far, right))) => {
                Some(if near <= far { left } else { right })
            }
            (left, right) => left.or(right).map(|(_, value)| value),
        }
    }

    fn remember(&mut self) {
        if self.history.len() >= HISTORY {
            self.history.remove(0);
        }
        self.history.push(self.samples.clone());
    }

    /// Works out the joined samples again.
    fn join(&mut self) {
        for slot in &mut self.samples {
            if slot.is_some_and(|sample| sample.origin == Origin::Joined) {
                *slot = None;
            }
        }
        let given: Vec<(usize, Sample)> = self
            .samples
            .iter()
            .enumerate()
            .filter_map(|(index, slot)| slot.map(|sample| (index, sample)))
            .collect();
        for (left, right) in given.iter().zip(given.iter().skip(1)) {
            if left.1.origin != Origin::Knot && right.1.origin != Origin::Knot {
                continue;
            }
            let run = (right.0 - left.0) as f64;
            let (low, high) = (f64::from(left.1.right()), f64::from(right.1.value));
            for index in left.0 + 1..right.0 {
                let share = (index - left.0) as f64 / run;
                if let Some(slot) = self.samples.get_mut(index) {
                    *slot = Some(Sample {
                        value: (low + share * (high - low)).round() as u16,
                        after: None,
                        origin: Origin::Joined,
                    });
                }
            }
        }
    }
}
