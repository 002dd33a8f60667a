//! The Fokker–Planck operator in harmonics of the sum of the phases and Hermite functions of their
//! difference.
//!
//! With p(s, d) = `Σ_k` e^{iks} `p_k`(d), h = cos d + iα sin d and g = α cos d + i sin d,
//!
//! ```text
//! (L p)_k = A_k p_k + M_k p_{k-1} + P_k p_{k+1}
//! A_k = −ik i/2 − D k² + D ∂² + ∂ 2(d − πφ)/(πβ_L),  D = Γ/2
//! M_k = ½(k h − i ∂ g),   P_k = ½(−k h* + i ∂ g*)
//! ```
//!
//! M and P are real for equal junctions (α = 0).

use super::hermite::{Displacement, Matrices, Place};
use crate::numerics::dense::{Block, Vector, add_four, add_one, dot_real};

use core::f64::consts::PI;

/// The equation at one working point.
#[derive(Debug, Clone, Copy)]
pub(super) struct Equation {
    pub(super) bias: f64,
    /// The flux that the loop feels.
    pub(super) flux: f64,
    pub(super) beta_l: f64,
    pub(super) gamma: f64,
    /// Half the difference of the critical currents, left less right.
    pub(super) alpha: f64,
}

/// The operator of one working point in one basis.
#[derive(Debug, Clone)]
pub(super) struct Operator {
    pub(super) equation: Equation,
    pub(super) place: Place,
    pub(super) matrices: Matrices,
    /// Functions at each harmonic.
    pub(super) sizes: Vec<usize>,
}

/// Which way a coupling goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Side {
    /// To the harmonic below: M.
    Below,
    /// To the harmonic above: P.
    Above,
}

impl Side {
    /// Factors of (cos, ∂ sin) in the real part and of (sin, ∂ cos) in the imaginary part.
    fn factors(self, harmonic: usize, alpha: f64) -> (f64, f64, f64) {
        let half = 0.5 * harmonic as f64;
        match self {
            Side::Below => (half, alpha * half, -0.5 * alpha),
            Side::Above => (-half, alpha * half, 0.5 * alpha),
        }
    }
}

impl Operator {
    pub(super) fn new(equation: Equation, place: Place, at_zero: &Displacement) -> Self {
        Self {
            equation,
            place,
            matrices: Matrices::new(&place, at_zero),
            sizes: (0..=place.harmonics).map(|k| place.size(k)).collect(),
        }
    }

    /// Nothing, in the shape of a density.
    pub(super) fn empty(&self) -> Vec<Vector> {
        self.sizes.iter().map(|&n| Vector::zeros(n)).collect()
    }

    /// `A_k` onto the diagonal of a block.
    pub(super) fn diagonal(&self, work: &mut Block, k: usize) {
        let e = &self.equation;
        let (n, wide) = (work.rows(), work.columns());
        let order = k as f64;
        let w = self.place.width;
        let diffusion = 0.5 * e.gamma / (w * w);
        let spring = 2.0 / (PI * e.beta_l);
        let pull = spring * (self.place.centre - PI * e.flux) / w;
        for row in 0..n {
            let r = row as f64;
            let at = row * wide + row;
            work.re[at] += -0.5 * e.gamma * order * order - diffusion * (r + 0.5) + 0.5 * spring;
            work.im[at] -= 0.5 * order * e.bias;
            let one = (0.5 * (r + 1.0)).sqrt();
            if row + 1 < n {
                work.re[at + 1] += pull * one;
                work.re[at + wide] -= pull * one;
            }
            if row + 2 < n {
                let two = one * (0.5 * (r + 2.0)).sqrt();
                work.re[at + 2] += (diffusion + spring) * two;
                work.re[at + 2 * wide] += (diffusion - spring) * two;
            }
        }
    }

