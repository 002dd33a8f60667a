//! Cutting a curve at the frame. Points outside are not moved onto the edge (that would draw a
//! false plateau); the line ends where it crosses. Only what is outside by less than half a pixel is
//! taken to be on the edge: rounding would else tear a curve that rests on it.

use crate::numerics::order::within;

use super::frame::Frame;
use super::scene::Point;

/// The part of the segment from `a` to `b` inside the frame, in logical pixels, by the method of
/// Liang and Barsky: the range of the parameter that satisfies all four edges.
#[must_use]
pub fn segment(frame: &Frame, a: Point, b: Point) -> Option<(Point, Point)> {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let mut enter = 0.0_f64;
    let mut leave = 1.0_f64;
    for (run, room) in [
        (-dx, a.0 - frame.left),
        (dx, frame.right - a.0),
        (-dy, a.1 - frame.top),
        (dy, frame.bottom - a.1),
    ] {
        if run == 0.0 {
            if room < 0.0 {
                return None;
            }
        } else if run < 0.0 {
            enter = enter.max(room / run);
        } else {
            leave = leave.min(room / run);
        }
    }
    (enter <= leave).then_some((
        (a.0 + enter * dx, a.1 + enter * dy),
        (a.0 + leave * dx, a.1 + leave * dy),
    ))
}

/// A place, or the edge where it is outside by less than half a pixel.
fn on_edge(frame: &Frame, at: Point) -> Point {
    let hold = |value: f64, least: f64, most: f64| {
        let held = within(value, least, most);
        if (value - held).abs() < 0.5 {
            held
        } else {
            value
        }
    };
    if frame.left <= frame.right && frame.top <= frame.bottom {
        (
            hold(at.0, frame.left, frame.right),
            hold(at.1, frame.top, frame.bottom),
        )
    } else {
        at
    }
}

/// The pieces of a polyline inside the frame, in logical pixels. A point that is not finite
/// parts the line. A piece has at least two points.
#[must_use]
pub fn polyline(frame: &Frame, points: &[Point]) -> Vec<Vec<Point>> {
    let mut pieces: Vec<Vec<Point>> = Vec::new();
    let mut current: Vec<Point> = Vec::new();
    let mut close = |current: &mut Vec<Point>| {
        if current.len() > 1 {
            pieces.push(std::mem::take(current));
        } else {
            current.clear();
        }
    };
    for pair in points.windows(2) {
        let (a, b) = (on_edge(frame, pair[0]), on_edge(frame, pair[1]));
        if !(a.0.is_finite() && a.1.is_finite() && b.0.is_finite() && b.1.is_finite()) {
            close(&mut current);
            continue;
        }
        let Some((from, to)) = segment(frame, a, b) else {
            close(&mut current);
            continue;
        };
        if current.last() != Some(&from) {
            close(&mut current);
            current.push(from);
        }
        if from != to || current.len() == 1 {
            current.push(to);
        }
        if to != b {
            close(&mut current);
        }
    }
    close(&mut current);
    pieces
}
