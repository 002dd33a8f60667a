//! Block elimination of the Fokker–Planck operator from the highest harmonic down to the mean, and
//! what is solved with its factors.
//!
//! With p(s, d) = `Σ_k` e^{iks} `p_k`(d), h = cos d + iα sin d and g = α cos d + i sin d,
//!
//! ```text
//! (L p)_k = A_k p_k + M_k p_{k-1} + P_k p_{k+1}
//! A_k = −ik i/2 − D k² + D ∂² + ∂ 2(d − πφ)/(πβ_L),  D = Γ/2
//! M_k = ½(k h − i ∂ g),   P_k = ½(−k h* + i ∂ g*)
//! ```
//!
//! M and P are real for equal junctions (α = 0). p_{−k} is the conjugate of `p_k`, so that the mean
//! obeys the real equation (`A_0` + 2 Re `P_0` `S_1`) `p_0` = 0 with `p_k` = `S_k` p_{k−1}. In a finite basis that matrix
//! is not quite singular: it is bordered by the norm, and the border's multiplier shows
//! how far probability is conserved.

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

/// A factored square block.
#[derive(Debug, Clone, Default)]
struct Level {
    block: Block,
    exchanges: Vec<u32>,
}

/// The eliminated operator.
#[derive(Debug, Clone)]
pub(super) struct Factors {
    pub(super) equation: Equation,
    pub(super) place: Place,
    pub(super) matrices: Matrices,
    /// Functions at each harmonic.
    pub(super) sizes: Vec<usize>,
    /// For the harmonics 1 and up (0 is not used).
    levels: Vec<Level>,
    root: Level,
}

/// Which way a coupling goes.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Side {
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

impl Factors {
    /// Eliminates. Nothing when a block is singular or not finite.
    pub(super) fn new(equation: Equation, place: Place, at_zero: &Displacement) -> Option<Self> {
        let matrices = Matrices::new(&place, at_zero);
        let sizes: Vec<usize> = (0..=place.harmonics).map(|k| place.size(k)).collect();
        let mut factors = Self {
            equation,
            place,
            matrices,
            sizes,
            levels: vec![Level::default(); place.harmonics + 1],
            root: Level::default(),
        };
        let mut work = Block::default();
        let mut above = Block::default();
        for k in (1..=place.harmonics).rev() {
            let (n, below) = (factors.sizes[k], factors.sizes[k - 1]);
            work.reset(n, n + below);
            factors.diagonal(&mut work, k);
            if k < place.harmonics {
                factors.add_product(&mut work, k, &above, 1.0);
            }
            factors.negative_coupling(&mut work, k);
            let exchanges = work.factor()?;
            work.solve_columns(&mut above);
            factors.levels[k] = Level {
                block: work.square(),
                exchanges,
            };
        }
        let n = factors.sizes[0];
        work.reset(n, n);
        factors.diagonal(&mut work, 0);
        factors.add_product(&mut work, 0, &above, 2.0);
        let mut root = Block::zeros(n + 1, n + 1);
        for row in 0..n {
            let to = row * (n + 1);
            root.re[to..to + n].copy_from_slice(&work.re[row * n..(row + 1) * n]);
            root.re[to + n] = factors.matrices.integrals[row];
            root.re[n * (n + 1) + row] = factors.matrices.integrals[row];
        }
        let exchanges = root.factor()?;
        factors.root = Level {
            block: root,
            exchanges,
        };
        Some(factors)
    }

