//! Field through the page: a dot in a ring where it points out, a cross in a ring where it
//! points in. One sign stands for a quarter of a flux quantum.

use crate::figure::scene::{Colour, Ink, Point, Scene};
use crate::numerics::elementary;

/// Signs for one flux quantum.
pub(super) const SIGNS_FOR_A_QUANTUM: f64 = 4.0;

/// The most signs that are drawn.
pub(super) const MOST_SIGNS: f64 = 48.0;

/// Points on a circle, the first again at the end.
pub(super) fn circle(at: Point, radius: f64) -> Vec<Point> {
    arc(at, radius, 0.0, std::f64::consts::TAU)
}

/// Points on an arc from one angle through a sweep, in radians, counter-clockwise on the page
/// when the sweep is positive.
pub(super) fn arc(at: Point, radius: f64, from: f64, sweep: f64) -> Vec<Point> {
    let steps = ((sweep.abs() * 14.0).ceil().min(200.0) as u32).max(2);
    (0..=steps)
        .map(|step| {
            let angle = from + sweep * f64::from(step) / f64::from(steps);
            let (sin, cos) = elementary::sin_cos(angle);
            (at.0 + radius * cos, at.1 - radius * sin)
        })
        .collect()
}

/// One sign of the field at a place.
pub(super) fn sign(scene: &mut Scene, at: Point, radius: f64, outwards: bool, colour: Colour) {
    if radius < 0.4 {
        return;
    }
    let ink = Ink::solid(colour, (radius * 0.26).max(0.8));
    scene.line(circle(at, radius), ink.clone());
    if outwards {
        scene.disc(at, radius * 0.34, colour);
    } else {
        let reach = radius * 0.62;
        let (x, y) = at;
        scene.line(
            vec![(x - reach, y - reach), (x + reach, y + reach)],
            ink.clone(),
        );
        scene.line(vec![(x - reach, y + reach), (x + reach, y - reach)], ink);
    }
}

/// The words that say what one sign means, longer and shorter.
pub(super) fn key(flux: f64) -> Vec<String> {
    let wordings: &[&str] = if flux == 0.0 {
        &["no field"]
    } else if flux < 0.0 {
        &[
            "field into the page; each cross \u{bc} \u{3a6}\u{2080}",
            "each cross \u{bc} \u{3a6}\u{2080}",
        ]
    } else {
        &[
            "field out of the page; each dot \u{bc} \u{3a6}\u{2080}",
            "each dot \u{bc} \u{3a6}\u{2080}",
        ]
    };
    wordings.iter().map(|words| (*words).to_owned()).collect()
}
