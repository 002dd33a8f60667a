//! Answers for slow set-ups on the page: what the background has computed is given, what it has not
//! is asked for.

use std::cell::RefCell;

use crate::experiment::{
    Answers, ExperimentError, Pace, Setup, SetupError, SetupSpec, Sought, Trace,
};
use crate::jobs::{Answer, Job, Memory};
use crate::web::trouble::Outcome;

thread_local! {
    static MEMORY: RefCell<Memory> = const { RefCell::new(Memory::new()) };
}

/// Answers out of the page's memory.
#[derive(Debug)]
struct OnPage;

static ON_PAGE: OnPage = OnPage;

/// The set-up of a block, checked; the background answers for it if it is slow.
pub(crate) fn setup(spec: &SetupSpec) -> Outcome<Setup> {
    Ok(checked(spec)?)
}

/// The same, with the error of the set-up itself.
pub(crate) fn checked(spec: &SetupSpec) -> Result<Setup, SetupError> {
    Ok(Setup::from_spec(spec)?.answered_by(Some(&ON_PAGE)))
}

/// Whether a set-up is computed in the background.
pub(crate) fn is_slow(setup: &Setup) -> bool {
    setup.description().pace() != Pace::AtOnce
}

impl Answers for OnPage {
    fn run(&self, setup: &Setup, x: &[f64]) -> Result<Trace, ExperimentError> {
        match look(Job::run(setup, x))? {
            Answer::Run(trace) => Ok(trace),
            _ => Err(ExperimentError::NotHere(setup.description().kind)),
        }
    }

    fn seek(&self, setup: &Setup, sought: &Sought) -> Result<f64, ExperimentError> {
        match look(Job::seek(setup, sought))? {
            Answer::Seek(value) => Ok(value),
            _ => Err(ExperimentError::NotHere(setup.description().kind)),
        }
    }
}

fn look(job: Job) -> Result<Answer, ExperimentError> {
    let kind = job.setup().description().kind;
    MEMORY
        .with_borrow_mut(|memory| memory.look(job))
        .ok_or(ExperimentError::NotHere(kind))?
        .map_err(ExperimentError::Told)
}

/// How an attempt ended.
pub(crate) enum Attempt<T> {
    /// With this.
    Done(T),
    /// Something must be computed first.
    Wanting(Job),
}

/// Tries something that may want answers that are not there yet.
pub(crate) fn attempt<T>(act: impl FnOnce() -> Outcome<T>) -> Outcome<Attempt<T>> {
    let wanted = || MEMORY.with_borrow_mut(Memory::wanted);
    wanted();
    let outcome = act();
    match (outcome, wanted()) {
        (Err(_), Some(job)) => Ok(Attempt::Wanting(job)),
        (outcome, _) => outcome.map(Attempt::Done),
    }
}

/// Keeps an answer.
pub(crate) fn keep(job: Job, answer: Result<Answer, String>) {
    MEMORY.with_borrow_mut(|memory| memory.keep(job, answer));
}

/// Forgets failures, so that they are tried again.
pub(super) fn forget_failures() {
    MEMORY.with_borrow_mut(Memory::forget_failures);
}
