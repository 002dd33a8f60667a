//! What comes back from whoever works.

use serde::Serialize;

use super::{Answer, Job, Parcel, ParcelError};
use crate::experiment::{Column, Inside, Method, Reading, Trace};
use crate::fields::{self, Fields};

/// News of a job.
#[derive(Debug, Clone, PartialEq)]
pub enum News {
    /// It goes on.
    Part {
        /// The share that is done, from 0 to 1.
        share: f64,
        /// What is known so far; values that are not known yet are not numbers. None when nothing
        /// new is.
        trace: Option<Trace>,
    },
    /// It is done.
    Done(Answer),
    /// It failed, and why, in words for the reader.
    Failed(String),
    /// It was stopped, as ordered.
    Stopped,
}

impl News {
    /// Whether whoever worked on the job is free again.
    #[must_use]
    pub fn is_last(&self) -> bool {
        !matches!(self, Self::Part { .. })
    }

    fn kind(&self) -> &'static str {
        match self {
            Self::Part { .. } => "part",
            Self::Done(_) => "done",
            Self::Failed(_) => "failed",
            Self::Stopped => "stopped",
        }
    }
}

/// News of the job of that number.
#[derive(Debug, Clone, PartialEq)]
pub struct Reply {
    /// The job's number.
    pub number: u32,
    /// The news.
    pub news: News,
}

/// The text of a reply.
#[derive(Serialize)]
struct Words<'a> {
    number: u32,
    news: &'static str,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    readings: Vec<&'static str>,
    #[serde(skip_serializing_if = "<[String]>::is_empty")]
    warnings: &'a [String],
    #[serde(skip_serializing_if = "Option::is_none")]
    failed: Option<&'a str>,
}

impl Reply {
    /// The reply ready to travel. A trace travels as its readings, the numbers of its methods and
    /// its columns; its x is known to whoever asked. Folded curves belong to quick set-ups and do
    /// not travel. An inside travels as [`Inside::numbers`].
    #[must_use]
    pub fn pack(&self) -> Parcel {
        let mut words = Words {
            number: self.number,
            news: self.news.kind(),
            readings: Vec::new(),
            warnings: &[],
            failed: None,
        };
        let mut first = Vec::new();
        let trace = match &self.news {
            News::Part { share, trace } => {
                first.push(*share);
                trace.as_ref()
            }
            News::Done(Answer::Run(trace)) => Some(trace),
            News::Done(Answer::Seek(value)) => {
                first.push(*value);
                None
            }
            News::Done(Answer::Inside(inside)) => {
                first = inside.numbers();
                None
            }
            News::Failed(why) => {
                words.failed = Some(why);
                None
            }
            News::Stopped => None,
        };
        let mut numbers = vec![first];
        if let Some(trace) = trace {
            words.warnings = &trace.warnings;
            words.readings = trace.readings.iter().map(|reading| reading.name).collect();
            numbers.push(trace.readings.iter().map(|reading| reading.value).collect());
            numbers.push(trace.methods.iter().map(|method| code(*method)).collect());
            numbers.extend(trace.columns.iter().map(|column| column.values.clone()));
        }
        Parcel {
            text: serde_json::to_string(&words).unwrap_or_default(),
            numbers,
        }
    }

    /// Reads a reply; `job` gives the job of a number.
    ///
    /// # Errors
    /// When the text is not that of a reply to a job that is known.
    pub fn unpack(
        parcel: &Parcel,
        job: impl Fn(u32) -> Option<Job>,
    ) -> Result<Option<Self>, ParcelError> {
        let read = |fields: &Fields<'_>| {
            let number = fields.whole("number");
            // A job that nobody waits for any more.
            let Some(job) = job(number) else {
                return Ok(None);
            };
            let trace = || rebuilt(&job, parcel, fields);
            let first = parcel.list(0).first().copied().unwrap_or(f64::NAN);
            let with_trace = parcel.numbers.len() > 1;
            let news = match fields.text("news").as_str() {
                "part" => News::Part {
                    share: first,
                    trace: if with_trace { trace() } else { None },
                },
                "done" if matches!(job, Job::Inside { .. }) => {
                    let inside = Inside::from_numbers(parcel.list(0));
                    News::Done(Answer::Inside(inside.ok_or(ParcelError::OtherVersion)?))
                }
                "done" if with_trace => {
                    News::Done(Answer::Run(trace().ok_or(ParcelError::OtherVersion)?))
                }
                "done" => News::Done(Answer::Seek(first)),
                "failed" => News::Failed(fields.text("failed")),
                "stopped" => News::Stopped,
                _ => return Err(ParcelError::OtherVersion),
            };
            Ok(Some(Self { number, news }))
        };
        fields::read(&parcel.text, read)?
    }
}