    /// `A_k` onto the diagonal of a block.
    fn diagonal(&self, work: &mut Block, k: usize) {
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
    fn add_product(&self, work: &mut Block, k: usize, above: &Block, factor: f64) {
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
    fn negative_coupling(&self, work: &mut Block, k: usize) {
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
    fn couple(&self, side: Side, k: usize, x: &Vector, factor: f64, out: &mut Vector) {
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
    fn couple_transposed(&self, side: Side, k: usize, x: &Vector, factor: f64, out: &mut Vector) {
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

    fn empty(&self) -> Vec<Vector> {
        self.sizes.iter().map(|&n| Vector::zeros(n)).collect()
    }

    /// Solves L x = rhs with the integral of `x_0` equal to `norm`. Returns x and the border's
    /// multiplier.
    pub(super) fn solve(&self, mut rhs: Vec<Vector>, norm: f64) -> (Vec<Vector>, f64) {
        let top = self.place.harmonics;
        // Downwards: what the harmonics above do to this one. `rhs` becomes D⁻¹ of itself.
        for k in (1..=top).rev() {
            let (below, here) = rhs.split_at_mut(k);
            if let (Some(below), Some(here)) = (below.last_mut(), here.first_mut()) {
                self.levels[k].block.solve(&self.levels[k].exchanges, here);
                let factor = if k == 1 { -2.0 } else { -1.0 };
                self.couple(Side::Above, k - 1, here, factor, below);
            }
        }
        let multiplier = self.solve_root(&mut rhs, norm);
        self.upwards(&mut rhs);
        (rhs, multiplier)
    }

    /// The stationary density, norm 1.
    pub(super) fn density(&self) -> (Vec<Vector>, f64) {
        let mut x = self.empty();
        let multiplier = self.solve_root(&mut x, 1.0);
        self.upwards(&mut x);
        (x, multiplier)
    }

    fn solve_root(&self, x: &mut [Vector], norm: f64) -> f64 {
        let n = self.sizes[0];
        let mut bordered = Vector::zeros(n + 1);
        let Some(mean) = x.first_mut() else {
            return 0.0;
        };
        bordered.re[..n].copy_from_slice(&mean.re);
        bordered.re[n] = norm;
        self.root.block.solve(&self.root.exchanges, &mut bordered);
        mean.re.copy_from_slice(&bordered.re[..n]);
        mean.im.fill(0.0);
        bordered.re[n]
    }

    /// `x_k` −= `D_k`⁻¹ `M_k` x_{k−1}, from the mean up.
    fn upwards(&self, x: &mut [Vector]) {
        for k in 1..x.len() {
            let (below, here) = x.split_at_mut(k);
            if let (Some(below), Some(here)) = (below.last(), here.first_mut()) {
                let mut change = Vector::zeros(here.len());
                self.couple(Side::Below, k, below, -1.0, &mut change);
                self.levels[k]
                    .block
                    .solve(&self.levels[k].exchanges, &mut change);
                here.add(1.0, &change);
            }
        }
    }

    /// The vector that gives the integral of −Im(e^{is} h) x, as −Im Σ conj(`x_1`) weight.
    fn weight(&self) -> Vector {
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

    /// The adjoint: y with ⟨y, rhs⟩ equal to [`Factors::supercurrent`] of the solution to any
    /// `rhs` with norm 0; the product is `y_0`·`r_0` + Re Σ_{k>0} `y_k`·`r_k`, not conjugated.
    pub(super) fn adjoint(&self) -> Vec<Vector> {
        let mut y = self.empty();
        let top = self.place.harmonics;
        // The functional is Re(x̄·x_1) with x̄ = −i conj(weight).
        let weight = self.weight();
        let mut first = Vector::zeros(weight.len());
        for (to, from) in first.re.iter_mut().zip(&weight.im) {
            *to = -from;
        }
        for (to, from) in first.im.iter_mut().zip(&weight.re) {
            *to = -from;
        }
        if top == 0 {
            return y;
        }
        self.levels[1]
            .block
            .solve_transposed(&self.levels[1].exchanges, &mut first);
        let n = self.sizes[0];
        let mut mean = Vector::zeros(n);
        self.couple_transposed(Side::Below, 1, &first, -1.0, &mut mean);
        let mut bordered = Vector::zeros(n + 1);
        bordered.re[..n].copy_from_slice(&mean.re);
        self.root
            .block
            .solve_transposed(&self.root.exchanges, &mut bordered);
        y[0].re.copy_from_slice(&bordered.re[..n]);
        for k in 1..=top {
            let (below, here) = y.split_at_mut(k);
            if let (Some(below), Some(here)) = (below.last(), here.first_mut()) {
                let factor = if k == 1 { -2.0 } else { -1.0 };
                self.couple_transposed(Side::Above, k - 1, below, factor, here);
                self.levels[k]
                    .block
                    .solve_transposed(&self.levels[k].exchanges, here);
                if k == 1 {
                    here.add(1.0, &first);
                }
            }
        }
        y
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

/// The product of the adjoint: `y_0`·`r_0` + Re Σ_{k>0} `y_k`·`r_k`.
pub(super) fn product(y: &[Vector], r: &[Vector]) -> f64 {
    let mut sum = 0.0;
    for (y, r) in y.iter().zip(r) {
        sum += dot_real(&y.re, &r.re) - dot_real(&y.im, &r.im);
    }
    sum
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]
mod tests {
    use super::*;

    fn factors(alpha: f64, functions: usize, harmonics: usize) -> Factors {
        let place = Place {
            centre: 1.1,
            width: 0.22,
            functions,
            harmonics,
        };
        let equation = Equation {
            bias: 1.6,
            flux: 0.3,
            beta_l: 1.0,
            gamma: 0.05,
            alpha,
        };
        Factors::new(equation, place, &Displacement::new(&place)).unwrap()
    }

    /// A matrix on a vector that may be shorter than its rows.
    fn times(matrix: &[f64], size: usize, x: &[f64]) -> Vec<f64> {
        (0..size)
            .map(|row| {
                x.iter()
                    .enumerate()
                    .map(|(n, x)| matrix[row * size + n] * x)
                    .sum()
            })
            .collect()
    }

    /// No probability flows across any difference of the phases, and none is lost.
    #[test]
    fn probability_is_conserved() {
        for alpha in [0.0, 0.2] {
            let mut before = f64::INFINITY;
            for (functions, harmonics) in [(28, 20), (40, 28), (56, 40)] {
                let factors = factors(alpha, functions, harmonics);
                let (p, leak) = factors.density();
                let (e, m) = (&factors.equation, &factors.matrices);
                // The current in d, summed over s: −Im(g conj(p_1)) − spring (d − πφ) p_0 − D ∂ p_0.
                let slope = factors.slope(&p, 0.5 * e.gamma);
                let first = &p[1];
                let sine = times(&m.sine, m.size, &first.re);
                let cosine = times(&m.cosine, m.size, &first.im);
                let spring = 2.0 / (PI * e.beta_l);
                let mut worst: f64 = 0.0;
                for n in 0..m.size - 2 {
                    let up = ((n + 1) as f64 * 0.5).sqrt() * p[0].re[n + 1];
                    let down = if n > 0 {
                        (n as f64 * 0.5).sqrt() * p[0].re[n - 1]
                    } else {
                        0.0
                    };
                    let d = factors.place.centre * p[0].re[n] + factors.place.width * (up + down);
                    let push = e.alpha * cosine[n] - sine[n];
                    let current = push - spring * (d - PI * e.flux * p[0].re[n]) - slope[0].re[n];
                    worst = worst.max(current.abs());
                }
                let norm = dot_real(&m.integrals, &p[0].re);
                assert!((norm - 1.0).abs() < 1e-12);
                assert!(worst < 0.2 * before);
                before = worst.max(leak.abs());
            }
            assert!(before < 1e-7);
        }
    }

    /// The adjoint gives what the solution gives.
    #[test]
    fn adjoint_and_solution_agree() {
        for alpha in [0.0, -0.3] {
            let factors = factors(alpha, 32, 24);
            let (p, _) = factors.density();
            let source = factors.slope(&p, 1.3);
            let (x, _) = factors.solve(source.clone(), 0.0);
            let direct = factors.supercurrent(&x);
            let adjoint = product(&factors.adjoint(), &source);
            assert!((direct - adjoint).abs() < 1e-9 * direct.abs());
        }
    }
}
