//! A loop at a bias, what is known of it at a flux, and what is read off a whole curve.

use super::{AREA, BIAS, DESCRIPTION};
use crate::constants::BOLTZMANN;
use crate::experiment::Reading;
use crate::experiment::setup::Setup;
use crate::experiment::shunted::{self, Device};
use crate::experiment::single_junction::reading;
use crate::numerics::minimise;

/// Slopes below this, in I0 R/Φ0, are what rounding leaves of none.
const NO_SLOPE: f64 = 1e-10;

/// A loop at a bias, as all methods need it. A negative bias gives the negative voltage of the positive
/// one at the mirrored flux; the methods see positive bias only.
#[derive(Debug, Clone)]
pub(super) struct Task {
    pub(super) device: Device,
    /// Size of the bias in I0.
    pub(super) bias: f64,
    /// −1 for a negative bias.
    pub(super) sign: f64,
    area: f64,
    pub(super) x: Vec<f64>,
}

/// The voltage state at one flux, in normalised units.
#[derive(Debug, Clone, Copy)]
pub(super) struct Row {
    pub(super) voltage: f64,
    pub(super) transfer: f64,
    pub(super) noise: f64,
    pub(super) voltage_error: f64,
    pub(super) transfer_error: f64,
    pub(super) noise_error: f64,
}

impl Row {
    /// Root of the noise over the slope: none without noise, and beyond bounds where slope or noise are not three times
    /// their errors.
    pub(super) fn flux_noise(&self) -> f64 {
        let told =
            self.transfer.abs() > 3.0 * self.transfer_error && self.noise > 3.0 * self.noise_error;
        if self.noise <= 0.0 && self.noise_error <= 0.0 {
            0.0
        } else if told {
            self.noise.sqrt() / self.transfer.abs()
        } else if self.transfer.is_nan() {
            f64::NAN
        } else {
            f64::INFINITY
        }
    }

    /// The flux noise that a rising slope surely keeps below. The least of many values that have errors would be the luckiest, not
    /// the best: error counts too.
    fn rising_noise(&self) -> f64 {
        if self.transfer > 0.0 {
            self.flux_noise() * (1.0 + self.flux_noise_error())
        } else {
            f64::INFINITY
        }
    }

    /// Relative error of the flux noise: of a root over a slope.
    fn flux_noise_error(&self) -> f64 {
        let slope = self.transfer_error / self.transfer;
        let noise = 0.5 * self.noise_error / self.noise;
        (slope * slope + noise * noise).sqrt()
    }
}

/// Places of a period that are looked at first.
const GRID: u32 = 256;

/// A period that begins where the voltage of a symmetric loop is smallest.
fn places() -> impl Iterator<Item = f64> {
    (0..GRID).map(|k| f64::from(k) / f64::from(GRID))
}

/// The least of a function near the place of the grid where it is least.
fn near(place: f64, f: impl Fn(f64) -> f64) -> f64 {
    let step = 1.0 / f64::from(GRID);
    minimise::brent(f, place - step, place + step, 1e-10).0
}

/// A flux at which nothing is known yet.
pub(super) const UNKNOWN: Row = Row {
    voltage: f64::NAN,
    transfer: f64::NAN,
    noise: f64::NAN,
    voltage_error: f64::NAN,
    transfer_error: f64::NAN,
    noise_error: f64::NAN,
};

impl Task {
    pub(super) fn of(setup: &Setup, x: &[f64]) -> Self {
        let device = Device::of(setup);
        let bias = setup.number(BIAS) / device.current;
        Self {
            device,
            bias: bias.abs(),
            sign: if bias < 0.0 { -1.0 } else { 1.0 },
            area: setup.number(AREA),
            x: x.to_vec(),
        }
    }

    /// The columns from what a method knows at each place and flux.
    pub(super) fn columns(&self, known: impl Fn(usize, f64) -> Row) -> Vec<Vec<f64>> {
        let mut columns = vec![Vec::with_capacity(self.x.len()); DESCRIPTION.columns.len()];
        for (index, flux) in self.x.iter().enumerate() {
            let row = self.row(*flux, |flux| known(index, flux));
            let volts = self.device.voltage();
            let noise = row.noise * self.device.voltage_noise();
            let transfer = row.transfer * volts;
            let cells = [
                row.voltage * volts,
                transfer,
                noise,
                row.flux_noise() * (self.device.voltage_noise().sqrt() / volts),
                row.voltage_error * volts,
            ];
            for (column, cell) in columns.iter_mut().zip(cells) {
                column.push(cell);
            }
        }
        columns
    }

