//! What can be asked of the background, and what comes back.

use crate::experiment::{Setup, Sought, Trace};

/// A piece of work.
#[derive(Debug, Clone, PartialEq)]
pub enum Job {
    /// The trace of a set-up at the values x, in the SI unit of its x.
    Run {
        /// The set-up.
        setup: Setup,
        /// The values of x.
        x: Vec<f64>,
    },
    /// The value of what is sought from a set-up.
    Seek {
        /// The set-up.
        setup: Setup,
        /// What is sought.
        sought: Sought,
    },
}

impl Job {
    /// A run. Whoever works on it computes it on the spot, whoever answers for the set-up here.
    #[must_use]
    pub fn run(setup: &Setup, x: &[f64]) -> Self {
        Self::Run {
            setup: setup.clone().answered_by(None),
            x: x.to_vec(),
        }
    }

    /// A quantity sought, computed on the spot by whoever works on it.
    #[must_use]
    pub fn seek(setup: &Setup, sought: &Sought) -> Self {
        Self::Seek {
            setup: setup.clone().answered_by(None),
            sought: sought.clone(),
        }
    }

    /// The set-up that the job is about.
    #[must_use]
    pub fn setup(&self) -> &Setup {
        match self {
            Self::Run { setup, .. } | Self::Seek { setup, .. } => setup,
        }
    }

    /// Whether the work pauses often enough to hear that it is to stop.
    #[must_use]
    pub fn is_sliced(&self) -> bool {
        matches!(self, Self::Run { .. })
    }
}

/// The answer to a job.
#[derive(Debug, Clone, PartialEq)]
pub enum Answer {
    /// The trace of a run.
    Run(Trace),
    /// The value sought, in SI units.
    Seek(f64),
}
