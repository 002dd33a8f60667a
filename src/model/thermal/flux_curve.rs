//! A whole period of voltage and noise against flux, from as few solutions as its smoothness
//! allows: nested flux grids, values and slopes, one Fourier series.

use super::hermite::Place;
use super::series::Series;
use super::{Limit, Point, Thermal};
use crate::model::shunted_loop::ShuntedLoop;

/// Points of the first grid.
const FIRST: usize = 4;
/// Points of the largest grid.
const LAST: usize = 256;

/// Voltage and noise against applied flux at one bias, filled in by [`FluxCurve::step`].
///
/// # Example
/// ```
/// use coldfringe::model::shunted_loop::ShuntedLoop;
/// use coldfringe::model::thermal::FluxCurve;
///
/// # fn main() -> Result<(), Box<dyn std::error::Error>> {
/// let device = ShuntedLoop::symmetric(1.0).ok_or("no such loop")?;
/// let mut curve = FluxCurve::new(&device, 1.6, 0.05, 1e-6)?;
/// while !curve.is_done() {
///     curve.step()?;
/// }
/// let quarter = curve.at(0.25).ok_or("nothing solved")?;
/// assert!((quarter.voltage - 0.2102).abs() < 0.0005);
/// # Ok(())
/// # }
/// ```
#[derive(Debug, Clone)]
pub struct FluxCurve {
    thermal: Thermal,
    bias: f64,
    tolerance: f64,
    /// Solved points at multiples of 1/LAST.
    solved: Vec<Option<(Point, Option<Place>)>>,
    /// Points of the grid in work.
    grid: usize,
    planned: usize,
    steps: usize,
    done: bool,
    series: Option<(Series, Series)>,
    /// Largest error of a solved point: voltage, transfer, noise.
    point_error: [f64; 3],
}

/// A place on the curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurvePoint {
    /// Applied flux in Φ0.
    pub flux: f64,
    /// Mean voltage in I0 R.
    pub voltage: f64,
    /// Transfer ∂V/∂`Φ_a` in I0 R/Φ0.
    pub transfer: f64,
    /// One-sided voltage noise at low frequency in (I0 R)² Φ0/(2π I0 R).
    pub noise: f64,
    /// Estimated error of the voltage in I0 R.
    pub voltage_error: f64,
    /// Estimated error of the transfer in I0 R/Φ0.
    pub transfer_error: f64,
    /// Estimated error of the noise in its unit.
    pub noise_error: f64,
}

impl FluxCurve {
    /// A curve still without points: the bias in I0, Γ, and the error allowed of the voltage in
    /// I0 R (of the noise, a hundred times as much as a share of its mean).
    ///
    /// # Errors
    /// As [`Thermal::new`]; [`Limit::OutOfRange`] for a bias that is not finite.
    pub fn new(device: &ShuntedLoop, bias: f64, gamma: f64, tolerance: f64) -> Result<Self, Limit> {
        if !bias.is_finite() {
            return Err(Limit::OutOfRange {
                gamma,
                bias,
                flux: 0.0,
            });
        }
        let tolerance = if tolerance.is_finite() {
            tolerance.clamp(1e-9, 1e-2)
        } else {
            1e-6
        };
        let thermal = Thermal::new(device, gamma)?.with_tolerance(0.25 * tolerance);
        // Harmonics die out faster with more noise; only the share of the work rests on this.
        let likely = 3.2 / gamma.sqrt();
        let mut planned = FIRST;
        while (planned as f64) < likely && planned < LAST {
            planned *= 2;
        }
        Ok(Self {
            thermal,
            bias,
            tolerance,
            solved: vec![None; LAST],
            grid: FIRST,
            planned,
            steps: 0,
            done: false,
            series: None,
            point_error: [0.0; 3],
        })
    }

    /// The same with another limit of multiplications for one point (see [`super::COST`]).
    #[must_use]
    pub fn with_cost(mut self, multiplications: f64) -> Self {
        self.thermal = self.thermal.with_cost(multiplications);
        self
    }

    /// Points to solve on a grid.
    fn count(&self, grid: usize) -> usize {
        if self.thermal.device().is_symmetric() {
            grid / 2 + 1
        } else {
            grid
        }
    }

