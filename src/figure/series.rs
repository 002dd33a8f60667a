//! A curve on a chart, with its gaps, jumps and how far it has been traced.

use super::theme::Role;

/// A curve in data units.
///
/// A point whose y is not finite leaves a gap. Two neighbours with the same x are a **jump**: it
/// is drawn as a thin dotted upright, not as part of the curve.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    /// What it is called in the key: one or two letters stand at the curve's end instead; an
    /// empty name stands nowhere.
    pub name: String,
    /// What it is.
    pub role: Role,
    /// Its points, x rising (equal at a jump).
    pub points: Vec<(f64, f64)>,
    /// Traced only up to this x, with the pen there; none for the whole curve.
    pub drawn_to: Option<f64>,
}

impl Series {
    /// A whole curve.
    #[must_use]
    pub fn new(name: impl Into<String>, role: Role, points: Vec<(f64, f64)>) -> Self {
        Self {
            name: name.into(),
            role,
            points,
            drawn_to: None,
        }
    }

    /// A whole curve from its x and y values; surplus values of the longer one are left out.
    #[must_use]
    pub fn from_columns(name: impl Into<String>, role: Role, x: &[f64], y: &[f64]) -> Self {
        let points = x.iter().copied().zip(y.iter().copied()).collect();
        Self::new(name, role, points)
    }

    /// Marks the jumps of a sampled curve. A step between neighbours larger than `least` (in
    /// units of y) and more than four times both steps beside it becomes a jump half way
    /// between the two samples.
    #[must_use]
    pub fn with_jumps(mut self, least: f64) -> Self {
        let step = |index: usize| -> f64 {
            match (self.points.get(index), self.points.get(index + 1)) {
                (Some(a), Some(b)) if (b.1 - a.1).is_finite() => (b.1 - a.1).abs(),
                _ => 0.0,
            }
        };
        let mut points = Vec::with_capacity(self.points.len() + 8);
        for (index, &(x, y)) in self.points.iter().enumerate() {
            points.push((x, y));
            let here = step(index);
            let beside = step(index + 1).max(index.checked_sub(1).map_or(0.0, step));
            if here > least
                && here > 4.0 * beside
                && let Some(&(next_x, next_y)) = self.points.get(index + 1)
            {
                let middle = 0.5 * (x + next_x);
                points.push((middle, y));
                points.push((middle, next_y));
            }
        }
        self.points = points;
        self
    }

    /// The curve's value at x, on a straight line between the points beside it; none in a gap,
    /// beyond its ends or beyond the pen.
    #[must_use]
    pub fn at(&self, x: f64) -> Option<f64> {
        if self.drawn_to.is_some_and(|end| x > end) {
            return None;
        }
        self.points.windows(2).find_map(|pair| {
            let ((x0, y0), (x1, y1)) = (pair[0], pair[1]);
            if !(x0 <= x && x <= x1 && y0.is_finite() && y1.is_finite()) {
                return None;
            }
            if x1 > x0 {
                Some(y0 + (y1 - y0) * (x - x0) / (x1 - x0))
            } else {
                Some(y0)
            }
        })
    }

    /// The points that are traced: all, or those up to [`Series::drawn_to`] and the pen's own.
    #[must_use]
    pub fn traced(&self) -> Vec<(f64, f64)> {
        let Some(end) = self.drawn_to else {
            return self.points.clone();
        };
        let mut traced: Vec<(f64, f64)> = self
            .points
            .iter()
            .copied()
            .take_while(|(x, _)| *x <= end)
            .collect();
        if let Some(y) = self.at(end)
            && traced.last().is_some_and(|(x, _)| *x < end)
        {
            traced.push((end, y));
        }
        traced
    }
}
