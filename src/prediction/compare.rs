//! Sets the features of a drawn curve beside those of another and grades each: matches, near,
//! differs, cannot be read. Near is never called wrong; heights and the roundness of a turn are
//! never graded from freehand alone.

use super::features::{Features, Origin};
use crate::numerics::order::{self, sort_short_by};

/// What is compared, in the order in which differences are told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Aspect {
    /// Whether the curve goes below zero.
    Sign,
    /// What it does at x = 0.
    Phase,
    /// Where its minima sit.
    Period,
    /// Whether it changes, and turns, at all.
    Return,
    /// How deep its minima are.
    Depth,
    /// How wide a single arch is.
    Breadth,
    /// Heights of the other maxima against the central one.
    Envelope,
    /// Left against right.
    Symmetry,
    /// How many jumps.
    JumpCount,
    /// Where the jumps are.
    JumpPlace,
    /// Where a jump leads.
    JumpTarget,
    /// Flat or slanting treads of a staircase.
    Treads,
    /// Greatest magnitude against the axis.
    Height,
}

/// How an aspect compares.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Grade {
    /// As close as matters.
    Match,
    /// Within what a hand does now and then.
    Near,
    /// Cannot be read from one of the curves.
    Unreadable,
    /// Differs.
    Different,
}

/// One aspect, graded.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Finding {
    /// What was compared.
    pub aspect: Aspect,
    /// How it compares.
    pub grade: Grade,
}

/// Spacing may differ by this share and match; by the second and be near.
const SPACING: (f64, f64) = (0.2, 0.5);
/// Place of the first minimum or jump, in shares of the spacing.
const PLACE: (f64, f64) = (0.15, 0.3);
/// Depth, in shares of the maximum.
const DEPTH: (f64, f64) = (0.12, 0.24);
/// Heights of side maxima, as a factor either way.
const HEIGHTS: (f64, f64) = (1.5, 2.3);
/// The same where all maxima are level.
const LEVEL: (f64, f64) = (1.35, 1.8);
/// Share of a staircase that is gained in jumps.
const TREADS: (f64, f64) = (0.12, 0.18);
/// Width of an arch at half its height, as a share of the width.
const BREADTH: (f64, f64) = (0.3, 0.6);
/// A curve whose swing is less than this share of the axis is flat.
const FLAT: f64 = 0.18;

/// Compares a drawn curve with a computed one, aspect by aspect, in the order of telling.
#[must_use]
pub fn compare(drawn: &Features, computed: &Features) -> Vec<Finding> {
    let mut findings = Vec::new();
    let mut add = |aspect, grade: Option<Grade>| {
        if let Some(grade) = grade {
            findings.push(Finding { aspect, grade });
        }
    };
    let flat = drawn.swing() < FLAT && computed.swing() >= FLAT;
    if flat {
        add(Aspect::Return, Some(Grade::Different));
        add(Aspect::Height, height(drawn, computed));
        return findings;
    }
    add(Aspect::Sign, sign(drawn, computed));
    add(Aspect::Phase, phase(drawn, computed));
    let steps = !computed.jumps.is_empty();
    if !steps {
        add(Aspect::Period, period(drawn, computed));
        add(Aspect::Return, turning(drawn, computed));
        add(Aspect::Depth, depth(drawn, computed));
        add(Aspect::Breadth, breadth(drawn, computed));
        add(Aspect::Envelope, envelope(drawn, computed));
    }
    add(Aspect::Symmetry, symmetry(drawn, computed));
    add(Aspect::JumpCount, jump_count(drawn, computed));
    if steps && !drawn.jumps.is_empty() {
        add(Aspect::JumpPlace, jump_place(drawn, computed));
        add(Aspect::JumpTarget, jump_target(drawn, computed));
        add(Aspect::Treads, treads(drawn, computed));
    }
    add(Aspect::Height, height(drawn, computed));
    findings
}

fn within(value: f64, limits: (f64, f64)) -> Grade {
    if value <= limits.0 {
        Grade::Match
    } else if value <= limits.1 {
        Grade::Near
    } else {
        Grade::Different
    }
}

