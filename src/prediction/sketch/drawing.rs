//! The ways of drawing: strokes, taps and keys, which all fill the one array.

use super::{FULL_SCALE, Origin, SAMPLES_PER_COLUMN, Sample, Side, Sketch};

/// A tap this near to a knot (in samples) moves the knot instead of setting another.
const SAME_KNOT: usize = 2;
/// Steps that can be undone.
const HISTORY: usize = 100;

impl Sketch {
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

    /// Sets every keyboard column anew, from the left, and takes everything else away. One step back undoes it.
    pub fn fill_columns(&mut self, values: &[u16]) {
        self.remember();
        self.samples.fill(None);
        for (column, value) in (0..self.grid.columns).zip(values) {
            let index = self.grid.column_sample(column);
            if let Some(slot) = self.samples.get_mut(index) {
                *slot = Some(Sample {
                    value: (*value).min(FULL_SCALE),
                    after: None,
                    origin: Origin::Knot,
                });
            }
        }
        self.join();
    }

    /// Empties the axes (can be undone).
    pub fn clear(&mut self) {
        if !self.is_empty() {
            self.remember();
            self.samples.fill(None);
        }
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
    pub(super) fn join(&mut self) {
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
