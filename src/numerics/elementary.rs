//! The only door to transcendental functions.
//!
//! Every function here is the pure-Rust one of `libm`, which gives the same bits natively and in
//! the browser; the standard library's do not (they are the platform's own). Clippy refuses the
//! standard ones everywhere (`clippy.toml`). Square root, absolute value and rounding are exact
//! in both and need no door.

/// Sine of an angle in radians.
#[must_use]
pub fn sin(x: f64) -> f64 {
    libm::sin(x)
}

/// Cosine of an angle in radians.
#[must_use]
pub fn cos(x: f64) -> f64 {
    libm::cos(x)
}

/// Sine and cosine of an angle in radians.
#[must_use]
pub fn sin_cos(x: f64) -> (f64, f64) {
    libm::sincos(x)
}

/// Tangent of an angle in radians.
#[must_use]
pub fn tan(x: f64) -> f64 {
    libm::tan(x)
}

/// Arc sine in radians; not a number outside -1 to 1.
#[must_use]
pub fn asin(x: f64) -> f64 {
    libm::asin(x)
}

/// Arc cosine in radians; not a number outside -1 to 1.
#[must_use]
pub fn acos(x: f64) -> f64 {
    libm::acos(x)
}

/// Angle in radians of the point with ordinate `y` and abscissa `x`.
#[must_use]
pub fn atan2(y: f64, x: f64) -> f64 {
    libm::atan2(y, x)
}

/// Exponential function.
#[must_use]
pub fn exp(x: f64) -> f64 {
    libm::exp(x)
}

/// Natural logarithm.
#[must_use]
pub fn log(x: f64) -> f64 {
    libm::log(x)
}

/// Decimal logarithm.
#[must_use]
pub fn log10(x: f64) -> f64 {
    libm::log10(x)
}

/// `base` to the power `exponent`.
#[must_use]
pub fn pow(base: f64, exponent: f64) -> f64 {
    libm::pow(base, exponent)
}

/// Hyperbolic tangent.
#[must_use]
pub fn tanh(x: f64) -> f64 {
    libm::tanh(x)
}

/// Hyperbolic cosine.
#[must_use]
pub fn cosh(x: f64) -> f64 {
    libm::cosh(x)
}

/// Hyperbolic sine.
#[must_use]
pub fn sinh(x: f64) -> f64 {
    libm::sinh(x)
}

/// Inverse of the hyperbolic sine.
#[must_use]
pub fn asinh(x: f64) -> f64 {
    libm::asinh(x)
}

/// Length of the vector with components `x` and `y`, without overflow.
#[must_use]
pub fn hypot(x: f64, y: f64) -> f64 {
    libm::hypot(x, y)
}

/// Cube root.
#[must_use]
pub fn cbrt(x: f64) -> f64 {
    libm::cbrt(x)
}

/// Bessel function of the first kind, order 0.
#[must_use]
pub fn bessel_j0(x: f64) -> f64 {
    libm::j0(x)
}

/// Bessel function of the first kind, order 1.
#[must_use]
pub fn bessel_j1(x: f64) -> f64 {
    libm::j1(x)
}

/// `sin(pi x) / (pi x)`, and 1 at zero. Exactly zero at the other whole numbers.
#[must_use]
pub fn sinc(x: f64) -> f64 {
    let angle = core::f64::consts::PI * x;
    if angle.abs() < 1e-8 {
        1.0
    } else {
        sin_pi(x) / angle
    }
}

/// `sin(pi x)`, exact at whole and half numbers because the turns are taken off first.
#[must_use]
pub fn sin_pi(x: f64) -> f64 {
    let turns = x.round();
    let rest = sin(core::f64::consts::PI * (x - turns));
    if is_odd(turns) { -rest } else { rest }
}

/// `cos(pi x)`, zero at odd halves because the turns are taken off first.
#[must_use]
pub fn cos_pi(x: f64) -> f64 {
    // cos(pi x) = sin(pi (1/2 - |x|)); the difference is exact near odd halves.
    sin_pi(0.5 - x.abs())
}

fn is_odd(whole: f64) -> bool {
    let half = whole * 0.5;
    half.floor() < half
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn turns_of_a_half_and_a_whole_are_exact() {
        for n in -9..=9 {
            let whole = f64::from(n);
            assert!(sin_pi(whole).abs() < f64::MIN_POSITIVE);
            assert!(cos_pi(whole + 0.5).abs() < f64::MIN_POSITIVE);
            let sign = if n % 2 == 0 { 1.0 } else { -1.0 };
            assert!((cos_pi(whole) - sign).abs() < 1e-15);
            assert!((sin_pi(whole + 0.5) - sign).abs() < 1e-15);
        }
    }

    #[test]
    fn turns_agree_with_radians() {
        for k in -400..400 {
            let x = f64::from(k) * 0.013_7;
            assert!((sin_pi(x) - sin(core::f64::consts::PI * x)).abs() < 1e-14);
            assert!((cos_pi(x) - cos(core::f64::consts::PI * x)).abs() < 1e-14);
        }
    }

    #[test]
    fn sinc_is_one_at_zero_and_zero_at_whole_numbers() {
        assert!((sinc(0.0) - 1.0).abs() < f64::EPSILON);
        assert!((sinc(1e-9) - 1.0).abs() < f64::EPSILON);
        assert!(sinc(3.0).abs() < f64::MIN_POSITIVE);
        assert!((sinc(0.5) - 2.0 / core::f64::consts::PI).abs() < 1e-15);
    }
}
