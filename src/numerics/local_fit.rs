//! A periodic function and its slope from values that have errors: at every node the cubic that fits the nodes about it
//! best, over the widest window that the errors allow.
//!
//! A window is too wide when the values miss the cubic by more than their errors explain (χ²), or when the slope there
//! leaves the band of those from narrower windows (A. Goldenshluger and A. Nemirovski, Math. Methods Stat. 6, 135 (1997), from
//! memory: intersecting confidence intervals). So a corner is followed by few nodes, and where the curve runs smoothly many
//! nodes average their errors out.

/// A value with its standard error. Without a finite one it does not count.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured {
    /// The value.
    pub value: f64,
    /// Its standard error.
    pub error: f64,
}

/// The function at a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fitted {
    /// The value.
    pub value: f64,
    /// Its standard error.
    pub value_error: f64,
    /// The slope.
    pub slope: f64,
    /// Its standard error.
    pub slope_error: f64,
}

/// A fitted function of period 1.
#[derive(Debug, Clone, PartialEq)]
pub struct LocalFit {
    /// One cubic for each node of a period.
    cubics: Vec<Cubic>,
}

/// Coefficients of powers of the distance from the node, and the covariance of value, slope … in the same unit.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Cubic {
    powers: [f64; 4],
    covariance: [[f64; 4]; 4],
}

/// Nodes of a window to each side, narrowest first.
const WINDOWS: [usize; 14] = [2, 3, 4, 5, 6, 8, 10, 13, 16, 20, 26, 32, 40, 50];

/// A window is refused when chance alone would do so once in 44 times.
const DEVIATIONS: f64 = 2.0;

/// The window is chosen by the same values that are averaged in it, which adds to the error (measured on random paths
/// whose curve was known).
const CHOICE: f64 = 1.3;

impl LocalFit {
    /// From values at 0, 1/N, … (N − 1)/N.
    #[must_use]
    pub fn of_period(values: &[Measured]) -> Self {
        Self::new(values, values.len(), |index| index)
    }

    /// Of an even function, from values at 0, 1/N, … 1/2.
    #[must_use]
    pub fn of_half_period(values: &[Measured]) -> Self {
        let period = 2 * values.len().saturating_sub(1);
        Self::new(values, period, |index| index.min(period - index))
    }

    fn new(values: &[Measured], period: usize, stored: impl Fn(usize) -> usize) -> Self {
        let at = |place: usize| {
            let index = stored(place % period.max(1));
            values.get(index).map(|value| (index, *value))
        };
        Self {
            cubics: (0..period)
                .map(|node| widest(period, |offset| at(node + period + offset - period / 2)))
                .collect(),
        }
    }

    /// The function at a place: between two nodes their cubics go over into each other.
    #[must_use]
    pub fn at(&self, x: f64) -> Fitted {
        let count = self.cubics.len();
        let place = (x - x.floor()) * count as f64;
        let left = (place.floor() as usize).min(count.saturating_sub(1));
        let (Some(before), Some(after)) = (
            self.cubics.get(left),
            self.cubics.get((left + 1) % count.max(1)),
        ) else {
            return Fitted {
                value: f64::NAN,
                value_error: f64::INFINITY,
                slope: f64::NAN,
                slope_error: f64::INFINITY,
            };
        };
        let t = place - left as f64;
        let share = t * t * (3.0 - 2.0 * t);
        let (one, two) = (before.at(t), after.at(t - 1.0));
        let mix = |a: f64, b: f64| a + share * (b - a);
        let nodes = count as f64;
        Fitted {
            value: mix(one.value, two.value),
            value_error: mix(one.value_error, two.value_error),
            slope: nodes * mix(one.slope, two.slope),
            slope_error: nodes * mix(one.slope_error, two.slope_error),
        }
    }
}

impl Cubic {
    /// The same with `times` the variance, if that is more.
    fn erring(self, times: f64) -> Self {
        let times = times.max(1.0);
        Self {
            covariance: self
                .covariance
                .map(|row| row.map(|element| times * element)),
            ..self
        }
    }

    /// At a distance from its node, in steps from node to node.
    fn at(&self, t: f64) -> Fitted {
        let value = [1.0, t, t * t, t * t * t];
        let slope = [0.0, 1.0, 2.0 * t, 3.0 * t * t];
        let along =
            |row: &[f64; 4]| -> f64 { row.iter().zip(&self.powers).map(|(a, b)| a * b).sum() };
        let error = |row: &[f64; 4]| -> f64 {
            let variance: f64 = row
                .iter()
                .zip(&self.covariance)
                .map(|(a, covariances)| {
                    a * row.iter().zip(covariances).map(|(b, c)| b * c).sum::<f64>()
                })
                .sum();
            CHOICE * variance.max(0.0).sqrt()
        };
        Fitted {
            value: along(&value),
            value_error: error(&value),
            slope: along(&slope),
            slope_error: error(&slope),
        }
    }
}

