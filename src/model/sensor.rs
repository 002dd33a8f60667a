//! How good a magnetometer a shunted loop is: transfer, flux noise, noise energy, and where they
//! are best.
//!
//! Units. The transfer `V_Φ` counts in I0 R/Φ0 or in R/L, the voltage noise `S_V` in
//! (I0 R)² Φ0/(2π I0 R) or in `k_B` T R, the flux noise `√S_Φ` = `√S_V`/|`V_Φ`| in
//! Φ0 √(Φ0/(2π I0 R)), the noise energy ε = `S_Φ`/2L in `k_B` T L/R. With `β_L` = 2 L I0/Φ0 and
//! Γ = 2π `k_B` T/(I0 Φ0) these follow from each other:
//!
//! ```text
//! V_Φ/(R/L) = (β_L/2) ∂v/∂φ,   S_V/(k_B T R) = S_v/Γ,   ε/(k_B T L/R) = (S_v/Γ)/(2 (V_Φ L/R)²)
//! ```
//!
//! # Where the rules of thumb differ from the exact values
//! The three rules [`RULE_TRANSFER`], [`RULE_NOISE`] and [`RULE_ENERGY`] are for `β_L` = 1 and Γ = 0.05. There the
//! exact best point (bias 1.48 I0, flux 0.306 Φ0) has 0.98 R/L, 15.2 `k_B` T R and 7.86 `k_B` T L/R: the first two
//! rules are within a twentieth, the third is a seventh too high (16 with R/L exactly would give 8, not 9). The
//! best energy rises with more noise (15.6 at Γ = 0.5) and falls a little with less (7.0 at 0.002); the rules do
//! not know. At a quarter quantum, where a loop is often said to work best, the energy is least at 1.6 I0, with 8.1. The
//! fit [`high_noise_transfer`] is for strong noise: it is within 5 % where Γ `β_L` is 0.2
//! and more, and 10 to 30 % low where it is 0.1 and less.

use crate::model::shunted_loop::ShuntedLoop;
use crate::model::thermal::{FluxCurve, Limit, Point, Solving, Thermal};

use core::f64::consts::PI;

/// Rule of thumb: transfer at the best point in R/L, for `β_L` = 1 and Γ = 0.05. C. D. Tesche and
/// J. Clarke, J. Low Temp. Phys. 29, 301 (1977) (from memory).
pub const RULE_TRANSFER: f64 = 1.0;

/// Rule of thumb: voltage noise at the best point in `k_B` T R, one-sided at low frequency; same source
/// and range as [`RULE_TRANSFER`].
pub const RULE_NOISE: f64 = 16.0;

/// Rule of thumb: noise energy at the best point in `k_B` T L/R; same source and range as
/// [`RULE_TRANSFER`].
pub const RULE_ENERGY: f64 = 9.0;

/// Largest transfer at a quarter of a flux quantum in I0 R/Φ0, by the fit
/// 4/(1 + `β_L`) (1 − 3.57 √(`k_B` T L)/Φ0) of Enpuku and others (1993), quoted in D. Koelle and
/// others, Rev. Mod. Phys. 71, 631 (1999) (both from memory). For strong noise only: see the
/// module.
#[must_use]
pub fn high_noise_transfer(beta_l: f64, gamma: f64) -> f64 {
    // k_B T L/Φ0² = Γ β_L/(4π).
    4.0 / (1.0 + beta_l) * (1.0 - 3.57 * (gamma * beta_l / (4.0 * PI)).sqrt())
}

/// What a loop does at one working point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sensitivity {
    /// Bias in I0.
    pub bias: f64,
    /// Applied flux in Φ0.
    pub flux: f64,
    /// Mean voltage in I0 R.
    pub voltage: f64,
    /// Transfer in I0 R/Φ0, with its sign.
    pub transfer: f64,
    /// Voltage noise in (I0 R)² Φ0/(2π I0 R).
    pub noise: f64,
    /// Size of the transfer in R/L.
    pub transfer_share: f64,
    /// Voltage noise in `k_B` T R.
    pub noise_share: f64,
    /// Flux noise in Φ0 √(Φ0/(2π I0 R)); infinite without transfer.
    pub flux_noise: f64,
    /// Noise energy in `k_B` T L/R; infinite without transfer.
    pub energy: f64,
}

