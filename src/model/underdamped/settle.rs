//! The running state with capacitance: three numbers on a section, found by running and extrapolating.
//!
//! The loop is followed from one crossing of s = −π/2 (mod 2π) to the next. Once the crossings draw together,
//! the next guess is extrapolated from the last few (D. G. Anderson, J. ACM 12, 547 (1965), from
//! memory), which finds the state that simple running would come to, in far fewer slips. A state found so
//! is pushed a little and must come back; if it does not, the loop is simply run on and its voltage
//! averaged over whole slips; its error is then told by the scatter of that average's parts.

use super::Mean;
use crate::model::running::flow::{Flow, State};
use crate::model::running::march::{Arrival, SECTION, Tally, march};
use crate::numerics::lanes::Pair;

use core::f64::consts::TAU;

/// What becomes of the loop in the end.
#[derive(Debug, Clone, Copy)]
pub(super) enum Motion {
    /// It slips for ever: a state on the section, and the mean voltage.
    Running(State, Mean),
    /// It comes to rest.
    AtRest,
}

/// d and the rates of s and d on the section.
type Place = [f64; 3];

/// Crossings used for the extrapolation.
const DEPTH: usize = 3;

/// Crossings before extrapolation is given up.
const MOST_CROSSINGS: u32 = 120;

/// How far beside an unstable state the loop begins its way to the stable one, in radians.
const OFF: f64 = 0.5;

/// Error of the voltage of a state with a period, in I0 R.
const PERIOD_ERROR: f64 = 1e-6;

/// The voltage of a state without a period is averaged over so many groups of slips, whose scatter gives its error.
const GROUPS: u32 = 20;
const SLIPS_IN_GROUP: u32 = 30;
const AVERAGED: u32 = GROUPS * SLIPS_IN_GROUP;

/// Before that it must forget where it came from: so many slips at least, and so many times β_c.
const FORGETTING: (u32, f64) = (400, 25.0);

/// States closer than this, two slips apart, are one.
const SETTLED: f64 = 1e-9;

/// The most slips for that.
const MOST_FORGETTING: u32 = 20_000;

/// Follows the loop from a state anywhere.
pub(super) fn settle(flow: &Flow, from: &State, may_rest: bool) -> Motion {
    let mut state = *from;
    // To the next crossing of the section.
    let turns = ((0.5 * state.phase.sum() - SECTION) / TAU).floor() + 1.0;
    let mut tally = Tally::default();
    let target = 2.0 * (SECTION + turns * TAU);
    if march(flow, &mut state, target, may_rest, &mut tally) != Arrival::There {
        return Motion::AtRest;
    }
    let [a, b] = state.phase.both();
    let [u, w] = state.rate.both();
    let mut place = [0.5 * (a - b), 0.5 * (u + w), 0.5 * (u - w)];
    match find(flow, place, may_rest) {
        Found::Period(found, period) => {
            if comes_back(flow, &found, may_rest) {
                return Motion::Running(state_at(&found), with_period(period));
            }
            // Along it or beside it, but not on it for ever: two equal junctions without flux, say, that
            // begin to swing against each other.
            place = [found[0] + OFF, found[1], found[2]];
        }
        Found::Rest => return Motion::AtRest,
        Found::Nothing(last) => place = last,
    }
    average(flow, place, may_rest)
}

fn state_at(place: &Place) -> State {
    let [d, s_rate, d_rate] = *place;
    State {
        phase: Pair::new(SECTION + d, SECTION - d),
        rate: Pair::new(s_rate + d_rate, s_rate - d_rate),
    }
}

/// The next crossing and the time it takes; none when the loop comes to rest.
fn next(flow: &Flow, place: &Place, may_rest: bool) -> Option<(Place, f64)> {
    let mut state = state_at(place);
    let mut tally = Tally::default();
    let target = 2.0 * (SECTION + TAU);
    if march(flow, &mut state, target, may_rest, &mut tally) != Arrival::There {
        return None;
    }
    let [a, b] = state.phase.both();
    let [u, w] = state.rate.both();
    Some(([0.5 * (a - b), 0.5 * (u + w), 0.5 * (u - w)], tally.time))
}

enum Found {
    Period(Place, f64),
    Rest,
    Nothing(Place),
}

fn find(flow: &Flow, from: Place, may_rest: bool) -> Found {
    let mut place = from;
    // The last place that was reached by running.
    let mut safe = from;
    let mut extrapolated = false;
    let mut images: Vec<Place> = Vec::with_capacity(DEPTH + 1);
    let mut moves: Vec<Place> = Vec::with_capacity(DEPTH + 1);
    let mut before = f64::INFINITY;
    for _ in 0..MOST_CROSSINGS {
        let Some((image, time)) = next(flow, &place, may_rest) else {
            if !extrapolated {
                return Found::Rest;
            }
            place = safe;
            extrapolated = false;
            images.clear();
            moves.clear();
            before = f64::INFINITY;
            continue;
        };
        let step = difference(&image, &place);
        let size = length(&step);
        if size > 2.0 * before && extrapolated {
            images.clear();
            moves.clear();
        }
        before = size;
        if images.len() > DEPTH {
            images.remove(0);
            moves.remove(0);
        }
        images.push(image);
        moves.push(step);
        safe = image;
        let mut guess = if size < 0.3 {
            extrapolate(&images, &moves)
        } else {
            image
        };
        // No slip is that much faster than the shunts alone would have it.
        let fastest = flow.drive.sum().abs() + 2.0;
        if guess[1].abs() > fastest || guess[2].abs() > fastest {
            guess = image;
        }
        let change = length(&difference(&guess, &place));
        if size < 1e-7 && change < 3e-8 {
            return Found::Period(place, time);
        }
        extrapolated = images.len() > 1 && size < 0.3;
        place = guess;
    }
    Found::Nothing(safe)
}

