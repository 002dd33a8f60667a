//! The voltage state of a shunted loop rounded by thermal noise, without random numbers: the
//! stationary Fokker–Planck equation of both phases, and the slow fluctuation of their mean.
//!
//! For a loop without capacitance the phases' sum s = (δ1 + δ2)/2 and difference d = (δ1 − δ2)/2
//! drift and diffuse,
//!
//! ```text
//! ṡ = i/2 − Im(e^{is} h),  h = cos d + iα sin d
//! ḋ = −Im(e^{is} g) − 2(d − πφ)/(πβ_L),  g = α cos d + i sin d
//! ```
//!
//! each with diffusion Γ/2; α is half the difference of the critical currents. The density is periodic in s,
//! where it is expanded in harmonics, and bounded in d, where it is expanded in
//! Hermite functions whose centre, width and number the program chooses. Harmonics couple only to their
//! neighbours, so that one block elimination gives the density (a matrix continued
//! fraction); with the same factors one more solution gives how any change of the parameters
//! moves the voltage, and another the voltage noise at low frequency.
//!
//! Sources: the equations of C. D. Tesche and J. Clarke, J. Low Temp. Phys. 29, 301 (1977) (from
//! memory); matrix continued fractions for Fokker–Planck equations: H. Risken, The Fokker–Planck
//! Equation (Springer) (from memory); the rest is derived in `docs/notes/thermal-method.md`.

mod elimination;
mod flux_curve;
mod hermite;
mod operator;
mod placement;
mod point;
mod series;

pub use flux_curve::{CurvePoint, FluxCurve};
pub use point::Point;

use crate::model::shunted_loop::ShuntedLoop;
use elimination::{Elimination, Factors};
use hermite::{Displacement, Place};
use operator::{Equation, Operator};
use thiserror::Error;

use core::f64::consts::PI;

/// Why there is no thermal voltage state.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum Limit {
    /// The loop has a capacitance: two phases alone do not describe it.
    #[error("the stationary equation is solved without capacitance only, here β_c = {beta_c}")]
    Capacitance {
        /// Damping parameter of the loop.
        beta_c: f64,
    },
    /// Γ, the bias or the flux is not a number that has a solution.
    #[error("there is no stationary noisy state for Γ = {gamma}, bias {bias} I0, flux {flux} Φ0")]
    OutOfRange {
        /// Noise parameter.
        gamma: f64,
        /// Bias in I0.
        bias: f64,
        /// Applied flux in Φ0.
        flux: f64,
    },
    /// The basis that this needs costs more than allowed: noise too weak, or screening too strong.
    #[error(
        "{functions} functions and {harmonics} harmonics are needed, which costs {cost:.1e} multiplications"
    )]
    TooCostly {
        /// Functions of the phases' difference.
        functions: usize,
        /// Harmonics of their sum.
        harmonics: usize,
        /// Multiplications, about.
        cost: f64,
    },
    /// No basis within the number of trials met the tolerance.
    #[error("the error is still {error:.1e} after {trials} bases")]
    NotSettled {
        /// Estimated error of the voltage in I0 R.
        error: f64,
        /// Bases tried.
        trials: usize,
    },
    /// The curve has structure finer than the largest flux grid.
    #[error("the curve needs more than {points} points in a flux quantum")]
    TooFine {
        /// Points of the largest grid.
        points: usize,
    },
}

/// Multiplications allowed for one point unless said otherwise: some seconds.
pub const COST: f64 = 8e9;

/// Tolerance of the coefficients left out.
pub const TOLERANCE: f64 = 2e-7;

/// The next basis is sized for a tolerance smaller by this, so that a neighbour fits as well.
const SPARE: f64 = 1.7;

/// Bases tried for one point.
const TRIALS: usize = 8;

/// The solver for one loop at one temperature. It keeps the basis of the last point, so that
/// neighbouring points cost one elimination each.
#[derive(Debug, Clone)]
pub struct Thermal {
    device: ShuntedLoop,
    gamma: f64,
    cost: f64,
    tolerance: f64,
    place: Option<Place>,
    displacement: Displacement,
    eliminations: usize,
}

/// A point that is being solved, bit by bit: see [`Thermal::begin`].
#[derive(Debug, Clone)]
pub struct Solving {
    equation: Equation,
    flux: f64,
    place: Place,
    trials: usize,
    error: f64,
    elimination: Option<Elimination>,
}

impl Thermal {
    /// A solver for a loop at the noise parameter Γ = 2π `k_B` T/(I0 Φ0).
    ///
    /// # Errors
    /// [`Limit::Capacitance`] and [`Limit::OutOfRange`].
    pub fn new(device: &ShuntedLoop, gamma: f64) -> Result<Self, Limit> {
        if device.beta_c() > 0.0 {
            return Err(Limit::Capacitance {
                beta_c: device.beta_c(),
            });
        }
        if !(gamma > 0.0 && gamma.is_finite()) {
            return Err(Limit::OutOfRange {
                gamma,
                bias: 0.0,
                flux: 0.0,
            });
        }
        Ok(Self {
            device: *device,
            gamma,
            cost: COST,
            tolerance: TOLERANCE,
            place: None,
            displacement: Displacement::default(),
            eliminations: 0,
        })
    }

    /// The same with another limit of multiplications for one point (see [`COST`]).
    #[must_use]
    pub fn with_cost(mut self, multiplications: f64) -> Self {
        self.cost = multiplications;
        self
    }