impl Sensitivity {
    /// From voltage, transfer and noise in the units of [`Point`].
    #[must_use]
    pub fn new(
        beta_l: f64,
        gamma: f64,
        (bias, flux): (f64, f64),
        (voltage, transfer, noise): (f64, f64, f64),
    ) -> Self {
        let transfer_share = 0.5 * beta_l * transfer.abs();
        let noise_share = noise / gamma;
        let square = transfer_share * transfer_share;
        let (flux_noise, energy) = if square > 0.0 && noise > 0.0 {
            (noise.sqrt() / transfer.abs(), noise_share / (2.0 * square))
        } else {
            (f64::INFINITY, f64::INFINITY)
        };
        Self {
            bias,
            flux,
            voltage,
            transfer,
            noise,
            transfer_share,
            noise_share,
            flux_noise,
            energy,
        }
    }

    /// Of a solved point. Where transfer or noise are not three times their errors (a loop that rests and
    /// hardly ever slips), flux noise and energy are infinite.
    #[must_use]
    pub fn of_point(beta_l: f64, gamma: f64, point: &Point) -> Self {
        Self::new(
            beta_l,
            gamma,
            (point.bias, point.flux),
            (point.voltage, point.transfer, point.noise),
        )
        .known_to(point.transfer_error, point.noise_error)
    }

    fn known_to(mut self, transfer_error: f64, noise_error: f64) -> Self {
        if self.transfer.abs() <= 3.0 * transfer_error || self.noise <= 3.0 * noise_error {
            self.flux_noise = f64::INFINITY;
            self.energy = f64::INFINITY;
        }
        self
    }

    /// On a curve at an applied flux, as [`Sensitivity::of_point`]; nothing before its first grid is
    /// full.
    #[must_use]
    pub fn on_curve(curve: &FluxCurve, flux: f64) -> Option<Self> {
        let point = curve.at(flux)?;
        let thermal = curve.thermal();
        let found = Self::new(
            thermal.device().beta_l(),
            thermal.gamma(),
            (curve.bias(), flux),
            (point.voltage, point.transfer, point.noise),
        );
        Some(found.known_to(point.transfer_error, point.noise_error))
    }
}

/// The flux within a period where a curve has its least noise energy; for a symmetric loop the one
/// of two that lies in the first half. Nothing before the curve's first grid is full.
#[must_use]
pub fn best_flux(curve: &FluxCurve) -> Option<Sensitivity> {
    least(curve, |point| point.energy)
}

/// The flux within a period where a curve is steepest; as [`best_flux`].
#[must_use]
pub fn steepest_flux(curve: &FluxCurve) -> Option<Sensitivity> {
    least(curve, |point| -point.transfer.abs())
}

fn least(curve: &FluxCurve, of: impl Fn(&Sensitivity) -> f64) -> Option<Sensitivity> {
    let symmetric = curve.thermal().device().is_symmetric();
    let range: u32 = if symmetric { 128 } else { 256 };
    let step = 1.0 / 256.0;
    let value =
        |flux: f64| Sensitivity::on_curve(curve, flux).map_or(f64::INFINITY, |point| of(&point));
    let mut best = (f64::INFINITY, 0.0);
    for j in 0..=range {
        let flux = step * f64::from(j);
        let here = value(flux);
        if here < best.0 {
            best = (here, flux);
        }
    }
    let (flux, _) = crate::numerics::minimise::brent(value, best.1 - step, best.1 + step, 1e-7);
    Sensitivity::on_curve(curve, flux)
}

/// Biases of the first look, in I0: the likeliest first, for the others start from its flux.
const BIASES: [f64; 6] = [1.4, 1.7, 2.0, 1.1, 0.7, 2.3];
/// Biases looked at before the search gives up.
const MOST: usize = 24;
/// Solutions at one bias after the first.
const TURNS: usize = 8;

/// The search for the working point of least noise energy over bias and flux. Each
/// [`BestPoint::step`] finds the best flux at one more bias: by Newton steps on the exact slope
/// of the energy in the flux, then parabolas in the bias.
#[derive(Debug, Clone)]
pub struct BestPoint {
    thermal: Thermal,
    /// Best points at the biases so far, by rising bias.
    found: Vec<Sensitivity>,
    looked: usize,
    /// The bias that is being looked at.
    valley: Option<Valley>,
    done: bool,
}

impl BestPoint {
    /// A search that has not looked yet.
    ///
    /// # Errors
    /// As [`Thermal::new`].
    pub fn new(device: &ShuntedLoop, gamma: f64) -> Result<Self, Limit> {
        Ok(Self {
            thermal: Thermal::new(device, gamma)?.with_tolerance(1e-6),
            found: Vec::new(),
            looked: 0,
            valley: None,
            done: false,
        })
    }

    /// The same with another solver tolerance and cost (see [`Thermal`]).
    #[must_use]
    pub fn with(mut self, tolerance: f64, multiplications: f64) -> Self {
        self.thermal = self
            .thermal
            .with_tolerance(tolerance)
            .with_cost(multiplications);
        self
    }

