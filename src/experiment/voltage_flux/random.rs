//! Voltage against flux with thermal noise where the stationary equation does not reach: random paths
//! at nodes of the period, and a curve through them that does not overshoot.

use super::{Curve, Row, Task};
use crate::experiment::Method;
use crate::model::langevin::{Estimate, Langevin, Start};
use crate::numerics::elementary::{exp, log};
use crate::numerics::monotone::Monotone;
use crate::numerics::periodic::Periodic;

use core::f64::consts::TAU;

/// Nodes of a period; a symmetric loop needs those of its first half. Weak noise rounds the
/// corners of the curve less, so that it needs more.
const NODES: usize = 64;
const MORE_NODES: usize = 160;

/// Noise parameter below which there are more nodes.
const WEAK: f64 = 0.01;

/// Harmonics of a curve rounded by noise, times the root of Γ: beyond these they are below a thousandth of the
/// first.
const ROUNDING: f64 = 2.0;

/// Rounds of all nodes: so many blocks of every path.
const ROUNDS: u32 = 32;

/// With a seed of its own for each node, the same device gives the same curve.
const SEED: u64 = 0x636f_6c64;

#[derive(Debug)]
pub(super) struct RandomCurve {
    nodes: Vec<Langevin>,
    /// Nodes of a whole period.
    period: usize,
    symmetric: bool,
    /// Rounds that are complete, and the node whose turn it is.
    rounds: u32,
    turn: usize,
    /// Voltage and logarithm of the noise, from the last complete round.
    curves: Option<(Line, Line)>,
    /// Harmonics of the curve; none when it has corners.
    harmonics: Option<usize>,
    errors: Vec<f64>,
}

/// The curve through the nodes.
#[derive(Debug)]
enum Line {
    /// With corners: it follows every node.
    Cornered(Monotone),
    /// Rounded by noise: it averages the nodes' errors out.
    Rounded(Periodic),
}

impl Line {
    fn at(&self, x: f64) -> (f64, f64) {
        match self {
            Self::Cornered(line) => line.at(x),
            Self::Rounded(line) => line.at(x),
        }
    }
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
            period,
            symmetric,
            rounds: 0,
            turn: 0,
            curves: None,
            harmonics: (!cornered).then(|| (ROUNDING / device.noise.sqrt()).ceil() as usize + 2),
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
        self.curves = Some((self.through(&values), self.through(&noises)));
        self.errors = voltages.iter().map(|voltage| voltage.error).collect();
    }

    fn through(&self, values: &[f64]) -> Line {
        let line = |values: &[f64]| match self.harmonics {
            Some(harmonics) => Line::Rounded(Periodic::near(values, harmonics)),
            None => Line::Cornered(Monotone::through_period(values)),
        };
        if !self.symmetric {
            return line(values);
        }
        let mirrored = values.iter().rev().skip(1);
        let inner = mirrored.take(values.len().saturating_sub(2));
        let whole: Vec<f64> = values.iter().chain(inner).copied().collect();
        line(&whole)
    }

    /// Error of the slope, from that of the nodes.
    fn transfer_error(&self, error: f64) -> f64 {
        let nodes = self.period as f64;
        match self.harmonics {
            // Each harmonic m carries 2π m times √(2/N) of a node's error in sine and cosine: the sum over all.
            Some(harmonics) => {
                let last = harmonics as f64;
                error * TAU * (2.0 * last * last * last / (3.0 * nodes)).sqrt()
            }
            // Two neighbours, each off by as much.
            None => 1.5 * error * nodes,
        }
    }

    /// Standard error at the node nearest to a flux.
    fn error(&self, flux: f64) -> f64 {
        let place = (flux - flux.floor()) * self.period as f64;
        let index = (place.round() as usize) % self.period;
        let index = if self.symmetric {
            index.min(self.period - index)
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
        let (voltage, noise) = self.curves.as_ref()?;
        let within = flux - flux.floor();
        let (value, transfer) = voltage.at(within);
        let error = self.error(flux);
        Some(Row {
            voltage: value,
            transfer,
            noise: exp(noise.at(within).0),
            voltage_error: error,
            transfer_error: self.transfer_error(error),
        })
    }

    fn method(&self) -> Method {
        Method::Langevin
    }
}
