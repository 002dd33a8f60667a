//! Where to put the basis and how large to make it: from scaling estimates at first, then from the
//! density that a smaller basis gave.
//!
//! Hermite functions up to order n fill the phase-space ellipse (x/w)² + (κ w)² ≤ 2n + 1. A density
//! that reaches R to both sides of its middle and up to the wavenumber P is therefore held best by
//! the width w = √(R/P), with about R P/2 functions.

use super::hermite::Place;
use super::operator::Equation;
use crate::numerics::dense::Vector;
use crate::numerics::elementary::log;

use core::f64::consts::PI;

/// A first guess, for the flux that the loop feels between −½ and ½.
pub(super) fn guess(equation: &Equation, tolerance: f64) -> Place {
    // How many standard deviations a Gaussian tail reaches at this tolerance.
    let reach = (2.0 * log(1.0 / tolerance)).sqrt();
    let spring = 2.0 / (PI * equation.beta_l);
    let noise = (0.5 * equation.gamma).sqrt();
    let widest = noise / spring.sqrt();
    let narrowest = noise / (spring + 1.0).sqrt();
    // The junctions push at most 1 each against the spring, and no further than about a turn.
    let pushed = (0.8 / spring).min(1.2 + 0.25 / spring);
    let half = pushed.max(resting(equation)) + 0.8 * reach * widest.min(1.0 + 0.3 * widest);
    let wavenumber = 0.9 * reach / narrowest;
    let functions = 0.5 * half * wavenumber + 6.0;
    let harmonics = 0.85 * reach / noise + 4.0;
    Place {
        centre: PI * equation.flux,
        width: (half / wavenumber).sqrt(),
        functions: whole(functions),
        harmonics: harmonics.ceil() as usize,
    }
}

/// How far from πφ there can be a state at rest: no junction carries more than its critical
/// current, so that the circulating current is at most what the bias leaves. The basis always
/// covers this range, lest it settle in one of several such states.
fn resting(equation: &Equation) -> f64 {
    let current = (1.0 + equation.alpha.abs() - 0.5 * equation.bias.abs()).max(0.0);
    0.5 * PI * equation.beta_l * current
}

/// Rounded up to fours.
fn whole(functions: f64) -> usize {
    ((functions / 4.0).ceil() as usize * 4).max(12)
}

/// What a density says about its basis.
#[derive(Debug, Clone, Copy)]
pub(super) struct Fit {
    /// Largest of the last coefficients of the lower harmonics.
    pub(super) tail: f64,
    /// Largest of the last coefficients of the higher harmonics, and of all in the last two.
    pub(super) top: f64,
    /// A better place, with as many functions and harmonics as the tolerance asks for.
    pub(super) better: Place,
}

