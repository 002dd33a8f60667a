//! Small shapes drawn into a scene: end marks, the pen, arrows.

use super::scene::{Colour, Ink, Point, Scene};
use super::theme::EndMark;

/// Draws an end mark of about `size` logical pixels across; `inside` fills the hollow ones.
pub(super) fn end_mark(
    scene: &mut Scene,
    mark: EndMark,
    at: Point,
    size: f64,
    colour: Colour,
    inside: Colour,
) {
    let half = size / 2.0;
    let (x, y) = at;
    let square = |reach: f64| {
        vec![
            (x - reach, y - reach),
            (x + reach, y - reach),
            (x + reach, y + reach),
            (x - reach, y + reach),
        ]
    };
    let stroke = Ink::solid(colour, size * 0.28);
    match mark {
        EndMark::Disc => scene.disc(at, half, colour),
        EndMark::Ring => {
            scene.disc(at, half, colour);
            scene.disc(at, half * 0.5, inside);
        }
        EndMark::Square => scene.area(square(half * 0.86), colour),
        EndMark::Frame => {
            scene.area(square(half * 0.86), colour);
            scene.area(square(half * 0.42), inside);
        }
        EndMark::Triangle => scene.area(
            vec![
                (x, y - half * 1.1),
                (x + half, y + half * 0.75),
                (x - half, y + half * 0.75),
            ],
            colour,
        ),
        EndMark::Diamond => scene.area(
            vec![
                (x, y - half * 1.15),
                (x + half * 1.15, y),
                (x, y + half * 1.15),
                (x - half * 1.15, y),
            ],
            colour,
        ),
        EndMark::Plus => {
            scene.line(vec![(x - half, y), (x + half, y)], stroke.clone());
            scene.line(vec![(x, y - half), (x, y + half)], stroke);
        }
        EndMark::Bar => scene.line(vec![(x, y - half), (x, y + half)], stroke),
        EndMark::Cross => {
            let reach = half * 0.8;
            scene.line(
                vec![(x - reach, y - reach), (x + reach, y + reach)],
                stroke.clone(),
            );
            scene.line(vec![(x - reach, y + reach), (x + reach, y - reach)], stroke);
        }
    }
}

/// Draws the recorder's pen with its point at a place: a slender nib that comes from above right.
pub(super) fn pen(scene: &mut Scene, at: Point, size: f64, ink: Colour, body: Colour) {
    let (x, y) = at;
    let nib = |along: f64, across: f64| {
        // Unit vectors up to the right, and square to it.
        let (ux, uy) = (0.6, -0.8);
        (
            x + size * (along * ux - across * uy),
            y + size * (along * uy + across * ux),
        )
    };
    scene.area(
        vec![
            at,
            nib(0.9, 0.22),
            nib(2.6, 0.22),
            nib(2.6, -0.22),
            nib(0.9, -0.22),
        ],
        body,
    );
    scene.area(vec![at, nib(0.9, 0.22), nib(0.9, -0.22)], ink);
    scene.disc(at, size * 0.2, ink);
}

/// Draws a straight arrow. The head takes at most half of a short arrow; one shorter than a
/// tenth of its width is a dot, so that nothing is not drawn as something.
pub(super) fn arrow(scene: &mut Scene, from: Point, to: Point, width: f64, colour: Colour) {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let length = (dx * dx + dy * dy).sqrt();
    if !length.is_finite() || length < width * 0.5 {
        scene.disc(from, width * 0.5, colour);
        return;
    }
    let (ux, uy) = (dx / length, dy / length);
    let head = (width * 3.4).min(length * 0.62);
    let half = (width * 1.55).min(head * 0.6);
    let neck = (to.0 - ux * head, to.1 - uy * head);
    if length - head > 0.3 {
        // The shaft ends a little inside the head, so that no seam shows.
        let end = (neck.0 + ux * head * 0.25, neck.1 + uy * head * 0.25);
        scene.line(vec![from, end], Ink::solid(colour, width.min(half * 1.4)));
    }
    scene.area(
        vec![
            to,
            (neck.0 - uy * half, neck.1 + ux * half),
            (neck.0 + uy * half, neck.1 - ux * half),
        ],
        colour,
    );
}
