//! The two-opinion rule. Two opinions are taken of a sketch: the features of the curve, and which
//! candidate (the computed curve, or one of the wrong pictures) can be laid over it. A wrong
//! picture is named only when both agree and no other candidate comes near; otherwise the
//! differences are told and the reader is asked what was meant.

use super::compare::{Aspect, Finding, Grade};
use super::features::Features;
use super::fit::{Candidate, Fit};
use super::pictures::{MODEL, Picture};
use super::resample::EvenCurve;
use crate::numerics::order::sort_short_by;

/// The fit of a named candidate must be this close (share of the computed curve's swing).
pub(super) const CLOSE: f64 = 0.14;
/// Nothing that fits worse than this is offered as an option.
const FAR: f64 = 0.2;
/// The runner-up must cost this much more, and this many times more, for a clear case.
const CLEAR: (f64, f64) = (0.015, 1.25);
/// A curve whose features all agree may still be this far off, where steep parts are misplaced.
const LOOSE: f64 = 0.3;
/// At most this many options are offered.
const OPTIONS: usize = 3;

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

/// What both opinions say of one candidate.
pub(super) struct Opinion<'a> {
    pub(super) picture: Option<&'static Picture>,
    pub(super) fit: Fit,
    pub(super) candidate: &'a Candidate,
    pub(super) features: &'a Features,
    pub(super) curve: &'a EvenCurve,
    pub(super) findings: Vec<Finding>,
}

impl Opinion<'_> {
    fn differs(&self) -> bool {
        differ(&self.findings)
    }

    fn name(&self) -> &'static str {
        self.picture.map_or(MODEL, |picture| picture.name)
    }
}

pub(super) fn differ(findings: &[Finding]) -> bool {
    findings
        .iter()
        .any(|finding| finding.grade == Grade::Different)
}

/// The two-opinion rule. `wrong` is sorted by cost; `twins` says that another wrong picture looks
/// like the best one on this paper.
pub(super) fn decide(truth: &Opinion<'_>, wrong: &[Opinion<'_>], twins: bool) -> Verdict {
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
    sort_short_by(&mut options, |a, b| {
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