/// A method as a number.
fn code(method: Method) -> f64 {
    let place = Method::ALL.iter().position(|known| *known == method);
    place.map_or(f64::NAN, |place| place as f64)
}

/// The trace that travelled in a reply to `job`.
fn rebuilt(job: &Job, parcel: &Parcel, fields: &Fields<'_>) -> Option<Trace> {
    let Job::Run { setup, x } = job else {
        return None;
    };
    let description = setup.description();
    let method = |code: &f64| {
        Method::ALL
            .get(*code as usize)
            .copied()
            .unwrap_or(Method::None)
    };
    let reading = |(name, value): (&String, &f64)| {
        let known = description.reading(name)?;
        Some(Reading {
            name: known.name,
            unit: known.unit,
            value: *value,
        })
    };
    let swept = setup.x();
    Some(Trace {
        x: Column {
            name: swept.name,
            unit: swept.unit,
            values: x.clone(),
        },
        columns: parcel
            .numbers
            .iter()
            .skip(3)
            .zip(description.columns)
            .map(|(values, column)| Column {
                name: column.name,
                unit: column.unit,
                values: values.clone(),
            })
            .collect(),
        methods: parcel.list(2).iter().map(method).collect(),
        folded: Vec::new(),
        readings: fields
            .optional_texts("readings")
            .iter()
            .zip(parcel.list(1))
            .filter_map(reading)
            .collect(),
        warnings: fields.optional_texts("warnings"),
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]
mod tests {
    use super::*;
    use crate::experiment::{Setup, Sought, descriptions, run};

    fn travels(reply: &Reply, job: &Job) {
        let back = Reply::unpack(&reply.pack(), |number| {
            (number == reply.number).then(|| job.clone())
        });
        assert_eq!(back.unwrap().as_ref(), Some(reply));
    }

    #[test]
    fn traces_travel_to_the_last_bit() {
        for description in descriptions() {
            let setup = Setup::new(description.kind).unwrap();
            let (from, to) = setup.default_window();
            let x: Vec<f64> = (0..7)
                .map(|k| from + (to - from) * f64::from(k) / 6.0)
                .collect();
            let mut trace = run(&setup, &x).unwrap();
            trace.folded.clear();
            trace.warnings.push("„Γ“ is \"large\" \\ here".to_owned());
            if trace.methods.is_empty() {
                trace.methods = Method::ALL.to_vec();
            }
            let job = Job::run(&setup, &x);
            travels(
                &Reply {
                    number: 3,
                    news: News::Part {
                        share: 1.0 / 3.0,
                        trace: Some(trace.clone()),
                    },
                },
                &job,
            );
            travels(
                &Reply {
                    number: 3,
                    news: News::Done(Answer::Run(trace)),
                },
                &job,
            );
        }
    }

    #[test]
    fn insides_travel_to_the_last_bit() {
        for description in descriptions() {
            let setup = Setup::new(description.kind).unwrap();
            let at = setup.default_window().1 / 3.0;
            let inside = crate::experiment::inside(&setup, at).unwrap();
            let reply = Reply {
                number: 4,
                news: News::Done(Answer::Inside(inside)),
            };
            travels(&reply, &Job::inside(&setup, description.views()[0], at));
        }
    }

    #[test]
    fn values_failures_and_silence_travel() {
        let setup = Setup::new("screened-loop").unwrap();
        let job = Job::seek(
            &setup,
            &Sought::Reading {
                reading: "maximum".to_owned(),
            },
        );
        for news in [
            News::Done(Answer::Seek(0.1 + 0.2)),
            News::Failed("no β_L gives \"that\"".to_owned()),
            News::Stopped,
            News::Part {
                share: 0.25,
                trace: None,
            },
        ] {
            travels(&Reply { number: 9, news }, &job);
        }
    }

    #[test]
    fn a_reply_to_nobody_is_none_and_rubbish_is_an_error() {
        let reply = Reply {
            number: 5,
            news: News::Stopped,
        };
        assert_eq!(Reply::unpack(&reply.pack(), |_| None), Ok(None));
        let parcel = Parcel {
            text: "[]".to_owned(),
            numbers: Vec::new(),
        };
        assert!(Reply::unpack(&parcel, |_| None).is_err());
    }
}
