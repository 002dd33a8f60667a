//! The voltage state of a shunted loop with capacitance, without noise: mean voltage from whole slips, on
//! the way up from rest and on the way down from the running state.
//!
//! With capacitance a state of rest and a running one can exist side by side; which one the
//! loop is in depends on where it comes from, see [`Branch`]. The critical current is that of
//! [`super::screened_loop`]; the return current is where the running state ends.
//!
//! # Cost
//! A slip or more for every point of a sweep, each starting from its neighbour's state: some
//! 20 to 100 µs; more for large β_c, where the loop forgets its past slowly, and where its motion has no period.

mod settle;

use super::running::Running;
use super::running::flow::{Flow, State};
use super::running::march::SECTION;
use super::screened_loop::{CriticalCurve, Loop};
use super::shunted_loop::ShuntedLoop;
use crate::numerics::lanes::{Lane, Pair};
use crate::numerics::vector_sine::sine;
use settle::{Motion, settle};

use core::f64::consts::{PI, TAU};

/// Where the loop comes from. Without capacitance both are the same.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Branch {
    /// The bias is raised from zero: at rest up to the critical current.
    Rising,
    /// The bias is lowered from far above: running down to the return current.
    Falling,
}

/// Finds the mean voltage of one loop; remembers the last states, so that a sweep costs little.
///
/// ```
/// use coldfringe::model::underdamped::{Branch, Underdamped};
/// use coldfringe::model::shunted_loop::ShuntedLoop;
///
/// let device = ShuntedLoop::symmetric(1.0).ok_or("no such loop")?;
/// let mut state = Underdamped::new(&device);
/// // Without flux both junctions move alike, as one would: v = √(i² − 1) of each.
/// let voltage = state.voltage(2.5, 0.0, Branch::Rising);
/// assert!((voltage - 0.75).abs() < 1e-8);
/// assert!(state.voltage(1.9, 0.0, Branch::Rising) == 0.0);
/// # Ok::<(), &'static str>(())
/// ```
#[derive(Debug, Clone)]
pub struct Underdamped {
    device: ShuntedLoop,
    critical: Option<CriticalCurve>,
    /// Without capacitance.
    limit: Option<Running>,
    /// The last running state with capacitance: bias, flux, phases and rates, voltage.
    last: Option<(f64, f64, State)>,
    /// Where the falling branch was last found at rest: flux and bias.
    fallen: Option<(f64, f64)>,
}

/// A mean voltage and its error.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mean {
    /// Mean voltage in I0 R.
    pub voltage: f64,
    /// Its estimated error in I0 R; a standard error where the motion has no period.
    pub error: f64,
}

/// A loop at rest.
const REST: Mean = Mean {
    voltage: 0.0,
    error: 0.0,
};

/// Below this β_c the voltage is a polynomial in β_c, through its values at none, once and twice this.
const SMALL_BETA_C: f64 = 0.004;

/// Error of that polynomial, in I0 R.
const LIMIT_ERROR: f64 = 1e-6;

/// Below this β_c no running state lives beside one of rest: the onset for one junction is at 0.70, and for a
/// loop, whose inductance can store more, it was found no lower than half of that.
const LEAST_HYSTERETIC: f64 = 0.1;

/// How well the critical current is known, in I0. So close above it the voltage is below 1e-6, and a slip takes for ever.
const CRITICAL_ERROR: f64 = 1e-13;

/// Largest change of bias from one running state to the next.
const BIAS_STEP: f64 = 0.1;

/// Largest change of flux from one running state to the next.
const FLUX_STEP: f64 = 0.02;

impl Underdamped {
    /// Ready to be asked about `device`.
    #[must_use]
    pub fn new(device: &ShuntedLoop) -> Self {
        let statics = Loop::new(
            device.left(),
            device.right(),
            device.beta_l(),
            device.left_fraction(),
        );
        Self {
            device: *device,
            critical: statics.map(|device| device.critical_curve()),
            limit: Running::new(device),
            last: None,
            fallen: None,
        }
    }

    /// The largest bias (in I0) of a state of rest at the applied flux `flux` (in Φ0), for a bias of the sign of
    /// `direction`.
    #[must_use]
    pub fn critical_current(&self, flux: f64, direction: f64) -> f64 {
        // A bias the other way round sees the curve mirrored in zero flux.
        let seen = if direction < 0.0 { -flux } else { flux };
        self.critical.map_or(2.0, |curve| curve.at(seen).current)
    }

    /// Mean voltage, in I0 R, as [`Underdamped::mean`] gives it.
    #[must_use]
    pub fn voltage(&mut self, bias: f64, flux: f64, branch: Branch) -> f64 {
        self.mean(bias, flux, branch).voltage
    }

    /// Mean voltage at `bias` (in I0) and the applied flux `flux` (in Φ0). Odd in the bias when the
    /// flux is turned round too. Error below 1e-6 for β_L from 0.01 to 20 and biases up to 10, but where the motion has no
    /// period: there some 1e-4, as it says. Not a number when an argument is not finite.
    #[must_use]
    pub fn mean(&mut self, bias: f64, flux: f64, branch: Branch) -> Mean {
        if !bias.is_finite() || !flux.is_finite() {
            return Mean {
                voltage: f64::NAN,
                error: f64::NAN,
            };
        }
        if bias < 0.0 {
            let Mean { voltage, error } = self.mean(-bias, -flux, branch);
            return Mean {
                voltage: -voltage,
                error,
            };
        }
        let can_rest = bias <= self.device.left() + self.device.right() + CRITICAL_ERROR
            && bias <= self.critical_current(flux, 1.0) + CRITICAL_ERROR;
        let beta_c = self.device.beta_c();
        if can_rest && (branch == Branch::Rising || beta_c < LEAST_HYSTERETIC) {
            self.last = None;
            return REST;
        }
        if beta_c <= 0.0 {
            self.overdamped(bias, flux)
        } else if beta_c < SMALL_BETA_C {
            self.nearly_overdamped(bias, flux)
        } else {
            self.underdamped(bias, flux, branch, can_rest)
        }
    }

