//! The search for working points, one bias at a time: first the best of all, then the curve
//! against bias, coarse to fine.

use super::DESCRIPTION;
use crate::constants::{BOLTZMANN, FLUX_QUANTUM};
use crate::experiment::setup::Setup;
use crate::experiment::shunted::{self, Device};
use crate::experiment::single_junction::reading;
use crate::experiment::sweep::Slices;
use crate::experiment::{Method, Reading};
use crate::model::sensor::{
    BestPoint, RULE_ENERGY, RULE_NOISE, RULE_TRANSFER, Sensitivity, Valley,
};
use crate::model::thermal::COST;
use crate::numerics::elementary::{exp, log};

/// Up to so many biases every one is computed; of more, a curve is drawn through this many.
const NODES: usize = 49;

/// Multiplications of a slice: some 10 ms.
const SLICE: f64 = 2e7;

/// Tolerance of the solutions. Weak noise asks for a large basis, up to some seconds a point; there a
/// coarser one does.
const TOLERANCE: f64 = 1e-5;
const COARSE: f64 = 1e-4;
/// Below this noise parameter.
const WEAK: f64 = 0.01;

/// The rules of thumb: slope, voltage noise and noise energy at the best working point.
fn rules(device: &Device) -> [Reading; 3] {
    let heat = BOLTZMANN * device.temperature;
    let (resistance, inductance) = (device.resistance, device.inductance);
    [
        reading(
            "transfer-rule",
            "V/Phi0",
            RULE_TRANSFER * resistance / inductance * FLUX_QUANTUM,
        ),
        reading(
            "voltage-noise-rule",
            "V^2/Hz",
            RULE_NOISE * heat * resistance,
        ),
        reading(
            "noise-energy-rule",
            "J/Hz",
            RULE_ENERGY * heat * inductance / resistance,
        ),
    ]
}

/// The readings that need no search.
pub(super) fn known(setup: &Setup) -> Vec<Reading> {
    let mut readings = shunted::known(setup);
    readings.extend(rules(&Device::of(setup)));
    readings
}

#[derive(Debug)]
struct Run {
    device: Device,
    /// In I0.
    biases: Vec<f64>,
    search: Option<BestPoint>,
    /// Biases still to be computed, the next one last; and the one that is being computed.
    open: Vec<f64>,
    valley: Option<(f64, Valley)>,
    planned: usize,
    /// What was found, by rising bias.
    nodes: Vec<Sensitivity>,
    trouble: Option<String>,
}

/// Begins the search.
pub(super) fn begin(setup: &Setup, x: &[f64]) -> Box<dyn Slices> {
    let device = Device::of(setup);
    let biases: Vec<f64> = x.iter().map(|x| x / device.current).collect();
    let mut open = if biases.len() <= NODES {
        biases.clone()
    } else {
        let (low, high) = biases
            .iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), bias| {
                (low.min(*bias), high.max(*bias))
            });
        let last = NODES - 1;
        coarse_to_fine(last)
            .map(|k| low + (high - low) * k as f64 / last as f64)
            .collect()
    };
    open.reverse();
    let tolerance = if device.noise < WEAK {
        COARSE
    } else {
        TOLERANCE
    };
    Box::new(Run {
        device,
        biases,
        search: BestPoint::new(&device.model, device.noise)
            .ok()
            .map(|search| search.with(tolerance, COST)),
        planned: open.len(),
        open,
        valley: None,
        nodes: Vec::new(),
        trouble: None,
    })
}

/// The numbers from 0 to `last`, ends first, then halving.
fn coarse_to_fine(last: usize) -> impl Iterator<Item = usize> {
    let halvings = core::iter::successors(Some(last), |step| (*step > 1).then_some(step / 2));
    let mut seen = vec![false; last + 1];
    let order: Vec<usize> = halvings
        .flat_map(|step| (0..=last).step_by(step.max(1)))
        .chain(0..=last)
        .filter(|k| !core::mem::replace(&mut seen[*k], true))
        .collect();
    order.into_iter()
}

impl Slices for Run {
    fn slice(&mut self) {
        let Some(search) = &mut self.search else {
            self.open.clear();
            return;
        };
        let outcome = if !search.is_done() {
            search.part(SLICE).map(|_| ())
        } else if let Some((bias, mut valley)) = self.valley.take() {
            match search.go_on(&mut valley, SLICE) {
                None => {
                    self.valley = Some((bias, valley));
                    Ok(())
                }
                Some(outcome) => outcome.map(|found| {
                    let place = self.nodes.partition_point(|node| node.bias < bias);
                    self.nodes.insert(place, found);
                }),
            }
        } else if let Some(bias) = self.open.pop() {
            search
                .begin(bias)
                .map(|valley| self.valley = Some((bias, valley)))
        } else {
            Ok(())
        };
        if let Err(limit) = outcome {
            // Other biases may need less: the search leaves this one out.
            self.trouble = Some(format!(
                "some biases are left out: {limit}; raise temperature or lower the inductance"
            ));
        }
    }