/// The cubic about a node over its widest window; `at` gives the stored place and the value, the node itself being
/// number `period / 2`.
fn widest(period: usize, at: impl Fn(usize) -> Option<(usize, Measured)>) -> Cubic {
    let middle = period / 2;
    let mut best: Option<Cubic> = None;
    let mut band = (f64::NEG_INFINITY, f64::INFINITY);
    for width in WINDOWS.into_iter().filter(|width| 4 * width <= period) {
        let mut window: Vec<(f64, usize, Measured)> = (middle - width..=middle + width)
            .filter_map(|place| {
                let (index, value) = at(place)?;
                let known = value.value.is_finite() && value.error.is_finite();
                known.then_some((place as f64 - middle as f64, index, value))
            })
            .collect();
        // A value that stands twice in the window, on both sides of a mirror, counts once.
        let mut places: Vec<usize> = window.iter().map(|(_, index, _)| *index).collect();
        places.sort_unstable();
        for (_, index, value) in &mut window {
            let times = places.partition_point(|place| place <= index)
                - places.partition_point(|place| place < index);
            value.error *= (times as f64).sqrt();
        }
        places.dedup();
        let Some((cubic, misfit)) = fit(&window, width as f64) else {
            continue;
        };
        let freedom = places.len() as f64 - 4.0;
        let (slope, error) = (cubic.powers[1], cubic.covariance[1][1].max(0.0).sqrt());
        let tightened = (
            band.0.max(slope - DEVIATIONS * error),
            band.1.min(slope + DEVIATIONS * error),
        );
        let fits = misfit <= most_by_chance(freedom) && tightened.0 <= tightened.1;
        if !fits {
            // Where no window will do, the narrowest does, as badly as it misses.
            best = best.or_else(|| Some(cubic.erring(misfit / most_by_chance(freedom))));
            break;
        }
        band = tightened;
        best = Some(cubic);
    }
    best.unwrap_or(Cubic {
        powers: [f64::NAN; 4],
        covariance: [[f64::INFINITY; 4]; 4],
    })
}

/// χ² of so many degrees of freedom, exceeded as seldom as a normal variable exceeds [`DEVIATIONS`] of its own (the first terms of
/// Cornish and Fisher's series, from memory).
fn most_by_chance(freedom: f64) -> f64 {
    let freedom = freedom.max(0.0);
    let z = DEVIATIONS;
    freedom + z * (2.0 * freedom).sqrt() + (z * z - 1.0) * 2.0 / 3.0
}

/// The cubic with the least squares of misfits over errors, and their sum; nothing when the values do not fix one.
fn fit(window: &[(f64, usize, Measured)], width: f64) -> Option<(Cubic, f64)> {
    // Distances in widths keep the powers alike.
    let powers = |t: f64| {
        let x = t / width;
        [1.0, x, x * x, x * x * x]
    };
    let mut normal = [[0.0; 4]; 4];
    let mut right = [0.0; 4];
    for (t, _, value) in window {
        let weight = 1.0 / (value.error * value.error).max(f64::MIN_POSITIVE);
        let row = powers(*t);
        for ((sums, sum), a) in normal.iter_mut().zip(&mut right).zip(&row) {
            for (sum, b) in sums.iter_mut().zip(&row) {
                *sum += weight * a * b;
            }
            *sum += weight * a * value.value;
        }
    }
    let inverse = inverse(normal)?;
    let coefficients = inverse.map(|row| row.iter().zip(&right).map(|(a, b)| a * b).sum::<f64>());
    let misfit = window
        .iter()
        .map(|(t, _, value)| {
            let there: f64 = powers(*t)
                .iter()
                .zip(&coefficients)
                .map(|(a, b)| a * b)
                .sum();
            let off = (value.value - there) / value.error.max(f64::MIN_POSITIVE);
            off * off
        })
        .sum();
    let scale = powers(1.0);
    let mut cubic = Cubic {
        powers: coefficients,
        covariance: inverse,
    };
    for ((power, row), a) in cubic
        .powers
        .iter_mut()
        .zip(&mut cubic.covariance)
        .zip(&scale)
    {
        *power *= a;
        for (covariance, b) in row.iter_mut().zip(&scale) {
            *covariance *= a * b;
        }
    }
    Some((cubic, misfit))
}