/// How far two positive numbers are apart, as the larger over the smaller, less one.
fn apart(a: f64, b: f64) -> f64 {
    (a / b).max(b / a) - 1.0
}

fn sign(drawn: &Features, computed: &Features) -> Option<Grade> {
    Some(match (computed.negative > 0.08, drawn.negative) {
        (false, share) if computed.negative < 0.02 => within(share, (0.03, 0.08)),
        (true, share) if share < 0.02 => Grade::Different,
        (true, share) => within(apart(share, computed.negative), (1.0, f64::INFINITY)),
        _ => Grade::Match,
    })
}

fn phase(drawn: &Features, computed: &Features) -> Option<Grade> {
    use Origin::{Falls, Maximum, Minimum, Rises, Unclear};
    Some(match (drawn.origin, computed.origin) {
        (_, Unclear) => return None,
        (Unclear, _) => Grade::Unreadable,
        (a, b) if a == b => Grade::Match,
        (Maximum, Minimum) | (Minimum, Maximum) | (Rises, Falls) | (Falls, Rises) => {
            Grade::Different
        }
        // A foot drawn where the curve passes through zero, or the other way round.
        (Rises | Falls, Minimum) | (Minimum, Rises | Falls) => Grade::Unreadable,
        _ => Grade::Different,
    })
}

fn period(drawn: &Features, computed: &Features) -> Option<Grade> {
    let first = match (drawn.first_minimum, computed.first_minimum) {
        (_, None) => None,
        (None, Some(_)) => Some(Grade::Unreadable),
        (Some(drawn_at), Some(at)) => {
            // Stretching the whole curve is not a shift: the place counts in the curve's own
            // spacing where that can be read.
            let unit = computed.spacing.unwrap_or(at).max(1e-12);
            let own = drawn
                .spacing
                .filter(|_| computed.spacing.is_some())
                .unwrap_or(unit);
            // The spacing is judged on its own, below.
            let own = order::within(own, unit / 1.5, unit * 1.5);
            let limits = if computed.spacing.is_some() {
                PLACE
            } else {
                SPACING
            };
            Some(within((drawn_at / own - at / unit).abs(), limits))
        }
    };
    let spacing = match (drawn.spacing, computed.spacing) {
        (Some(drawn), Some(computed)) => Some(within(apart(drawn, computed), SPACING)),
        (None, Some(_)) => Some(Grade::Unreadable),
        _ => None,
    };
    match (first, spacing) {
        (Some(a), Some(b)) => Some(a.max(b)),
        (a, b) => a.or(b),
    }
}

fn turning(drawn: &Features, computed: &Features) -> Option<Grade> {
    let (mine, theirs) = (
        drawn.turning(false).count(),
        computed.turning(false).count(),
    );
    match (mine, theirs) {
        (0, 0) => Some(Grade::Match),
        (0, _) => Some(Grade::Different),
        (_, 0) if computed.swing() < FLAT => Some(if drawn.swing() > 1.5 * FLAT {
            Grade::Different
        } else {
            Grade::Near
        }),
        // A faint turn may be the hand's; it takes at least two to be meant.
        (1, 0) => Some(Grade::Near),
        (_, 0) => Some(Grade::Different),
        _ => Some(Grade::Match),
    }
}

fn depth(drawn: &Features, computed: &Features) -> Option<Grade> {
    let (drawn, computed) = (drawn.depth?, computed.depth?);
    if drawn < -0.15 && computed >= 0.0 {
        // Below zero: told under the sign.
        return Some(Grade::Unreadable);
    }
    Some(within((drawn - computed).abs(), DEPTH))
}

/// Only of a curve that is one arch over zero: any other is told by its turns.
fn breadth(drawn: &Features, computed: &Features) -> Option<Grade> {
    let arch = computed.origin == Origin::Maximum && computed.extrema.len() == 1;
    arch.then(|| within(apart(drawn.breadth.max(1e-6), computed.breadth), BREADTH))
}