    /// Whether the search has ended.
    #[must_use]
    pub fn is_done(&self) -> bool {
        self.done
    }

    /// Share of the work done, about.
    #[must_use]
    pub fn share(&self) -> f64 {
        if self.done {
            1.0
        } else {
            (self.looked as f64 / (BIASES.len() + 5) as f64).min(0.95)
        }
    }

    /// The best point so far.
    #[must_use]
    pub fn best(&self) -> Option<Sensitivity> {
        self.lowest().and_then(|at| self.found.get(at).copied())
    }

    /// Eliminations so far.
    #[must_use]
    pub fn eliminations(&self) -> usize {
        self.thermal.eliminations()
    }

    fn lowest(&self) -> Option<usize> {
        (0..self.found.len()).min_by(|&a, &b| self.found[a].energy.total_cmp(&self.found[b].energy))
    }

    /// Looks at one more bias. One that costs too much is passed over once another is known.
    ///
    /// # Errors
    /// What [`Thermal::solve`] refuses.
    pub fn step(&mut self) -> Result<(), Limit> {
        while !self.part(f64::INFINITY)? {}
        Ok(())
    }

    /// A part of that step, of about so many multiplications; true when the step is over.
    ///
    /// # Errors
    /// What [`Thermal::solve`] refuses.
    pub fn part(&mut self, multiplications: f64) -> Result<bool, Limit> {
        let mut valley = match self.valley.take() {
            Some(valley) => valley,
            None => {
                let Some(bias) = self.next_bias() else {
                    self.done = true;
                    return Ok(true);
                };
                self.looked += 1;
                self.begin(bias)?
            }
        };
        let Some(outcome) = self.go_on(&mut valley, multiplications) else {
            self.valley = Some(valley);
            return Ok(false);
        };
        let bias = valley.bias;
        let best = match (outcome, self.found.first()) {
            (Ok(best), _) => best,
            (Err(Limit::TooCostly { .. } | Limit::NotSettled { .. }), Some(known)) => Sensitivity {
                bias,
                flux_noise: f64::INFINITY,
                energy: f64::INFINITY,
                ..*known
            },
            (Err(limit), _) => return Err(limit),
        };
        let place = self.found.partition_point(|point| point.bias < bias);
        self.found.insert(place, best);
        Ok(true)
    }

    /// The next bias to look at; nothing when the least is known well enough.
    fn next_bias(&self) -> Option<f64> {
        if self.looked < BIASES.len() {
            return BIASES.get(self.looked).copied();
        }
        if self.looked >= MOST {
            return None;
        }
        let at = self.lowest()?;
        let here = self.found.get(at)?;
        let Some(below) = at.checked_sub(1).and_then(|at| self.found.get(at)) else {
            let next = 0.6 * here.bias;
            return (next > 0.02).then_some(next);
        };
        let Some(above) = self.found.get(at + 1) else {
            let next = here.bias + 0.4;
            return (next < 10.0).then_some(next);
        };
        // The least of the parabola through three points, kept off the ends.
        let (left, right) = (here.bias - below.bias, above.bias - here.bias);
        let (fall, rise) = (below.energy - here.energy, above.energy - here.energy);
        let steep = left * rise + right * fall;
        let shift = if steep > 0.0 && steep.is_finite() {
            0.5 * (right * right * fall - left * left * rise) / steep
        } else {
            0.0
        };
        let small = 2e-3;
        if shift.abs() < small && left.max(right) < 0.12 {
            return None;
        }
        let mut next = here.bias + shift.clamp(-0.8 * left, 0.8 * right);
        if shift.abs() < small || left.max(right) > 6.0 * left.min(right) {
            // Too near a known point, or a lopsided bracket: take the middle of the larger half.
            next = if left > right {
                here.bias - 0.4 * left
            } else {
                here.bias + 0.4 * right
            };
        }
        Some(next)
    }

    /// The working point of least noise energy at one bias in I0, whatever flux it needs. Points found
    /// before help; the search goes on as if it had not been asked.
    ///
    /// # Errors
    /// What [`Thermal::solve`] refuses.
    pub fn at_bias(&mut self, bias: f64) -> Result<Sensitivity, Limit> {
        let mut valley = self.begin(bias)?;
        loop {
            if let Some(outcome) = self.go_on(&mut valley, f64::INFINITY) {
                return outcome;
            }
        }
    }