/// The guess at the place that is its own image, from the last places' images and moves.
fn extrapolate(images: &[Place], moves: &[Place]) -> Place {
    let Some((last, earlier)) = moves.split_last() else {
        return [0.0; 3];
    };
    let newest = images[images.len() - 1];
    let mut left = *last;
    let mut guess = newest;
    // Gram and Schmidt's method on the changes of the move, each carrying its change of the image along.
    let mut basis: Vec<(Place, Place)> = Vec::with_capacity(DEPTH);
    for n in (0..earlier.len()).rev() {
        let mut change = difference(&moves[n + 1], &moves[n]);
        let mut carried = difference(&images[n + 1], &images[n]);
        let whole = length(&change);
        for (unit, along) in &basis {
            let share = dot(&change, unit);
            change = minus(&change, unit, share);
            carried = minus(&carried, along, share);
        }
        let size = length(&change);
        if size < 1e-6 * whole || size <= 0.0 {
            continue;
        }
        let unit = change.map(|x| x / size);
        let along = carried.map(|x| x / size);
        let share = dot(&left, &unit);
        left = minus(&left, &unit, share);
        guess = minus(&guess, &along, share);
        basis.push((unit, along));
    }
    guess
}

/// Whether a small push dies out.
fn comes_back(flow: &Flow, place: &Place, may_rest: bool) -> bool {
    let mut pushed = place.map(|x| x + 1e-4);
    let mut early = f64::INFINITY;
    for k in 0..6 {
        let Some((image, _)) = next(flow, &pushed, may_rest) else {
            return false;
        };
        pushed = image;
        let off = length(&difference(&pushed, place));
        if k == 1 {
            early = off;
        }
        if off < 1e-6 {
            return true;
        }
        if k == 5 {
            return off < early;
        }
    }
    true
}

/// The mean voltage of a loop that is simply run on: of two slips once every other slip is the same, else of many.
fn average(flow: &Flow, from: Place, may_rest: bool) -> Motion {
    let mut place = from;
    let mut time = 0.0;
    let (slips, dampings) = FORGETTING;
    let (mut before, mut earlier) = ((from, 0.0), [f64::INFINITY; 3]);
    let mut forgotten = false;
    let mut averaged = 0;
    let mut groups = [0.0; GROUPS as usize];
    for k in 0..MOST_FORGETTING + AVERAGED {
        let Some((image, taken)) = next(flow, &place, may_rest) else {
            return Motion::AtRest;
        };
        if length(&difference(&image, &earlier)) < SETTLED {
            let period = 0.5 * (taken + before.1);
            return Motion::Running(state_at(&image), with_period(period));
        }
        earlier = before.0;
        before = (image, taken);
        place = image;
        time += taken;
        if forgotten {
            if let Some(group) = groups.get_mut((averaged / SLIPS_IN_GROUP) as usize) {
                *group += taken;
            }
            averaged += 1;
            if averaged == AVERAGED {
                break;
            }
        } else if k >= slips && time >= dampings * flow.beta_c || k >= MOST_FORGETTING {
            forgotten = true;
        }
    }
    Motion::Running(state_at(&place), without_period(&groups))
}

fn with_period(period: f64) -> Mean {
    Mean {
        voltage: TAU / period,
        error: PERIOD_ERROR,
    }
}

/// From the times of the groups: a group is long enough to forget the one before it, nearly.
fn without_period(groups: &[f64]) -> Mean {
    let count = groups.len() as f64;
    let mean = groups.iter().sum::<f64>() / count;
    let squares: f64 = groups
        .iter()
        .map(|time| (time - mean) * (time - mean))
        .sum();
    let voltage = TAU * f64::from(SLIPS_IN_GROUP) / mean;
    let error = (squares / (count * (count - 1.0))).sqrt() / mean;
    Mean {
        voltage,
        error: PERIOD_ERROR.max(voltage * error),
    }
}

fn difference(a: &Place, b: &Place) -> Place {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

fn minus(a: &Place, b: &Place, share: f64) -> Place {
    [
        a[0] - share * b[0],
        a[1] - share * b[1],
        a[2] - share * b[2],
    ]
}

fn dot(a: &Place, b: &Place) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn length(a: &Place) -> f64 {
    dot(a, a).sqrt()
}
