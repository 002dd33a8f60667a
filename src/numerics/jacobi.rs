//! Jacobi's elliptic functions, for every parameter m above zero: below one, and above one, where the
//! pendulum that they describe turns over.

use super::elementary::{asin, cosh, sin_cos, tanh};

/// The three functions of one argument, and the integral of `dn²`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Jacobi {
    /// Sine of the amplitude.
    pub sn: f64,
    /// Cosine of the amplitude.
    pub cn: f64,
    /// `sqrt(1 - m sn²)`, negative past a quarter period when m is above one.
    pub dn: f64,
    /// Jacobi's epsilon: the integral of `dn²` from zero to the argument.
    pub epsilon: f64,
}

/// The elliptic functions of argument `u` and parameter `m = 1 - complement`. The complement is what is
/// given, because near `m = 1` it is what counts; it must be below one (m above zero).
///
/// By the arithmetic-geometric mean and Landen's descending transformation (M. Abramowitz and I. A. Stegun,
/// "Handbook of Mathematical Functions", 16.4 and 17.6; from memory); above `m = 1` by the reciprocal
/// modulus (16.11). Good to about 1e-14 for arguments of a few quarter periods.
#[must_use]
pub fn jacobi(u: f64, complement: f64) -> Jacobi {
    let parameter = 1.0 - complement;
    if complement >= 0.0 {
        return below_one(u, parameter, complement);
    }
    // sn(u | m) = sn(k u | 1/m) / k, and cn and dn change places; k² = m.
    let modulus = parameter.sqrt();
    let inner = below_one(modulus * u, 1.0 / parameter, -complement / parameter);
    Jacobi {
        sn: inner.sn / modulus,
        cn: inner.dn,
        dn: inner.cn,
        // The integral of cn² with the reciprocal modulus.
        epsilon: (inner.epsilon * parameter + complement * modulus * u) / modulus,
    }
}

/// The same for a parameter from nothing to one.
fn below_one(u: f64, parameter: f64, complement: f64) -> Jacobi {
    const MOST: usize = 16;
    if complement <= 1e-300 {
        let sech = 1.0 / cosh(u);
        let sn = tanh(u);
        return Jacobi {
            sn,
            cn: sech,
            dn: sech,
            epsilon: sn,
        };
    }
    let (mut a, mut b) = (1.0, complement.sqrt());
    let mut ratios = [0.0; MOST];
    let mut differences = [0.0; MOST];
    let mut doubling = 1.0;
    // Half the sum of 2^n c_n².
    let mut sum = 0.5 * parameter;
    let mut steps = 0;
    while steps < MOST {
        let c = 0.5 * (a - b);
        let mean = 0.5 * (a + b);
        b = (a * b).sqrt();
        a = mean;
        doubling *= 2.0;
        sum += 0.5 * doubling * c * c;
        ratios[steps] = c / a;
        differences[steps] = c;
        steps += 1;
        if c <= 1e-9 * a {
            break;
        }
    }
    let mut angle = doubling * a * u;
    let mut epsilon = u * (1.0 - sum);
    for (ratio, c) in ratios.iter().zip(&differences).take(steps).rev() {
        let sine = sin_cos(angle).0;
        epsilon += c * sine;
        angle = 0.5 * (angle + asin((ratio * sine).clamp(-1.0, 1.0)));
    }
    let (sn, cn) = sin_cos(angle);
    Jacobi {
        sn,
        cn,
        // A sum of squares keeps its digits where 1 - m sn² would lose them.
        dn: (cn * cn + complement * sn * sn).sqrt(),
        epsilon,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numerics::quadrature::integrate;

    #[test]
    fn squares_add_up_and_limits_are_met() {
        for complement in [0.99, 0.5, 1e-3, 1e-9, 0.0, -1e-9, -0.4, -30.0] {
            for u in [0.0, 0.3, 1.1, 2.7, -0.8] {
                let f = jacobi(u, complement);
                let m = 1.0 - complement;
                assert!((f.sn * f.sn + f.cn * f.cn - 1.0).abs() < 1e-14);
                assert!((f.dn * f.dn + m * f.sn * f.sn - 1.0).abs() < 3e-14);
                let dn2 = integrate(
                    |v| {
                        let f = jacobi(v, complement);
                        f.dn * f.dn
                    },
                    0.0,
                    u,
                    8,
                );
                assert!((f.epsilon - dn2).abs() < 1e-12, "{complement} {u}");
            }
        }
        // m = 0 is the circle, m = 1 the hyperbola.
        let circle = jacobi(0.7, 1.0 - 1e-15);
        assert!((circle.sn - sin_cos(0.7).0).abs() < 1e-14);
        let hyperbola = jacobi(0.7, 0.0);
        assert!((hyperbola.sn - tanh(0.7)).abs() < 1e-15);
    }

    #[test]
    fn the_parameter_passes_one_smoothly() {
        for u in [0.5, 3.0, 8.0] {
            let below = jacobi(u, 1e-13);
            let above = jacobi(u, -1e-13);
            assert!((below.sn - above.sn).abs() < 1e-9);
            assert!((below.cn - above.cn).abs() < 1e-9);
        }
    }
}
