//! The difference coordinate in Hermite functions of free centre and width: matrices of the
//! trigonometric functions, of the derivative, and of what follows from them.
//!
//! With x = (d − centre)/width and orthonormal functions `h_n`(x)/√width, the derivative and d itself
//! are tridiagonal. The matrix of exp(i w x) is that of a displacement (known from the quantum
//! oscillator); with x = w²/2 its element (n + a, n) is i^a `φ_n`, where
//!
//! ```text
//! √((n+1)(n+a+1)) φ_{n+1} = (2n + a + 1 − x) φ_n − √(n(n+a)) φ_{n−1},  φ_0 = e^{−x/2} x^{a/2}/√(a!)
//! ```
//!
//! the recurrence of the Laguerre functions (Abramowitz and Stegun, chapter 22, from memory), which
//! is stable upwards.

use crate::numerics::elementary::{exp, sin_cos};

/// Size and place of a basis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Place {
    /// Centre of the functions.
    pub(super) centre: f64,
    /// Width of the ground function.
    pub(super) width: f64,
    /// Number of functions for the lowest harmonic.
    pub(super) functions: usize,
    /// Highest harmonic of the sum coordinate.
    pub(super) harmonics: usize,
}

impl Place {
    /// Functions kept at a harmonic: an ellipse, in whole fours (the kernels take four rows at once).
    pub(super) fn size(&self, harmonic: usize) -> usize {
        let part = harmonic as f64 / (self.harmonics + 1) as f64;
        let size = (self.functions as f64 * (1.0 - part * part).sqrt()).ceil() as usize;
        (size.div_ceil(4) * 4).clamp(4, self.functions)
    }

    /// Multiplications that one elimination takes, about.
    pub(super) fn cost(&self) -> f64 {
        let n = self.functions as f64;
        4.4 * n * n * n * self.harmonics as f64
    }
}

/// Matrices of one width, for the centre zero.
#[derive(Debug, Clone, Default)]
pub(super) struct Displacement {
    size: usize,
    width: f64,
    cosine: Vec<f64>,
    sine: Vec<f64>,
    cosine_slope: Vec<f64>,
    sine_slope: Vec<f64>,
    band: usize,
}

impl Displacement {
    pub(super) fn fits(&self, place: &Place) -> bool {
        self.size == place.functions && self.width.to_bits() == place.width.to_bits()
    }

    pub(super) fn new(place: &Place) -> Self {
        let n = place.functions;
        let m = n + 1;
        let x = 0.5 * place.width * place.width;
        let mut f = vec![0.0; m * m];
        // One diagonal after the other; the first element of each follows from the one before.
        let mut first = exp(-0.5 * x);
        for away in 0..m {
            if away > 0 {
                first *= (x / away as f64).sqrt();
            }
            let (mut before, mut here) = (0.0, first);
            for n in 0..m - away {
                let value = if n % 2 == 0 { here } else { -here };
                f[(n + away) * m + n] = value;
                f[n * m + n + away] = value;
                let (order, shifted) = (n as f64, (n + away) as f64);
                let next = ((order + shifted + 1.0 - x) * here - (order * shifted).sqrt() * before)
                    / ((order + 1.0) * (shifted + 1.0)).sqrt();
                before = here;
                here = next;
            }
        }
        let mut cosine = vec![0.0; m * m];
        let mut sine = vec![0.0; m * m];
        let mut band = 0;
        for row in 0..m {
            for column in 0..m {
                let at = row * m + column;
                match (row + column) % 4 {
                    0 => cosine[at] = f[at],
                    1 => sine[at] = f[at],
                    2 => cosine[at] = -f[at],
                    _ => sine[at] = -f[at],
                }
                if f[at].abs() > 1e-15 {
                    band = band.max(row.abs_diff(column));
                }
            }
        }
        let slope = |of: &[f64]| {
            let mut out = vec![0.0; n * n];
            for row in 0..n {
                let up = ((row + 1) as f64 * 0.5).sqrt() / place.width;
                let down = (row as f64 * 0.5).sqrt() / place.width;
                for column in 0..n {
                    let mut value = up * of[(row + 1) * m + column];
                    if row > 0 {
                        value -= down * of[(row - 1) * m + column];
                    }
                    out[row * n + column] = value;
                }
            }
            out
        };
        let cut = |of: &[f64]| -> Vec<f64> {
            (0..n)
                .flat_map(|row| of[row * m..row * m + n].iter().copied())
                .collect()
        };
        Self {
            size: n,
            width: place.width,
            cosine_slope: slope(&cosine),
            sine_slope: slope(&sine),
            cosine: cut(&cosine),
            sine: cut(&sine),
            band: band + 1,
        }
    }
}

