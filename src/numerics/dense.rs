//! Dense complex blocks kept as separate real and imaginary parts, row by row: factors, solutions
//! and products for block elimination.
//!
//! Everything is plain arithmetic in a fixed order, so that the browser and a native build give the
//! same bits; the inner loops run along a row over four source rows at once, which a compiler turns
//! into vector instructions by itself. A matrix with more columns than rows is taken as a square one
//! with right-hand sides beside it: its factorisation treats them in the same sweep.
//!
//! Method: Gaussian elimination with row exchanges (textbook), in panels of four columns.

mod rows;

use rows::{PANEL, dot, subtract, subtract_four};
pub use rows::{add_four, add_one, dot_real};

/// A complex matrix, row by row.
#[derive(Debug, Clone, Default)]
pub struct Block {
    rows: usize,
    columns: usize,
    /// Real parts, row by row.
    pub re: Vec<f64>,
    /// Imaginary parts, row by row.
    pub im: Vec<f64>,
}

/// A complex vector.
#[derive(Debug, Clone, Default)]
pub struct Vector {
    /// Real parts.
    pub re: Vec<f64>,
    /// Imaginary parts.
    pub im: Vec<f64>,
}

impl Vector {
    /// A vector of zeros.
    #[must_use]
    pub fn zeros(length: usize) -> Self {
        Self {
            re: vec![0.0; length],
            im: vec![0.0; length],
        }
    }

    /// Number of elements.
    #[must_use]
    pub fn len(&self) -> usize {
        self.re.len()
    }

    /// Whether there are no elements.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.re.is_empty()
    }

    /// Adds `factor` times another vector, as far as both reach.
    pub fn add(&mut self, factor: f64, other: &Self) {
        for (to, from) in self.re.iter_mut().zip(&other.re) {
            *to += factor * from;
        }
        for (to, from) in self.im.iter_mut().zip(&other.im) {
            *to += factor * from;
        }
    }
}

impl Block {
    /// A matrix of zeros.
    #[must_use]
    pub fn zeros(rows: usize, columns: usize) -> Self {
        Self {
            rows,
            columns,
            re: vec![0.0; rows * columns],
            im: vec![0.0; rows * columns],
        }
    }

    /// Makes it a matrix of zeros of another size, in the memory that it has.
    pub fn reset(&mut self, rows: usize, columns: usize) {
        self.rows = rows;
        self.columns = columns;
        for part in [&mut self.re, &mut self.im] {
            part.clear();
            part.resize(rows * columns, 0.0);
        }
    }

    /// Number of rows.
    #[must_use]
    pub fn rows(&self) -> usize {
        self.rows
    }

    /// Number of columns.
    #[must_use]
    pub fn columns(&self) -> usize {
        self.columns
    }

    /// The square part on the left.
    #[must_use]
    pub fn square(&self) -> Self {
        let size = self.rows.min(self.columns);
        let mut out = Self::zeros(self.rows, size);
        for row in 0..self.rows {
            let from = row * self.columns;
            let to = row * size;
            out.re[to..to + size].copy_from_slice(&self.re[from..from + size]);
            out.im[to..to + size].copy_from_slice(&self.im[from..from + size]);
        }
        out
    }

    /// Factors the square part on the left into a lower and an upper triangle, exchanging rows, and
    /// takes the columns beside it through the lower triangle. Returns the exchanges, or nothing
    /// when the matrix is singular or not finite.
    #[must_use]
    pub fn factor(&mut self) -> Option<Vec<u32>> {
        let size = self.rows;
        let wide = self.columns;
        let mut exchanges = Vec::with_capacity(size);
        let mut start = 0;
        while start < size {
            let end = (start + PANEL).min(size);
            for pivot in start..end {
                exchanges.push(self.choose(pivot)?);
                self.divide(pivot, end);
            }
            // The panel's own rows, to the right of the panel.
            for row in start + 1..end {
                let (above, here) = self.split(row);
                for source in start..row {
                    let coefficient = (here.0[source], here.1[source]);
                    let from = source * wide;
                    subtract(
                        &mut here.0[end..wide],
                        &mut here.1[end..wide],
                        coefficient,
                        (
                            &above.0[from + end..from + wide],
                            &above.1[from + end..from + wide],
                        ),
                    );
                }
            }
            // All rows below, with the whole panel.
            if end - start == PANEL {
                for row in end..size {
                    let (above, here) = self.split(row);
                    let (real_panel, real) = here.0.split_at_mut(end);
                    let (imaginary_panel, imaginary) = here.1.split_at_mut(end);
                    subtract_four(
                        &mut real[..wide - end],
                        &mut imaginary[..wide - end],
                        (&real_panel[start..], &imaginary_panel[start..]),
                        (
                            &above.0[start * wide + end..],
                            &above.1[start * wide + end..],
                        ),
                        wide,
                    );
                }
            }
            start = end;
        }
        Some(exchanges)
    }

