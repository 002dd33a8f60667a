//! The typed lesson: what a lesson file says once it has been read, and what the page hands to
//! the browser as JSON. Set-ups are resolved here (a block holds the set-up it names), so that
//! every block can be understood alone. Nothing in these types is computed.

use serde::Serialize;

pub use crate::experiment::{SetupSpec, Sought};
pub use crate::figure::BoardPicture;

use crate::experiment::Setup;
use crate::prediction::NumberTask;

/// One lesson, in reading order.
#[derive(Debug, Clone, PartialEq)]
pub struct Lesson {
    /// Short name used in addresses and in storage, e.g. `one-slit`.
    pub slug: String,
    /// Place in the course, counted from 1.
    pub number: u32,
    /// The title, e.g. `One slit`.
    pub title: String,
    /// One sentence for the contents page.
    pub summary: String,
    /// How long a reader alone needs, in minutes.
    pub minutes: u32,
    /// The steps, one for each second-level heading.
    pub steps: Vec<Step>,
}

impl Lesson {
    /// Its live blocks, in reading order.
    pub fn blocks(&self) -> impl Iterator<Item = &Block> {
        let parts = self.steps.iter().flat_map(|step| &step.parts);
        parts.filter_map(|part| match part {
            Part::Block(block) => Some(&**block),
            _ => None,
        })
    }
}

/// A step: what stands under one heading.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// Anchor of the heading, e.g. `predict`.
    pub anchor: String,
    /// The heading's text as `CommonMark`.
    pub title: String,
    /// What it holds, in order.
    pub parts: Vec<Part>,
}

/// A piece of a step.
#[derive(Debug, Clone, PartialEq)]
pub enum Part {
    /// `CommonMark` with mathematics, as written.
    Prose(String),
    /// Something the browser makes live.
    Block(Box<Block>),
    /// The usual cautions where a demonstration could hurt somebody.
    Caution(String),
    /// A block that could not be read: it shows as a placeholder and breaks nothing else.
    Broken {
        /// What is wrong, in a sentence for the reader of the page.
        message: String,
    },
}

/// A live block. The JSON of an island is one of these.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Block {
    /// A prediction to commit before the text goes on.
    Predict(Prediction),
    /// A question asked after a reveal: what was seen? Answered at once with words.
    Observe(Observation),
    /// Sliders, chart and board picture under one cursor, with directed challenges.
    Bench(Bench),
    /// A numeric question with a unit, checked against the model.
    Question(Question),
    /// A board picture alone.
    Board(Board),
    /// A recorded curve with noise, to read numbers from.
    Record(Recording),
}

impl Block {
    /// The block's identifier within its lesson.
    #[must_use]
    pub fn id(&self) -> &str {
        match self {
            Self::Predict(prediction) => &prediction.id,
            Self::Observe(observation) => &observation.id,
            Self::Bench(bench) => &bench.id,
            Self::Question(question) => &question.id,
            Self::Board(board) => &board.id,
            Self::Record(recording) => &recording.id,
        }
    }

    /// The device that the block is about; none for an observation, which asks for words.
    #[must_use]
    pub fn setup(&self) -> Option<&SetupSpec> {
        match self {
            Self::Predict(prediction) => Some(&prediction.setup),
            Self::Observe(_) => None,
            Self::Bench(bench) => Some(&bench.setup),
            Self::Question(question) => Some(&question.setup),
            Self::Board(board) => Some(&board.setup),
            Self::Record(recording) => Some(&recording.setup),
        }
    }
}

/// A chart's window onto one column of a trace.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ChartSpec {
    /// Column of the set-up, e.g. `critical-current`.
    pub column: String,
    /// What runs along the horizontal axis.
    pub x: WindowSpec,
    /// What runs up the vertical axis.
    pub y: WindowSpec,
    /// Further columns drawn lightly beside the first (e.g. `envelope`), after the reveal only.
    pub also: Vec<String>,
}