    fn share(&self) -> f64 {
        let Some(search) = &self.search else {
            return 1.0;
        };
        let begun = usize::from(self.valley.is_some());
        let points = (self.planned - self.open.len() - begun) as f64;
        if search.is_done() && self.open.is_empty() && begun == 0 {
            1.0
        } else {
            (0.25 * search.share() + 0.75 * points / self.planned.max(1) as f64).min(0.99)
        }
    }

    fn columns(&self) -> Vec<Vec<f64>> {
        let mut columns = vec![Vec::new(); DESCRIPTION.columns.len()];
        for bias in &self.biases {
            let cells = self
                .near(*bias)
                .map_or([f64::NAN; 5], |(flux, transfer, noise)| {
                    let values = self.device.sensed(transfer, noise);
                    [
                        values.energy,
                        flux,
                        values.transfer,
                        values.noise,
                        values.flux_noise,
                    ]
                });
            for (column, cell) in columns.iter_mut().zip(cells) {
                column.push(cell);
            }
        }
        columns
    }

    fn methods(&self) -> Vec<Method> {
        let method = if self.nodes.is_empty() {
            Method::None
        } else {
            Method::FokkerPlanck
        };
        vec![method; self.biases.len()]
    }

    fn readings(&self) -> Vec<Reading> {
        let device = &self.device;
        let mut readings = Vec::new();
        let best = self
            .search
            .as_ref()
            .filter(|search| search.is_done())
            .and_then(BestPoint::best);
        if let Some(best) = best {
            let values = device.sensed(best.transfer.abs(), best.noise);
            let [transfer, noise, energy] = rules(device);
            readings.extend([
                reading("best-bias", "A", best.bias * device.current),
                reading("best-flux", "Phi0", best.flux),
                reading("voltage", "V", best.voltage * device.voltage()),
                reading("transfer", "V/Phi0", values.transfer),
                transfer,
                reading("voltage-noise", "V^2/Hz", values.noise),
                noise,
                reading("flux-noise", "Phi0/sqrt(Hz)", values.flux_noise),
                reading("noise-energy", "J/Hz", values.energy),
                reading("noise-energy-relative", "", best.energy),
                energy,
            ]);
        }
        readings.extend(
            shunted::parameters_read(device)
                .into_iter()
                .filter(|reading| reading.name != shunted::BETA_C.name),
        );
        readings
    }

    fn warnings(&self) -> Vec<String> {
        self.trouble.clone().into_iter().collect()
    }
}

impl Run {
    /// Flux, transfer and noise at a bias, through the four nodes about it. Transfer and noise span
    /// decades, so that their logarithms are drawn.
    fn near(&self, bias: f64) -> Option<(f64, f64, f64)> {
        let usable: Vec<&Sensitivity> = self
            .nodes
            .iter()
            .filter(|node| node.transfer.abs() > 0.0 && node.noise > 0.0)
            .collect();
        let right = usable.partition_point(|node| node.bias < bias);
        let (first, last) = (usable.first()?, usable.last()?);
        if bias < first.bias || bias > last.bias {
            return None;
        }
        let from = right.saturating_sub(2).min(usable.len().saturating_sub(4));
        let about = &usable[from..usable.len().min(from + 4)];
        let (mut flux, mut transfer, mut noise) = (0.0, 0.0, 0.0);
        for (k, node) in about.iter().enumerate() {
            let weight: f64 = about
                .iter()
                .enumerate()
                .filter(|(other, _)| *other != k)
                .map(|(_, other)| (bias - other.bias) / (node.bias - other.bias))
                .product();
            flux += weight * node.flux;
            transfer += weight * log(node.transfer.abs());
            noise += weight * log(node.noise);
        }
        Some((flux, exp(transfer), exp(noise)))
    }
}

#[cfg(test)]
mod tests {
    use super::coarse_to_fine;

    #[test]
    fn every_place_comes_once_ends_first() {
        let order: Vec<usize> = coarse_to_fine(6).collect();
        assert_eq!(order, [0, 6, 3, 1, 2, 4, 5]);
        assert_eq!(coarse_to_fine(48).count(), 49);
    }
}
