//! Solutions in closed form, and where they are at their largest current.

use core::f64::consts::PI;

use crate::numerics::elementary::{asin, atan2};
use crate::numerics::jacobi::{Jacobi, jacobi};

/// All solutions with one parameter m of the elliptic functions, seen from the ends of the junction.
#[derive(Debug, Clone, Copy)]
pub(super) struct Shape {
    complement: f64,
    ends: Jacobi,
}

impl Shape {
    /// Those with `1 - m = complement` in a junction of that length.
    pub(super) fn new(length: f64, complement: f64) -> Self {
        Self {
            complement,
            ends: jacobi(0.5 * length, complement),
        }
    }

    /// Applied field and current of the solution with `w = sin²(f/2)` in the middle; both taken positive.
    pub(super) fn field_and_current(&self, w: f64) -> (f64, f64) {
        let Jacobi { sn, cn, dn, .. } = self.ends;
        let under = cn * cn + w * sn * sn;
        let slope = (w - self.complement).max(0.0).sqrt();
        let rise = (w * (1.0 - w)).max(0.0).sqrt();
        (
            2.0 * slope * cn.abs() / under,
            4.0 * rise * (sn * dn).abs() / under,
        )
    }

    /// The cubic in w, lowest power first, that vanishes where the Jacobian of field and current does.
    ///
    /// From the logarithms of both, `ln I = ln(w q)/2 + ln(s d) - ln T` and `ln h = ln(w - m1)/2 + ln c - ln T`
    /// with q = 1 - w, T = c² + s² w and m1 the complement; their determinant times `w q (w - m1) T`. The
    /// derivative of the amplitude with respect to m is `dn ((1-m) u - epsilon + m sn cn / dn) / (2 m (1-m))`.
    pub(super) fn fold(&self, length: f64) -> [f64; 4] {
        let Jacobi {
            sn: s,
            cn: c,
            dn: d,
            epsilon,
        } = self.ends;
        let m1 = self.complement;
        let m = 1.0 - m1;
        let turn = (d * (m1 * 0.5 * length - epsilon) + m * s * c) / (2.0 * m * m1);
        let (alpha, beta) = (s * c * turn, s / c * turn);
        let steep = c * turn / s * (1.0 - 2.0 * m * s * s) / (d * d) - 0.5 * s * s / (d * d);
        let (s2, c2) = (s * s, c * c);
        let e = 0.5 * c2 - d * d;
        let k0 = 0.5 * c2 - alpha * m1;
        let k1 = 0.5 * s2 - beta * (c2 - m1 * s2) + 2.0 * alpha * (1.0 + m1);
        let k2 = -beta * s2 - 2.0 * alpha;
        let g = 0.5 + beta * m1;
        [
            0.5 * k0,
            steep * e - alpha + (0.5 * k1 - k0) - s2 * g,
            steep * (0.5 * s2 - e) + 2.0 * alpha + (0.5 * k2 - k1) + s2 * (g + beta),
            -0.5 * steep * s2 - alpha - k2 - s2 * beta,
        ]
    }
}

/// One solution: a state of the junction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Solution {
    /// Applied field.
    pub field: f64,
    /// Current through the junction.
    pub current: f64,
    length: f64,
    complement: f64,
    /// S, C and P in the middle.
    middle: (f64, f64, f64),
}

impl Solution {
    /// The solution with these two numbers, field and current positive; turned over for a negative field.
    pub(super) fn new(length: f64, complement: f64, w: f64, backwards: bool) -> Self {
        let shape = Shape::new(length, complement);
        let (field, current) = shape.field_and_current(w);
        let Jacobi { sn, cn, dn, .. } = shape.ends;
        let slope = (w - complement).max(0.0).sqrt();
        let forwards = if (cn < 0.0) == backwards { 1.0 } else { -1.0 };
        let along = if sn * dn < 0.0 { 1.0 } else { -1.0 };
        Self {
            field: if backwards { -field } else { field },
            current,
            length,
            complement,
            middle: (
                along * (1.0 - w).max(0.0).sqrt(),
                w.max(0.0).sqrt(),
                forwards * slope,
            ),
        }
    }

    /// S, C and P at the place `x`, counted from the middle.
    fn at(&self, x: f64) -> (f64, f64, f64) {
        let (s, c, p) = self.middle;
        let f = jacobi(x, self.complement);
        // 1 - S² sn² without the loss of digits.
        let under = f.cn * f.cn + c * c * f.sn * f.sn;
        (
            (s * f.cn * f.dn + c * p * f.sn) / under,
            (c * f.dn - s * p * f.sn * f.cn) / under,
            (p * f.cn - s * c * f.sn * f.dn) / under,
        )
    }

    /// Local supercurrent density `sin f` at the place `x`, in penetration depths from the middle.
    #[must_use]
    pub fn density(&self, x: f64) -> f64 {
        let (s, c, _) = self.at(x);
        (-2.0 * s * c).clamp(-1.0, 1.0)
    }

    /// Field `f'` in the junction at the place `x`.
    #[must_use]
    pub fn local_field(&self, x: f64) -> f64 {
        2.0 * self.at(x).2
    }

    /// Phase difference at the place `x`, within a whole number of turns.
    #[must_use]
    pub fn phase(&self, x: f64) -> f64 {
        let (s, c, _) = self.at(x);
        PI + 2.0 * atan2(s, c)
    }

    /// Flux through the junction in flux quanta: the phase from end to end over a turn.
    #[must_use]
    pub fn flux(&self) -> f64 {
        // Steps so short that the phase moves by less than half a turn in each.
        let fastest = 2.0 * (1.0 - self.complement).max(0.0).sqrt();
        let steps = (self.length * fastest).ceil().clamp(1.0, 1e5) as u32;
        let step = self.length / f64::from(steps);
        let mut turned = 0.0;
        let (mut s, mut c, _) = self.at(-0.5 * self.length);
        for k in 1..=steps {
            let (s_next, c_next, _) = self.at(-0.5 * self.length + step * f64::from(k));
            // Sine of half the phase between the two places.
            turned += 2.0 * asin((s_next * c - c_next * s).clamp(-1.0, 1.0));
            (s, c) = (s_next, c_next);
        }
        turned / (2.0 * PI)
    }
}
