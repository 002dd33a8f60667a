//! What the paths tell: voltage and noise with their standard errors, from how far the mean phase moved from block to
//! block.

use super::{Langevin, PAIRS};

use core::f64::consts::{PI, TAU};

/// The variance between eight paths over what is expected of it stays below this but for once in a thousand times (χ² of
/// seven degrees of freedom over seven).
const BEYOND_CHANCE: f64 = 24.32 / 7.0;

/// An estimate with its standard error.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// The value.
    pub value: f64,
    /// Its standard error; infinite before there are three blocks.
    pub error: f64,
}

/// Of what is not known yet.
const UNKNOWN: Estimate = Estimate {
    value: 0.0,
    error: f64::INFINITY,
};

/// What is read from the changes of all paths.
#[derive(Debug, Clone, Copy)]
struct Moments {
    count: f64,
    mean: f64,
    variance: f64,
    /// Fourth moment over the square of the variance; 3 for a normal distribution.
    kurtosis: f64,
    /// Variance between the paths' voltages over what is expected of it, when chance does not make it so large; else 1.
    memory: f64,
    /// Variance of one path's voltage for a phase that wanders with the noise seen.
    path: f64,
    /// Whether any path slipped.
    slipped: bool,
}

impl Langevin {
    /// Mean voltage in I0 R. Where no path slipped, one slip in all that time is its error.
    #[must_use]
    pub fn voltage(&self) -> Estimate {
        let Some(moments) = self.moments() else {
            return UNKNOWN;
        };
        let scatter = (moments.path * moments.memory / (2 * PAIRS) as f64).sqrt();
        let least = if moments.slipped {
            0.0
        } else {
            TAU / (moments.count * self.block())
        };
        Estimate {
            value: moments.mean / self.block(),
            error: scatter.max(least),
        }
    }

    /// One-sided voltage noise at low frequency in (I0 R)² Φ0/(2π I0 R): four times the diffusion of the mean
    /// phase. Where no path slipped, what its rocking leaves of it in the averages, and one slip in all that time is
    /// its error.
    #[must_use]
    pub fn noise(&self) -> Estimate {
        let Some(moments) = self.moments() else {
            return UNKNOWN;
        };
        let value = 3.0 * moments.variance / self.block();
        // Neighbouring changes share a block: their correlation of 1/4 makes the scatter of the variance that of 8/9 as
        // many. Rare slips scatter it more, as the fourth moment tells; and what lasts longer than a
        // block adds noise at still lower frequencies.
        let chance = (1.125 * (moments.kurtosis.max(3.0) - 1.0) / moments.count).sqrt();
        // Slips at random, one in all that time: D is half the square of a slip over the time.
        let least = if moments.slipped {
            0.0
        } else {
            2.0 * square(TAU) / (moments.count * self.block())
        };
        Estimate {
            value,
            error: (value * chance.max(moments.memory - 1.0)).max(least),
        }
    }

    /// Nothing before there is a change.
    fn moments(&self) -> Option<Moments> {
        let blocks = self.changes.len() as f64;
        if self.changes.is_empty() {
            return None;
        }
        let paths = (2 * PAIRS) as f64;
        let count = paths * blocks;
        let all = || self.changes.iter().flatten();
        let mean = all().sum::<f64>() / count;
        let squares: f64 = all().map(|change| square(change - mean)).sum();
        let fourths: f64 = all().map(|change| square(square(change - mean))).sum();
        let variance = squares / (count - 1.0);
        // Of a path's m changes only the ends are left when they are added up: 2D t (m − 1/3).
        let path = 1.5 * variance * (blocks - 1.0 / 3.0) / square(blocks * self.block());
        let between: f64 = (0..2 * PAIRS)
            .map(|lane| {
                let sum: f64 = self
                    .changes
                    .iter()
                    .filter_map(|change| change.get(lane))
                    .sum();
                square((sum / blocks - mean) / self.block())
            })
            .sum();
        let ratio = between / ((paths - 1.0) * path.max(f64::MIN_POSITIVE));
        Some(Moments {
            count,
            mean,
            variance,
            kurtosis: fourths * count / square(squares).max(f64::MIN_POSITIVE),
            memory: if ratio > BEYOND_CHANCE { ratio } else { 1.0 },
            path,
            slipped: all().any(|change| change.abs() > PI),
        })
    }
}

fn square(x: f64) -> f64 {
    x * x
}
