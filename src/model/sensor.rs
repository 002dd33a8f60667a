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

mod best_point;

use crate::model::thermal::{FluxCurve, Point};
pub use best_point::{BestPoint, Valley};

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