/// The matrices of one basis, `size` by `size`, row by row.
#[derive(Debug, Clone, Default)]
pub(super) struct Matrices {
    pub(super) size: usize,
    /// Elements further than this from the diagonal are nothing.
    pub(super) band: usize,
    /// Of cos d.
    pub(super) cosine: Vec<f64>,
    /// Of sin d.
    pub(super) sine: Vec<f64>,
    /// Of ∂ sin d: first the product, then the derivative.
    pub(super) sine_slope: Vec<f64>,
    /// Of ∂ cos d.
    pub(super) cosine_slope: Vec<f64>,
    /// Integrals of the functions.
    pub(super) integrals: Vec<f64>,
}

impl Matrices {
    pub(super) fn new(place: &Place, at_zero: &Displacement) -> Self {
        let (s, c) = sin_cos(place.centre);
        let turn = |a: &[f64], x: f64, b: &[f64], y: f64| -> Vec<f64> {
            a.iter().zip(b).map(|(a, b)| x * a + y * b).collect()
        };
        let mut integrals = vec![0.0; place.functions];
        if let Some(first) = integrals.first_mut() {
            // ∫ h_0 = π^(1/4) √2 √width.
            *first = 1.331_335_363_800_389_7 * core::f64::consts::SQRT_2 * place.width.sqrt();
        }
        for n in (2..place.functions).step_by(2) {
            integrals[n] = integrals[n - 2] * ((n - 1) as f64 / n as f64).sqrt();
        }
        Self {
            size: place.functions,
            band: at_zero.band,
            cosine: turn(&at_zero.cosine, c, &at_zero.sine, -s),
            sine: turn(&at_zero.cosine, s, &at_zero.sine, c),
            cosine_slope: turn(&at_zero.cosine_slope, c, &at_zero.sine_slope, -s),
            sine_slope: turn(&at_zero.cosine_slope, s, &at_zero.sine_slope, c),
            integrals,
        }
    }

    /// Columns of a row that are not nothing, below `limit`.
    pub(super) fn reach(&self, row: usize, limit: usize) -> (usize, usize) {
        let to = (row + self.band + 1).min(limit);
        (row.saturating_sub(self.band).min(to), to)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Elements by the trapezoidal rule, which is exact to rounding for such functions.
    fn element(m: usize, n: usize, place: &Place, of: impl Fn(f64) -> f64) -> f64 {
        let step = 0.02;
        let mut sum = 0.0;
        for k in -900..=900 {
            let x = f64::from(k) * step;
            let mut h = vec![0.0; m.max(n) + 2];
            h[0] = exp(-0.5 * x * x) / 1.331_335_363_800_389_7;
            h[1] = core::f64::consts::SQRT_2 * x * h[0];
            for j in 2..h.len() {
                let j_real = j as f64;
                h[j] = (2.0 / j_real).sqrt() * x * h[j - 1]
                    - ((j_real - 1.0) / j_real).sqrt() * h[j - 2];
            }
            sum += h[m] * h[n] * of(place.centre + place.width * x) * step;
        }
        sum
    }

    #[test]
    fn elements_are_the_integrals() {
        for (width, centre) in [(0.2, 0.7), (1.1, -0.4), (2.5, 3.0)] {
            let place = Place {
                centre,
                width,
                functions: 60,
                harmonics: 1,
            };
            let matrices = Matrices::new(&place, &Displacement::new(&place));
            for (m, n) in [(0, 0), (1, 4), (7, 3), (20, 22), (59, 58), (40, 51)] {
                let cosine = element(m, n, &place, |d| sin_cos(d).1);
                let sine = element(m, n, &place, |d| sin_cos(d).0);
                assert!((matrices.cosine[m * 60 + n] - cosine).abs() < 1e-12);
                assert!((matrices.sine[m * 60 + n] - sine).abs() < 1e-12);
            }
            assert!((matrices.integrals[0] - width.sqrt() * 1.882_792_527_834_97).abs() < 1e-9);
        }
    }
}