fn envelope(drawn: &Features, computed: &Features) -> Option<Grade> {
    let (side, last) = (computed.side_ratio?, computed.last_ratio?);
    let (Some(my_side), Some(my_last)) = (drawn.side_ratio, drawn.last_ratio) else {
        return Some(Grade::Unreadable);
    };
    let grade = |mine: f64, theirs: f64, limits| {
        let factor = apart(mine.max(0.02), theirs.max(0.02)) + 1.0;
        within(factor, limits)
    };
    Some(if side > 0.7 && last > 0.7 {
        grade(my_side, side, LEVEL).max(grade(my_last, last, LEVEL))
    } else {
        // Where lobes fall off, the outermost may be cut off by the axis.
        grade(my_side, side, HEIGHTS)
    })
}

fn symmetry(drawn: &Features, computed: &Features) -> Option<Grade> {
    let (drawn, computed) = (drawn.asymmetry?, computed.asymmetry?);
    (computed < 0.05).then(|| within(drawn, (0.15, 0.4)))
}

fn jump_count(drawn: &Features, computed: &Features) -> Option<Grade> {
    match (drawn.jumps.len(), computed.jumps.len()) {
        (0, 0) => None,
        (a, b) if a == b => Some(Grade::Match),
        // A steep stroke is not yet a jump that was meant.
        (_, 0) => Some(Grade::Near),
        (0, _) => Some(Grade::Different),
        (a, b) if a.abs_diff(b) == 1 => Some(Grade::Near),
        _ => Some(Grade::Different),
    }
}

fn jump_place(drawn: &Features, computed: &Features) -> Option<Grade> {
    let nearest = |features: &Features| {
        features
            .jumps
            .iter()
            .map(|jump| jump.x)
            .min_by(|a, b| a.abs().total_cmp(&b.abs()))
    };
    let (mine, theirs) = (nearest(drawn)?, nearest(computed)?);
    let period = jump_spacing(computed)
        .unwrap_or(2.0 * theirs.abs())
        .max(1e-12);
    let first = within((mine.abs() - theirs.abs()).abs() / period, (0.12, 0.25));
    let spacing = match (jump_spacing(drawn), jump_spacing(computed)) {
        (Some(mine), Some(theirs)) => within(apart(mine, theirs), (0.25, 0.45)),
        _ => Grade::Match,
    };
    Some(first.max(spacing))
}

/// Median distance from one jump to the next.
pub(super) fn jump_spacing(features: &Features) -> Option<f64> {
    let mut steps: Vec<f64> = features
        .jumps
        .iter()
        .zip(features.jumps.iter().skip(1))
        .map(|(left, right)| right.x - left.x)
        .collect();
    sort_short_by(&mut steps, f64::total_cmp);
    steps.get(steps.len() / 2).copied()
}

fn jump_target(drawn: &Features, computed: &Features) -> Option<Grade> {
    // After over before: -1 for an equal current in the opposite direction, 0 for none.
    let turned = |features: &Features| {
        let mut shares: Vec<f64> = features
            .jumps
            .iter()
            .map(|jump| {
                let size = jump.before.abs().max(jump.after.abs()).max(1e-9);
                (jump.after - jump.before) / size
            })
            .collect();
        sort_short_by(&mut shares, f64::total_cmp);
        shares.get(shares.len() / 2).copied()
    };
    let (mine, theirs) = (turned(drawn)?, turned(computed)?);
    if mine * theirs < 0.0 {
        return Some(Grade::Different);
    }
    // Two where the current turns over, one where it drops to nothing.
    Some(within((mine.abs() - theirs.abs()).abs(), (0.45, 0.7)))
}

fn treads(drawn: &Features, computed: &Features) -> Option<Grade> {
    let (mine, theirs) = (drawn.stairs?, computed.stairs?);
    if drawn.jumps.len() != computed.jumps.len() {
        // A step that could not be read is missing from the sum.
        return Some(Grade::Unreadable);
    }
    Some(within((mine - theirs).abs(), TREADS))
}

fn height(drawn: &Features, computed: &Features) -> Option<Grade> {
    let (mine, theirs) = (drawn.magnitude(), computed.magnitude());
    if theirs < 0.02 {
        return Some(within(mine, (0.12, 0.25)));
    }
    Some(within(apart(mine.max(1e-6), theirs), (0.3, 1.0)))
}
