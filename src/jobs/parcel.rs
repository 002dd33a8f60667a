//! Orders to whoever works, and the form in which they travel: a short JSON text and lists of
//! numbers. Numbers that must arrive to the last bit never stand in the text.

use serde::Serialize;

use super::Job;
use crate::decimal::shortest;
use crate::experiment::{ExperimentError, ParameterValue, Setup, SetupError, Sought, View};
use crate::fields::{self, FieldError, Fields};
use crate::named::Named;

/// What travels between the page and whoever works.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Parcel {
    /// A JSON object.
    pub text: String,
    /// Lists of numbers.
    pub numbers: Vec<Vec<f64>>,
}

impl Parcel {
    /// The list of numbers at a place; empty when there is none.
    pub(super) fn list(&self, place: usize) -> &[f64] {
        self.numbers.get(place).map_or(&[], Vec::as_slice)
    }
}

/// Why a parcel cannot be read.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ParcelError {
    /// The text is not as it must be.
    #[error("a message in the notebook cannot be read: {0}; reload the page")]
    Text(#[from] FieldError),
    /// The set-up cannot be made.
    #[error(transparent)]
    Setup(#[from] SetupError),
    /// The order is not known: page and worker are of different versions.
    #[error("the page and its worker are of different versions; reload the page")]
    OtherVersion,
}

impl From<ParcelError> for ExperimentError {
    fn from(error: ParcelError) -> Self {
        Self::Told(error.to_string())
    }
}

/// What the page tells whoever works.
#[derive(Debug, Clone, PartialEq)]
pub enum Order {
    /// Work on this.
    Start {
        /// The job's number, named in every reply.
        number: u32,
        /// The job.
        job: Job,
    },
    /// Stop working on the job of that number.
    Stop {
        /// The job's number.
        number: u32,
    },
}

/// The text of an order.
#[derive(Serialize)]
struct Words<'a> {
    number: u32,
    order: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    kind: Option<&'static str>,
    /// Parameters that are not one number.
    texts: Named<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    sought: Option<&'a Sought>,
}

impl Order {
    /// The order ready to travel. Parameters that are one number travel as numbers in the order of
    /// the set-up's description, then come the values of x; for an inside its place, and that of its
    /// view among all.
    #[must_use]
    pub fn pack(&self) -> Parcel {
        let (number, order, job) = match self {
            Self::Start { number, job } => (
                *number,
                match job {
                    Job::Run { .. } => "run",
                    Job::Seek { .. } => "seek",
                    Job::Inside { .. } => "inside",
                },
                Some(job),
            ),
            Self::Stop { number } => (*number, "stop", None),
        };
        let mut texts = Named::new();
        let mut values = Vec::new();
        if let Some(job) = job {
            for (parameter, value) in job.setup().parameters() {
                if let ParameterValue::Number(value) = value {
                    values.push(*value);
                } else {
                    values.push(f64::NAN);
                    texts.insert(parameter.name.to_owned(), written(value, parameter.unit));
                }
            }
        }
        let (x, sought) = match job {
            Some(Job::Run { x, .. }) => (x.clone(), None),
            Some(Job::Seek { sought, .. }) => (Vec::new(), Some(sought)),
            Some(Job::Inside { view, at, .. }) => {
                let view = View::ALL.iter().position(|known| known == view);
                (vec![*at, view.unwrap_or_default() as f64], None)
            }
            None => (Vec::new(), None),
        };
        let words = Words {
            number,
            order,
            kind: job.map(|job| job.setup().description().kind),
            texts,
            sought,
        };
        Parcel {
            text: serde_json::to_string(&words).unwrap_or_default(),
            numbers: vec![values, x],
        }
    }

    /// Reads an order.
    ///
    /// # Errors
    /// When the text is not that of an order, or the set-up is not one.
    pub fn unpack(parcel: &Parcel) -> Result<Self, ParcelError> {
        fields::read(&parcel.text, |fields| Self::read(fields, parcel))?
    }

