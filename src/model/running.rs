//! The running state of a shunted loop without noise and capacitance: the mean voltage from one
//! whole slip period, with its slopes in flux and bias.
//!
//! Both phases slip by 2π in a period T, so v = 2π/T. The state at the section (δ1 + δ2)/2 = const is one
//! number, the difference d of the phases over two; a turn takes d to F(d), and the
//! running state is F(d) = d. One integration gives F, T and their derivatives in d, flux and bias (the
//! equations are linearised along the way), hence a Newton step to the running
//! state and the voltage there to second order.
//!
//! The two phases push each other forward (∂δ̇1/∂δ2 > 0), so that running and resting states never
//! exist side by side: the voltage is zero exactly up to the largest critical current of any
//! branch (A. A. Middleton, Phys. Rev. Lett. 68, 670 (1992), from memory).

mod creeping;
pub(in crate::model) mod flow;
pub(in crate::model) mod march;
mod series;
mod slow;
mod turn;
mod weakly_screened;

use super::screened_loop::{CriticalCurve, Loop};
use super::shunted_loop::ShuntedLoop;
use flow::Flow;
use series::TOLERANCE;
use turn::Turn;
use weakly_screened::WeaklyScreened;

use core::f64::consts::{PI, TAU};

/// A longer turn creeps, too, and its linearisation has lost its digits.
const LONG: f64 = 2e4;

/// Up to this screening parameter the phases' difference is too stiff to be stepped in time.
const WEAKLY_SCREENED: f64 = 0.05;

/// Steps of a sweep, in flux or bias, along which its curvature says where the next state is.
const SMALL_STEP: f64 = 0.02;

/// The most turns to the running state.
const MOST_TURNS: u32 = 60;

/// A working point without noise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quiet {
    /// Mean voltage in I0 R.
    pub voltage: f64,
    /// Its slope in the applied flux at fixed bias, in I0 R/Φ0.
    pub transfer: f64,
    /// Its slope in the bias at fixed applied flux, in R.
    pub resistance: f64,
    /// Estimated error of the voltage, in I0 R.
    pub error: f64,
}

/// A loop at rest.
const REST: Quiet = Quiet {
    voltage: 0.0,
    transfer: 0.0,
    resistance: 0.0,
    error: 0.0,
};

/// Finds running states of one loop. It starts each from the last one, so that a sweep costs
/// about one turn a point.
#[derive(Debug, Clone)]
pub struct Running {
    device: ShuntedLoop,
    critical: CriticalCurve,
    stiff: WeaklyScreened,
    last: Option<Last>,
}

/// A running state, and how it moves with the parameters.
#[derive(Debug, Clone, Copy)]
struct Last {
    bias: f64,
    flux: f64,
    difference: f64,
    per_flux: f64,
    per_bias: f64,
    /// How the two change themselves, in a sweep of flux or bias alone.
    bent: [f64; 2],
}

impl Last {
    /// What to expect of `difference` elsewhere.
    fn ahead(&self, bias: f64, flux: f64) -> f64 {
        let (by_flux, by_bias) = (flux - self.flux, bias - self.bias);
        self.difference
            + by_flux * (self.per_flux + 0.5 * self.bent[0] * by_flux)
            + by_bias * (self.per_bias + 0.5 * self.bent[1] * by_bias)
    }

    /// The state found after `before`.
    fn after(mut self, before: Option<Self>) -> Self {
        if let Some(before) = before {
            let (by_flux, by_bias) = (self.flux - before.flux, self.bias - before.bias);
            if by_bias.abs() <= 0.0 && by_flux.abs() < SMALL_STEP && by_flux.abs() > 0.0 {
                self.bent[0] = (self.per_flux - before.per_flux) / by_flux;
            }
            if by_flux.abs() <= 0.0 && by_bias.abs() < SMALL_STEP && by_bias.abs() > 0.0 {
                self.bent[1] = (self.per_bias - before.per_bias) / by_bias;
            }
        }
        self
    }
}

