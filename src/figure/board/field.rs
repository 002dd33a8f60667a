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
            along(at, radius, angle)
        })
        .collect()
}

/// The place at a distance and an angle from another, counter-clockwise on the page.
pub(super) fn along(from: Point, length: f64, angle: f64) -> Point {
    let (sin, cos) = elementary::sin_cos(angle);
    (from.0 + length * cos, from.1 - length * sin)
}

/// The head of an arrow that runs along an arc of that radius: from one angle to another, and
/// `half` to both sides.
pub(super) fn arc_head(
    scene: &mut Scene,
    (at, radius): (Point, f64),
    (back, tip): (f64, f64),
    half: f64,
    colour: Colour,
) {
    let corners = [(radius, tip), (radius + half, back), (radius - half, back)];
    scene.area(
        corners
            .map(|(radius, angle)| along(at, radius, angle))
            .to_vec(),
        colour,
    );
}

/// The applied field in a hole of that reach: signs set like the seeds of a sunflower, each a
/// quarter of a flux quantum, the last one growing. Up to `fits` signs stand at a constant
/// spacing, of which each takes the share `wide`; beyond, they crowd.
pub(super) fn signs_in_hole(
    scene: &mut Scene,
    (at, reach): (Point, f64),
    (fits, wide): (f64, f64),
    flux: f64,
    colour: Colour,
) {
    /// The golden angle: a turn over the square of the golden ratio.
    const GOLDEN: f64 = 2.399_963_229_728_653;
    let signs = (flux.abs() * SIGNS_FOR_A_QUANTUM).min(MOST_SIGNS);
    if !signs.is_finite() {
        return;
    }
    let spacing = reach * 0.8 / signs.max(fits).sqrt();
    for index in 0..(signs.ceil() as u32) {
        let grown = (signs - f64::from(index)).min(1.0);
        let away = spacing * (f64::from(index) + 0.5).sqrt();
        let (sin, cos) = elementary::sin_cos(GOLDEN * f64::from(index));
        let place = (at.0 + away * cos, at.1 + away * sin);
        let radius = spacing * wide * grown.sqrt();
        sign(scene, place, radius, flux > 0.0, colour);
    }
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