    fn read(fields: &Fields<'_>, parcel: &Parcel) -> Result<Self, ParcelError> {
        let number = fields.whole("number");
        let order = fields.text("order");
        if order == "stop" {
            return Ok(Self::Stop { number });
        }
        let mut setup = Setup::new(&fields.text("kind"))?;
        let texts = fields.part("texts");
        let parameters = setup.description().parameters;
        for (parameter, value) in parameters.iter().zip(parcel.list(0)) {
            if texts.has(parameter.name) {
                setup.set(parameter.name, &texts.text(parameter.name))?;
            } else {
                setup.set_si(parameter.name, *value)?;
            }
        }
        let job = match order.as_str() {
            "run" => Job::run(&setup, parcel.list(1)),
            "seek" => Job::seek(
                &setup,
                &Sought::read(&fields.part("sought")).ok_or(ParcelError::OtherVersion)?,
            ),
            "inside" => {
                let [at, view] = parcel.list(1) else {
                    return Err(ParcelError::OtherVersion);
                };
                let view = View::ALL.get(*view as usize);
                Job::inside(&setup, *view.ok_or(ParcelError::OtherVersion)?, *at)
            }
            _ => return Err(ParcelError::OtherVersion),
        };
        Ok(Self::Start { number, job })
    }
}

/// A list, a profile or a word as one would write it; it reads back to the same bits, because the
/// shortest text that does is written.
fn written(value: &ParameterValue, unit: &str) -> String {
    let list = |values: &[f64], unit: &str| {
        let values: Vec<String> = values
            .iter()
            .map(|value| format!("{} {unit}", shortest(*value)).trim_end().to_owned())
            .collect();
        values.join("; ")
    };
    match value {
        ParameterValue::Number(value) => list(&[*value], unit),
        ParameterValue::List(values) => list(values, unit),
        ParameterValue::Samples(samples) => list(samples, ""),
        ParameterValue::Profile(word) | ParameterValue::Choice(word) => (*word).to_owned(),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]
mod tests {
    use super::*;
    use crate::experiment::descriptions;

    fn travels(order: &Order) {
        assert_eq!(&Order::unpack(&order.pack()).unwrap(), order);
    }

    #[test]
    fn orders_for_every_setup_travel_to_the_last_bit() {
        for description in descriptions() {
            let mut setup = Setup::new(description.kind).unwrap();
            for parameter in description.parameters {
                if let Some(value) = setup.get_si(parameter.name) {
                    // An odd value; one that is out of range is left as it was.
                    let _ = setup.set_si(parameter.name, value * (1.0 + 1.0 / 3.0));
                }
            }
            let x = [0.1 + 0.2, -1.0 / 3.0, 5e-324, 0.0];
            travels(&Order::Start {
                number: 7,
                job: Job::run(&setup, &x),
            });
            travels(&Order::Start {
                number: 8,
                job: Job::seek(
                    &setup,
                    &Sought::At {
                        column: description.columns[0].name.to_owned(),
                        at: "\"0,25\" Φ0 \\".to_owned(),
                    },
                ),
            });
        }
        let setup = Setup::new("rf-readout").unwrap();
        travels(&Order::Start {
            number: 9,
            job: Job::inside(&setup, View::Tank, -1.0 / 3.0),
        });
        travels(&Order::Stop { number: u32::MAX });
    }

    #[test]
    fn lists_profiles_and_samples_travel_too() {
        let mut array = Setup::new("junction-array").unwrap();
        array.set("loop-areas", "10 um^2; 31.7 um^2").unwrap();
        let mut junction = Setup::new("single-junction").unwrap();
        junction.set("profile", "0.1; 2.3; 0.3").unwrap();
        let mut bowed = Setup::new("single-junction").unwrap();
        bowed.set("profile", "half-cosine").unwrap();
        for setup in [array, junction, bowed] {
            travels(&Order::Start {
                number: 1,
                job: Job::run(&setup, &[]),
            });
        }
    }

    #[test]
    fn what_is_no_order_is_refused_in_words() {
        let parcel = |text: &str| Parcel {
            text: text.to_owned(),
            numbers: Vec::new(),
        };
        for (text, words) in [
            ("", "reload the page"),
            ("{}", "`number` is missing"),
            (
                r#"{"number":1,"order":"dance","kind":"junction-pair","texts":{}}"#,
                "different versions",
            ),
            (
                r#"{"number":1,"order":"run","kind":"junction-pear","texts":{}}"#,
                "junction-pair",
            ),
        ] {
            let said = Order::unpack(&parcel(text)).unwrap_err().to_string();
            assert!(said.contains(words), "{text}: {said}");
        }
    }
}
