//! Voltage against flux with thermal noise where the stationary equation does not reach: random paths
//! at nodes of the period, and a smooth curve through them as their standard errors allow.

use super::{Curve, Row, Task};
use crate::experiment::Method;
use crate::model::langevin::{Estimate, Langevin, Start};
use crate::numerics::elementary::{exp, log};
use crate::numerics::local_fit::{Fitted, LocalFit, Measured};

/// Nodes of a period; a symmetric loop needs those of its first half. Weak noise rounds the
/// corners of the curve less, so that it needs more.
const NODES: usize = 64;
const MORE_NODES: usize = 160;

/// Noise parameter below which there are more nodes.
const WEAK: f64 = 0.01;

/// Rounds of all nodes: so many blocks of every path.
const ROUNDS: u32 = 32;

/// With a seed of its own for each node, the same device gives the same curve.
const SEED: u64 = 0x636f_6c64;

#[derive(Debug)]
pub(super) struct RandomCurve {
    nodes: Vec<Langevin>,
    symmetric: bool,
    /// Rounds that are complete, and the node whose turn it is.
    rounds: u32,
    turn: usize,
    /// Voltage and logarithm of the noise, from the last complete round.
    curves: Option<(LocalFit, LocalFit)>,
    /// Errors of the noise at nodes where it is not known: the loop rests, or nearly.
    unseen: Vec<f64>,
}

impl RandomCurve {
    /// Nothing without noise.
    pub(super) fn new(task: &Task) -> Option<Self> {
        let device = &task.device;
        let symmetric = device.model.is_symmetric();
        let cornered = device.noise < WEAK || device.model.beta_c() > super::HYSTERESIS;
        let period = if cornered { MORE_NODES } else { NODES };
        let count = if symmetric { period / 2 + 1 } else { period };
        let nodes = (0..count)
            .map(|k| {
                Langevin::new(
                    &device.model,
                    task.bias,
                    k as f64 / period as f64,
                    device.noise,
                    Start::Rest,
                    SEED + k as u64,
                )
            })
            .collect::<Option<Vec<_>>>()?;
        Some(Self {
            nodes,
            symmetric,
            rounds: 0,
            turn: 0,
            curves: None,
            unseen: Vec::new(),
        })
    }

    /// How much noise may be there that was not seen, at the nodes about a flux.
    fn unseen(&self, flux: f64) -> f64 {
        let period = if self.symmetric {
            2 * self.nodes.len().saturating_sub(1)
        } else {
            self.nodes.len()
        };
        let place = (flux - flux.floor()) * period as f64;
        [place.floor(), place.ceil()]
            .into_iter()
            .filter_map(|node| {
                let node = node as usize % period.max(1);
                self.unseen.get(if self.symmetric {
                    node.min(period - node)
                } else {
                    node
                })
            })
            .fold(0.0, |most, error| most.max(*error))
    }

    fn fit(&mut self) {
        let line = |estimate: &dyn Fn(&Langevin) -> Measured| {
            let values: Vec<Measured> = self.nodes.iter().map(estimate).collect();
            if self.symmetric {
                LocalFit::of_half_period(&values)
            } else {
                LocalFit::of_period(&values)
            }
        };
        let voltage = line(&|node| {
            let Estimate { value, error } = node.voltage();
            Measured { value, error }
        });
        let noise = line(&|node| {
            let noise = node.noise();
            let value = noise.value.max(f64::MIN_POSITIVE);
            Measured {
                value: log(value),
                error: (noise.error / value).min(1.0),
            }
        });
        self.curves = Some((voltage, noise));
        self.unseen = self
            .nodes
            .iter()
            .map(|node| {
                let noise = node.noise();
                if noise.error > noise.value {
                    noise.error
                } else {
                    0.0
                }
            })
            .collect();
    }
}

impl Curve for RandomCurve {
    fn step(&mut self) -> bool {
        if let Some(node) = self.nodes.get_mut(self.turn) {
            node.advance();
        }
        self.turn += 1;
        if self.turn >= self.nodes.len() {
            self.turn = 0;
            self.rounds += 1;
            // The first round is for settling in, and two blocks have no scatter to speak of.
            if self.rounds > 2 {
                self.fit();
            }
        }
        true
    }

    fn share(&self) -> f64 {
        let rounds = f64::from(self.rounds) + self.turn as f64 / self.nodes.len().max(1) as f64;
        (rounds / f64::from(ROUNDS)).min(1.0)
    }

    fn row(&self, _: usize, flux: f64) -> Option<Row> {
        self.at(flux)
    }

    fn at(&self, flux: f64) -> Option<Row> {
        let (voltage, noise) = self.curves.as_ref()?;
        let Fitted {
            value,
            value_error,
            slope,
            slope_error,
        } = voltage.at(flux);
        let level = noise.at(flux);
        let noise = exp(level.value);
        Some(Row {
            voltage: value,
            transfer: slope,
            noise,
            voltage_error: value_error,
            transfer_error: slope_error,
            noise_error: noise * level.value_error + self.unseen(flux),
        })
    }

    fn method(&self) -> Method {
        Method::Langevin
    }
}
