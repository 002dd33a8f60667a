//! What can be wrong with a set-up or with what is asked of it.

use crate::quantity::QuantityError;

/// Why a set-up cannot be made as written.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SetupError {
    /// The kind is not known.
    #[error("there is no set-up \"{kind}\"; {mend}")]
    UnknownKind {
        /// As written.
        kind: String,
        /// What to write.
        mend: String,
    },
    /// The parameter is not known.
    #[error("\"{kind}\" has no parameter \"{name}\"; {mend}")]
    UnknownParameter {
        /// The set-up.
        kind: &'static str,
        /// As written.
        name: String,
        /// What to write.
        mend: String,
    },
    /// A value cannot be read.
    #[error("{name}: {error}")]
    Quantity {
        /// The parameter, or what else was to be read.
        name: String,
        /// What is wrong with it.
        error: QuantityError,
    },
    /// A value has no unit where one is needed.
    #[error(
        "{name}: \"{text}\" has no unit; write it in {unit} or a multiple, such as \"{example}\""
    )]
    NoUnit {
        /// The parameter.
        name: String,
        /// As written.
        text: String,
        /// The SI unit.
        unit: &'static str,
        /// A value that would do.
        example: String,
    },
    /// The unit is of the wrong kind.
    #[error("{name}: \"{text}\" is {found}; {wanted} is needed")]
    WrongUnit {
        /// The parameter.
        name: String,
        /// As written.
        text: String,
        /// What was given, in words.
        found: String,
        /// What is needed, in words with an example.
        wanted: String,
    },
    /// A value is outside its range.
    #[error("{name}: {value} is out of range; give a value from {from} to {to}")]
    OutOfRange {
        /// The parameter.
        name: String,
        /// The value given.
        value: String,
        /// The least.
        from: String,
        /// The greatest.
        to: String,
    },
    /// A whole number is needed.
    #[error("{name}: {value} is not a whole number")]
    NotWhole {
        /// The parameter.
        name: String,
        /// The value given.
        value: String,
    },
    /// A profile that is not known.
    #[error("{name}: there is no profile \"{text}\"; {mend}")]
    UnknownProfile {
        /// The parameter.
        name: String,
        /// As written.
        text: String,
        /// What to write.
        mend: String,
    },
    /// A name that is none of those to choose from.
    #[error("{name}: there is no \"{text}\"; {mend}")]
    UnknownChoice {
        /// The parameter.
        name: String,
        /// As written.
        text: String,
        /// What to write.
        mend: String,
    },
    /// A list of samples that is no profile.
    #[error("{name}: {why}")]
    BadSamples {
        /// The parameter.
        name: String,
        /// What is wrong and what is needed.
        why: String,
    },
    /// A parameter that has no single number was set or asked for as one.
    #[error("{name} is not a single number; set it as text")]
    NotANumber {
        /// The parameter.
        name: String,
    },
    /// A parameter that is no current profile was given densities.
    #[error("{name} is not a current profile; it takes no densities")]
    NotAProfile {
        /// The parameter.
        name: String,
    },
    /// Parameters that do not fit together.
    #[error("{0}")]
    Conflict(String),
    /// A column that does not exist.
    #[error("\"{kind}\" has no column \"{column}\"; {mend}")]
    UnknownColumn {
        /// The set-up.
        kind: &'static str,
        /// As written.
        column: String,
        /// What to write.
        mend: String,
    },
    /// A scale that a column cannot be shown on.
    #[error("{column} cannot be shown in \"{scale}\"; {mend}")]
    BadScale {
        /// The column.
        column: String,
        /// As written.
        scale: String,
        /// What to write.
        mend: String,
    },
}

/// Why a set-up cannot be run as asked.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ExperimentError {
    /// The set-up itself is wrong.
    #[error(transparent)]
    Setup(#[from] SetupError),
    /// A value of x that is not a finite number.
    #[error("the value number {0} of {1} is not a finite number")]
    NotFinite(usize, &'static str),
    /// A value of x so large that the model has no digits left.
    #[error(
        "{name} is too far from zero ({value}): this device can be computed up to {reach} to either side"
    )]
    TooFar {
        /// What is swept.
        name: &'static str,
        /// The value.
        value: String,
        /// The largest size that can be computed.
        reach: String,
    },
    /// More points than can be held.
    #[error("{0} points are too many; ask for at most {1}")]
    TooMany(usize, usize),
    /// A slow set-up, in the part of the notebook that holds only the quick ones.
    #[error("\"{0}\" is computed in the background; ask the worker for it")]
    NotHere(&'static str),
    /// What the worker said when it could not compute something.
    #[error("{0}")]
    Told(String),
    /// Something to be seen inside that a set-up of this kind does not have.
    #[error("\"{0}\" has no such inside to look at")]
    NoView(&'static str),
    /// A reading that does not exist for this kind of set-up.
    #[error("\"{kind}\" has no reading \"{reading}\"; {mend}")]
    UnknownReading {
        /// The set-up.
        kind: &'static str,
        /// As written.
        reading: String,
        /// What to write.
        mend: String,
    },
    /// A reading that these parameters do not have.
    #[error("this device has no {0}: its curve shows none")]
    NoReading(String),
    /// No value of the parameter gives what is wanted.
    #[error("no {parameter} from {from} to {to} gives {reading} = {wanted}")]
    NoSolution {
        /// The parameter sought.
        parameter: String,
        /// The least value tried.
        from: String,
        /// The greatest value tried.
        to: String,
        /// The reading.
        reading: String,
        /// The wanted value.
        wanted: String,
    },
}
