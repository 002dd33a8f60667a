//! What a factored block is factored for: solutions for columns, for a vector, and for the transposed block.

use super::rows::{PANEL, dot, subtract, subtract_four};
use super::{Block, Vector};

impl Block {
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
        for size in [2, 3, 4, 5, 8, 13, 31] {
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
