//! Least values of a function of one variable.

/// Share of an interval cut off by a golden section, `(3 - sqrt 5) / 2`.
const GOLDEN: f64 = 0.381_966_011_250_105_15;

/// The place between `from` and `to` where `function` is least, to about `tolerance`, and the
/// value there. The function should fall and then rise once; else some local least value is found.
///
/// Golden sections with parabolic steps where they gain: R. P. Brent, "Algorithms for Minimization
/// Without Derivatives" (1973), chapter 5 (from memory).
pub fn brent(
    mut function: impl FnMut(f64) -> f64,
    from: f64,
    to: f64,
    tolerance: f64,
) -> (f64, f64) {
    // One compiled copy serves every function.
    search(&mut function, from, to, tolerance)
}

fn search(function: &mut dyn FnMut(f64) -> f64, from: f64, to: f64, tolerance: f64) -> (f64, f64) {
    let (mut a, mut b) = if from <= to { (from, to) } else { (to, from) };
    let mut x = a + GOLDEN * (b - a);
    let (mut w, mut v) = (x, x);
    let mut fx = function(x);
    let (mut fw, mut fv) = (fx, fx);
    let (mut step, mut step_before) = (0.0_f64, 0.0_f64);
    for _ in 0..200 {
        let middle = 0.5 * (a + b);
        let near = 1e-11 * x.abs() + tolerance.max(1e-300);
        if (x - middle).abs() <= 2.0 * near - 0.5 * (b - a) {
            break;
        }
        let mut golden = true;
        if step_before.abs() > near {
            let r = (x - w) * (fx - fv);
            let q0 = (x - v) * (fx - fw);
            let mut p = (x - v) * q0 - (x - w) * r;
            let mut q = 2.0 * (q0 - r);
            if q > 0.0 {
                p = -p;
            }
            q = q.abs();
            let earlier = step_before;
            step_before = step;
            if p.abs() < (0.5 * q * earlier).abs() && p > q * (a - x) && p < q * (b - x) {
                step = p / q;
                let u = x + step;
                if u - a < 2.0 * near || b - u < 2.0 * near {
                    step = if x < middle { near } else { -near };
                }
                golden = false;
            }
        }
        if golden {
            step_before = if x < middle { b - x } else { a - x };
            step = GOLDEN * step_before;
        }
        let u = if step.abs() >= near {
            x + step
        } else if step > 0.0 {
            x + near
        } else {
            x - near
        };
        let fu = function(u);
        if fu <= fx {
            if u < x {
                b = x;
            } else {
                a = x;
            }
            (v, fv) = (w, fw);
            (w, fw) = (x, fx);
            (x, fx) = (u, fu);
        } else {
            if u < x {
                a = u;
            } else {
                b = u;
            }
            if fu <= fw || (w - x).abs() <= 0.0 {
                (v, fv) = (w, fw);
                (w, fw) = (u, fu);
            } else if fu <= fv || (v - x).abs() <= 0.0 || (v - w).abs() <= 0.0 {
                (v, fv) = (u, fu);
            }
        }
    }
    (x, fx)
}

/// The first local least value of `function` after `from`, looking at `steps` equal steps up to
/// `to`, then refined by [`brent`]. None when the values only rise or only fall.
pub fn first_dip<F: FnMut(f64) -> f64>(
    mut function: F,
    from: f64,
    to: f64,
    steps: u32,
    tolerance: f64,
) -> Option<(f64, f64)> {
    let width = (to - from) / f64::from(steps.max(1));
    let mut before = function(from);
    let mut here = function(from + width);
    let mut falling = here < before;
    for k in 2..=steps.max(2) {
        let next = function(from + width * f64::from(k));
        if falling && here <= before && next > here {
            let left = from + width * f64::from(k - 2);
            let right = from + width * f64::from(k);
            return Some(brent(&mut function, left, right, tolerance));
        }
        falling = falling || next < here;
        before = here;
        here = next;
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numerics::elementary::cos;

    #[test]
    fn finds_the_bottom_of_a_bowl() {
        let (place, value) = brent(|x| (x - 0.3) * (x - 0.3) + 2.0, -4.0, 7.0, 1e-10);
        assert!((place - 0.3).abs() < 1e-7);
        assert!((value - 2.0).abs() < 1e-14);
    }

    #[test]
    fn finds_the_bottom_of_a_sharp_notch() {
        let (place, value) = brent(|x| (x - 0.7).abs(), 0.0, 1.0, 1e-12);
        assert!((place - 0.7).abs() < 1e-10);
        assert!(value < 1e-10);
    }

    #[test]
    fn takes_the_first_dip() {
        let (place, _) = first_dip(cos, 0.1, 30.0, 300, 1e-10).unwrap_or((f64::NAN, f64::NAN));
        assert!((place - core::f64::consts::PI).abs() < 1e-7);
        assert_eq!(first_dip(|x| x, 0.0, 1.0, 10, 1e-9), None);
    }
}
