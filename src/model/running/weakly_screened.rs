//! The running state of a loop whose phases' difference is stiff (small β_L).
//!
//! There the difference d = (δ1 − δ2)/2 follows the mean s = (δ1 + δ2)/2 at once, and stepping in
//! time would take steps of the size of β_L. Instead d is sought as a smooth periodic function of
//! s, which satisfies ḋ(s, d) = d'(s) ṡ(s, d): collocation on an even grid, Newton's method. The
//! period is then T = ∮ ds/ṡ, with points crowded where ṡ is least, so that it is as exact close to the
//! critical current as far from it.

use super::Quiet;
use crate::model::shunted_loop::ShuntedLoop;
use crate::numerics::elementary::{atan2, sin_cos};

use core::f64::consts::{PI, TAU};

/// Points of the grid in s. Harmonics of d fall like powers of β_L.
const GRID: usize = 24;

/// Newton steps for d.
const MOST_STEPS: u32 = 30;

/// Points of the integral, doubled until it settles.
const INTEGRAL: (u32, u32) = (32, 4096);

type Row = [f64; GRID];

/// Keeps the last solution as the start of the next.
#[derive(Debug, Clone)]
pub(super) struct WeaklyScreened {
    /// d less π times the flux, on the grid.
    bend: Row,
}

/// Drift of s and d with derivatives.
struct Drift {
    /// ṡ, its derivatives in s and in d.
    mean: (f64, f64, f64),
    /// Half of π times β_L times the rate of d, without the restoring part; and its derivative in d.
    difference: (f64, f64),
}

fn drift(device: &ShuntedLoop, bias: f64, s: f64, d: f64) -> Drift {
    let alpha = 0.5 * (device.left() - device.right());
    let ((ss, cs), (sd, cd)) = (sin_cos(s), sin_cos(d));
    let stiff = 0.5 * PI * device.beta_l();
    Drift {
        mean: (
            0.5 * bias - (ss * cd + alpha * cs * sd),
            -(cs * cd - alpha * ss * sd),
            ss * sd - alpha * cs * cd,
        ),
        difference: (
            -stiff * (alpha * ss * cd + cs * sd),
            -stiff * (cs * cd - alpha * ss * sd),
        ),
    }
}

impl WeaklyScreened {
    pub(super) fn new() -> Self {
        Self { bend: [0.0; GRID] }
    }

    /// The working point above the critical current, for positive bias; nothing when no smooth
    /// running state was found.
    pub(super) fn at(&mut self, device: &ShuntedLoop, bias: f64, flux: f64) -> Option<Quiet> {
        let wanted = PI * flux;
        let grid: Row = core::array::from_fn(|j| TAU * j as f64 / GRID as f64);
        let derivative = differentiation();
        let stiff = 0.5 * PI * device.beta_l();
        let mut bend = self.bend;
        let mut settled = None;
        for _ in 0..MOST_STEPS {
            let mut matrix = [[0.0; GRID]; GRID];
            // Newton's correction, and how d moves with flux and with bias.
            let mut sides = [[0.0; GRID]; 3];
            let slopes: Row = core::array::from_fn(|j| {
                (0..GRID)
                    .map(|k| derivative[(GRID + j - k) % GRID] * bend[k])
                    .sum()
            });
            for j in 0..GRID {
                let here = drift(device, bias, grid[j], wanted + bend[j]);
                let (rate, _, rate_d) = here.mean;
                let (push, push_d) = here.difference;
                let off = push - bend[j] - stiff * slopes[j] * rate;
                for k in 0..GRID {
                    matrix[j][k] = stiff * rate * derivative[(GRID + j - k) % GRID];
                }
                let by_d = push_d - stiff * slopes[j] * rate_d;
                matrix[j][j] += 1.0 - by_d;
                sides[0][j] = off;
                sides[1][j] = PI * by_d;
                sides[2][j] = -0.5 * stiff * slopes[j];
            }
            solve(&mut matrix, &mut sides)?;
            let [step, by_flux, by_bias] = sides;
            let size = step
                .iter()
                .fold(0.0, |size: f64, step| size.max(step.abs()));
            for (bend, step) in bend.iter_mut().zip(step) {
                *bend += step;
            }
            if size < 1e-7 {
                settled = Some((by_flux, by_bias));
                break;
            }
        }
        let (by_flux, by_bias) = settled?;
        self.bend = bend;
        let orbit = Orbit {
            device,
            bias,
            wanted,
            bend: Harmonics::of(&bend),
            by_flux: Harmonics::of(&by_flux),
            by_bias: Harmonics::of(&by_bias),
        };
        orbit.quiet(&grid)
    }
}

/// d as a function of s, with its derivatives in flux and bias.
struct Orbit<'a> {
    device: &'a ShuntedLoop,
    bias: f64,
    wanted: f64,
    bend: Harmonics,
    by_flux: Harmonics,
    by_bias: Harmonics,
}

