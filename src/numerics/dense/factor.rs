//! A block factored into a lower and an upper triangle, rows exchanged for the largest pivots.

use super::Block;
use super::rows::{PANEL, subtract, subtract_four};

impl Block {
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
}