impl Running {
    /// For that loop; its capacitance is not looked at. Nothing when its critical current cannot
    /// be computed (a screening parameter out of all reason).
    #[must_use]
    pub fn new(device: &ShuntedLoop) -> Option<Self> {
        // With equal arms: the skew of unequal ones is a shift of the flux.
        let rest = Loop::new(device.left(), device.right(), device.beta_l(), 0.5)?;
        Some(Self {
            device: *device,
            critical: rest.critical_curve(),
            stiff: WeaklyScreened::new(),
            last: None,
        })
    }

    /// Whether the loop can rest at a bias in I0 and an applied flux; in unequal arms the bias itself shifts the
    /// flux.
    #[must_use]
    pub fn rests(&self, bias: f64, flux: f64) -> bool {
        bias.abs() <= self.critical.at(self.device.flux_at(flux, bias)).current
    }

    /// The voltage at a bias and an applied flux. For negative bias all is mirrored.
    #[must_use]
    pub fn at(&mut self, bias: f64, flux: f64) -> Quiet {
        if bias < 0.0 {
            let mirrored = self.at(-bias, -flux);
            return Quiet {
                voltage: -mirrored.voltage,
                ..mirrored
            };
        }
        if self.rests(bias, flux) {
            return REST;
        }
        let felt = self.device.flux_at(flux, bias);
        let reduced = felt - (felt + 0.5).floor();
        if self.device.beta_l() <= WEAKLY_SCREENED
            && let Some(found) = self.stiff.at(&self.device, bias, reduced)
        {
            return found;
        }
        self.stepped(bias, reduced)
    }

    /// The running state by stepping in time, at a flux less than half a quantum from zero.
    fn stepped(&mut self, bias: f64, reduced: f64) -> Quiet {
        let mut difference = match self.last {
            Some(last) if (last.flux - reduced).abs() < 0.25 => last.ahead(bias, reduced),
            _ => PI * reduced,
        };
        let before = self.last;
        let mut best = REST;
        for _ in 0..MOST_TURNS {
            let turn = Turn::new(&self.device, bias, reduced, difference);
            let Some(turn) = turn.filter(|turn| turn.time < LONG) else {
                return self.creeping(bias, reduced, difference);
            };
            let [in_start, in_flux, in_bias] = turn.end_slopes;
            let off = turn.end - difference;
            let stiff = 1.0 - in_start;
            // Newton's step, unless turns hardly pull the state in.
            let step = if stiff > 1e-9 { off / stiff } else { off };
            let step = step.clamp(-1.0, 1.0);
            let per_flux = in_flux / stiff;
            let per_bias = in_bias / stiff;
            let [time_start, time_flux, time_bias] = turn.time_slopes;
            let time = turn.time + time_start * step;
            let slope = -TAU / (time * time);
            let transfer = slope * (time_flux + time_start * per_flux);
            let felt_by_bias = self.device.flux_at(0.0, 1.0);
            best = Quiet {
                voltage: TAU / time,
                transfer,
                resistance: slope * (time_bias + time_start * per_bias) + transfer * felt_by_bias,
                error: TAU * TOLERANCE * f64::from(turn.steps + 1) / time
                    + (slope * time_start * step * step).abs(),
            };
            difference += step;
            let found = Last {
                bias,
                flux: reduced,
                difference,
                per_flux,
                per_bias,
                bent: [0.0; 2],
            };
            self.last = Some(found.after(before));
            // The step's own error is of second order.
            if step.abs() < 1e-5 {
                break;
            }
        }
        best
    }