    /// The row at an applied flux, for whatever sign of the bias.
    fn row(&self, flux: f64, at: impl Fn(f64) -> Row) -> Row {
        let row = at(self.sign * flux);
        Row {
            voltage: self.sign * row.voltage,
            transfer: if row.transfer.abs() < NO_SLOPE {
                0.0
            } else {
                row.transfer
            },
            voltage_error: row.voltage_error + self.device.error_left_out(),
            ..row
        }
    }

    /// Where a curve that is known everywhere, for a positive bias, rises and has its least flux noise; nothing
    /// without noise.
    pub(super) fn quietest(&self, at: impl Fn(f64) -> Row) -> Option<f64> {
        if self.device.noise <= 0.0 {
            return None;
        }
        let noise = |flux: f64| at(flux).rising_noise();
        let (flux, least) =
            places()
                .map(|flux| (flux, noise(flux)))
                .fold((0.0, f64::INFINITY), |least, here| {
                    if here.1 < least.1 { here } else { least }
                });
        least.is_finite().then(|| near(flux, noise))
    }

    /// The readings, from a curve that is known everywhere; its best flux (for a positive bias) may be known better than from the curve.
    pub(super) fn readings(
        &self,
        known: impl Fn(f64) -> Row,
        best: Option<(f64, Row)>,
    ) -> Vec<Reading> {
        let at = |flux: f64| self.row(flux, &known);
        let mut lowest = (0.0, f64::INFINITY);
        let mut highest = (0.0, f64::NEG_INFINITY);
        let mut steepest = (0.0, f64::NEG_INFINITY);
        for flux in places() {
            let row = at(flux);
            if row.voltage < lowest.1 {
                lowest = (flux, row.voltage);
            }
            if row.voltage > highest.1 {
                highest = (flux, row.voltage);
            }
            if row.transfer > steepest.1 {
                steepest = (flux, row.transfer);
            }
        }
        let volts = self.device.voltage();
        let lowest = at(near(lowest.0, |flux| at(flux).voltage)).voltage * volts;
        let highest = at(near(highest.0, |flux| -at(flux).voltage)).voltage * volts;
        let steepest = near(steepest.0, |flux| -at(flux).transfer);
        let mut readings = vec![
            reading("maximum", "V", highest),
            reading("minimum", "V", lowest),
            reading("swing", "V", highest - lowest),
            reading("period", "Phi0", 1.0),
        ];
        if highest > lowest {
            let slope = at(steepest).transfer * volts;
            readings.push(reading("steepest-flux", "Phi0", steepest));
            readings.push(reading("steepest-transfer", "V/Phi0", slope));
            readings.push(reading("voltage-step", "V", 1e-3 * slope));
        }
        let best = best.or_else(|| self.quietest(&known).map(|flux| (flux, known(flux))));
        if let Some((flux, row)) = best {
            let applied = self.sign * flux;
            self.read_noise(
                applied - applied.floor(),
                self.row(applied, |_| row),
                &mut readings,
            );
        }
        readings.extend(shunted::parameters_read(&self.device));
        readings
    }

    /// What noise and slope at the best flux give.
    fn read_noise(&self, flux: f64, row: Row, readings: &mut Vec<Reading>) {
        let device = &self.device;
        let sensed = device.sensed(row.transfer, row.noise);
        let thermal = BOLTZMANN * device.temperature * device.inductance / device.resistance;
        readings.extend([
            reading("best-flux", "Phi0", flux),
            reading("transfer", "V/Phi0", sensed.transfer),
            reading(
                "transfer-error",
                "V/Phi0",
                row.transfer_error * device.voltage(),
            ),
            reading("voltage-noise", "V^2/Hz", sensed.noise),
            reading("flux-noise", "Phi0/sqrt(Hz)", sensed.flux_noise),
            reading(
                "flux-noise-error",
                "Phi0/sqrt(Hz)",
                sensed.flux_noise * row.flux_noise_error(),
            ),
            reading("noise-energy", "J/Hz", sensed.energy),
            reading("noise-energy-relative", "", sensed.energy / thermal),
            reading("field-noise", "T/sqrt(Hz)", sensed.webers / self.area),
        ]);
    }
}
