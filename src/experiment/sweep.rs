//! A run done in slices, coarse first, so that it can be shown while it goes on and stopped at any
//! time.

use super::description::Work;
use super::run::check;
use super::{Column, ExperimentError, Method, Reading, Setup, Trace};

/// Work of a slow set-up, a few milliseconds at a time.
pub(crate) trait Slices: std::fmt::Debug {
    /// Does a few milliseconds of work, unless all is done.
    fn slice(&mut self);
    /// The share of the work that is done, from 0 to 1; exactly 1 when all is.
    fn share(&self) -> f64;
    /// The columns as they are known now, in the order of the description; a value that is not
    /// known yet is not a number.
    fn columns(&self) -> Vec<Vec<f64>>;
    /// The method behind each point.
    fn methods(&self) -> Vec<Method>;
    /// The readings known now.
    fn readings(&self) -> Vec<Reading>;
    /// What is to be said about how the points were computed.
    fn warnings(&self) -> Vec<String>;
}

/// The share of work that is done in equal pieces, one after another.
pub(super) fn share(done: usize, all: usize) -> f64 {
    if done >= all {
        1.0
    } else {
        done as f64 / all as f64
    }
}

/// Work that goes round and round, one more piece at every place each time.
#[derive(Debug, Clone, Copy)]
pub(super) struct Rounds {
    places: usize,
    planned: u32,
    complete: u32,
    turn: usize,
}

impl Rounds {
    /// So many rounds of so many places.
    pub(super) fn new(places: usize, planned: u32) -> Self {
        Self {
            places,
            planned,
            complete: 0,
            turn: 0,
        }
    }

    /// The place whose turn it is.
    pub(super) fn turn(&self) -> usize {
        self.turn
    }

    /// Rounds that are complete.
    pub(super) fn complete(&self) -> u32 {
        self.complete
    }

    /// The piece is done; true when that completes a round.
    pub(super) fn advance(&mut self) -> bool {
        self.turn += 1;
        let over = self.turn >= self.places;
        if over {
            self.turn = 0;
            self.complete += 1;
        }
        over
    }

    /// The share of all that is done.
    pub(super) fn share(&self) -> f64 {
        if self.places == 0 {
            return 1.0;
        }
        let rounds = f64::from(self.complete) + self.turn as f64 / self.places as f64;
        (rounds / f64::from(self.planned)).min(1.0)
    }
}

/// A run that goes on in slices. Dropping it ends it.
#[derive(Debug)]
pub struct Sweep {
    setup: Setup,
    x: Vec<f64>,
    progress: Progress,
}

#[derive(Debug)]
enum Progress {
    /// A quick set-up: its one slice is to come, or done.
    Quick {
        done: bool,
    },
    Slow(Box<dyn Slices>),
}

impl Sweep {
    /// A run of `setup` at the values `x`, in the SI unit of its x. Nothing is computed yet.
    ///
    /// # Errors
    /// When the parameters do not fit together, an x is not finite or far out of all reason, or this
    /// build does not hold the physics of the set-up.
    pub fn begin(setup: &Setup, x: &[f64]) -> Result<Self, ExperimentError> {
        check(setup, x)?;
        let progress = match setup.description().physics.work {
            Work::AtOnce { .. } | Work::Behind { .. } => Progress::Quick { done: false },
            Work::InSlices { begin, .. } => Progress::Slow(begin(setup, x)),
            Work::Elsewhere(_) => return Err(ExperimentError::NotHere(setup.description().kind)),
        };
        Ok(Self {
            setup: setup.clone(),
            x: x.to_vec(),
            progress,
        })
    }

    /// Does the next few milliseconds of work; true when all is done.
    pub fn slice(&mut self) -> bool {
        match &mut self.progress {
            Progress::Quick { done } => *done = true,
            Progress::Slow(slices) => {
                if slices.share() < 1.0 {
                    slices.slice();
                }
            }
        }
        self.share() >= 1.0
    }

    /// The share of the work that is done, from 0 to 1.
    #[must_use]
    pub fn share(&self) -> f64 {
        match &self.progress {
            Progress::Quick { done } => f64::from(u8::from(*done)),
            Progress::Slow(slices) => slices.share(),
        }
    }

    /// The trace as it is known now. Values that are not known yet are not numbers.
    #[must_use]
    pub fn trace(&self) -> Trace {
        let setup = &self.setup;
        let description = setup.description();
        let mut warnings = (description.physics.warnings)(setup);
        let (values, methods, readings) = match &self.progress {
            Progress::Slow(slices) => {
                warnings.extend(slices.warnings());
                (slices.columns(), slices.methods(), slices.readings())
            }
            Progress::Quick { done: true } => match description.physics.work {
                Work::AtOnce { columns, readings } | Work::Behind { columns, readings } => {
                    (columns(setup, &self.x), Vec::new(), readings(setup))
                }
                _ => (Vec::new(), Vec::new(), Vec::new()),
            },
            Progress::Quick { done: false } => {
                let unknown = vec![vec![f64::NAN; self.x.len()]; description.columns.len()];
                (unknown, Vec::new(), Vec::new())
            }
        };
        Trace {
            x: Column {
                name: setup.x().name,
                unit: setup.x().unit,
                values: self.x.clone(),
            },
            columns: values
                .into_iter()
                .zip(description.columns)
                .map(|(values, column)| Column {
                    name: column.name,
                    unit: column.unit,
                    values,
                })
                .collect(),
            methods,
            folded: description
                .physics
                .folded
                .filter(|_| self.share() >= 1.0)
                .map_or_else(Vec::new, |folded| folded(setup, &self.x)),
            readings,
            warnings,
        }
    }
}