/// One axis of a chart.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WindowSpec {
    /// For x: an axis of the set-up (`field`, `junction-flux`, `loop-flux`, `flux`). For y: a
    /// unit (`uA`), or `relative` for a share of the largest value.
    pub scale: String,
    /// The axis starts here, in its own unit.
    pub from: f64,
    /// The axis ends here, in its own unit.
    pub to: f64,
    /// Words under the axis; when empty the set-up's own words are used.
    pub label: String,
}

/// A prediction.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Prediction {
    /// Identifier within the lesson.
    pub id: String,
    /// The question as `CommonMark`; rendered at build time, not used by the script.
    #[serde(skip)]
    pub prompt: String,
    /// The device asked about.
    pub setup: SetupSpec,
    /// The board picture beside the chart, if any.
    pub board: Option<BoardPicture>,
    /// The place on the set-up's x axis that the board picture shows as long as no cursor moves it, as
    /// written; zero when the block does not say.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at: Option<String>,
    /// Reasons to choose from before committing (may be empty).
    pub reasons: Vec<String>,
    /// Which of them lead to what is computed, counted from 0, the best first; empty when the
    /// block does not say.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub because: Vec<u32>,
    /// What kind of answer is asked for.
    pub ask: Ask,
}

/// The four kinds of prediction (picks and marks come in two forms each).
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Ask {
    /// Draw the curve on empty axes.
    Sketch {
        /// The axes.
        chart: ChartSpec,
        /// How many columns the keyboard walks over (2 to 65).
        columns: u16,
        /// Names of wrong pictures that this sketch may show.
        pictures: Vec<String>,
    },
    /// Choose among curves: the model's, and one for each wrong picture.
    PickCurve {
        /// The axes.
        chart: ChartSpec,
        /// Names of the wrong pictures to compute.
        pictures: Vec<String>,
    },
    /// Choose among statements.
    PickStatement {
        /// The statements.
        options: Vec<Statement>,
        /// Seal of the right one: see [`seal`].
        right: String,
    },
    /// Put a marker on the horizontal axis.
    MarkAxis {
        /// The axes.
        chart: ChartSpec,
        /// Where it belongs.
        answer: Sought,
        /// How far off still counts as right, in units of the axis.
        within: f64,
        /// Places where a wrong picture would put it.
        slips: Vec<MarkSlip>,
    },
    /// Point at a part of the board picture.
    MarkBoard {
        /// The parts that can be pointed at.
        options: Vec<Statement>,
        /// Seal of the right one: see [`seal`].
        right: String,
    },
    /// Give a value with its unit.
    Number(NumberSpec),
}

/// One statement of a pick, or one part of a board picture.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Statement {
    /// Identifier within the prediction.
    pub id: String,
    /// The statement in plain words.
    pub text: String,
    /// What to say to a reader who chose it; rendered into the shut part of the page.
    #[serde(skip)]
    pub reply: String,
}

/// A place on an axis where a wrong picture would put the marker.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MarkSlip {
    /// The place, in units of the axis.
    pub at: f64,
    /// Name of the wrong picture.
    pub picture: String,
}

/// A number to be given with a unit.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NumberSpec {
    /// What is asked for.
    pub answer: Sought,
    /// The unit shown beside the box and assumed when none is typed.
    pub unit: String,
    /// Largest relative error that counts as right, e.g. `0.02`.
    pub within: f64,
    /// Slips that can be recognised, e.g. `factor-2`.
    pub slips: Vec<String>,
}

impl NumberSpec {
    /// The question put to a device.
    #[must_use]
    pub fn task<'a>(&'a self, setup: &'a Setup) -> NumberTask<'a> {
        NumberTask {
            setup,
            answer: &self.answer,
            unit: &self.unit,
            within: self.within,
            slips: &self.slips,
        }
    }
}

/// A question about what was seen on the revealed chart, or recalled from an earlier lesson.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Observation {
    /// Identifier within the lesson.
    pub id: String,
    /// The question as `CommonMark`; rendered at build time.
    #[serde(skip)]
    pub prompt: String,
    /// Whether it asks for something from an earlier lesson, not for what a chart here shows.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub recall: bool,
    /// The answers to choose from.
    pub options: Vec<Statement>,
    /// Seal of the right one.
    pub right: String,
}

