//! What can be said about a sketch: the sketch and the computed curve are read, candidates are laid
//! over the sketch, a verdict weighs both, and the words are put together.

use super::compare::{Grade, compare};
use super::features::{Features, features};
use super::fit::{Candidate, fit, needed};
use super::pictures::{self, BY_HAND, Freedom, MODEL, Picture, PictureError};
use super::resample::EvenCurve;
use super::sketch::{Sketch, SketchGrid};
use super::verdict::{CLOSE, Opinion, decide, differ};
use super::words;
use crate::experiment::{AxisScale, ColumnScale, Setup};
use crate::numerics::order::{sort_short_by, within};

pub use super::verdict::Verdict;

/// A wrong picture that can be laid over the computed curve this well cannot be told from it.
const SAME: f64 = 0.03;
/// Two wrong pictures that can be laid over each other this well are not told apart.
const TWINS: f64 = 0.03;

/// A sketch question.
#[derive(Debug, Clone)]
pub struct SketchTask<'a> {
    /// The device asked about.
    pub setup: &'a Setup,
    /// The column drawn.
    pub column: &'a str,
    /// The horizontal axis.
    pub x: AxisScale,
    /// The vertical axis.
    pub y: ColumnScale,
    /// The paper.
    pub grid: SketchGrid,
    /// Names of the wrong pictures that may be recognised; all known ones when empty. Names that
    /// are not known are passed over.
    pub pictures: &'a [String],
}

/// What is said about a sketch.
#[derive(Debug, Clone, PartialEq)]
pub struct Assessment {
    /// Whether enough was drawn to be read.
    pub complete: bool,
    /// What the two opinions come to.
    pub verdict: Verdict,
    /// The first sentence.
    pub headline: String,
    /// Features that match, in sentences.
    pub matches: Vec<String>,
    /// Features that differ, in sentences, the weightiest first; at most two.
    pub differences: Vec<String>,
    /// The idea behind a named picture, asked back.
    pub question: Option<&'static str>,
    /// What to move and watch to see it.
    pub look_at: Option<&'static str>,
    /// Where to look first, e.g. `0.5 Φ₀`, when something differs.
    pub place: Option<String>,
}

/// Assesses a sketch.
///
/// # Errors
/// When the column is not one of the set-up's, or the model fails.
pub fn assess(task: &SketchTask<'_>, sketch: &Sketch) -> Result<Assessment, PictureError> {
    Ok(Expectation::new(task)?.assess(sketch))
}

/// Everything about a sketch question that does not depend on the sketch: the computed curve and
/// the wrong pictures, read and ready to be laid over a drawn curve.
#[derive(Debug, Clone)]
pub struct Expectation {
    x_unit: String,
    y_unit: String,
    /// Share of the axis to data unit.
    extent: f64,
    ends: (f64, f64),
    swing: f64,
    prominence: f64,
    model: Option<Expected>,
    wrong: Vec<Expected>,
}

/// One candidate with its variants.
#[derive(Debug, Clone)]
struct Expected {
    picture: Option<&'static Picture>,
    variants: Vec<(Candidate, EvenCurve, Features)>,
}

impl Expectation {
    /// Computes what a sketch will be set beside.
    ///
    /// # Errors
    /// When the column is not one of the set-up's, or the model fails.
    pub fn new(task: &SketchTask<'_>) -> Result<Self, PictureError> {
        let grid = task.grid;
        let extent = (grid.top - grid.bottom).abs();
        let ends = (
            grid.bottom.min(grid.top) / extent,
            grid.bottom.max(grid.top) / extent,
        );
        let mut expectation = Self {
            x_unit: task.x.unit.to_owned(),
            y_unit: task.y.unit.clone(),
            extent,
            ends,
            swing: 1.0,
            prominence: 0.12,
            model: None,
            wrong: Vec::new(),
        };
        let Some(truth) = sample(task, MODEL, BY_HAND, ends)?.into_iter().next() else {
            return Ok(expectation);
        };
        let (low, high) = truth.1.range();
        expectation.swing = (high - low).max(0.15);
        // Where lobes of a fifth matter, a finer sieve shows more turns in the computed curve.
        let fine = features(&truth.1, 0.07);
        if fine.extrema.len() > features(&truth.1, 0.12).extrema.len() {
            expectation.prominence = 0.07;
        }
        let read = |(candidate, curve): (Candidate, EvenCurve)| {
            let features = features(&curve, expectation.prominence);
            (candidate, curve, features)
        };
        let truth = read(truth);
        let mut wrong = Vec::new();
        for picture in pictures::known(task.setup.description().kind, task.column) {
            let wanted =
                task.pictures.is_empty() || task.pictures.iter().any(|name| name == picture.name);
            if !wanted {
                continue;
            }
            let variants: Vec<_> = sample(task, picture.name, picture.freedom, ends)?
                .into_iter()
                .filter(|(candidate, _)| {
                    fit(&truth.1, candidate, ends, expectation.swing).residual > SAME
                })
                .map(read)
                .collect();
            if !variants.is_empty() {
                wrong.push(Expected {
                    picture: Some(picture),
                    variants,
                });
            }
        }
        expectation.model = Some(Expected {
            picture: None,
            variants: vec![truth],
        });
        expectation.wrong = wrong;
        Ok(expectation)
    }