    /// Begins what [`BestPoint::at_bias`] does at once.
    ///
    /// # Errors
    /// What [`Thermal::begin`] refuses.
    pub fn begin(&self, bias: f64) -> Result<Valley, Limit> {
        let symmetric = self.thermal.device().is_symmetric();
        let near = self
            .found
            .iter()
            .filter(|point| point.energy.is_finite())
            .min_by(|a, b| (a.bias - bias).abs().total_cmp(&(b.bias - bias).abs()))
            .map(|point| point.flux);
        let mut open = match near {
            Some(flux) => vec![flux],
            None => {
                let looks: u32 = if symmetric { 4 } else { 12 };
                let spacing = if symmetric { 0.1 } else { 1.0 / 12.0 };
                (1..=looks).map(|look| spacing * f64::from(look)).collect()
            }
        };
        open.reverse();
        let first = open.pop().unwrap_or(0.25);
        Ok(Valley {
            open,
            ..self.begin_near(bias, first)?
        })
    }

    /// Begins a search for the best flux at a bias from a flux that is near it, on the same slope of the curve.
    ///
    /// # Errors
    /// What [`Thermal::begin`] refuses.
    pub fn begin_near(&self, bias: f64, flux: f64) -> Result<Valley, Limit> {
        Ok(Valley {
            bias,
            open: Vec::new(),
            best: None,
            descent: None,
            solving: self.thermal.begin(bias, flux)?,
        })
    }

    /// Goes on for about so many multiplications; the outcome once there is one.
    pub fn go_on(
        &mut self,
        valley: &mut Valley,
        multiplications: f64,
    ) -> Option<Result<Sensitivity, Limit>> {
        let outcome = self.thermal.go_on(&mut valley.solving, multiplications)?;
        let next = match (outcome, valley.best, valley.descent) {
            (Ok(point), ..) => {
                let (beta_l, gamma) = (self.thermal.device().beta_l(), self.thermal.gamma());
                let found = Sensitivity::of_point(beta_l, gamma, &point);
                valley.next(point, found, self.thermal.device().is_symmetric())
            }
            // What is known so far is a point of this bias as well.
            (Err(_), Some((_, best)), Some(_)) => return Some(Ok(best)),
            (Err(limit), ..) => return Some(Err(limit)),
        };
        let Some(flux) = next else {
            return valley.best.map(|(_, best)| Ok(best));
        };
        match self.thermal.begin(valley.bias, flux) {
            Ok(solving) => {
                valley.solving = solving;
                None
            }
            Err(limit) => Some(Err(limit)),
        }
    }
}

/// The search for the best flux at one bias, bit by bit: first places over the period, then down into the valley.
#[derive(Debug, Clone)]
pub struct Valley {
    bias: f64,
    /// Places still to be looked at, the next one last.
    open: Vec<f64>,
    best: Option<(Point, Sensitivity)>,
    /// Once on the way down.
    descent: Option<Descent>,
    solving: Solving,
}

#[derive(Debug, Clone, Copy)]
struct Descent {
    turns: usize,
    /// Flux and slope before.
    before: Option<(f64, f64)>,
}

impl Valley {
    /// The best point so far.
    #[must_use]
    pub fn best(&self) -> Option<Point> {
        self.best.map(|(point, _)| point)
    }

    /// The flux to solve next, after a point was found; nothing at the bottom.
    fn next(&mut self, point: Point, found: Sensitivity, symmetric: bool) -> Option<f64> {
        let better = |best: &(Point, Sensitivity)| found.energy < best.1.energy;
        if self.best.as_ref().is_none_or(better) {
            self.best = Some((point, found));
        }
        if let Some(flux) = self.open.pop() {
            return Some(flux);
        }
        // Down from the best of the places looked at, then from point to point.
        let (here, Descent { turns, before }) = match self.descent {
            None => (
                self.best.map_or(point, |(best, _)| best),
                Descent {
                    turns: 0,
                    before: None,
                },
            ),
            Some(descent) => (point, descent),
        };
        // Of the logarithm of the energy: S'/S − 2V''/V'.
        let slope = here.noise_slope / here.noise - 2.0 * here.curvature / here.transfer;
        if turns >= TURNS || !slope.is_finite() {
            return None;
        }
        let bend = before
            .map(|(flux, value)| (slope - value) / (here.flux - flux))
            .filter(|bend| *bend > 0.0 && bend.is_finite());
        // Without a known bend: that of a typical valley.
        let step = (-slope / bend.unwrap_or(60.0)).clamp(-0.06, 0.06);
        let mut flux = here.flux + step;
        if symmetric {
            flux = flux.clamp(0.01, 0.49);
        }
        self.descent = Some(Descent {
            turns: turns + 1,
            before: Some((here.flux, slope)),
        });
        ((flux - here.flux).abs() >= 1e-3).then_some(flux)
    }
}
