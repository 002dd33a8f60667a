//! Voltage against bias with thermal noise by random paths, from rest and from the running state.

use super::slices::{Row, UNKNOWN, ends};
use crate::experiment::Method;
use crate::experiment::shunted::Device;
use crate::experiment::sweep::Rounds;
use crate::model::langevin::{Langevin, Start};

/// Up to so many biases every one is sampled; of more, lines are drawn between this many.
const NODES: usize = 65;

/// Blocks of every path at every node.
const ROUNDS: u32 = 32;

/// With a seed of its own for each node, the same device gives the same curve.
const SEED: u64 = 0x6672_696e;

/// Below this damping parameter the start cannot matter: hysteresis begins at β_c = 0.70.
const HYSTERESIS: f64 = 0.5;

#[derive(Debug)]
pub(super) struct RandomCurve {
    nodes: Vec<Node>,
    rounds: Rounds,
}

#[derive(Debug)]
struct Node {
    bias: f64,
    /// −1 for a negative bias: the mirrored voltage at the mirrored flux.
    sign: f64,
    rest: Langevin,
    running: Option<Langevin>,
}

impl Node {
    fn row(&self) -> Row {
        let rising = self.rest.voltage();
        if !rising.error.is_finite() {
            return UNKNOWN;
        }
        let falling = self
            .running
            .as_ref()
            .map_or(rising, |running| running.voltage());
        Row {
            rising: self.sign * rising.value,
            falling: self.sign * falling.value,
            error: rising.error.max(falling.error),
            method: Method::Langevin,
        }
    }
}

impl RandomCurve {
    pub(super) fn new(device: &Device, flux: f64, biases: &[f64]) -> Self {
        let mut places = if biases.len() <= NODES {
            biases.to_vec()
        } else {
            let (low, high) = ends(biases);
            let last = (NODES - 1) as f64;
            (0..NODES)
                .map(|k| low + (high - low) * k as f64 / last)
                .collect()
        };
        places.sort_by(f64::total_cmp);
        places.dedup();
        let nodes: Vec<Node> = places
            .iter()
            .zip(0_u64..)
            .filter_map(|(bias, k)| {
                let sign = if *bias < 0.0 { -1.0 } else { 1.0 };
                let paths = |start, seed| {
                    Langevin::new(
                        &device.model,
                        bias.abs(),
                        sign * flux,
                        device.noise,
                        start,
                        seed,
                    )
                };
                Some(Node {
                    bias: *bias,
                    sign,
                    rest: paths(Start::Rest, SEED + 2 * k)?,
                    running: (device.model.beta_c() > HYSTERESIS)
                        .then(|| paths(Start::Running, SEED + 2 * k + 1))
                        .flatten(),
                })
            })
            .collect();
        Self {
            rounds: Rounds::new(nodes.len(), ROUNDS),
            nodes,
        }
    }

    /// One more block at one node.
    pub(super) fn step(&mut self) {
        if let Some(node) = self.nodes.get_mut(self.rounds.turn()) {
            node.rest.advance();
            if let Some(running) = &mut node.running {
                running.advance();
            }
        }
        self.rounds.advance();
    }

    pub(super) fn share(&self) -> f64 {
        self.rounds.share()
    }

    /// On the line between the nodes about a bias.
    pub(super) fn at(&self, bias: f64) -> Row {
        let right = self.nodes.partition_point(|node| node.bias < bias);
        let Some(above) = self.nodes.get(right).or(self.nodes.last()) else {
            return UNKNOWN;
        };
        let below = right
            .checked_sub(1)
            .and_then(|left| self.nodes.get(left))
            .unwrap_or(above);
        let (low, high) = (below.row(), above.row());
        let width = above.bias - below.bias;
        let share = if width > 0.0 {
            ((bias - below.bias) / width).clamp(0.0, 1.0)
        } else {
            1.0
        };
        Row {
            rising: low.rising + share * (high.rising - low.rising),
            falling: low.falling + share * (high.falling - low.falling),
            error: low.error.max(high.error),
            method: high.method,
        }
    }
}
