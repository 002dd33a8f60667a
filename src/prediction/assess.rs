//! What can be said about a sketch. Two opinions are taken: the features of the curve, and which
//! candidate (the computed curve, or one of the wrong pictures) can be laid over it. A wrong
//! picture is named only when both agree and no other candidate comes near; otherwise the
//! differences are told and the reader is asked what was meant.

use super::compare::{Aspect, Finding, Grade, compare};
use super::features::{Features, features};
use super::fit::{Candidate, Fit, fit, needed};
use super::pictures::{self, BY_HAND, Freedom, MODEL, Picture, PictureError};
use super::resample::EvenCurve;
use super::sketch::{Sketch, SketchGrid};
use super::words;
use crate::experiment::{AxisScale, ColumnScale, Setup};

/// The fit of a named candidate must be this close (share of the computed curve's swing).
const CLOSE: f64 = 0.14;
/// Nothing that fits worse than this is offered as an option.
const FAR: f64 = 0.2;
/// The runner-up must cost this much more, and this many times more, for a clear case.
const CLEAR: (f64, f64) = (0.015, 1.25);
/// A wrong picture that can be laid over the computed curve this well cannot be told from it.
const SAME: f64 = 0.03;
/// Two wrong pictures that can be laid over each other this well are not told apart.
const TWINS: f64 = 0.03;
/// A curve whose features all agree may still be this far off, where steep parts are misplaced.
const LOOSE: f64 = 0.3;
/// At most this many options are offered.
const OPTIONS: usize = 3;

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
    /// Names of the wrong pictures that may be recognised; all known ones when empty.
    pub pictures: &'a [String],
}

/// What the two opinions come to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Verdict {
    /// Every feature that can be read matches.
    Right,
    /// As close as a hand sketch can be.
    Near,
    /// A wrong picture, by name.
    WrongPicture(&'static str),
    /// Features differ and no picture explains them.
    Different,
    /// The reader should say which of these was meant (names of pictures; `model` may be one).
    Ask(Vec<&'static str>),
    /// Not finished, or nothing can be read.
    Unreadable,
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
/// When the column is not one of the set-up's, a picture is not known, or the model fails.
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

/// What both opinions say of one candidate.
struct Opinion<'a> {
    picture: Option<&'static Picture>,
    fit: Fit,
    candidate: &'a Candidate,
    features: &'a Features,
    curve: &'a EvenCurve,
    findings: Vec<Finding>,
}

impl Opinion<'_> {
    fn differs(&self) -> bool {
        differ(&self.findings)
    }

    fn name(&self) -> &'static str {
        self.picture.map_or(MODEL, |picture| picture.name)
    }
}

impl Expectation {
    /// Computes what a sketch will be set beside.
    ///
    /// # Errors
    /// When the column is not one of the set-up's, a picture is not known, or the model fails.
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
        wrong.sort_by(|a, b| a.fit.cost.total_cmp(&b.fit.cost));
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

fn differ(findings: &[Finding]) -> bool {
    findings
        .iter()
        .any(|finding| finding.grade == Grade::Different)
}

/// The two-opinion rule. `wrong` is sorted by cost; `twins` says that another wrong picture looks
/// like the best one on this paper.
fn decide(truth: &Opinion<'_>, wrong: &[Opinion<'_>], twins: bool) -> Verdict {
    let clearly = |better: f64, worse: f64| worse > better + CLEAR.0 && worse > better * CLEAR.1;
    let rival = wrong.first().map_or(f64::INFINITY, |wrong| wrong.fit.cost);
    if !truth.differs() && truth.fit.residual <= CLOSE {
        // The features say that it is right. A wrong picture may fit a little better by chance,
        // but not clearly so, and not where the spacing is already strained.
        let strained = truth
            .findings
            .iter()
            .any(|finding| finding.aspect == Aspect::Period && finding.grade != Grade::Match);
        let doubted = wrong.iter().any(|wrong| {
            !wrong.differs()
                && (clearly(wrong.fit.cost, truth.fit.cost)
                    || (strained && wrong.fit.cost < truth.fit.cost))
        });
        if !doubted {
            let all_match = truth
                .findings
                .iter()
                .all(|finding| matches!(finding.grade, Grade::Match));
            let sure = clearly(truth.fit.cost, rival) || truth.fit.cost < rival;
            return if all_match && sure {
                Verdict::Right
            } else {
                Verdict::Near
            };
        }
    }
    if let Some(best) = wrong.first() {
        let next = wrong
            .get(1)
            .map_or(f64::INFINITY, |next| next.fit.cost)
            .min(truth.fit.cost);
        if best.fit.residual <= CLOSE
            && clearly(best.fit.cost, next)
            && !best.differs()
            && !twins
            && truth.differs()
        {
            return Verdict::WrongPicture(best.name());
        }
    }
    let mut options: Vec<&Opinion<'_>> = wrong
        .iter()
        .chain(std::iter::once(truth))
        .filter(|opinion| opinion.fit.residual <= FAR)
        .collect();
    options.sort_by(|a, b| {
        (a.differs(), a.fit.cost)
            .partial_cmp(&(b.differs(), b.fit.cost))
            .unwrap_or(std::cmp::Ordering::Equal)
    });
    // Options far behind the best are no help.
    let best = options.first().map_or(0.0, |best| best.fit.cost);
    options.retain(|opinion| opinion.fit.cost <= 2.0 * best + 0.03);
    options.truncate(OPTIONS);
    let offers_wrong = options.iter().any(|option| option.picture.is_some());
    if offers_wrong {
        let mut names: Vec<&'static str> = options.iter().map(|option| option.name()).collect();
        if names.len() == 1 && !truth.differs() {
            names.push(MODEL);
        }
        Verdict::Ask(names)
    } else if truth.differs() {
        Verdict::Different
    } else if truth.fit.residual <= LOOSE {
        Verdict::Near
    } else {
        Verdict::Unreadable
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
                *value = value.clamp(ends.0, ends.1);
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