/// The inverse of a symmetric positive matrix, by Gauss and Jordan's elimination; nothing for one that is not positive.
fn inverse(mut matrix: [[f64; 4]; 4]) -> Option<[[f64; 4]; 4]> {
    let size = [0, 1, 2, 3].map(|k| matrix[k][k]);
    let mut inverse = [[0.0; 4]; 4];
    for (k, row) in inverse.iter_mut().enumerate() {
        row[k] = 1.0;
    }
    for k in 0..4 {
        let pivot = matrix[k][k];
        // What is left of a diagonal element after rounding would give any slope.
        if !pivot.is_finite() || pivot <= 1e-13 * size[k] {
            return None;
        }
        for column in 0..4 {
            matrix[k][column] /= pivot;
            inverse[k][column] /= pivot;
        }
        for row in (0..4).filter(|row| *row != k) {
            let factor = matrix[row][k];
            for column in 0..4 {
                matrix[row][column] -= factor * matrix[k][column];
                inverse[row][column] -= factor * inverse[k][column];
            }
        }
    }
    Some(inverse)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::numerics::elementary::{cos, sin};
    use core::f64::consts::TAU;

    /// A wave with errors of a normal kind, spread evenly over their distribution but in disorder.
    fn wave(nodes: usize, error: f64) -> Vec<Measured> {
        (0..nodes)
            .map(|k| {
                let uniform = |by: f64| {
                    let x = (k as f64 + 1.0) * by;
                    x - x.floor() - 0.5
                };
                let off = (uniform(0.618_034) + uniform(0.414_214) + uniform(0.732_051)) * 2.0;
                Measured {
                    value: cos(TAU * k as f64 / nodes as f64) + error * off,
                    error,
                }
            })
            .collect()
    }

    #[test]
    fn errors_are_averaged_out_and_stated() {
        let fitted = LocalFit::of_period(&wave(64, 0.02));
        let (mut squares, mut stated, mut slopes, mut slope_stated) = (0.0, 0.0, 0.0, 0.0);
        for k in 0..500 {
            let x = f64::from(k) / 500.0;
            let found = fitted.at(x);
            let (off, bend) = (found.value - cos(TAU * x), found.slope + TAU * sin(TAU * x));
            squares += off * off;
            stated += found.value_error * found.value_error;
            slopes += bend * bend;
            slope_stated += found.slope_error * found.slope_error;
        }
        let (value, slope) = ((squares / 500.0_f64).sqrt(), (slopes / 500.0_f64).sqrt());
        let (stated, slope_stated) = (
            (stated / 500.0_f64).sqrt(),
            (slope_stated / 500.0_f64).sqrt(),
        );
        assert!(
            value < 0.012 && value < 1.5 * stated && stated < 0.02,
            "{value} {stated}"
        );
        // Two neighbours alone would leave 0.02 √2 · 64/2 = 0.9.
        assert!(
            slope < 0.3 && slope < 1.5 * slope_stated,
            "{slope} {slope_stated}"
        );
    }

    #[test]
    fn a_corner_is_followed() {
        let corner = |x: f64| {
            if x < 0.3 {
                0.0
            } else {
                (x - 0.3).min(0.7 - x).max(0.0)
            }
        };
        let values: Vec<Measured> = (0..=80)
            .map(|k| Measured {
                value: corner(f64::from(k) / 160.0),
                error: 1e-4,
            })
            .collect();
        let fitted = LocalFit::of_half_period(&values);
        for x in [0.1, 0.27, 0.33, 0.4, 0.67, 0.9] {
            let (found, wanted) = (fitted.at(x), corner(x));
            assert!((found.value - wanted).abs() < 1e-3, "{x} {found:?}");
        }
        assert!(
            (fitted.at(0.4).slope - 1.0).abs() < 0.01 && (fitted.at(0.6).slope + 1.0).abs() < 0.01
        );
    }

    #[test]
    fn few_values_are_borne() {
        assert!(LocalFit::of_period(&[]).at(0.3).value.is_nan());
        assert!(
            LocalFit::of_half_period(&wave(1, 0.1))
                .at(0.3)
                .value
                .is_nan()
        );
        let unknown = [Measured {
            value: 0.0,
            error: f64::INFINITY,
        }; 16];
        assert!(LocalFit::of_period(&unknown).at(0.3).value.is_nan());
    }
}
