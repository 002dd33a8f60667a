//! Dense complex blocks kept as separate real and imaginary parts, row by row: factors, solutions
//! and products for block elimination.
//!
//! Everything is plain arithmetic in a fixed order, so that the browser and a native build give the
//! same bits; the inner loops run along a row over four source rows at once, which a compiler turns
//! into vector instructions by itself. A matrix with more columns than rows is taken as a square one
//! with right-hand sides beside it: its factorisation treats them in the same sweep.
//!
//! Method: Gaussian elimination with row exchanges (textbook), in panels of four columns.

mod factor;
mod rows;
mod solve;

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
}
