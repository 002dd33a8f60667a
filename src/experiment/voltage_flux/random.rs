//! Voltage against flux with thermal noise where the stationary equation does not reach: random paths
//! at nodes of the period, joined with what little noise does to the noise-free period, each by the inverse square of
//! its error; and a smooth curve through them as their errors allow.

use super::{Curve, Row, Task};
use crate::experiment::Method;
use crate::experiment::sweep::Rounds;
use crate::model::langevin::{Estimate, Langevin, Start};
use crate::model::weak_noise::{WeakNoise, WeakPoint};
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

/// What is known at a node.
type Known<'a> = (&'a Langevin, Option<&'a WeakPoint>);

#[derive(Debug)]
pub(super) struct RandomCurve {
    nodes: Vec<Langevin>,
    /// Without capacitance, what little noise does; and that at the nodes whose turn has come.
    weak: Option<WeakNoise>,
    weak_nodes: Vec<Option<WeakPoint>>,
    bias: f64,
    symmetric: bool,
    rounds: Rounds,
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
            weak: WeakNoise::new(&device.model, device.noise),
            weak_nodes: Vec::with_capacity(nodes.len()),
            rounds: Rounds::new(nodes.len(), ROUNDS),
            nodes,
            bias: task.bias,
            symmetric,
            curves: None,
            unseen: Vec::new(),
        })
    }

    /// Nodes of a whole period.
    fn period(&self) -> usize {
        if self.symmetric {
            2 * self.nodes.len().saturating_sub(1)
        } else {
            self.nodes.len()
        }
        .max(1)
    }

    /// The nodes to both sides of a flux.
    fn about(&self, flux: f64) -> [usize; 2] {
        let period = self.period();
        let place = (flux - flux.floor()) * period as f64;
        [place.floor(), place.ceil()].map(|node| {
            let node = node as usize % period;
            if self.symmetric {
                node.min(period - node)
            } else {
                node
            }
        })
    }

    /// How much noise may be there that was not seen, at the nodes about a flux.
    fn unseen(&self, flux: f64) -> f64 {
        self.about(flux)
            .into_iter()
            .filter_map(|node| self.unseen.get(node))
            .fold(0.0, |most, error| most.max(*error))
    }

    /// The next node's next block.
    fn advance(&mut self) {
        let turn = self.rounds.turn();
        let flux = turn as f64 / self.period() as f64;
        if self.weak_nodes.len() == turn {
            let weak = self.weak.as_mut();
            self.weak_nodes
                .push(weak.and_then(|weak| weak.at(self.bias, flux)));
        }
        if let Some(node) = self.nodes.get_mut(turn) {
            node.advance();
        }
    }

    /// Random paths and, where it reaches, little noise.
    fn known(&self) -> impl Iterator<Item = Known<'_>> {
        self.nodes
            .iter()
            .zip(self.weak_nodes.iter().map(Option::as_ref))
    }

    fn fit(&mut self) {
        let line = |estimate: &dyn Fn(Known<'_>) -> Measured| {
            let values: Vec<Measured> = self.known().map(estimate).collect();
            if self.symmetric {
                LocalFit::of_half_period(&values)
            } else {
                LocalFit::of_period(&values)
            }
        };
        let voltage = line(&|(paths, weak)| {
            let Estimate { value, error } = paths.voltage();
            let weak = weak.map(|weak| Measured {
                value: weak.voltage,
                error: weak.voltage_error,
            });
            joined(Measured { value, error }, weak)
        });
        let noise = line(&|(paths, weak)| {
            let noise = paths.noise();
            let relative = |value: f64, error: f64| {
                let value = value.max(f64::MIN_POSITIVE);
                Measured {
                    value: log(value),
                    error: (error / value).min(1.0),
                }
            };
            let weak = weak.map(|weak| relative(weak.noise, weak.noise_error));
            joined(relative(noise.value, noise.error), weak)
        });
        self.curves = Some((voltage, noise));
        self.unseen = self
            .known()
            .map(|(paths, weak)| {
                let noise = paths.noise();
                if noise.error > noise.value && weak.is_none() {
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
        self.advance();
        // The first round is for settling in, and two blocks have no scatter to speak of.
        if self.rounds.advance() && self.rounds.complete() > 2 {
            self.fit();
        }
        true
    }

    fn share(&self) -> f64 {
        self.rounds.share()
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

    fn scatters(&self) -> bool {
        true
    }

    fn method(&self, flux: f64) -> Method {
        let weak = self.about(flux).into_iter().all(|node| {
            let paths = self.nodes.get(node).map(|paths| paths.voltage().error);
            let weak = self.weak_nodes.get(node).and_then(Option::as_ref);
            paths
                .zip(weak)
                .is_some_and(|(error, weak)| weak.voltage_error < error)
        });
        if weak {
            Method::WeakNoise
        } else {
            Method::Langevin
        }
    }
}

/// Two values of one thing, each as much as the inverse square of its error says.
fn joined(one: Measured, other: Option<Measured>) -> Measured {
    let Some(other) = other else {
        return one;
    };
    let weight = |measured: &Measured| 1.0 / (measured.error * measured.error);
    let (a, b) = (weight(&one), weight(&other));
    Measured {
        value: (a * one.value + b * other.value) / (a + b),
        error: 1.0 / (a + b).sqrt(),
    }
}