    /// Solves one more point; nothing to do when the curve is done.
    ///
    /// # Errors
    /// What [`Thermal::solve`] refuses; [`Limit::TooFine`] when the largest grid is not enough. The points
    /// solved before stay.
    pub fn step(&mut self) -> Result<(), Limit> {
        if self.done {
            return Ok(());
        }
        let stride = LAST / self.grid;
        let next = (0..self.count(self.grid))
            .map(|j| j * stride)
            .find(|&at| self.solved[at].is_none());
        if let Some(at) = next {
            self.begin_near(at);
            let point = self.thermal.solve(self.bias, at as f64 / LAST as f64)?;
            for (most, here) in self.point_error.iter_mut().zip([
                point.voltage_error,
                point.transfer_error,
                point.noise_error,
            ]) {
                *most = most.max(here);
            }
            self.solved[at] = Some((point, self.thermal.place));
            self.steps += 1;
        }
        if (0..self.count(self.grid)).all(|j| self.solved[j * stride].is_some()) {
            self.fit();
        }
        if !self.done && self.series.is_some() && self.grid > LAST {
            return Err(Limit::TooFine { points: LAST });
        }
        Ok(())
    }

    /// The basis between those of the nearest solved points to both sides.
    fn begin_near(&mut self, at: usize) {
        let place = |index: usize| {
            let (_, place) = self.solved.get(index).copied().flatten()?;
            place.map(|place| (index, place))
        };
        let below = (0..at).rev().find_map(place);
        let above = (at + 1..self.solved.len()).find_map(place);
        self.thermal.place = match (below, above) {
            (Some((from, low)), Some((to, high))) => {
                let part = (at - from) as f64 / (to - from) as f64;
                Some(Place {
                    centre: low.centre + part * (high.centre - low.centre),
                    width: low.width + part * (high.width - low.width),
                    functions: (low.functions + high.functions).div_ceil(8) * 4,
                    harmonics: (low.harmonics + high.harmonics).div_ceil(2),
                })
            }
            (Some((_, place)), None) | (None, Some((_, place))) => Some(place),
            (None, None) => None,
        };
    }

    /// The series of a full grid; the next grid when it is not fine enough.
    fn fit(&mut self) {
        let stride = LAST / self.grid;
        let symmetric = self.thermal.device().is_symmetric();
        let mut columns: [Vec<f64>; 4] = Default::default();
        for j in 0..self.grid {
            let mirrored = symmetric && 2 * j > self.grid;
            let index = if mirrored { self.grid - j } else { j };
            if let Some((point, _)) = self.solved[index * stride] {
                let sign = if mirrored { -1.0 } else { 1.0 };
                columns[0].push(point.voltage);
                columns[1].push(sign * point.transfer);
                columns[2].push(point.noise);
                columns[3].push(sign * point.noise_slope);
            }
        }
        let [voltage, transfer, noise, slope] = &columns;
        let voltage = Series::new(voltage, transfer);
        let noise = Series::new(noise, slope);
        // No finer than the points themselves are.
        let [voltage_error, _, noise_error] = self.point_error;
        self.done = voltage.tail().0 <= self.tolerance.max(voltage_error)
            && noise.tail().0 <= (100.0 * self.tolerance * noise.mean().abs()).max(noise_error);
        self.series = Some((voltage, noise));
        if !self.done {
            self.grid *= 2;
            self.planned = self.planned.max(self.grid.min(LAST));
        }
    }

    /// Whether the series meets the tolerance.
    #[must_use]
    pub fn is_done(&self) -> bool {
        self.done
    }

    /// Share of the work done, 0 to 1, about.
    #[must_use]
    pub fn share(&self) -> f64 {
        if self.done {
            return 1.0;
        }
        (self.steps as f64 / self.count(self.planned) as f64).min(0.99)
    }

    /// Points solved so far.
    #[must_use]
    pub fn steps(&self) -> usize {
        self.steps
    }

    /// The points solved so far, by rising flux within a period.
    pub fn points(&self) -> impl Iterator<Item = &Point> {
        self.solved
            .iter()
            .filter_map(|solved| solved.as_ref().map(|(point, _)| point))
    }

    /// The bias in I0.
    #[must_use]
    pub fn bias(&self) -> f64 {
        self.bias
    }

    /// The solver, with the basis of the last point.
    #[must_use]
    pub fn thermal(&self) -> &Thermal {
        &self.thermal
    }

    /// The curve at an applied flux, from the finest grid that is full; nothing before the first
    /// is.
    #[must_use]
    pub fn at(&self, flux: f64) -> Option<CurvePoint> {
        let (voltage, noise) = self.series.as_ref()?;
        if !flux.is_finite() {
            return None;
        }
        let (value, transfer) = voltage.at(flux);
        let (level, _) = noise.at(flux);
        let (voltage_tail, transfer_tail) = voltage.tail();
        Some(CurvePoint {
            flux,
            // Against the bias only by its error: the source does the work.
            voltage: if value * self.bias < 0.0 { 0.0 } else { value },
            transfer,
            // Below nothing only by its error.
            noise: level.max(0.0),
            voltage_error: voltage_tail + self.point_error[0],
            transfer_error: transfer_tail + self.point_error[1],
            noise_error: noise.tail().0 + self.point_error[2],
        })
    }
}