impl Orbit<'_> {
    /// ṡ along the orbit, its derivative in s, flux and bias.
    fn rate(&self, s: f64) -> [f64; 4] {
        let (bend, slope) = self.bend.at(s);
        let here = drift(self.device, self.bias, s, self.wanted + bend);
        let (rate, in_s, in_d) = here.mean;
        [
            rate,
            in_s + in_d * slope,
            in_d * (PI + self.by_flux.at(s).0),
            0.5 + in_d * self.by_bias.at(s).0,
        ]
    }

    fn quiet(&self, grid: &Row) -> Option<Quiet> {
        // The slowest place, by Newton on ṡ' from the slowest point of the grid.
        let mut slow = grid.iter().copied().fold((0.0, f64::INFINITY), |best, s| {
            let rate = self.rate(s)[0];
            if rate < best.1 { (s, rate) } else { best }
        });
        let width = TAU / GRID as f64;
        let (mut low, mut high) = (slow.0 - width, slow.0 + width);
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if self.rate(middle)[1] > 0.0 {
                high = middle;
            } else {
                low = middle;
            }
        }
        let place = 0.5 * (low + high);
        let least = self.rate(place)[0];
        if least < slow.1 {
            slow = (place, least);
        }
        let (place, least) = slow;
        if least <= 0.0 {
            return None;
        }
        let h = 1e-3;
        let curvature = (self.rate(place + h)[1] - self.rate(place - h)[1]) / (2.0 * h);
        // For ṡ = c − cos s this makes the integrand constant.
        let narrow = (least / (least + 2.0 * curvature.max(0.0))).sqrt();
        let (mut points, most) = INTEGRAL;
        let mut last = self.integrals(place, narrow, points);
        while points < most {
            points *= 2;
            let next = self.integrals(place, narrow, points);
            let change = (next[0] - last[0]).abs();
            let moved = (next[1] - last[1]).abs() + (next[2] - last[2]).abs();
            let size = next[1].abs() + next[2].abs();
            last = next;
            if change <= 1e-12 * next[0] && moved <= 1e-9 * size {
                break;
            }
        }
        let [time, by_flux, by_bias] = last;
        let slope = TAU / (time * time);
        let transfer = slope * by_flux;
        Some(Quiet {
            voltage: TAU / time,
            transfer,
            resistance: slope * by_bias + transfer * self.device.flux_at(0.0, 1.0),
            error: 1e-10 * TAU / time,
        })
    }

    /// The period ∮ ds/ṡ, and ∮ ∂ṡ/ṡ² for flux and bias, over points crowded about `place`.
    fn integrals(&self, place: f64, narrow: f64, points: u32) -> [f64; 3] {
        let mut sums = [0.0; 3];
        for k in 0..points {
            let angle = TAU * (f64::from(k) + 0.5) / f64::from(points) - PI;
            let (sine, cosine) = sin_cos(0.5 * angle);
            let s = place + 2.0 * atan2(narrow * sine, cosine);
            let weight = narrow / (cosine * cosine + narrow * narrow * sine * sine);
            let [rate, _, flux, bias] = self.rate(s);
            let share = weight / rate;
            sums[0] += share;
            sums[1] += share * flux / rate;
            sums[2] += share * bias / rate;
        }
        sums.map(|sum| sum * TAU / f64::from(points))
    }
}

/// A periodic function as Fourier series.
struct Harmonics {
    cosines: [f64; GRID / 2],
    sines: [f64; GRID / 2],
}

impl Harmonics {
    fn of(values: &Row) -> Self {
        let turns: [(f64, f64); GRID] =
            core::array::from_fn(|j| sin_cos(TAU * j as f64 / GRID as f64));
        let mut series = Self {
            cosines: [0.0; GRID / 2],
            sines: [0.0; GRID / 2],
        };
        for m in 0..GRID / 2 {
            let share = if m == 0 { 1.0 } else { 2.0 } / GRID as f64;
            for (j, value) in values.iter().enumerate() {
                let (sine, cosine) = turns[(j * m) % GRID];
                series.cosines[m] += share * value * cosine;
                series.sines[m] += share * value * sine;
            }
        }
        series
    }

    /// Value and slope.
    fn at(&self, s: f64) -> (f64, f64) {
        let (turn_sine, turn_cosine) = sin_cos(s);
        let (mut sine, mut cosine) = (0.0, 1.0);
        let (mut value, mut slope) = (0.0, 0.0);
        for (m, (c, s)) in self.cosines.iter().zip(&self.sines).enumerate() {
            value += c * cosine + s * sine;
            slope += m as f64 * (s * cosine - c * sine);
            (sine, cosine) = (
                sine * turn_cosine + cosine * turn_sine,
                cosine * turn_cosine - sine * turn_sine,
            );
        }
        (value, slope)
    }
}

/// First column of the matrix that differentiates a periodic function on the grid: entry (j, k) is
/// ½ (−1)^(j−k) cot((j−k) π/GRID) (L. N. Trefethen, Spectral Methods in MATLAB, 2000, from memory).
fn differentiation() -> Row {
    core::array::from_fn(|k| {
        if k == 0 {
            return 0.0;
        }
        let (sine, cosine) = sin_cos(PI * k as f64 / GRID as f64);
        let sign = if k % 2 == 0 { 0.5 } else { -0.5 };
        sign * cosine / sine
    })
}

/// Solves for three right-hand sides in place, by elimination with exchange of rows. Nothing when
/// the matrix is singular.
fn solve(matrix: &mut [Row; GRID], sides: &mut [Row; 3]) -> Option<()> {
    for column in 0..GRID {
        let pivot = (column..GRID).max_by(|a, b| {
            matrix[*a][column]
                .abs()
                .total_cmp(&matrix[*b][column].abs())
        })?;
        if matrix[pivot][column].abs() < 1e-300 || !matrix[pivot][column].is_finite() {
            return None;
        }
        matrix.swap(column, pivot);
        for side in sides.iter_mut() {
            side.swap(column, pivot);
        }
        let top = matrix[column];
        for row in column + 1..GRID {
            let factor = matrix[row][column] / top[column];
            for (cell, above) in matrix[row].iter_mut().zip(&top).skip(column) {
                *cell -= factor * above;
            }
            for side in sides.iter_mut() {
                side[row] -= factor * side[column];
            }
        }
    }
    for column in (0..GRID).rev() {
        for side in sides.iter_mut() {
            side[column] /= matrix[column][column];
            let found = side[column];
            for row in 0..column {
                side[row] -= matrix[row][column] * found;
            }
        }
    }
    Some(())
}
