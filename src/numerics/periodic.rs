//! A smooth function of period 1 from values on an even grid that have errors: the Fourier series of few
//! harmonics that comes closest, with its slope.

use super::elementary::sin_cos;

use core::f64::consts::TAU;

/// The Fourier series.
#[derive(Debug, Clone, PartialEq)]
pub struct Periodic {
    cosines: Vec<f64>,
    sines: Vec<f64>,
}

impl Periodic {
    /// Near `values` at 0, 1/N, … (N − 1)/N, in the sense of least squares, with `harmonics` harmonics
    /// besides the mean (as many as the grid tells apart at most).
    #[must_use]
    pub fn near(values: &[f64], harmonics: usize) -> Self {
        let size = values.len();
        let turns: Vec<(f64, f64)> = (0..size)
            .map(|j| sin_cos(TAU * j as f64 / size as f64))
            .collect();
        let harmonics = harmonics.min(size / 2) + 1;
        let mut series = Self {
            cosines: Vec::with_capacity(harmonics),
            sines: Vec::with_capacity(harmonics),
        };
        for m in 0..harmonics {
            // The mean stands alone, and so does the last harmonic of an even grid.
            let single = m == 0 || 2 * m == size;
            let share = if single { 1.0 } else { 2.0 } / size as f64;
            let (mut cosine, mut sine) = (0.0, 0.0);
            for (j, value) in values.iter().enumerate() {
                let (s, c) = turns.get((j * m) % size).copied().unwrap_or((0.0, 1.0));
                cosine += value * c;
                sine += value * s;
            }
            series.cosines.push(share * cosine);
            series.sines.push(share * sine);
        }
        series
    }

    /// Value and slope.
    #[must_use]
    pub fn at(&self, x: f64) -> (f64, f64) {
        let (turn_sine, turn_cosine) = sin_cos(TAU * (x - x.floor()));
        let (mut sine, mut cosine) = (0.0, 1.0);
        let (mut value, mut slope) = (0.0, 0.0);
        for (m, (c, s)) in self.cosines.iter().zip(&self.sines).enumerate() {
            value += c * cosine + s * sine;
            slope += TAU * m as f64 * (s * cosine - c * sine);
            (sine, cosine) = (
                sine * turn_cosine + cosine * turn_sine,
                cosine * turn_cosine - sine * turn_sine,
            );
        }
        (value, slope)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numerics::elementary::{cos, sin};

    #[test]
    fn few_harmonics_are_met_exactly() {
        let f = |x: f64| 1.5 - 0.7 * cos(TAU * x) + 0.2 * sin(3.0 * TAU * x);
        let slope = |x: f64| TAU * (0.7 * sin(TAU * x) + 0.6 * cos(3.0 * TAU * x));
        let values: Vec<f64> = (0..9).map(|k| f(f64::from(k) / 9.0)).collect();
        let series = Periodic::near(&values, 4);
        for x in [-0.3, 0.0, 0.123, 0.9, 7.77] {
            let (value, rate) = series.at(x);
            assert!((value - f(x)).abs() < 1e-12 && (rate - slope(x)).abs() < 1e-11);
        }
    }

    #[test]
    fn errors_are_averaged_out() {
        // A wave with an alternating error, which few harmonics cannot follow.
        let values: Vec<f64> = (0..64)
            .map(|k| cos(TAU * f64::from(k) / 64.0) + if k % 2 == 0 { 0.1 } else { -0.1 })
            .collect();
        let series = Periodic::near(&values, 8);
        assert!((series.at(0.3).0 - cos(0.3 * TAU)).abs() < 1e-12);
    }
}
