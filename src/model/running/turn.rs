//! One turn of the running loop: both phases slip by 2π, followed in time together with the slopes in what it began
//! with.

use super::series::{Path, Series};
use crate::model::shunted_loop::ShuntedLoop;
use crate::numerics::lanes::{Lane, Pair};

use core::f64::consts::{PI, TAU};

/// The most steps of one turn: a loop that has not turned by then creeps past the place where it would rest.
const MOST_STEPS: u32 = 3_000;

/// One turn from the section to the next: where it ends, when, and how that depends on where and
/// under which parameters it began.
#[derive(Debug, Clone, Copy)]
pub(super) struct Turn {
    pub(super) end: f64,
    pub(super) time: f64,
    /// Of the end: in d, flux, bias.
    pub(super) end_slopes: [f64; 3],
    /// Of the time.
    pub(super) time_slopes: [f64; 3],
    pub(super) steps: u32,
}

impl Turn {
    /// The turn from the section at `difference`, at a bias in I0 and a flux in Φ0. Nothing when the loop creeps past the
    /// place where it would rest.
    pub(super) fn new(device: &ShuntedLoop, bias: f64, flux: f64, difference: f64) -> Option<Turn> {
        // The section lies where the mean of the phases moves fast for small differences.
        let start = -0.5 * PI;
        let mut path = Path {
            phases: Pair::new(start + difference, start - difference),
            slopes: [Pair::new(1.0, -1.0), Pair::splat(0.0), Pair::splat(0.0)],
        };
        let goal = 2.0 * start + 2.0 * TAU;
        let mut series = Series::empty();
        let mut time = 0.0;
        for steps in 1..=MOST_STEPS {
            series.expand(device, bias, flux, &path);
            let step = series.step();
            let next = series.path_at(step);
            if next.phases.sum() < goal {
                path = next;
                time += step;
                continue;
            }
            let t = crossing(&series, goal, path.phases.sum(), next.phases.sum(), step);
            return Some(cross(&series, t, time, steps));
        }
        None
    }
}

/// When the sum of the phases comes to `goal`, which it passes within the step: Newton on the
/// polynomial, kept between the ends.
fn crossing(series: &Series, goal: f64, from: f64, to: f64, step: f64) -> f64 {
    let (mut low, mut high) = (0.0, step);
    let mut t = step * (goal - from) / (to - from);
    for _ in 0..60 {
        let (sum, rate) = series.sum_at(t);
        if sum > goal {
            high = t;
        } else {
            low = t;
        }
        let newton = t - (sum - goal) / rate;
        let next = if newton > low && newton < high {
            newton
        } else {
            0.5 * (low + high)
        };
        if (next - t).abs() <= 1e-14 * step {
            return next;
        }
        t = next;
    }
    t
}

/// The turn that ends `t` after the last step's start.
fn cross(series: &Series, t: f64, time: f64, steps: u32) -> Turn {
    let end = series.path_at(t);
    let rates = series.rates_at(t).both();
    let sum_rate = rates[0] + rates[1];
    let mut end_slopes = [0.0; 3];
    let mut time_slopes = [0.0; 3];
    for (place, (end_slope, time_slope)) in end_slopes.iter_mut().zip(&mut time_slopes).enumerate()
    {
        let [one, two] = end.slopes[place].both();
        // At fixed time the sum would move by one + two; the crossing comes earlier by that.
        *time_slope = -(one + two) / sum_rate;
        *end_slope = 0.5 * (one - two + (rates[0] - rates[1]) * *time_slope);
    }
    Turn {
        end: 0.5 * (end.phases - end.phases.swap()).both()[0],
        time: time + t,
        end_slopes,
        time_slopes,
        steps,
    }
}