/// Looks at a density in its basis.
pub(super) fn look(equation: &Equation, density: &[Vector], place: &Place, tolerance: f64) -> Fit {
    let size = |k: usize, n: usize| {
        let x = &density[k];
        (x.re[n] * x.re[n] + x.im[n] * x.im[n]).sqrt()
    };
    // What ends a low harmonic asks for more functions; what ends a high one, where the ellipse has
    // cut them, for more harmonics.
    let half_way = density.len() / 2;
    let mut tail: f64 = 0.0;
    let mut top: f64 = 0.0;
    let mut needed = 0;
    for (k, x) in density.iter().enumerate() {
        let last = x.len().saturating_sub(4);
        for n in 0..x.len() {
            let size = size(k, n);
            if k + 2 >= density.len() || (n >= last && k > half_way) {
                top = top.max(size);
            } else if n >= last {
                tail = tail.max(size);
            }
            if size > tolerance && k <= half_way {
                needed = needed.max(n + 1);
            }
        }
    }
    // The ellipse through the outermost coefficient that counts.
    let mut harmonics: f64 = 0.0;
    for (k, x) in density.iter().enumerate() {
        if let Some(n) = (0..x.len()).rev().find(|&n| size(k, n) > tolerance) {
            let part = ((n + 1) as f64 / (needed + 2) as f64).min(0.93);
            harmonics = harmonics.max(k as f64 / (1.0 - part * part).sqrt().max(0.5));
        }
    }
    let threshold = tolerance.max(8.0 * tail.max(top)).min(0.05);
    let (low, high, wavenumber) = extent(density, place, threshold);
    let middle = PI * equation.flux - place.centre;
    let low = low.min((middle - resting(equation)) / place.width);
    let high = high.max((middle + resting(equation)) / place.width);
    let half = 0.5 * (high - low);
    // Coefficients fall at least geometrically: carry their logarithm on to the tolerance.
    let grow = |reached: f64| {
        let missing = log(tolerance) / log(reached.min(0.2)).min(-1e-9);
        missing.clamp(1.1, 1.7)
    };
    let functions = if tail > tolerance {
        place.functions as f64 * grow(tail)
    } else if (low + high).abs() > 1.0 {
        // Off its middle a density needs more functions than it will: count its phase space instead (centred
        // ones were found to need 1.2 to 1.4 times that).
        (needed as f64 + 2.0).min(0.7 * half * wavenumber + 4.0)
    } else {
        needed as f64 + 2.0
    };
    let harmonics = if top > tolerance {
        (place.harmonics as f64 * grow(top)).ceil() as usize
    } else {
        harmonics.ceil() as usize + 2
    };
    Fit {
        tail,
        top,
        better: Place {
            centre: place.centre + place.width * 0.5 * (low + high),
            width: place.width * (half / wavenumber).sqrt(),
            functions: whole(functions.max(0.5 * half * wavenumber)),
            harmonics: harmonics.max(3),
        },
    }
}

/// Lowest and highest x with more density than the threshold, and the largest wavenumber in x.
fn extent(density: &[Vector], place: &Place, threshold: f64) -> (f64, f64, f64) {
    let step = 0.2;
    let edge = (2.0 * place.functions as f64 + 1.0).sqrt() + 1.0;
    let count = (edge / step).ceil() as usize;
    let mut low = 0.0_f64;
    let mut high = 0.0_f64;
    let mut wavenumber = 0.0_f64;
    let mut functions = vec![0.0; place.functions];
    for j in 0..=count {
        let x = step * j as f64;
        hermite(x, &mut functions);
        if let Some(mean) = density.first() {
            let (mut even, mut odd) = (0.0, 0.0);
            for (n, (h, q)) in functions.iter().zip(&mean.re).enumerate() {
                if n % 2 == 0 {
                    even += h * q;
                } else {
                    odd += h * q;
                }
            }
            if (even + odd).abs() > threshold {
                high = high.max(x);
                low = low.min(x);
            }
            if (even - odd).abs() > threshold {
                low = low.min(-x);
                high = high.max(-x);
            }
        }
        // The Fourier transform of h_n is (−i)^n h_n.
        for x_k in density.iter().step_by(2) {
            let (mut er, mut ei, mut or, mut oi) = (0.0, 0.0, 0.0, 0.0);
            for (n, (h, (qr, qi))) in functions.iter().zip(x_k.re.iter().zip(&x_k.im)).enumerate() {
                let sign = if n % 4 < 2 { *h } else { -h };
                if n % 2 == 0 {
                    er += sign * qr;
                    ei += sign * qi;
                } else {
                    or += sign * qi;
                    oi -= sign * qr;
                }
            }
            let plus = (er + or) * (er + or) + (ei + oi) * (ei + oi);
            let minus = (er - or) * (er - or) + (ei - oi) * (ei - oi);
            if plus.max(minus) > threshold * threshold {
                wavenumber = wavenumber.max(x);
            }
        }
    }
    // The middle may lie outside the basis' own centre.
    if high <= low {
        return (-1.0, 1.0, 1.0);
    }
    (low, high, wavenumber.max(step))
}

/// Orthonormal Hermite functions at `x`.
fn hermite(x: f64, out: &mut [f64]) {
    use crate::numerics::elementary::exp;
    let mut before = 0.0;
    let mut here = 0.751_125_544_464_942_5 * exp(-0.5 * x * x);
    for (n, out) in out.iter_mut().enumerate() {
        *out = here;
        let order = (n + 1) as f64;
        let next = (2.0 / order).sqrt() * x * here - ((order - 1.0) / order).sqrt() * before;
        before = here;
        here = next;
    }
}
