//! Answers for slow set-ups that are computed somewhere else, such as in a worker of the browser.
//!
//! Whoever asks for a trace or a quantity goes on being written in one piece. On a page the set-up
//! carries somebody who answers for it: what is known is given at once, what is not is noted and
//! refused with [`ExperimentError::NotHere`]; when it has been computed, the asker is run again.

use super::{ExperimentError, Setup, Sought, Trace};

/// Somebody who answers for slow set-ups.
pub trait Answers: std::fmt::Debug + Sync {
    /// The trace of a set-up at the values `x`, which have been checked.
    ///
    /// # Errors
    /// [`ExperimentError::NotHere`] as long as it is not known; [`ExperimentError::Told`] when it
    /// could not be computed.
    fn run(&self, setup: &Setup, x: &[f64]) -> Result<Trace, ExperimentError>;

    /// The value of what is sought.
    ///
    /// # Errors
    /// As for [`Answers::run`].
    fn seek(&self, setup: &Setup, sought: &Sought) -> Result<f64, ExperimentError>;
}