    /// Adds `factor` `P_k` times a block; only the real part for the mean.
    pub(super) fn add_product(&self, work: &mut Block, k: usize, above: &Block, factor: f64) {
        let m = &self.matrices;
        let (wide, many) = (work.columns(), above.columns());
        let (by_cosine, by_sine, by_slope) = Side::Above.factors(k, self.equation.alpha);
        let complex = self.equation.alpha.abs() > 0.0;
        let mean = k == 0;
        for row in 0..work.rows() {
            let (from, to) = m.reach(row, above.rows());
            let at = row * m.size;
            let real =
                |n: usize| factor * (by_cosine * m.cosine[at + n] + 0.5 * m.sine_slope[at + n]);
            let imaginary =
                |n: usize| factor * (by_sine * m.sine[at + n] + by_slope * m.cosine_slope[at + n]);
            let re = &mut work.re[row * wide..row * wide + many];
            let im = &mut work.im[row * wide..row * wide + many];
            let mut n = from;
            while n < to {
                let source = n * many;
                if n + 4 <= to {
                    let b = [real(n), real(n + 1), real(n + 2), real(n + 3)];
                    add_four(re, b, &above.re[source..], many);
                    if !mean {
                        add_four(im, b, &above.im[source..], many);
                    }
                    if complex {
                        let c = [
                            imaginary(n),
                            imaginary(n + 1),
                            imaginary(n + 2),
                            imaginary(n + 3),
                        ];
                        add_four(re, c.map(|c| -c), &above.im[source..], many);
                        if !mean {
                            add_four(im, c, &above.re[source..], many);
                        }
                    }
                    n += 4;
                } else {
                    let b = real(n);
                    add_one(re, b, &above.re[source..source + many]);
                    if !mean {
                        add_one(im, b, &above.im[source..source + many]);
                    }
                    if complex {
                        let c = imaginary(n);
                        add_one(re, -c, &above.im[source..source + many]);
                        if !mean {
                            add_one(im, c, &above.re[source..source + many]);
                        }
                    }
                    n += 1;
                }
            }
        }
    }

    /// −`M_k` to the right of the square part.
    pub(super) fn negative_coupling(&self, work: &mut Block, k: usize) {
        let m = &self.matrices;
        let (n, wide) = (work.rows(), work.columns());
        let (by_cosine, by_sine, by_slope) = Side::Below.factors(k, self.equation.alpha);
        let complex = self.equation.alpha.abs() > 0.0;
        for row in 0..n {
            let (from, to) = m.reach(row, wide - n);
            for column in from..to {
                let at = row * m.size + column;
                let target = row * wide + n + column;
                work.re[target] = -(by_cosine * m.cosine[at] + 0.5 * m.sine_slope[at]);
                if complex {
                    work.im[target] = -(by_sine * m.sine[at] + by_slope * m.cosine_slope[at]);
                }
            }
        }
    }

    /// Adds `factor` times a coupling of harmonic `k` on a vector.
    pub(super) fn couple(&self, side: Side, k: usize, x: &Vector, factor: f64, out: &mut Vector) {
        let m = &self.matrices;
        let (by_cosine, by_sine, by_slope) = side.factors(k, self.equation.alpha);
        let complex = self.equation.alpha.abs() > 0.0;
        for row in 0..out.len() {
            let (from, to) = m.reach(row, x.len());
            let at = row * m.size;
            let (re, im) = (&x.re[from..to], &x.im[from..to]);
            let cosine = &m.cosine[at + from..at + to];
            let slope = &m.sine_slope[at + from..at + to];
            let mut r = by_cosine * dot_real(cosine, re) + 0.5 * dot_real(slope, re);
            let mut i = by_cosine * dot_real(cosine, im) + 0.5 * dot_real(slope, im);
            if complex {
                let sine = &m.sine[at + from..at + to];
                let slope = &m.cosine_slope[at + from..at + to];
                r -= by_sine * dot_real(sine, im) + by_slope * dot_real(slope, im);
                i += by_sine * dot_real(sine, re) + by_slope * dot_real(slope, re);
            }
            out.re[row] += factor * r;
            out.im[row] += factor * i;
        }
    }

    /// Adds `factor` times a transposed coupling of harmonic `k` on a vector.
    pub(super) fn couple_transposed(
        &self,
        side: Side,
        k: usize,
        x: &Vector,
        factor: f64,
        out: &mut Vector,
    ) {
        let m = &self.matrices;
        let (by_cosine, by_sine, by_slope) = side.factors(k, self.equation.alpha);
        let complex = self.equation.alpha.abs() > 0.0;
        for row in 0..x.len() {
            let (from, to) = m.reach(row, out.len());
            let at = row * m.size;
            let (r, i) = (factor * x.re[row], factor * x.im[row]);
            let (re, im) = (&mut out.re[from..to], &mut out.im[from..to]);
            let cosine = &m.cosine[at + from..at + to];
            let slope = &m.sine_slope[at + from..at + to];
            add_one(re, by_cosine * r, cosine);
            add_one(re, 0.5 * r, slope);
            add_one(im, by_cosine * i, cosine);
            add_one(im, 0.5 * i, slope);
            if complex {
                let sine = &m.sine[at + from..at + to];
                let slope = &m.cosine_slope[at + from..at + to];
                add_one(re, -by_sine * i, sine);
                add_one(re, -by_slope * i, slope);
                add_one(im, by_sine * r, sine);
                add_one(im, by_slope * r, slope);
            }
        }
    }

