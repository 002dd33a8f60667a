//! Brings any curve, drawn or computed, onto one even set of places, in shares of the axis, so
//! that both are read by the same rules.

use super::sketch::Sketch;

/// Places along x on which curves are compared.
pub const PLACES: usize = 401;

/// A curve on even places from `from` to `to`. Values are shares of the vertical axis' extent,
/// with zero kept at zero: 1 is as far from zero as the axis is high.
#[derive(Debug, Clone, PartialEq)]
pub struct EvenCurve {
    /// x of the first place.
    pub from: f64,
    /// x of the last place.
    pub to: f64,
    /// The values, [`PLACES`] of them.
    pub values: Vec<f64>,
}

impl EvenCurve {
    /// From points with x never falling (two at one x make a jump). Beyond the first and the last
    /// point the curve keeps its last value. `None` without points, or when something is not
    /// finite.
    #[must_use]
    pub fn from_points(from: f64, to: f64, extent: f64, points: &[(f64, f64)]) -> Option<Self> {
        let usable = (to - from).is_finite() && to > from && extent.is_finite() && extent > 0.0;
        if !usable || points.iter().any(|(x, y)| !x.is_finite() || !y.is_finite()) {
            return None;
        }
        let (first, last) = (points.first()?, points.last()?);
        let mut pairs = points.iter().zip(points.iter().skip(1)).peekable();
        let values = (0..PLACES)
            .map(|place| {
                let x = from + (to - from) * place as f64 / (PLACES - 1) as f64;
                while pairs.peek().is_some_and(|(_, right)| right.0 < x) {
                    pairs.next();
                }
                let y = match pairs.peek() {
                    _ if x <= first.0 => first.1,
                    Some((left, right)) if right.0 > left.0 => {
                        left.1 + (x - left.0) / (right.0 - left.0) * (right.1 - left.1)
                    }
                    Some((left, _)) => left.1,
                    None => last.1,
                };
                y / extent
            })
            .collect();
        Some(Self { from, to, values })
    }

    /// From a sketch, small gaps closed by straight lines.
    #[must_use]
    pub fn from_sketch(sketch: &Sketch) -> Option<Self> {
        let grid = sketch.grid();
        let points: Vec<(f64, f64)> = sketch.points().into_iter().flatten().collect();
        Self::from_points(grid.from, grid.to, (grid.top - grid.bottom).abs(), &points)
    }

    /// The places themselves.
    #[must_use]
    pub fn places(from: f64, to: f64) -> Vec<f64> {
        (0..PLACES)
            .map(|place| from + (to - from) * place as f64 / (PLACES - 1) as f64)
            .collect()
    }

    /// From values already on the even places, in shares of the axis.
    #[must_use]
    pub fn from_values(from: f64, to: f64, values: Vec<f64>) -> Option<Self> {
        let usable = (to - from).is_finite() && to > from && values.len() == PLACES;
        (usable && values.iter().all(|value| value.is_finite())).then_some(Self {
            from,
            to,
            values,
        })
    }

    /// x of a place.
    #[must_use]
    pub fn x(&self, place: usize) -> f64 {
        self.from + (self.to - self.from) * place as f64 / (PLACES - 1) as f64
    }

    /// Value at a place; the last value beyond it.
    #[inline]
    pub(super) fn at(&self, place: usize) -> f64 {
        self.values
            .get(place)
            .or_else(|| self.values.last())
            .copied()
            .unwrap_or(0.0)
    }

    /// Value at an x, between two places on a straight line; held beyond the ends.
    #[inline]
    pub(super) fn at_x(&self, x: f64) -> f64 {
        let place = ((x - self.from) / (self.to - self.from) * (PLACES - 1) as f64)
            .clamp(0.0, (PLACES - 1) as f64);
        // Not below zero, so that this is the whole part, without a call.
        let index = place as usize;
        let share = place - index as f64;
        self.at(index) * (1.0 - share) + self.at(index + 1) * share
    }

    /// Least and greatest value.
    #[must_use]
    pub fn range(&self) -> (f64, f64) {
        self.values
            .iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), &value| {
                (low.min(value), high.max(value))
            })
    }
}
