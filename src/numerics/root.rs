//! Roots of a function of one variable between two places where its sign differs.

/// Brent's method: a root of `function` between `from` and `to`, to a distance of `tolerance`.
///
/// Returns none when the signs at both ends are the same or a value is not a number. An end that
/// is itself a root is returned as it is. The method is that of R. P. Brent, "Algorithms for
/// Minimization Without Derivatives" (1973), chapter 4 (from memory): bisection always holds the
/// root between two places, and interpolation is taken only where it gains more than that.
pub fn brent(
    mut function: impl FnMut(f64) -> f64,
    from: f64,
    to: f64,
    tolerance: f64,
) -> Option<f64> {
    // One compiled copy serves every function.
    search(&mut function, from, to, tolerance)
}

fn search(function: &mut dyn FnMut(f64) -> f64, from: f64, to: f64, tolerance: f64) -> Option<f64> {
    let (mut a, mut b) = (from, to);
    let (mut fa, mut fb) = (function(a), function(b));
    if fa.is_nan() || fb.is_nan() {
        return None;
    }
    if fa.abs() <= 0.0 {
        return Some(a);
    }
    if fb.abs() <= 0.0 {
        return Some(b);
    }
    if (fa > 0.0) == (fb > 0.0) {
        return None;
    }
    let (mut c, mut fc) = (a, fa);
    let mut step = b - a;
    let mut step_before = step;
    for _ in 0..200 {
        if (fb > 0.0) == (fc > 0.0) {
            c = a;
            fc = fa;
            step = b - a;
            step_before = step;
        }
        if fc.abs() < fb.abs() {
            a = b;
            b = c;
            c = a;
            fa = fb;
            fb = fc;
            fc = fa;
        }
        let near = 2.0 * f64::EPSILON * b.abs() + 0.5 * tolerance;
        let middle = 0.5 * (c - b);
        if middle.abs() <= near || fb.abs() <= 0.0 {
            return Some(b);
        }
        if step_before.abs() >= near && fa.abs() > fb.abs() {
            let s = fb / fa;
            let (mut p, mut q) = if (a - c).abs() <= 0.0 {
                // Only two places are known: the secant.
                (2.0 * middle * s, 1.0 - s)
            } else {
                // Three places: inverse quadratic interpolation.
                let t = fa / fc;
                let r = fb / fc;
                (
                    s * (2.0 * middle * t * (t - r) - (b - a) * (r - 1.0)),
                    (t - 1.0) * (r - 1.0) * (s - 1.0),
                )
            };
            if p > 0.0 {
                q = -q;
            }
            p = p.abs();
            let limit = (3.0 * middle * q - (near * q).abs()).min((step_before * q).abs());
            if 2.0 * p < limit {
                step_before = step;
                step = p / q;
            } else {
                step = middle;
                step_before = step;
            }
        } else {
            step = middle;
            step_before = step;
        }
        a = b;
        fa = fb;
        b += if step.abs() > near {
            step
        } else if middle > 0.0 {
            near
        } else {
            -near
        };
        fb = function(b);
        if fb.is_nan() {
            return None;
        }
    }
    Some(b)
}

/// The first change of sign of `function` from `from` on, looking at `steps` equal steps up to
/// `to`, then refined by [`brent`]. None when no step shows a change of sign.
pub fn first_crossing<F: FnMut(f64) -> f64>(
    mut function: F,
    from: f64,
    to: f64,
    steps: u32,
    tolerance: f64,
) -> Option<f64> {
    let width = (to - from) / f64::from(steps.max(1));
    let mut left = from;
    let mut at_left = function(left);
    for k in 1..=steps.max(1) {
        let right = from + width * f64::from(k);
        let at_right = function(right);
        if at_right.abs() <= 0.0 || (at_left > 0.0) != (at_right > 0.0) {
            return brent(&mut function, left, right, tolerance);
        }
        left = right;
        at_left = at_right;
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numerics::elementary::{cos, exp};

    #[test]
    fn finds_known_roots() {
        // cos x = x: 0.739085133215160641655 (Dottie number, from memory; checked by the equation).
        let root = brent(|x| cos(x) - x, 0.0, 1.0, 1e-15).unwrap_or(f64::NAN);
        assert!((root - 0.739_085_133_215_160_6).abs() < 1e-15);
        let cubic = brent(|x| x * x * x - 2.0, 0.0, 5.0, 1e-15).unwrap_or(f64::NAN);
        assert!((cubic * cubic * cubic - 2.0).abs() < 1e-14);
        let steep = brent(|x| exp(40.0 * x) - 2.0, -1.0, 1.0, 1e-15).unwrap_or(f64::NAN);
        assert!((exp(40.0 * steep) - 2.0).abs() < 1e-12);
    }

    #[test]
    fn refuses_what_is_not_bracketed() {
        assert_eq!(brent(|x| x * x + 1.0, -1.0, 1.0, 1e-12), None);
        assert_eq!(brent(|_| f64::NAN, -1.0, 1.0, 1e-12), None);
    }

    #[test]
    fn takes_the_first_of_several() {
        let root = first_crossing(cos, 0.0, 20.0, 40, 1e-14).unwrap_or(f64::NAN);
        assert!((root - core::f64::consts::FRAC_PI_2).abs() < 1e-13);
    }
}
