//! A periodic function of period 1 through its values on an even grid: trigonometric
//! interpolation, with the slope.

use super::elementary::sin_cos;

use core::f64::consts::TAU;

/// The interpolating Fourier series.
#[derive(Debug, Clone, PartialEq)]
pub struct Periodic {
    cosines: Vec<f64>,
    sines: Vec<f64>,
}

impl Periodic {
    /// Through `values` at 0, 1/N, … (N − 1)/N.
    #[must_use]
    pub fn through(values: &[f64]) -> Self {
        let size = values.len();
        let turns: Vec<(f64, f64)> = (0..size)
            .map(|j| sin_cos(TAU * j as f64 / size as f64))
            .collect();
        let harmonics = size / 2 + 1;
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

    /// Through the values of an even function at 0, 1/N, … 1/2 (N even).
    #[must_use]
    pub fn through_half(values: &[f64]) -> Self {
        let mirrored = values.iter().rev().skip(1);
        let inner = mirrored.take(values.len().saturating_sub(2));
        let whole: Vec<f64> = values.iter().chain(inner).copied().collect();
        Self::through(&whole)
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
        let series = Periodic::through(&values);
        for x in [-0.3, 0.0, 0.123, 0.9, 7.77] {
            let (value, rate) = series.at(x);
            assert!((value - f(x)).abs() < 1e-12 && (rate - slope(x)).abs() < 1e-11);
        }
    }

    #[test]
    fn an_even_function_needs_half_a_period() {
        let f = |x: f64| 1.0 / (1.2 + cos(TAU * x));
        let half: Vec<f64> = (0..=32).map(|k| f(f64::from(k) / 64.0)).collect();
        let series = Periodic::through_half(&half);
        for x in [0.0, 0.26, 0.5, 0.74] {
            assert!((series.at(x).0 - f(x)).abs() < 1e-8, "{x}");
        }
    }
}