    /// The vector that gives the integral of −Im(e^{is} h) x, as −Im Σ conj(`x_1`) weight.
    pub(super) fn weight(&self) -> Vector {
        let m = &self.matrices;
        let n = self.sizes.get(1).copied().unwrap_or(0);
        let mut weight = Vector::zeros(n);
        for row in 0..m.size {
            let (from, to) = m.reach(row, n);
            let at = row * m.size;
            let integral = m.integrals[row];
            add_one(
                &mut weight.re[from..to],
                integral,
                &m.cosine[at + from..at + to],
            );
            add_one(
                &mut weight.im[from..to],
                self.equation.alpha * integral,
                &m.sine[at + from..at + to],
            );
        }
        weight
    }

    /// The integral of −Im(e^{is} h) x over both coordinates: what a change of density does to the
    /// voltage.
    pub(super) fn supercurrent(&self, x: &[Vector]) -> f64 {
        let weight = self.weight();
        let Some(first) = x.get(1) else {
            return 0.0;
        };
        dot_real(&weight.re, &first.im) - dot_real(&weight.im, &first.re)
    }

    /// The derivative in d of every harmonic, times `factor`.
    pub(super) fn slope(&self, x: &[Vector], factor: f64) -> Vec<Vector> {
        let scale = factor / self.place.width;
        x.iter()
            .map(|x| {
                let n = x.len();
                let mut out = Vector::zeros(n);
                for row in 0..n {
                    let up = scale * ((row + 1) as f64 * 0.5).sqrt();
                    let down = scale * (row as f64 * 0.5).sqrt();
                    if row + 1 < n {
                        out.re[row] += up * x.re[row + 1];
                        out.im[row] += up * x.im[row + 1];
                    }
                    if row > 0 {
                        out.re[row] -= down * x.re[row - 1];
                        out.im[row] -= down * x.im[row - 1];
                    }
                }
                out
            })
            .collect()
    }

    /// (f − `mean`) x − 2D ∂_s x: the source of the slow fluctuation.
    pub(super) fn fluctuation(&self, x: &[Vector], mean: f64) -> Vec<Vector> {
        let m = &self.matrices;
        let alpha = self.equation.alpha;
        let off = 0.5 * self.equation.bias - mean;
        let mut out = self.empty();
        for (k, out) in out.iter_mut().enumerate() {
            // (i/2)(h x_{k−1} − h* x_{k+1}); the harmonic −1 is the conjugate of 1.
            let below = if k > 0 { x.get(k - 1) } else { x.get(1) };
            let sign = if k > 0 { 1.0 } else { -1.0 };
            for row in 0..out.len() {
                let at = row * m.size;
                let (mut re, mut im) = (0.0, 0.0);
                if let Some(below) = below {
                    let (from, to) = m.reach(row, below.len());
                    let cosine = &m.cosine[at + from..at + to];
                    let (xr, xi) = (&below.re[from..to], &below.im[from..to]);
                    re += dot_real(cosine, xr);
                    im += sign * dot_real(cosine, xi);
                    if alpha.abs() > 0.0 {
                        let sine = &m.sine[at + from..at + to];
                        re -= alpha * sign * dot_real(sine, xi);
                        im += alpha * dot_real(sine, xr);
                    }
                }
                if let Some(above) = x.get(k + 1) {
                    let (from, to) = m.reach(row, above.len());
                    let cosine = &m.cosine[at + from..at + to];
                    let (xr, xi) = (&above.re[from..to], &above.im[from..to]);
                    re -= dot_real(cosine, xr);
                    im -= dot_real(cosine, xi);
                    if alpha.abs() > 0.0 {
                        let sine = &m.sine[at + from..at + to];
                        re -= alpha * dot_real(sine, xi);
                        im += alpha * dot_real(sine, xr);
                    }
                }
                let turn = self.equation.gamma * k as f64;
                out.re[row] = off * x[k].re[row] + turn * x[k].im[row] - 0.5 * im;
                out.im[row] = off * x[k].im[row] - turn * x[k].re[row] + 0.5 * re;
            }
        }
        out
    }
}
