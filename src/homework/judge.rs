//! A question of one variant, computed once, and the judgement of raw answers to it. The page and
//! the marking both come here, so that they cannot disagree.

use crate::decimal;
use crate::experiment::{Setup, SetupError, seek};
use crate::lesson::spec::{Ask, Block, ChartSpec, NumberSpec, SetupSpec, seal};
use crate::prediction::number::NumberExpectation;
use crate::prediction::{
    Expectation, MODEL, MarkTask, NumberVerdict, Sketch, SketchGrid, SketchTask, Verdict,
    assess_mark, pick,
};

/// What became of a raw answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Judgement {
    /// It counts in full.
    Right,
    /// It does not count; the slip or the wrong picture that explains it, if one does.
    Wrong(Option<String>),
    /// A sketch that may mean several things: what the student then says was meant decides.
    Asked(Vec<String>),
    /// It cannot be read, or is of another kind than what is asked. Costs no try.
    Unread,
}

/// A question with its answer computed.
#[derive(Debug, Clone)]
pub enum Expected {
    /// A number with a unit; tried as often as the rules allow.
    Number(Box<NumberExpectation>),
    /// A drawn curve.
    Sketch(Box<Expectation>, SketchGrid),
    /// A choice among curves, by name.
    Curve {
        /// The set-up's kind.
        kind: &'static str,
        /// The column shown.
        column: String,
        /// The wrong pictures on offer.
        pictures: Vec<String>,
    },
    /// A choice among statements, or parts of a board picture.
    Statement {
        /// What may be chosen.
        options: Vec<String>,
        /// The right one.
        right: Option<String>,
    },
    /// A marker on an axis.
    Place(Box<Place>),
}

/// Where a marker belongs.
#[derive(Debug, Clone)]
pub struct Place {
    kind: &'static str,
    column: String,
    answer: f64,
    mirrored: bool,
    within: f64,
    slips: Vec<(f64, String)>,
    unit: String,
}