    /// Brings the largest element of a column, from the diagonal down, to the diagonal.
    fn choose(&mut self, pivot: usize) -> Option<u32> {
        let wide = self.columns;
        let mut best = pivot;
        let mut largest = -1.0;
        for row in pivot..self.rows {
            let (re, im) = (self.re[row * wide + pivot], self.im[row * wide + pivot]);
            let size = re * re + im * im;
            if size > largest {
                largest = size;
                best = row;
            }
        }
        if !(largest > 0.0 && largest.is_finite()) {
            return None;
        }
        if best != pivot {
            for part in [&mut self.re, &mut self.im] {
                let (above, below) = part.split_at_mut(best * wide);
                above[pivot * wide..(pivot + 1) * wide].swap_with_slice(&mut below[..wide]);
            }
        }
        u32::try_from(best).ok()
    }

    /// The multipliers of one column, and what they change in the columns up to `end`.
    fn divide(&mut self, pivot: usize, end: usize) {
        let wide = self.columns;
        let (pr, pi) = (self.re[pivot * wide + pivot], self.im[pivot * wide + pivot]);
        let scale = 1.0 / (pr * pr + pi * pi);
        let (ir, ii) = (pr * scale, -pi * scale);
        for row in pivot + 1..self.rows {
            let at = row * wide;
            let (ar, ai) = (self.re[at + pivot], self.im[at + pivot]);
            let (lr, li) = (ar * ir - ai * ii, ar * ii + ai * ir);
            self.re[at + pivot] = lr;
            self.im[at + pivot] = li;
            for column in pivot + 1..end {
                let (ur, ui) = (
                    self.re[pivot * wide + column],
                    self.im[pivot * wide + column],
                );
                self.re[at + column] -= lr * ur - li * ui;
                self.im[at + column] -= lr * ui + li * ur;
            }
        }
    }