    /// So close to the critical current i_c that slips take very long. There v² grows with i − i_c, which
    /// gives the slopes.
    fn creeping(&self, bias: f64, flux: f64, difference: f64) -> Quiet {
        let flow = Flow::new(&self.device.with_beta_c(0.0), bias, flux);
        let Some(period) = creeping::period(&flow, difference) else {
            return REST;
        };
        let voltage = TAU / period;
        let critical = |flux: f64| self.critical.at(flux).current;
        let above = (bias - critical(flux)).max(f64::MIN_POSITIVE);
        let h = 1e-6;
        let critical_slope = (critical(flux + h) - critical(flux - h)) / (2.0 * h);
        let rise = 0.5 * voltage / above;
        let transfer = -rise * critical_slope;
        Quiet {
            voltage,
            transfer,
            resistance: rise + transfer * self.device.flux_at(0.0, 1.0),
            error: 1e-6 * voltage,
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]
mod tests {
    use super::*;

    #[test]
    fn one_junction_alone_has_the_square_root_voltage() {
        // Both junctions move alike without flux: v = sqrt(i² − 1) for each with half the bias
        // (derivation).
        for beta_l in [0.01, 1.0, 10.0] {
            let mut running = Running::new(&ShuntedLoop::symmetric(beta_l).unwrap()).unwrap();
            for bias in [2.000_02, 2.002, 2.5, 4.0, 20.0] {
                let half = 0.5 * bias;
                let wanted = (half * half - 1.0_f64).sqrt();
                let found = running.at(bias, 0.0);
                assert!(
                    (found.voltage - wanted).abs() < 1e-8,
                    "{beta_l} {bias}: {found:?}"
                );
                assert!((found.resistance - 0.5 * half / wanted).abs() < 1e-5 * found.resistance);
            }
        }
    }

    #[test]
    fn slopes_are_those_of_neighbouring_points() {
        let device = ShuntedLoop::new(1.2, 0.8, 1.3, 0.3, 0.0).unwrap();
        let mut running = Running::new(&device).unwrap();
        let h = 1e-4;
        let here = running.at(2.1, 0.22);
        let over = |plus: Quiet, minus: Quiet| (plus.voltage - minus.voltage) / (2.0 * h);
        let transfer = over(running.at(2.1, 0.22 + h), running.at(2.1, 0.22 - h));
        let resistance = over(running.at(2.1 + h, 0.22), running.at(2.1 - h, 0.22));
        assert!(
            (here.transfer - transfer).abs() < 1e-6,
            "{here:?} {transfer}"
        );
        assert!(
            (here.resistance - resistance).abs() < 1e-6,
            "{here:?} {resistance}"
        );
    }

    #[test]
    fn voltage_sets_in_at_the_static_critical_current() {
        let device = ShuntedLoop::symmetric(2.0).unwrap();
        let mut running = Running::new(&device).unwrap();
        // 0.3034790 is the published depth of modulation at β_L = 2.
        let critical = 2.0 * 0.696_520_98;
        assert!(running.at(critical - 1e-6, 0.5).voltage.abs() < 1e-15);
        let above = running.at(critical + 1e-6, 0.5);
        assert!(above.voltage > 0.0 && above.voltage < 1e-2, "{above:?}");
    }

    #[test]
    fn both_ways_agree_where_they_meet() {
        for (left, right) in [(1.0, 1.0), (1.2, 0.8)] {
            for beta_l in [0.02, 0.05] {
                let device = ShuntedLoop::new(left, right, beta_l, 0.4, 0.0).unwrap();
                for (bias, flux) in [
                    (2.05, 0.1),
                    (1.5, 0.3),
                    (0.6, 0.48),
                    (2.5, 0.25),
                    (8.0, -0.2),
                ] {
                    let mut stepped = Running::new(&device).unwrap();
                    let fast = stepped.at(bias, flux);
                    // With no smooth solution allowed, time is stepped.
                    let slow = stepped.stepped(
                        bias,
                        flux - (flux + 0.5).floor() + device.flux_at(0.0, bias),
                    );
                    assert!(
                        (fast.voltage - slow.voltage).abs() < 1e-8,
                        "{beta_l} {bias} {flux}: {fast:?} {slow:?}"
                    );
                    assert!(
                        (fast.transfer - slow.transfer).abs() < 1e-4 * (1.0 + slow.transfer.abs()),
                        "{fast:?} {slow:?}"
                    );
                    assert!(
                        (fast.resistance - slow.resistance).abs() < 1e-4 * (1.0 + slow.resistance),
                        "{fast:?} {slow:?}"
                    );
                }
            }
        }
    }

    #[test]
    fn negative_bias_mirrors_flux_and_voltage() {
        let device = ShuntedLoop::new(1.3, 0.7, 0.8, 0.8, 0.0).unwrap();
        let mut running = Running::new(&device).unwrap();
        let positive = running.at(2.2, 0.3);
        let negative = running.at(-2.2, -0.3);
        assert!((positive.voltage + negative.voltage).abs() < 1e-9);
        assert!((positive.transfer - negative.transfer).abs() < 1e-4);
    }
}