/// Why a question of an assignment cannot be computed. The check of the file tells of these.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum TaskError {
    /// Not a question: a bench or a picture.
    #[error("this block asks for nothing that can be marked")]
    NoQuestion,
    /// The chart does not fit the device.
    #[error("the chart does not fit the device: there is no axis `{0}`")]
    Axis(String),
    /// The device cannot be set up.
    #[error(transparent)]
    Setup(#[from] crate::experiment::SetupError),
    /// The answer cannot be computed.
    #[error(transparent)]
    Experiment(#[from] crate::experiment::ExperimentError),
    /// The number asked for cannot be computed.
    #[error(transparent)]
    Number(#[from] crate::prediction::NumberTaskError),
    /// The curves cannot be computed.
    #[error(transparent)]
    Picture(#[from] crate::prediction::PictureError),
}

impl Expected {
    /// Computes what a block asks for. `slug` is the assignment's, for the seals of choices.
    ///
    /// # Errors
    /// When the block asks for nothing, or its answer cannot be computed.
    pub fn new(slug: &str, block: &Block) -> Result<Self, TaskError> {
        Self::with(slug, block, Setup::from_spec)
    }

    /// The same, with set-ups made by `make`: a page has others compute its slow ones.
    ///
    /// # Errors
    /// As [`Expected::new`].
    pub fn with(
        slug: &str,
        block: &Block,
        make: impl Fn(&SetupSpec) -> Result<Setup, SetupError>,
    ) -> Result<Self, TaskError> {
        match block {
            Block::Question(question) => number(&make(&question.setup)?, &question.number),
            Block::Predict(prediction) => match &prediction.ask {
                Ask::Number(spec) => number(&make(&prediction.setup)?, spec),
                Ask::Sketch {
                    chart,
                    columns,
                    pictures,
                } => sketch(&make(&prediction.setup)?, chart, *columns, pictures),
                Ask::PickCurve { chart, pictures } => Ok(Self::Curve {
                    kind: make(&prediction.setup)?.description().kind,
                    column: chart.column.clone(),
                    pictures: pictures.clone(),
                }),
                Ask::PickStatement { options, right } | Ask::MarkBoard { options, right } => {
                    let options: Vec<String> =
                        options.iter().map(|option| option.id.clone()).collect();
                    Ok(Self::Statement {
                        right: options
                            .iter()
                            .find(|id| seal(slug, &prediction.id, id) == *right)
                            .cloned(),
                        options,
                    })
                }
                Ask::MarkAxis {
                    chart,
                    answer,
                    within,
                    slips,
                } => {
                    let setup = make(&prediction.setup)?;
                    let x = axis(&setup, chart)?;
                    let found = seek(&setup, answer)?;
                    Ok(Self::Place(Box::new(Place {
                        kind: setup.description().kind,
                        column: chart.column.clone(),
                        answer: found / x.si_per_unit,
                        mirrored: chart.x.from < 0.0,
                        within: *within,
                        slips: slips
                            .iter()
                            .map(|slip| (slip.at, slip.picture.clone()))
                            .collect(),
                        unit: x.unit.to_owned(),
                    })))
                }
            },
            Block::Observe(_) | Block::Bench(_) | Block::Board(_) | Block::Record(_) => {
                Err(TaskError::NoQuestion)
            }
        }
    }

    /// Whether the question may be tried again after a wrong answer. Predictions are committed
    /// once.
    #[must_use]
    pub fn tried_again(&self) -> bool {
        matches!(self, Self::Number(_))
    }

    /// Whether two raw answers are the same: to the same effect for numbers, letter by letter but
    /// for blanks otherwise.
    #[must_use]
    pub fn is_same(&self, one: &str, other: &str) -> bool {
        let letters = |text: &str| -> String { text.split_whitespace().collect() };
        if letters(one) == letters(other) {
            return true;
        }
        let Self::Number(expected) = self else {
            return false;
        };
        match (expected.reads(one), expected.reads(other)) {
            // Written in other units, the same value may differ in its last digits.
            (Some(one), Some(other)) => (one - other).abs() <= 1e-9 * one.abs(),
            _ => false,
        }
    }

    /// Judges a raw answer: a number as typed, a sketch in its text form, the name of a choice, a
    /// place in the axis' unit.
    #[must_use]
    pub fn judge(&self, text: &str) -> Judgement {
        match self {
            Self::Number(expected) => match expected.assess(text).verdict {
                NumberVerdict::Right => Judgement::Right,
                NumberVerdict::Differs(slip) => {
                    Judgement::Wrong(slip.map(|slip| slip.name().to_owned()))
                }
                NumberVerdict::OtherKind | NumberVerdict::Unread => Judgement::Unread,
            },
            Self::Sketch(expected, grid) => match Sketch::decode(*grid, text) {
                Ok(sketch) => judged(expected.assess(&sketch).verdict),
                Err(_) => Judgement::Unread,
            },
            Self::Curve {
                kind,
                column,
                pictures,
            } => {
                if pick::curves(kind, column, pictures).contains(&text) {
                    judged(pick::assess_curve(kind, column, text).verdict)
                } else {
                    Judgement::Unread
                }
            }
            Self::Statement { options, right } => {
                if !options.iter().any(|option| option == text) {
                    Judgement::Unread
                } else if right.as_deref() == Some(text) {
                    Judgement::Right
                } else {
                    Judgement::Wrong(Some(text.to_owned()))
                }
            }
            Self::Place(place) => match decimal::parse(text.trim()) {
                Some(at) if at.is_finite() => judged(assess_mark(&place.task(), at).verdict),
                _ => Judgement::Unread,
            },
        }
    }
}

impl Place {
    /// Where the marker belongs, in the axis' unit.
    #[must_use]
    pub fn answer(&self) -> f64 {
        self.answer
    }

    /// Where wrong pictures would put it.
    #[must_use]
    pub fn slips(&self) -> &[(f64, String)] {
        &self.slips
    }

    fn task(&self) -> MarkTask<'_> {
        MarkTask {
            kind: self.kind,
            column: &self.column,
            answer: self.answer,
            mirrored: self.mirrored,
            within: self.within,
            slips: self
                .slips
                .iter()
                .map(|(at, picture)| (*at, picture.as_str()))
                .collect(),
            unit: &self.unit,
        }
    }
}

/// What a student says who meant none of what the page offers.
pub const NOTHING_LISTED: &str = "none";

/// What a student who was asked said to have meant.
#[must_use]
pub fn meant(picture: &str) -> Judgement {
    if picture == MODEL {
        Judgement::Right
    } else if picture == NOTHING_LISTED {
        Judgement::Wrong(None)
    } else {
        Judgement::Wrong(Some(picture.to_owned()))
    }
}

fn judged(verdict: Verdict) -> Judgement {
    match verdict {
        Verdict::Right | Verdict::Near => Judgement::Right,
        Verdict::WrongPicture(name) => Judgement::Wrong(Some(name.to_owned())),
        Verdict::Different => Judgement::Wrong(None),
        Verdict::Ask(names) => Judgement::Asked(names.into_iter().map(str::to_owned).collect()),
        Verdict::Unreadable => Judgement::Unread,
    }
}

fn number(setup: &Setup, spec: &NumberSpec) -> Result<Expected, TaskError> {
    Ok(Expected::Number(Box::new(NumberExpectation::new(
        &spec.task(setup),
    )?)))
}

fn sketch(
    setup: &Setup,
    chart: &ChartSpec,
    columns: u16,
    pictures: &[String],
) -> Result<Expected, TaskError> {
    let grid = SketchGrid::new(chart.x.from, chart.x.to, chart.y.from, chart.y.to, columns);
    let expectation = Expectation::new(&SketchTask {
        setup,
        column: &chart.column,
        x: axis(setup, chart)?,
        y: setup.column_scale(&chart.column, &chart.y.scale)?,
        grid,
        pictures,
    })?;
    Ok(Expected::Sketch(Box::new(expectation), grid))
}

pub(super) fn axis(
    setup: &Setup,
    chart: &ChartSpec,
) -> Result<crate::experiment::AxisScale, TaskError> {
    setup
        .axis(&chart.x.scale)
        .ok_or_else(|| TaskError::Axis(chart.x.scale.clone()))
}
