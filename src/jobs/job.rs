//! What can be asked of the background, and what comes back.

use crate::experiment::{Inside, Setup, Sought, Trace, View};

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
    /// What goes on inside a set-up at one place, for a board picture.
    Inside {
        /// The set-up.
        setup: Setup,
        /// What is to be seen.
        view: View,
        /// The value of x, in the SI unit of its x.
        at: f64,
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

    /// The inside at one place, computed on the spot by whoever works on it.
    #[must_use]
    pub fn inside(setup: &Setup, view: View, at: f64) -> Self {
        Self::Inside {
            setup: setup.clone().answered_by(None),
            view,
            at,
        }
    }

    /// The set-up that the job is about.
    #[must_use]
    pub fn setup(&self) -> &Setup {
        match self {
            Self::Run { setup, .. } | Self::Seek { setup, .. } | Self::Inside { setup, .. } => {
                setup
            }
        }
    }

    /// Whether the work pauses often enough to hear that it is to stop.
    #[must_use]
    pub fn is_sliced(&self) -> bool {
        matches!(self, Self::Run { .. })
    }

    /// Whether the work is over so soon that it is never ended half way, and may be done in the midst
    /// of sliced work.
    #[must_use]
    pub fn is_brief(&self) -> bool {
        matches!(self, Self::Inside { .. })
    }
}

/// The answer to a job.
#[derive(Debug, Clone, PartialEq)]
pub enum Answer {
    /// The trace of a run.
    Run(Trace),
    /// The value sought, in SI units.
    Seek(f64),
    /// The inside at the place asked for.
    Inside(Inside),
}