    /// The bias (in I0, positive) below which the falling branch is at rest, at the applied flux `flux` (in Φ0),
    /// to 1e-7: the critical current where there is no hysteresis.
    #[must_use]
    pub fn return_current(&mut self, flux: f64) -> f64 {
        let critical = self.critical_current(flux, 1.0);
        if self.device.beta_c() < LEAST_HYSTERETIC || !flux.is_finite() {
            return critical;
        }
        let mut running = critical + 1e-6;
        self.fallen = None;
        if self.voltage(running, flux, Branch::Falling) <= 0.0 {
            return critical;
        }
        let mut stride = BIAS_STEP;
        while stride > 0.7e-7 {
            let Some(kept) = self.last else {
                return running.min(critical);
            };
            let lower = running - stride;
            if lower > 0.0 && self.voltage(lower, flux, Branch::Falling) > 0.0 {
                running = lower;
            } else {
                self.last = Some(kept);
                self.fallen = None;
                stride *= 0.5;
            }
        }
        running.min(critical)
    }

    /// For very little capacitance, where its own time is too short to be followed.
    fn nearly_overdamped(&mut self, bias: f64, flux: f64) -> Mean {
        let Mean {
            voltage: zero,
            error,
        } = self.overdamped(bias, flux);
        let mut others = [0.0; 2];
        for (k, other) in others.iter_mut().enumerate() {
            let device = self.device.with_beta_c(SMALL_BETA_C * (k + 1) as f64);
            let flow = Flow::new(&device, bias, device.flux_at(flux, bias));
            let from = flow.state(SECTION, PI * flux);
            if let Motion::Running(_, mean) = settle(&flow, &from, false) {
                *other = mean.voltage;
            }
        }
        let [one, two] = others;
        let x = self.device.beta_c() / SMALL_BETA_C;
        let first = one - zero;
        let second = 0.5 * (two - 2.0 * one + zero);
        Mean {
            voltage: zero + x * first + x * (x - 1.0) * second,
            error: error + LIMIT_ERROR,
        }
    }

    fn underdamped(&mut self, bias: f64, flux: f64, branch: Branch, can_rest: bool) -> Mean {
        if branch == Branch::Falling
            && self.fallen.is_some_and(|(fallen_flux, fallen_bias)| {
                (fallen_flux - flux).abs() <= 0.0 && bias <= fallen_bias
            })
        {
            return REST;
        }
        let near = self.last.filter(|(other_bias, other_flux, _)| {
            let bias_gap = (other_bias - bias).abs();
            let flux_gap = (other_flux - flux).abs();
            (bias_gap <= 0.0 && flux_gap <= FLUX_STEP)
                || (flux_gap <= 0.0 && bias_gap <= BIAS_STEP * 1.000_001)
        });
        let start = match (near, branch) {
            (Some((_, _, state)), _) => Some(state),
            (None, Branch::Rising) => Some(self.switching(flux)),
            (None, Branch::Falling) => self.lowered(bias, flux),
        };
        let device = self.device;
        let flow = Flow::new(&device, bias, device.flux_at(flux, bias));
        match start.map(|start| settle(&flow, &start, can_rest)) {
            Some(Motion::Running(state, mean)) => {
                self.last = Some((bias, flux, state));
                mean
            }
            Some(Motion::AtRest) | None => {
                self.last = None;
                if branch == Branch::Falling {
                    self.fallen = Some((flux, bias));
                }
                REST
            }
        }
    }

    /// The state of rest that gives way at the critical current.
    fn switching(&self, flux: f64) -> State {
        let (left, right) = self.critical.map_or((0.0, 0.0), |curve| {
            let limit = curve.at(flux);
            (limit.left_phase, limit.right_phase)
        });
        // The curve leaves whole turns out; the flux in the loop tells them.
        let device = self.device;
        let bias = device.left() * sine(left) + device.right() * sine(right);
        let circulating = 0.5 * (device.right() * sine(right) - device.left() * sine(left));
        let inside = device.flux_at(flux, bias) + 0.5 * device.beta_l() * circulating;
        let turns = (inside - (left - right) / TAU).round();
        State {
            phase: Pair::new(left + TAU * turns, right),
            rate: Pair::splat(0.0),
        }
    }

    /// The running state just above `bias`, lowered from far above.
    fn lowered(&self, bias: f64, flux: f64) -> Option<State> {
        let device = self.device;
        let top = (bias + BIAS_STEP).max(3.0);
        let steps = ((top - bias) / BIAS_STEP).ceil().max(1.0);
        let flow = Flow::new(&device, top, device.flux_at(flux, top));
        let mut state = flow.state(SECTION, PI * flux);
        let critical = self.critical_current(flux, 1.0);
        let mut k = 0.0;
        while k < steps {
            let here = top + (bias - top) * k / steps;
            let flow = Flow::new(&device, here, device.flux_at(flux, here));
            match settle(&flow, &state, here <= critical) {
                Motion::Running(next, _) => state = next,
                Motion::AtRest => return None,
            }
            k += 1.0;
        }
        Some(state)
    }

    fn overdamped(&mut self, bias: f64, flux: f64) -> Mean {
        let found = self.limit.as_mut().map(|limit| limit.at(bias, flux));
        Mean {
            voltage: found.map_or(f64::NAN, |found| found.voltage),
            error: found.map_or(f64::NAN, |found| found.error),
        }
    }
}
