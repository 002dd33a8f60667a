//! Periodic functions from values and slopes on an even grid: Fourier series whose harmonics reach
//! up to the number of grid points, twice as far as from values alone.
//!
//! A grid of M points cannot tell the harmonic m from m − M by values; values and slopes together
//! give both: with V and W the transforms of values and slopes, `c_m` + c_{m−M} = `V_m` and
//! 2πi (m `c_m` + (m − M) c_{m−M}) = `W_m`.

use crate::numerics::elementary::sin_cos;

use core::f64::consts::TAU;

/// Σ `c_m` e^{2πi m x}, real, with c_{−m} the conjugate of `c_m`.
#[derive(Debug, Clone, Default)]
pub(super) struct Series {
    re: Vec<f64>,
    im: Vec<f64>,
}

impl Series {
    /// From values and slopes at 0, 1/M, … (M − 1)/M.
    pub(super) fn new(values: &[f64], slopes: &[f64]) -> Self {
        let m = values.len().min(slopes.len());
        let size = m as f64;
        let table: Vec<(f64, f64)> = (0..m).map(|j| sin_cos(TAU * j as f64 / size)).collect();
        let transform = |of: &[f64], order: usize| {
            let (mut re, mut im) = (0.0, 0.0);
            for (j, value) in of.iter().take(m).enumerate() {
                let (s, c) = table[(j * order) % m];
                re += value * c;
                im -= value * s;
            }
            (re / size, im / size)
        };
        let mut series = Self::default();
        for order in 0..m {
            let (vr, vi) = transform(values, order);
            let (wr, wi) = transform(slopes, order);
            if order == 0 {
                series.re.push(vr);
                series.im.push(0.0);
            } else {
                let back = size - order as f64;
                series.re.push((wi / TAU + back * vr) / size);
                series.im.push((back * vi - wr / TAU) / size);
            }
        }
        series
    }

    /// Value and slope.
    pub(super) fn at(&self, x: f64) -> (f64, f64) {
        let (s, c) = sin_cos(TAU * (x - x.floor()));
        let (mut value, mut slope) = (0.0, 0.0);
        // The turn of each harmonic from the one before: exact enough for a few hundred.
        let (mut tr, mut ti) = (1.0, 0.0);
        for (order, (re, im)) in self.re.iter().zip(&self.im).enumerate() {
            let factor = if order == 0 { 1.0 } else { 2.0 };
            value += factor * (re * tr - im * ti);
            slope -= factor * TAU * order as f64 * (re * ti + im * tr);
            (tr, ti) = (tr * c - ti * s, tr * s + ti * c);
        }
        (value, slope)
    }

    /// Mean value.
    pub(super) fn mean(&self) -> f64 {
        self.re.first().copied().unwrap_or(0.0)
    }

    /// Estimate of what the harmonics beyond the last would add to the value and to the slope: the last
    /// quarter of them, times its share of the quarter before (a series of a smooth function
    /// falls at least geometrically; the share counts as a twentieth at least).
    pub(super) fn tail(&self) -> (f64, f64) {
        let size = |from: usize, to: usize| {
            let (mut value, mut slope) = (0.0, 0.0);
            for order in from..to {
                let (re, im) = (self.re[order], self.im[order]);
                let square = 4.0 * (re * re + im * im);
                let turn = TAU * order as f64;
                value += square;
                slope += turn * turn * square;
            }
            (value.sqrt(), slope.sqrt())
        };
        let all = self.re.len();
        let (half, last) = (all / 2, 3 * all / 4);
        let (before, _) = size(half.max(1), last);
        let (value, slope) = size(last.max(1), all);
        let share = if before > 0.0 {
            (value / before).clamp(0.05, 1.0)
        } else {
            1.0
        };
        (share * value, share * slope)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn harmonics_below_the_number_of_points_come_back() {
        let of = |x: f64| {
            let (s1, c1) = sin_cos(TAU * x);
            let (s7, c7) = sin_cos(7.0 * TAU * x);
            (
                0.3 + c1 - 0.5 * s7 + 0.2 * c7,
                TAU * (-s1 - 3.5 * c7 - 1.4 * s7),
            )
        };
        let grid: Vec<(f64, f64)> = (0..8).map(|j| of(f64::from(j) / 8.0)).collect();
        let values: Vec<f64> = grid.iter().map(|p| p.0).collect();
        let slopes: Vec<f64> = grid.iter().map(|p| p.1).collect();
        let series = Series::new(&values, &slopes);
        for x in [0.0, 0.13, 0.5, 0.77, -0.4, 3.2] {
            let (value, slope) = series.at(x);
            assert!((value - of(x).0).abs() < 1e-13);
            assert!((slope - of(x).1).abs() < 1e-11);
        }
        assert!(series.tail().0 > 0.3);
    }
}
