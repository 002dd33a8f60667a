//! The phasors of a row of many junctions: on one dial their directions, all from the middle, and on another the same
//! put head to tail. Where they nearly cancel the second dial is drawn larger, and says so.

use crate::figure::glyph;
use crate::figure::scene::{Anchor, Ink, Point, Scene, words_width};

use super::field::{along, circle};
use super::phasors::{colour, sum_caption};
use super::{BoardOptions, Sheet, flux_words};

/// Where a dial stands.
#[derive(Clone, Copy)]
struct Dial {
    centre: Point,
    radius: f64,
}

/// The picture.
pub(super) fn scene(
    flux: f64,
    phasors: &[(f64, f64)],
    resultant: f64,
    options: &BoardOptions,
) -> Scene {
    let mut sheet = Sheet::new(options, "phasors of a row of junctions, and their sum");
    let (size, theme) = (sheet.size, sheet.theme);
    let pad = size * 0.8;
    let (top, bottom) = (size * 2.0, sheet.height - size * 4.8);
    let radius = (0.25 * (sheet.width - 3.0 * pad)).min(0.5 * (bottom - top));
    let level = 0.5 * (top + bottom);
    let [fan, chain] = [0.25, 0.75].map(|share| Dial {
        centre: (sheet.width * share + pad * (0.5 - share) * 0.5, level),
        radius,
    });
    let longest = phasors
        .iter()
        .map(|phasor| phasor.0.abs())
        .fold(1e-300, f64::max);
    dial(&mut sheet, fan, "each for itself");
    dial(&mut sheet, chain, "head to tail");
    // Thin enough that many side by side can be told apart.
    let stroke = (radius * 1.2 / phasors.len().max(6) as f64 * 0.16).clamp(1.4, 4.0);
    for (index, &(length, angle)) in phasors.iter().enumerate() {
        let tip = along(fan.centre, radius * 0.94 * length / longest, angle);
        let shade = colour(&theme, index);
        glyph::arrow(&mut sheet.scene, fan.centre, tip, stroke, shade);
    }
    let flux_now = flux_words(flux);
    let words = [
        format!("flux through the first hole: {flux_now}"),
        format!("flux, first hole: {flux_now}"),
        format!("flux {flux_now}"),
    ];
    sheet.caption(1.0, &words, theme.words);
    if !options.show_sum {
        let centre = chain.centre;
        sheet
            .scene
            .write(centre, "?", size * 1.8, Anchor::Middle, theme.quiet);
        return sheet.scene;
    }
    let zoom = add(&mut sheet, chain, phasors, stroke);
    let rim = match zoom {
        4 => "rim: a quarter of the largest",
        2 => "rim: half of the largest",
        _ => "rim: the largest, all aligned",
    };
    let short = match zoom {
        4 => "rim: \u{bc} of largest",
        2 => "rim: \u{bd} of largest",
        _ => "rim: the largest",
    };
    let room = 2.0 * radius + pad;
    let fits = words_width(rim, size) < room;
    let text = if fits { rim } else { short };
    // Small dials on a narrow sheet: the words are wider than theirs, and stay on the sheet.
    let half = 0.5 * words_width(text, size);
    let below = (
        chain.centre.0.min(sheet.width - half - 0.2 * size),
        chain.centre.1 + radius + size * 0.95,
    );
    sheet
        .scene
        .write(below, text, size, Anchor::Middle, theme.quiet);
    sum_caption(&mut sheet, resultant);
    sheet.scene
}

fn dial(sheet: &mut Sheet, place: Dial, name: &str) {
    let (size, theme) = (sheet.size, sheet.theme);
    let Dial { centre, radius } = place;
    sheet.scene.disc(centre, radius, theme.plot);
    let thin = Ink::solid(theme.grid, 0.9);
    sheet.scene.line(circle(centre, radius * 0.5), thin.clone());
    for (x, y) in [(radius, 0.0), (0.0, radius)] {
        sheet.scene.line(
            vec![(centre.0 - x, centre.1 - y), (centre.0 + x, centre.1 + y)],
            thin.clone(),
        );
    }
    sheet.scene.line(
        circle(centre, radius),
        Ink::solid(theme.edge, 1.3 * theme.line_scale),
    );
    let above = (centre.0, centre.1 - radius - size * 0.95);
    sheet
        .scene
        .write(above, name, size, Anchor::Middle, theme.words);
}

/// The phasors put head to tail and their sum under them; how many times too large they are drawn.
fn add(sheet: &mut Sheet, place: Dial, phasors: &[(f64, f64)], stroke: f64) -> u8 {
    let theme = sheet.theme;
    let mut corners = vec![(0.0, 0.0)];
    let mut at = (0.0, 0.0);
    for &(length, angle) in phasors {
        let to = along(at, length, angle);
        if !(to.0.is_finite() && to.1.is_finite()) {
            return 1;
        }
        at = to;
        corners.push(at);
    }
    let widest = corners
        .iter()
        .map(|(x, y)| (x * x + y * y).sqrt())
        .fold(0.0, f64::max);
    let zoom = [4_u8, 2]
        .into_iter()
        .find(|zoom| widest * f64::from(*zoom) < 0.97)
        .unwrap_or(1);
    let scale = place.radius * f64::from(zoom);
    let to_px = |point: Point| {
        (
            place.centre.0 + scale * point.0,
            place.centre.1 + scale * point.1,
        )
    };
    let end = to_px(at);
    // The sum lies under the chain, wide, so that both stay visible when they coincide.
    glyph::arrow(
        &mut sheet.scene,
        place.centre,
        end,
        (stroke * 1.8).max(3.2),
        theme.computed,
    );
    for (index, pair) in corners.windows(2).enumerate() {
        let shade = colour(&theme, index);
        let (from, to) = (to_px(pair[0]), to_px(pair[1]));
        glyph::arrow(&mut sheet.scene, from, to, stroke, shade);
    }
    sheet.scene.disc(place.centre, stroke * 1.2, theme.words);
    zoom
}