    /// The wrong pictures that can be told from the computed curve on these axes.
    pub fn recognisable(&self) -> impl Iterator<Item = &'static Picture> {
        self.wrong.iter().filter_map(|expected| expected.picture)
    }

    /// Assesses a sketch on the task's axes.
    #[must_use]
    pub fn assess(&self, sketch: &Sketch) -> Assessment {
        if !sketch.is_complete() {
            return Assessment::unread(false, words::unfinished(&sketch.gaps(), &self.x_unit));
        }
        let curve = EvenCurve::from_sketch(sketch);
        let (Some(curve), Some(model)) = (curve, &self.model) else {
            return Assessment::unread(true, words::UNREADABLE.to_owned());
        };
        let drawn = features(&curve, self.prominence);
        let Some(truth) = self.opinion(model, &curve, &drawn) else {
            return Assessment::unread(true, words::UNREADABLE.to_owned());
        };
        let mut wrong: Vec<Opinion<'_>> = self
            .wrong
            .iter()
            .filter_map(|expected| self.opinion(expected, &curve, &drawn))
            .collect();
        sort_short_by(&mut wrong, |a, b| a.fit.cost.total_cmp(&b.fit.cost));
        let twins = wrong.split_first().is_some_and(|(best, others)| {
            others.iter().any(|other| {
                other.fit.residual <= CLOSE
                    && !differ(&compare(best.features, other.features))
                    && fit(best.curve, other.candidate, self.ends, self.swing).residual <= TWINS
            })
        });
        let verdict = decide(&truth, &wrong, twins);
        self.say(verdict, &truth, &drawn, &curve)
    }

    fn opinion<'a>(
        &self,
        expected: &'a Expected,
        drawn: &EvenCurve,
        read: &Features,
    ) -> Option<Opinion<'a>> {
        expected
            .variants
            .iter()
            .map(|(candidate, curve, features)| Opinion {
                picture: expected.picture,
                fit: fit(drawn, candidate, self.ends, self.swing),
                candidate,
                features,
                curve,
                findings: compare(read, features),
            })
            .min_by(|a, b| a.fit.cost.total_cmp(&b.fit.cost))
    }

    fn say(
        &self,
        verdict: Verdict,
        truth: &Opinion<'_>,
        drawn: &Features,
        curve: &EvenCurve,
    ) -> Assessment {
        let speaker = words::Speaker {
            drawn,
            computed: truth.features,
            x_unit: &self.x_unit,
            y_unit: &self.y_unit,
            extent: self.extent,
        };
        let told = |grade: Grade| {
            truth
                .findings
                .iter()
                .filter(move |finding| finding.grade == grade)
                .map(|finding| finding.aspect)
        };
        let matches = told(Grade::Match)
            .filter_map(|aspect| speaker.matches(aspect))
            .take(3)
            .collect();
        let settled = matches!(verdict, Verdict::Right | Verdict::Near);
        let mut differences: Vec<String> = Vec::new();
        if !settled {
            differences.extend(told(Grade::Different).map(|aspect| speaker.differs(aspect)));
            // Number and place of jumps are told in one sentence.
            differences.dedup();
            differences.truncate(2);
        }
        let place = (!settled).then(|| {
            let at = told(Grade::Different)
                .next()
                .and_then(|aspect| speaker.place(aspect))
                .unwrap_or_else(|| farthest(curve, truth.curve));
            words::with_unit(at, &self.x_unit)
        });
        let picture = match &verdict {
            Verdict::WrongPicture(name) => self.picture(name),
            _ => None,
        };
        Assessment {
            complete: true,
            headline: words::headline(&verdict, picture),
            verdict,
            matches,
            differences,
            question: picture.map(|picture| picture.question),
            look_at: picture.map(|picture| picture.look_at),
            place,
        }
    }

    fn picture(&self, name: &str) -> Option<&'static Picture> {
        self.recognisable().find(|picture| picture.name == name)
    }
}

impl Assessment {
    fn unread(complete: bool, headline: String) -> Self {
        Self {
            complete,
            verdict: Verdict::Unreadable,
            headline,
            matches: Vec::new(),
            differences: Vec::new(),
            question: None,
            look_at: None,
            place: None,
        }
    }
}

/// A candidate's curves: wide enough to be stretched, and on the paper alone.
fn sample(
    task: &SketchTask<'_>,
    picture: &str,
    freedom: Freedom,
    ends: (f64, f64),
) -> Result<Vec<(Candidate, EvenCurve)>, PictureError> {
    let grid = task.grid;
    let scale = task.y.si_per_unit * (grid.top - grid.bottom).abs();
    let (low, high) = needed(grid.from, grid.to, freedom);
    let on = |from: f64, to: f64| -> Result<Vec<Option<EvenCurve>>, PictureError> {
        let x: Vec<f64> = EvenCurve::places(from, to)
            .into_iter()
            .map(|x| x * task.x.si_per_unit)
            .collect();
        Ok(pictures::variants(picture, task.setup, task.column, &x)?
            .into_iter()
            .map(|values| {
                let shares = values.into_iter().map(|value| value / scale).collect();
                EvenCurve::from_values(from, to, shares)
            })
            .collect())
    };
    let wide = on(low, high)?;
    let paper = on(grid.from, grid.to)?;
    Ok(wide
        .into_iter()
        .zip(paper)
        .filter_map(|(wide, paper)| {
            let (curve, mut paper) = (wide?, paper?);
            for value in &mut paper.values {
                *value = within(*value, ends.0, ends.1);
            }
            Some((Candidate { curve, freedom }, paper))
        })
        .collect())
}

/// Where two curves are farthest apart.
fn farthest(drawn: &EvenCurve, computed: &EvenCurve) -> f64 {
    let far = drawn
        .values
        .iter()
        .zip(&computed.values)
        .map(|(a, b)| (a - b).abs())
        .enumerate()
        .max_by(|a, b| a.1.total_cmp(&b.1));
    drawn.x(far.map_or(0, |(place, _)| place))
}
