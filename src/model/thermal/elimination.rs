//! Block elimination of the operator from the highest harmonic down to the mean, and what is solved
//! with its operator.
//!
//! p_{−k} is the conjugate of `p_k`, so that the mean obeys the real equation (`A_0` + 2 Re `P_0` `S_1`) `p_0` = 0
//! with `p_k` = `S_k` p_{k−1}. In a finite basis that matrix is not quite singular: it is bordered by the
//! norm, and the border's multiplier shows how far probability is conserved.

use super::operator::{Operator, Side};
use crate::numerics::dense::{Block, Vector, dot_real};

/// A factored square block.
#[derive(Debug, Clone, Default)]
struct Level {
    block: Block,
    exchanges: Vec<u32>,
}

/// The eliminated operator.
#[derive(Debug, Clone)]
pub(super) struct Factors {
    pub(super) operator: Operator,
    /// For the harmonics 1 and up (0 is not used).
    levels: Vec<Level>,
    root: Level,
}

/// An elimination under way, one harmonic after another from the highest down.
#[derive(Debug, Clone)]
pub(super) struct Elimination {
    operator: Operator,
    levels: Vec<Level>,
    work: Block,
    above: Block,
    /// Harmonics still to be eliminated.
    open: usize,
}

impl Elimination {
    pub(super) fn new(operator: Operator) -> Self {
        let top = operator.place.harmonics;
        Self {
            levels: vec![Level::default(); top + 1],
            work: Block::default(),
            above: Block::default(),
            open: top,
            operator,
        }
    }

    /// Eliminates one more harmonic; gives about how many multiplications that took, 0 when none is left. Nothing when its
    /// block is singular or not finite.
    pub(super) fn step(&mut self) -> Option<f64> {
        let k = self.open;
        if k == 0 {
            return Some(0.0);
        }
        let Self {
            operator,
            levels,
            work,
            above,
            ..
        } = self;
        let (n, below) = (operator.sizes[k], operator.sizes[k - 1]);
        work.reset(n, n + below);
        operator.diagonal(work, k);
        if k < operator.place.harmonics {
            operator.add_product(work, k, above, 1.0);
        }
        operator.negative_coupling(work, k);
        let exchanges = work.factor()?;
        work.solve_columns(above);
        levels[k] = Level {
            block: work.square(),
            exchanges,
        };
        self.open = k - 1;
        let size = n as f64;
        Some(1.0 + 4.4 * size * size * size)
    }

    /// What is left of the harmonics is eliminated, and the mean.
    pub(super) fn finish(mut self) -> Option<Factors> {
        while self.step()? > 0.0 {}
        let Self {
            operator,
            levels,
            mut work,
            above,
            ..
        } = self;
        let n = operator.sizes[0];
        work.reset(n, n);
        operator.diagonal(&mut work, 0);
        operator.add_product(&mut work, 0, &above, 2.0);
        let mut root = Block::zeros(n + 1, n + 1);
        for row in 0..n {
            let to = row * (n + 1);
            root.re[to..to + n].copy_from_slice(&work.re[row * n..(row + 1) * n]);
            root.re[to + n] = operator.matrices.integrals[row];
            root.re[n * (n + 1) + row] = operator.matrices.integrals[row];
        }
        let exchanges = root.factor()?;
        Some(Factors {
            operator,
            levels,
            root: Level {
                block: root,
                exchanges,
            },
        })
    }
}

impl Factors {
    /// Eliminates all at once. Nothing when a block is singular or not finite.
    #[cfg(test)]
    pub(super) fn new(operator: Operator) -> Option<Self> {
        Elimination::new(operator).finish()
    }

    /// Solves L x = rhs with the integral of `x_0` equal to `norm`. Returns x and the border's
    /// multiplier.
    pub(super) fn solve(&self, mut rhs: Vec<Vector>, norm: f64) -> (Vec<Vector>, f64) {
        let top = self.operator.place.harmonics;
        // Downwards: what the harmonics above do to this one. `rhs` becomes D⁻¹ of itself.
        for k in (1..=top).rev() {
            let (below, here) = rhs.split_at_mut(k);
            if let (Some(below), Some(here)) = (below.last_mut(), here.first_mut()) {
                self.levels[k].block.solve(&self.levels[k].exchanges, here);
                let factor = if k == 1 { -2.0 } else { -1.0 };
                self.operator
                    .couple(Side::Above, k - 1, here, factor, below);
            }
        }
        let multiplier = self.solve_root(&mut rhs, norm);
        self.upwards(&mut rhs);
        (rhs, multiplier)
    }

    /// The stationary density, norm 1.
    pub(super) fn density(&self) -> (Vec<Vector>, f64) {
        let mut x = self.operator.empty();
        let multiplier = self.solve_root(&mut x, 1.0);
        self.upwards(&mut x);
        (x, multiplier)
    }

    fn solve_root(&self, x: &mut [Vector], norm: f64) -> f64 {
        let n = self.operator.sizes[0];
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
                self.operator
                    .couple(Side::Below, k, below, -1.0, &mut change);
                self.levels[k]
                    .block
                    .solve(&self.levels[k].exchanges, &mut change);
                here.add(1.0, &change);
            }
        }
    }

    /// The adjoint: y with ⟨y, rhs⟩ equal to [`Operator::supercurrent`] of the solution to any
    /// `rhs` with norm 0; the product is `y_0`·`r_0` + Re Σ_{k>0} `y_k`·`r_k`, not conjugated.
    pub(super) fn adjoint(&self) -> Vec<Vector> {
        let mut y = self.operator.empty();
        let top = self.operator.place.harmonics;
        // The functional is Re(x̄·x_1) with x̄ = −i conj(weight).
        let weight = self.operator.weight();
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
        let n = self.operator.sizes[0];
        let mut mean = Vector::zeros(n);
        self.operator
            .couple_transposed(Side::Below, 1, &first, -1.0, &mut mean);
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
                self.operator
                    .couple_transposed(Side::Above, k - 1, below, factor, here);
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
    use crate::model::thermal::hermite::{Displacement, Place};
    use crate::model::thermal::operator::Equation;
    use core::f64::consts::PI;

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
        Factors::new(Operator::new(equation, place, &Displacement::new(&place))).unwrap()
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
                let (e, m) = (&factors.operator.equation, &factors.operator.matrices);
                // The current in d, summed over s: −Im(g conj(p_1)) − spring (d − πφ) p_0 − D ∂ p_0.
                let slope = factors.operator.slope(&p, 0.5 * e.gamma);
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
                    let d = factors.operator.place.centre * p[0].re[n]
                        + factors.operator.place.width * (up + down);
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
            let source = factors.operator.slope(&p, 1.3);
            let (x, _) = factors.solve(source.clone(), 0.0);
            let direct = factors.operator.supercurrent(&x);
            let adjoint = product(&factors.adjoint(), &source);
            assert!((direct - adjoint).abs() < 1e-9 * direct.abs());
        }
    }
}
