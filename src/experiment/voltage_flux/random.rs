//! Voltage against flux with thermal noise where the stationary equation does not reach: random paths
//! at nodes of the period, a Fourier series through them.

use super::{Curve, Row, Task};
use crate::experiment::Method;
use crate::model::langevin::{Estimate, Langevin, Start};
use crate::numerics::elementary::{exp, log};
use crate::numerics::periodic::Periodic;

/// Nodes of a period; a symmetric loop needs those of its first half.
const NODES: usize = 32;

/// Rounds of all nodes: so many blocks of every path.
const ROUNDS: u32 = 48;

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
    series: Option<(Periodic, Periodic)>,
    errors: Vec<f64>,
}

impl RandomCurve {
    /// Nothing without noise.
    pub(super) fn new(task: &Task) -> Option<Self> {
        let device = &task.device;
        let symmetric = device.model.is_symmetric();
        let count = if symmetric { NODES / 2 + 1 } else { NODES };
        let nodes = (0..count)
            .map(|k| {
                Langevin::new(
                    &device.model,
                    task.bias,
                    k as f64 / NODES as f64,
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
            series: None,
            errors: Vec::new(),
        })
    }

    fn fit(&mut self) {
        let voltages: Vec<Estimate> = self.nodes.iter().map(Langevin::voltage).collect();
        let values: Vec<f64> = voltages.iter().map(|voltage| voltage.value).collect();
        let noises: Vec<f64> = self
            .nodes
            .iter()
            .map(|node| log(node.noise().value.max(1e-300)))
            .collect();
        let through = |values: &[f64]| {
            if self.symmetric {
                Periodic::through_half(values)
            } else {
                Periodic::through(values)
            }
        };
        self.series = Some((through(&values), through(&noises)));
        self.errors = voltages.iter().map(|voltage| voltage.error).collect();
    }

    /// Standard error at the node nearest to a flux.
    fn error(&self, flux: f64) -> f64 {
        let place = (flux - flux.floor()) * NODES as f64;
        let index = (place.round() as usize) % NODES;
        let index = if self.symmetric {
            index.min(NODES - index)
        } else {
            index
        };
        self.errors.get(index).copied().unwrap_or(f64::INFINITY)
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
        let (voltage, noise) = self.series.as_ref()?;
        let (value, transfer) = voltage.at(flux);
        Some(Row {
            voltage: value,
            transfer,
            noise: exp(noise.at(flux).0),
            voltage_error: self.error(flux),
        })
    }

    fn method(&self) -> Method {
        Method::Langevin
    }
}
