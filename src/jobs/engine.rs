//! Works on one job, a slice at a time.

use super::{Answer, Job, News, Order, Reply};
use crate::experiment::{ExperimentError, Sweep, look_inside, seek};

/// The least time between two pieces of news, in milliseconds: a display shows no more.
const PAUSE: f64 = 33.0;
/// Slices are worked through until this much time has passed, in milliseconds; then the worker
/// looks whether there is a new order.
const SHIFT: f64 = 8.0;

/// Works on one job at a time.
#[derive(Debug, Default)]
pub struct Engine {
    running: Option<Running>,
}

#[derive(Debug)]
struct Running {
    number: u32,
    sweep: Sweep,
    told: Option<f64>,
}

impl Engine {
    /// No job yet.
    #[must_use]
    pub const fn new() -> Self {
        Self { running: None }
    }

    /// Whether there is work to go on with.
    #[must_use]
    pub fn is_busy(&self) -> bool {
        self.running.is_some()
    }

    /// Takes an order. A job that pauses never is done at once, and its reply returned.
    pub fn take(&mut self, order: Order) -> Option<Reply> {
        match order {
            Order::Start { number, job } => {
                let news = match begin(job) {
                    Ok(Begun::Sweep(sweep)) => {
                        self.running = Some(Running {
                            number,
                            sweep,
                            told: None,
                        });
                        return None;
                    }
                    Ok(Begun::Done(answer)) => News::Done(answer),
                    Err(error) => News::Failed(error.to_string()),
                };
                Some(Reply { number, news })
            }
            Order::Stop { number } => {
                let running = self.running.take_if(|running| running.number == number);
                running.map(|_| Reply {
                    number,
                    news: News::Stopped,
                })
            }
        }
    }

    /// Works for a few milliseconds; `now` tells the time in milliseconds.
    pub fn work(&mut self, now: impl Fn() -> f64) -> Option<Reply> {
        let began = now();
        let running = self.running.as_mut()?;
        let mut done = running.sweep.slice();
        while !done && now() - began < SHIFT {
            done = running.sweep.slice();
        }
        let number = running.number;
        let news = if done {
            News::Done(Answer::Run(running.sweep.trace()))
        } else {
            let time = now();
            if running.told.is_some_and(|told| time - told < PAUSE) {
                return None;
            }
            running.told = Some(time);
            let trace = running.sweep.trace();
            let is_known = trace
                .columns
                .iter()
                .any(|column| column.values.iter().any(|value| value.is_finite()));
            News::Part {
                share: running.sweep.share(),
                trace: is_known.then_some(trace),
            }
        };
        if done {
            self.running = None;
        }
        Some(Reply { number, news })
    }
}

enum Begun {
    Sweep(Sweep),
    Done(Answer),
}

fn begin(job: Job) -> Result<Begun, ExperimentError> {
    Ok(match job {
        Job::Run { setup, x } => Begun::Sweep(Sweep::begin(&setup, &x)?),
        Job::Seek { setup, sought } => Begun::Done(Answer::Seek(seek(&setup, &sought)?)),
        Job::Inside { setup, view, at } => {
            Begun::Done(Answer::Inside(look_inside(&setup, view, at)?))
        }
    })
}