    /// All rows above `row`, and `row` itself.
    #[allow(
        clippy::type_complexity,
        reason = "two parts of two pieces, used at once"
    )]
    fn split(&mut self, row: usize) -> ((&[f64], &[f64]), (&mut [f64], &mut [f64])) {
        let wide = self.columns;
        let (above_re, below_re) = self.re.split_at_mut(row * wide);
        let (above_im, below_im) = self.im.split_at_mut(row * wide);
        (
            (above_re, above_im),
            (&mut below_re[..wide], &mut below_im[..wide]),
        )
    }

    /// After [`Block::factor`]: solves for the columns beside the square part, into `solution`.
    pub fn solve_columns(&self, solution: &mut Self) {
        let size = self.rows;
        let wide = self.columns;
        let many = wide - size;
        solution.reset(size, many);
        for row in (0..size).rev() {
            let at = row * wide;
            let (before_re, after_re) = solution.re.split_at_mut((row + 1) * many);
            let (before_im, after_im) = solution.im.split_at_mut((row + 1) * many);
            let here_re = &mut before_re[row * many..];
            let here_im = &mut before_im[row * many..];
            here_re.copy_from_slice(&self.re[at + size..at + wide]);
            here_im.copy_from_slice(&self.im[at + size..at + wide]);
            let mut source = row + 1;
            while source + PANEL <= size {
                let from = (source - row - 1) * many;
                subtract_four(
                    here_re,
                    here_im,
                    (&self.re[at + source..], &self.im[at + source..]),
                    (&after_re[from..], &after_im[from..]),
                    many,
                );
                source += PANEL;
            }
            for source in source..size {
                let from = (source - row - 1) * many;
                subtract(
                    here_re,
                    here_im,
                    (self.re[at + source], self.im[at + source]),
                    (&after_re[from..from + many], &after_im[from..from + many]),
                );
            }
            let (pr, pi) = (self.re[at + row], self.im[at + row]);
            let scale = 1.0 / (pr * pr + pi * pi);
            let (ir, ii) = (pr * scale, -pi * scale);
            for (re, im) in here_re.iter_mut().zip(here_im.iter_mut()) {
                let (r, i) = (*re, *im);
                *re = r * ir - i * ii;
                *im = r * ii + i * ir;
            }
        }
    }

    /// With a factored square matrix and its exchanges: replaces `vector` by the solution.
    pub fn solve(&self, exchanges: &[u32], vector: &mut Vector) {
        let size = self.rows;
        let wide = self.columns;
        for (row, &other) in exchanges.iter().enumerate() {
            vector.re.swap(row, other as usize);
            vector.im.swap(row, other as usize);
        }
        for row in 1..size {
            let at = row * wide;
            let (re, im) = dot(
                (&self.re[at..at + row], &self.im[at..at + row]),
                (&vector.re[..row], &vector.im[..row]),
            );
            vector.re[row] -= re;
            vector.im[row] -= im;
        }
        for row in (0..size).rev() {
            let at = row * wide;
            let (re, im) = dot(
                (
                    &self.re[at + row + 1..at + size],
                    &self.im[at + row + 1..at + size],
                ),
                (&vector.re[row + 1..size], &vector.im[row + 1..size]),
            );
            let (r, i) = (vector.re[row] - re, vector.im[row] - im);
            let (pr, pi) = (self.re[at + row], self.im[at + row]);
            let scale = 1.0 / (pr * pr + pi * pi);
            vector.re[row] = (r * pr + i * pi) * scale;
            vector.im[row] = (i * pr - r * pi) * scale;
        }
    }

    /// As [`Block::solve`], for the transposed (not conjugated) matrix.
    pub fn solve_transposed(&self, exchanges: &[u32], vector: &mut Vector) {
        let size = self.rows;
        let wide = self.columns;
        for row in 0..size {
            let at = row * wide;
            let (pr, pi) = (self.re[at + row], self.im[at + row]);
            let scale = 1.0 / (pr * pr + pi * pi);
            let (r, i) = (vector.re[row], vector.im[row]);
            let value = ((r * pr + i * pi) * scale, (i * pr - r * pi) * scale);
            vector.re[row] = value.0;
            vector.im[row] = value.1;
            subtract(
                &mut vector.re[row + 1..size],
                &mut vector.im[row + 1..size],
                value,
                (
                    &self.re[at + row + 1..at + size],
                    &self.im[at + row + 1..at + size],
                ),
            );
        }
        for row in (1..size).rev() {
            let at = row * wide;
            let value = (vector.re[row], vector.im[row]);
            subtract(
                &mut vector.re[..row],
                &mut vector.im[..row],
                value,
                (&self.re[at..at + row], &self.im[at..at + row]),
            );
        }
        for (row, &other) in exchanges.iter().enumerate().rev() {
            vector.re.swap(row, other as usize);
            vector.im.swap(row, other as usize);
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]
mod tests {
    use super::*;

    /// A matrix without any order in it, some of its diagonal zero, so that rows must be exchanged.
    fn sample(rows: usize, columns: usize) -> Block {
        let mut block = Block::zeros(rows, columns);
        let mut state = 12_345_u32;
        let mut next = || {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            f64::from(state >> 8) / f64::from(1 << 24) - 0.5
        };
        for x in 0..rows * columns {
            block.re[x] = next();
            block.im[x] = next();
        }
        block.re[0] = 0.0;
        block.im[0] = 0.0;
        block
    }

    fn times(matrix: &Block, row: usize, x: &Vector, transposed: bool) -> (f64, f64) {
        let size = matrix.rows();
        let mut sum = (0.0, 0.0);
        for column in 0..size {
            let at = if transposed {
                column * matrix.columns() + row
            } else {
                row * matrix.columns() + column
            };
            sum.0 += matrix.re[at] * x.re[column] - matrix.im[at] * x.im[column];
            sum.1 += matrix.re[at] * x.im[column] + matrix.im[at] * x.re[column];
        }
        sum
    }

    #[test]
    fn solutions_put_back_give_the_right_hand_side() {
        for size in [1, 2, 3, 4, 5, 8, 13, 31] {
            if size == 1 {
                continue;
            }
            let many = 7;
            let matrix = sample(size, size + many);
            let mut factors = matrix.clone();
            let exchanges = factors.factor().unwrap();
            let mut columns = Block::default();
            factors.solve_columns(&mut columns);
            for column in 0..many {
                let mut x = Vector::zeros(size);
                for row in 0..size {
                    x.re[row] = columns.re[row * many + column];
                    x.im[row] = columns.im[row * many + column];
                }
                for row in 0..size {
                    let (re, im) = times(&matrix, row, &x, false);
                    let at = row * (size + many) + size + column;
                    assert!((re - matrix.re[at]).abs() < 1e-11);
                    assert!((im - matrix.im[at]).abs() < 1e-11);
                }
            }
            for transposed in [false, true] {
                let mut x = Vector::zeros(size);
                for row in 0..size {
                    x.re[row] = 1.0 + row as f64;
                    x.im[row] = -0.5 * row as f64;
                }
                let wanted = x.clone();
                if transposed {
                    factors.solve_transposed(&exchanges, &mut x);
                } else {
                    factors.solve(&exchanges, &mut x);
                }
                for row in 0..size {
                    let (re, im) = times(&matrix, row, &x, transposed);
                    assert!((re - wanted.re[row]).abs() < 1e-10);
                    assert!((im - wanted.im[row]).abs() < 1e-10);
                }
            }
        }
    }

    #[test]
    fn a_singular_matrix_is_refused() {
        let mut none = Block::zeros(3, 3);
        assert!(none.factor().is_none());
    }
}