    /// The same with another tolerance of the coefficients left out (see [`TOLERANCE`]), between
    /// 1e-9 and 1e-2.
    #[must_use]
    pub fn with_tolerance(mut self, tolerance: f64) -> Self {
        self.tolerance = tolerance.clamp(1e-9, 1e-2);
        self
    }

    /// The loop.
    #[must_use]
    pub fn device(&self) -> &ShuntedLoop {
        &self.device
    }

    /// Noise parameter Γ.
    #[must_use]
    pub fn gamma(&self) -> f64 {
        self.gamma
    }

    /// Eliminations done so far.
    #[must_use]
    pub fn eliminations(&self) -> usize {
        self.eliminations
    }

    /// Functions and harmonics of the last basis.
    #[must_use]
    pub fn basis(&self) -> Option<(usize, usize)> {
        self.place.map(|place| (place.functions, place.harmonics))
    }

    /// The voltage state at a bias in I0 and an applied flux in Φ0.
    ///
    /// # Errors
    /// [`Limit::OutOfRange`] for what is not finite, [`Limit::TooCostly`], [`Limit::NotSettled`].
    pub fn solve(&mut self, bias: f64, flux: f64) -> Result<Point, Limit> {
        let mut solving = self.begin(bias, flux)?;
        loop {
            if let Some(outcome) = self.go_on(&mut solving, f64::INFINITY) {
                return outcome;
            }
        }
    }

    /// Begins what [`Thermal::solve`] does at once. Other points may be solved before it is over, but each starts
    /// from the basis of the last one that was.
    ///
    /// # Errors
    /// [`Limit::OutOfRange`] for what is not finite.
    pub fn begin(&self, bias: f64, flux: f64) -> Result<Solving, Limit> {
        let felt = self.device.flux_at(flux, bias);
        if !(bias.is_finite() && felt.is_finite()) {
            return Err(Limit::OutOfRange {
                gamma: self.gamma,
                bias,
                flux,
            });
        }
        let equation = Equation {
            bias,
            flux: felt - (felt + 0.5).floor(),
            beta_l: self.device.beta_l(),
            gamma: self.gamma,
            alpha: 0.5 * (self.device.left() - self.device.right()),
        };
        let place = match self.place {
            // The basis goes with the flux; its centre was kept relative to it.
            Some(place) => Place {
                centre: self.middle(&equation, place.centre),
                ..place
            },
            None => placement::guess(&equation, self.tolerance),
        };
        Ok(Solving {
            equation,
            flux,
            place,
            trials: 0,
            error: f64::INFINITY,
            elimination: None,
        })
    }

    /// Goes on for about so many multiplications; the outcome once there is one.
    pub fn go_on(
        &mut self,
        solving: &mut Solving,
        multiplications: f64,
    ) -> Option<Result<Point, Limit>> {
        let mut left = multiplications;
        loop {
            let mut elimination = match solving.elimination.take() {
                Some(elimination) => elimination,
                None => match self.next_trial(solving) {
                    Ok(elimination) => elimination,
                    Err(limit) => return Some(Err(limit)),
                },
            };
            let regular = loop {
                match elimination.step() {
                    Some(taken) if taken > 0.0 => left -= taken,
                    Some(_) => break true,
                    None => break false,
                }
                if left <= 0.0 {
                    solving.elimination = Some(elimination);
                    return None;
                }
            };
            let factors = if regular { elimination.finish() } else { None };
            let Some(factors) = factors else {
                solving.place.functions += 4;
                continue;
            };
            if let Some(point) = self.judge(solving, &factors) {
                return Some(Ok(point));
            }
        }
    }

    /// The elimination in the next basis.
    fn next_trial(&mut self, solving: &mut Solving) -> Result<Elimination, Limit> {
        let place = solving.place;
        if solving.trials == TRIALS {
            return Err(Limit::NotSettled {
                error: solving.error,
                trials: TRIALS,
            });
        }
        if place.cost() > self.cost {
            return Err(Limit::TooCostly {
                functions: place.functions,
                harmonics: place.harmonics,
                cost: place.cost(),
            });
        }
        if !self.displacement.fits(&place) {
            self.displacement = Displacement::new(&place);
        }
        self.eliminations += 1;
        solving.trials += 1;
        let operator = Operator::new(solving.equation, place, &self.displacement);
        Ok(Elimination::new(operator))
    }

    /// The point, when the basis was good enough; else the next basis.
    fn judge(&mut self, solving: &mut Solving, factors: &Factors) -> Option<Point> {
        let equation = solving.equation;
        let (mut found, density) = point::point(factors);
        let fit = placement::look(&equation, &density, &solving.place, self.tolerance / SPARE);
        solving.error = fit.tail.max(fit.top);
        let settled = fit.tail <= self.tolerance && fit.top <= self.tolerance;
        solving.place = fit.better;
        if !settled {
            return None;
        }
        self.place = Some(Place {
            centre: solving.place.centre - PI * equation.flux,
            ..solving.place
        });
        found.flux = solving.flux;
        found.resistance +=
            found.transfer * (self.device.flux_at(0.0, 1.0) - self.device.flux_at(0.0, 0.0));
        Some(found)
    }

    /// The centre at a distance from πφ. At whole and half quanta a symmetric loop has its density in the
    /// middle.
    fn middle(&self, equation: &Equation, away: f64) -> f64 {
        let twice = 2.0 * equation.flux;
        let mirrored = (twice - (twice + 0.5).floor()).abs() < 1e-9;
        if mirrored && self.device.is_symmetric() {
            PI * equation.flux
        } else {
            PI * equation.flux + away
        }
    }
}
