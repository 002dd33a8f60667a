//! Two phasors adding: one for each junction, head to tail from the middle of a dial, and their
//! resultant. The dial's rim is where the end would be if all pointed the same way. Before the
//! sum may be shown all start in the middle.

use crate::figure::glyph;
use crate::figure::scene::{Anchor, Colour, Ink, Point, Scene, words_width};
use crate::figure::theme::Theme;
use crate::figure::ticks::number;
use crate::numerics::order::within;

use super::field::{along, circle};
use super::{BoardOptions, Sheet, flux_words, row};

/// The colour of the phasor with that number: neighbours differ.
pub(super) fn colour(theme: &Theme, index: usize) -> Colour {
    if index % 2 == 1 {
        theme.counter
    } else {
        theme.current
    }
}

/// The picture.
pub(super) fn scene(
    flux: f64,
    phasors: &[(f64, f64)],
    resultant: f64,
    options: &BoardOptions,
) -> Scene {
    if phasors.len() > 2 {
        return row::scene(flux, phasors, resultant, options);
    }
    let mut sheet = Sheet::new(options, "phasors of the junctions, and their sum");
    let (size, theme) = (sheet.size, sheet.theme);
    let bottom = sheet.height - size * if options.show_sum { 3.3 } else { 2.0 };
    let radius = (0.5 * (bottom - size * 0.8)).min(0.5 * sheet.width - size * 0.8);
    let centre = (0.5 * sheet.width, size * 0.8 + radius);
    sheet.scene.disc(centre, radius, theme.plot);
    for share in [0.25, 0.5, 0.75] {
        let ring = Ink::solid(theme.grid, 0.9);
        sheet.scene.line(circle(centre, radius * share), ring);
    }
    let cross = Ink::solid(theme.grid, 0.9);
    sheet.scene.line(
        vec![(centre.0 - radius, centre.1), (centre.0 + radius, centre.1)],
        cross.clone(),
    );
    sheet.scene.line(
        vec![(centre.0, centre.1 - radius), (centre.0, centre.1 + radius)],
        cross,
    );
    sheet.scene.line(
        circle(centre, radius),
        Ink::solid(theme.edge, 1.3 * theme.line_scale),
    );

    let count = phasors.len();
    let step = |from: Point, phasor: (f64, f64)| along(from, radius * phasor.0, phasor.1);
    let mut tips = Vec::with_capacity(count);
    let mut from = centre;
    for &phasor in phasors {
        let to = step(from, phasor);
        tips.push((from, to));
        if options.show_sum {
            from = to;
        }
    }
    let longest = phasors
        .iter()
        .map(|phasor| phasor.0.abs())
        .fold(0.0, f64::max);
    let stroke = within(longest * radius * 0.09, 1.8, 5.5 * theme.line_scale);
    if options.show_sum {
        // The resultant lies under the chain, wide, so that both stay visible when they coincide.
        glyph::arrow(
            &mut sheet.scene,
            centre,
            from,
            stroke.max(2.6) * 1.5,
            theme.computed,
        );
    }
    for (index, &(from, to)) in tips.iter().enumerate() {
        let shade = colour(&theme, index);
        // The first of two is wider: it stays in sight where the second lies on it.
        let wide = if count == 2 && index == 0 { 1.6 } else { 1.0 };
        glyph::arrow(&mut sheet.scene, from, to, stroke * wide, shade);
    }
    if let [first, second] = tips[..] {
        // Names stand clear of the widest head, which is that of the sum.
        let head = stroke.max(2.6) * 2.4;
        label(&mut sheet, first, second.1, ("left", 0), head);
        let other = if options.show_sum { centre } else { first.1 };
        label(&mut sheet, second, other, ("right", 1), head);
    }
    sheet.scene.disc(centre, stroke * 0.9, theme.words);
    let flux_now = flux_words(flux);
    let words = [
        format!("flux through the loop: {flux_now}"),
        format!("loop flux: {flux_now}"),
        format!("flux {flux_now}"),
    ];
    if options.show_sum {
        sheet.caption(1.0, &words, theme.words);
        sum_caption(&mut sheet, resultant);
    } else {
        sheet.caption(0.0, &words, theme.words);
    }
    sheet.scene
}

/// The sum in words, behind the arrow that stands for it, in the lowest line.
pub(super) fn sum_caption(sheet: &mut Sheet, resultant: f64) {
    let (size, theme) = (sheet.size, sheet.theme);
    let long = format!("sum: {} of the largest", number(resultant, 2));
    let fits = words_width(&long, size) < sheet.width - size * 3.4;
    let sum = if fits {
        long
    } else {
        format!("sum: {}", number(resultant, 2))
    };
    let y = sheet.height - size * 0.95;
    let start = size * 0.8;
    glyph::arrow(
        &mut sheet.scene,
        (start, y),
        (start + size * 1.8, y),
        size * 0.34,
        theme.computed,
    );
    let at = (start + size * 2.3, y);
    sheet.scene.write(at, sum, size, Anchor::Start, theme.words);
}

/// Writes a name beside the middle of a phasor, on the side away from a third point; where the
/// point lies in line, the first name goes up or left and the second down or right.
fn label(
    sheet: &mut Sheet,
    (from, to): (Point, Point),
    third: Point,
    (name, index): (&str, usize),
    head: f64,
) {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let length = (dx * dx + dy * dy).sqrt();
    let size = sheet.size;
    if length < size * 1.2 {
        return;
    }
    let (nx, ny) = (-dy / length, dx / length);
    let beside = (third.0 - from.0) * nx + (third.1 - from.1) * ny;
    let side = if beside.abs() > size * 0.4 {
        -beside.signum()
    } else {
        let up_or_left = if nx + ny < 0.0 { 1.0 } else { -1.0 };
        if index == 0 { up_or_left } else { -up_or_left }
    };
    let clear = (length * 0.12).max(head) + size * 0.6 + nx.abs() * words_width(name, size) * 0.5;
    let at = (
        0.5 * (from.0 + to.0) + side * nx * clear,
        0.5 * (from.1 + to.1) + side * ny * clear,
    );
    let shade = colour(&sheet.theme, index);
    sheet.scene.write(at, name, size, Anchor::Middle, shade);
}

/// Whether all phasors are turned by the same angle against their neighbours.
fn are_even(phasors: &[(f64, f64)]) -> bool {
    let turn = |pair: &[(f64, f64)]| (pair[1].1 - pair[0].1) / std::f64::consts::TAU;
    let first = phasors.windows(2).next().map_or(0.0, turn);
    phasors.windows(2).all(|pair| {
        let off = turn(pair) - first;
        (off - off.round()).abs() < 1e-3
    })
}

/// The picture in words.
pub(super) fn describe(
    flux: f64,
    phasors: &[(f64, f64)],
    resultant: f64,
    show_sum: bool,
) -> String {
    let count = phasors.len();
    let turn = flux - flux.round();
    let turns = if are_even(phasors) {
        format!(
            "each phasor is turned by {} of a full turn against its neighbour",
            number(turn.abs(), 2)
        )
    } else {
        "the phasors are turned by unequal angles against each other".to_owned()
    };
    let hole = if count > 2 { "first hole" } else { "loop" };
    let start = format!(
        "{count} phasors, one for each junction. The flux through the {hole} is {}; {turns}.",
        flux_words(flux)
    );
    if show_sum {
        format!(
            "{start} Put head to tail they add up to {} of the largest sum.",
            number(resultant, 2)
        )
    } else {
        format!("{start} Their sum is not shown yet.")
    }
}
