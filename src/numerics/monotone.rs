//! A curve through points that never overshoots them: cubic pieces whose slopes are kept small enough
//! (F. N. Fritsch and R. E. Carlson, SIAM J. Numer. Anal. 17, 238 (1980); slopes as weighted harmonic means,
//! F. N. Fritsch and J. Butland, SIAM J. Sci. Stat. Comput. 5, 300 (1984); both from memory).

/// The curve.
#[derive(Debug, Clone, PartialEq)]
pub struct Monotone {
    /// Place, value, slope.
    points: Vec<(f64, f64, f64)>,
}

impl Monotone {
    /// Through points with rising places.
    #[must_use]
    pub fn through(points: &[(f64, f64)]) -> Self {
        let gaps: Vec<(f64, f64)> = points
            .windows(2)
            .filter_map(|pair| match pair {
                [(x, y), (next_x, next_y)] => Some((next_x - x, (next_y - y) / (next_x - x))),
                _ => None,
            })
            .collect();
        let slope = |k: usize| {
            let before = k.checked_sub(1).and_then(|k| gaps.get(k));
            match (before, gaps.get(k)) {
                (Some((left, rise)), Some((right, next))) if rise * next > 0.0 => {
                    let (first, second) = (2.0 * right + left, right + 2.0 * left);
                    (first + second) / (first / rise + second / next)
                }
                (Some(_), Some(_)) | (None, None) => 0.0,
                (Some((_, rise)), None) | (None, Some((_, rise))) => *rise,
            }
        };
        Self {
            points: points
                .iter()
                .enumerate()
                .map(|(k, (x, y))| (*x, *y, slope(k)))
                .collect(),
        }
    }

    /// Through the values of a function of period 1 at 0, 1/N, … (N − 1)/N; for places from 0 to 1.
    #[must_use]
    pub fn through_period(values: &[f64]) -> Self {
        let count = values.len();
        // Two more on each side, so that slopes agree where the period closes.
        let points: Vec<(f64, f64)> = (0..count + 5)
            .filter_map(|k| {
                let value = values.get((k + 2 * count.saturating_sub(1)) % count.max(1))?;
                Some(((k as f64 - 2.0) / count as f64, *value))
            })
            .collect();
        Self::through(&points)
    }

    /// Value and slope; beyond the ends those of the ends.
    #[must_use]
    pub fn at(&self, x: f64) -> (f64, f64) {
        let right = self.points.partition_point(|point| point.0 < x);
        let Some(after) = self.points.get(right).or(self.points.last()) else {
            return (0.0, 0.0);
        };
        let Some(before) = right.checked_sub(1).and_then(|left| self.points.get(left)) else {
            return (after.1, after.2);
        };
        let width = after.0 - before.0;
        if width <= 0.0 {
            return (after.1, after.2);
        }
        let t = (x - before.0) / width;
        let u = 1.0 - t;
        let value = u * u * (1.0 + 2.0 * t) * before.1
            + t * t * (1.0 + 2.0 * u) * after.1
            + width * t * u * (u * before.2 - t * after.2);
        let slope = 6.0 * t * u * (after.1 - before.1) / width
            + u * (u - 2.0 * t) * before.2
            + t * (t - 2.0 * u) * after.2;
        (value, slope)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numerics::elementary::{cos, sin};
    use core::f64::consts::TAU;

    #[test]
    fn a_step_is_not_overshot() {
        let points = [(0.0, 0.0), (1.0, 0.0), (2.0, 1.0), (3.0, 1.0), (4.0, 1.2)];
        let curve = Monotone::through(&points);
        for k in 0..=400 {
            let (value, slope) = curve.at(f64::from(k) * 0.01);
            assert!((-1e-15..=1.2 + 1e-15).contains(&value) && slope >= -1e-12);
        }
        for (x, y) in points {
            assert!((curve.at(x).0 - y).abs() < 1e-15);
        }
    }

    #[test]
    fn a_wave_is_followed() {
        let values: Vec<f64> = (0..64).map(|k| cos(TAU * f64::from(k) / 64.0)).collect();
        let curve = Monotone::through_period(&values);
        for k in 0..=200 {
            let x = f64::from(k) / 200.0;
            let (value, slope) = curve.at(x);
            assert!((value - cos(TAU * x)).abs() < 2e-3, "{x}");
            assert!((slope + TAU * sin(TAU * x)).abs() < 0.5, "{x} {slope}");
        }
        assert!((curve.at(0.0).0 - curve.at(1.0).0).abs() < 1e-12);
    }

    #[test]
    fn few_points_are_borne() {
        assert_eq!(Monotone::through(&[]).at(0.3), (0.0, 0.0));
        assert_eq!(Monotone::through(&[(0.0, 2.0)]).at(0.3), (2.0, 0.0));
    }
}
