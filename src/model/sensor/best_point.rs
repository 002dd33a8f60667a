//! Where a loop is the best sensor: the search over bias and flux for the least noise energy.

use super::Sensitivity;
use crate::model::shunted_loop::ShuntedLoop;
use crate::model::thermal::{Limit, Point, Solving, Thermal};

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