/// A numeric question.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Question {
    /// Identifier within the lesson.
    pub id: String,
    /// The question as `CommonMark`; rendered at build time.
    #[serde(skip)]
    pub prompt: String,
    /// The device asked about.
    pub setup: SetupSpec,
    /// What is asked for.
    pub number: NumberSpec,
    /// Hints, weakest first; rendered at build time.
    #[serde(skip)]
    pub hints: Vec<String>,
}

/// A bench: a device with sliders.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Bench {
    /// Identifier within the lesson.
    pub id: String,
    /// The device at the start.
    pub setup: SetupSpec,
    /// The axes.
    pub chart: ChartSpec,
    /// The board picture beside the chart, if any.
    pub board: Option<BoardPicture>,
    /// The parameters that can be moved.
    pub sliders: Vec<Slider>,
    /// What to try.
    pub challenges: Vec<Challenge>,
    /// Readings shown under the chart, by name.
    pub readings: Vec<String>,
    /// A current profile that is painted by hand, if there is one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub paint: Option<Paint>,
}

/// A current profile of a bench's device, painted by hand.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Paint {
    /// The parameter.
    pub parameter: String,
    /// In how many equal strips it is painted (2 to 64).
    pub strips: u16,
    /// Profiles to begin with, by name; each becomes a button.
    #[serde(skip)]
    pub presets: Vec<String>,
}

/// One slider of a bench.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Slider {
    /// The parameter.
    pub parameter: String,
    /// Words beside it.
    pub label: String,
    /// Unit of the numbers below.
    pub unit: String,
    /// Least value.
    pub from: f64,
    /// Greatest value.
    pub to: f64,
    /// Step of one arrow key.
    pub step: f64,
}

/// A directed challenge: bring a reading to a value.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Challenge {
    /// What to do, in plain words.
    pub text: String,
    /// The reading watched.
    pub reading: String,
    /// The wanted value with its unit.
    pub target: String,
    /// How near counts, as a share of the target.
    pub within: f64,
}

/// A board picture alone.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Board {
    /// Identifier within the lesson.
    pub id: String,
    /// The device.
    pub setup: SetupSpec,
    /// Which picture.
    pub picture: BoardPicture,
    /// Where on the set-up's x axis, with unit, e.g. `0.5 Phi0`.
    pub at: String,
}

/// A recorded curve: what an instrument shows of a device, with its noise. It is given, not sought.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Recording {
    /// Identifier within the lesson.
    pub id: String,
    /// The device that was recorded.
    pub setup: SetupSpec,
    /// The axes.
    pub chart: ChartSpec,
    /// How many points there are, evenly spaced from one end of the x axis to the other.
    pub points: u16,
    /// Standard deviation of the noise, with its unit.
    pub noise: String,
    /// Makes another record of the same device; may be empty.
    pub seed: String,
}

impl Recording {
    /// Where the points stand, in the unit of the x axis.
    #[must_use]
    pub fn places(&self) -> Vec<f64> {
        let (from, to) = (self.chart.x.from, self.chart.x.to);
        let last = f64::from(self.points.max(2) - 1);
        (0..self.points)
            .map(|place| from + (to - from) * f64::from(place) / last)
            .collect()
    }
}

/// The seal of an option: a digest that lets the browser recognise the right choice without the
/// page saying which it is. It keeps an honest reader from seeing the answer by accident; it
/// does not hide it from somebody who computes the digest of every option.
#[must_use]
pub fn seal(lesson: &str, block: &str, option: &str) -> String {
    use sha2::{Digest, Sha256};
    let digest = Sha256::digest(format!("{lesson}|{block}|{option}").as_bytes());
    digest
        .iter()
        .take(8)
        .map(|byte| format!("{byte:02x}"))
        .collect()
}
