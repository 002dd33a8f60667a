//! Integrals over an interval by the rule of Gauss and Legendre.

use super::elementary::cos;

/// Places and weights of an `n`-point Gauss–Legendre rule on -1 to 1.
///
/// Places are the roots of the Legendre polynomial of degree `n`, found by Newton's method from
/// the usual first guess `cos(pi (k - 1/4)/(n + 1/2))`; see NIST DLMF section 3.5(v) (from memory).
#[must_use]
pub fn gauss_legendre(n: u32) -> Vec<(f64, f64)> {
    let count = f64::from(n);
    (1..=n)
        .map(|k| {
            let mut x = cos(core::f64::consts::PI * (f64::from(k) - 0.25) / (count + 0.5));
            let mut slope = 1.0;
            for _ in 0..50 {
                let (value, derivative) = legendre(n, x);
                slope = derivative;
                let step = value / derivative;
                x -= step;
                if step.abs() < 1e-16 {
                    slope = legendre(n, x).1;
                    break;
                }
            }
            (x, 2.0 / ((1.0 - x * x) * slope * slope))
        })
        .collect()
}

/// Integral of `function` from `from` to `to`, cut into `panels` equal parts with 16 places each.
pub fn integrate<F: FnMut(f64) -> f64>(mut function: F, from: f64, to: f64, panels: u32) -> f64 {
    let rule = gauss_legendre(16);
    let half = 0.5 * (to - from) / f64::from(panels.max(1));
    let mut sum = 0.0;
    for panel in 0..panels.max(1) {
        let middle = from + half * (2.0 * f64::from(panel) + 1.0);
        for (place, weight) in &rule {
            sum += weight * function(middle + half * place);
        }
    }
    sum * half
}

/// Legendre polynomial of degree `n` and its derivative at `x`, by the three-term recurrence.
fn legendre(n: u32, x: f64) -> (f64, f64) {
    let (mut before, mut here) = (1.0, x);
    if n == 0 {
        return (1.0, 0.0);
    }
    for k in 2..=n {
        let k = f64::from(k);
        (before, here) = (here, ((2.0 * k - 1.0) * x * here - (k - 1.0) * before) / k);
    }
    let n = f64::from(n);
    (here, n * (x * here - before) / (x * x - 1.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numerics::elementary::{exp, sin};

    #[test]
    fn weights_add_up_to_the_length() {
        let sum: f64 = gauss_legendre(16).iter().map(|(_, weight)| weight).sum();
        assert!((sum - 2.0).abs() < 1e-14);
    }

    #[test]
    fn integrals_known_in_closed_form() {
        assert!((integrate(sin, 0.0, core::f64::consts::PI, 2) - 2.0).abs() < 1e-14);
        assert!((integrate(exp, 0.0, 1.0, 1) - (core::f64::consts::E - 1.0)).abs() < 1e-14);
        // Exact for polynomials up to degree 31.
        let high = integrate(
            |x| {
                let y = x * x * x * x * x;
                y * y * y * y * y * y * x
            },
            0.0,
            1.0,
            1,
        );
        assert!((high - 1.0 / 32.0).abs() < 1e-15);
    }
}
