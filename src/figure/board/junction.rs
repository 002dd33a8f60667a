//! One junction from the side: two electrodes, the barrier between, the field that enters it, the
//! local currents across it, and beside it their sum.

use crate::figure::glyph;
use crate::figure::scene::{Anchor, Ink, Item, Scene};
use crate::figure::ticks::number;

use super::field::{MOST_SIGNS, SIGNS_FOR_A_QUANTUM, key, sign};
use super::{BoardOptions, Sheet, flux_words};

/// How many arrows stand for the local current at that width.
pub(super) fn arrows(width: f64) -> usize {
    // An odd number, so that one stands in the middle.
    let count = (width / 19.0).clamp(11.0, 31.0) as usize;
    count | 1
}

/// The local current at a share of the width from 0 to 1, between the values given.
pub(super) fn local(values: &[f64], share: f64) -> f64 {
    let Some(last) = values.len().checked_sub(1) else {
        return 0.0;
    };
    let place = share.clamp(0.0, 1.0) * last as f64;
    let index = (place as usize).min(last);
    let next = (index + 1).min(last);
    let rest = place - index as f64;
    let value = values[index] + (values[next] - values[index]) * rest;
    if value.is_finite() { value } else { 0.0 }
}

/// The picture.
pub(super) fn scene(flux: f64, values: &[f64], total: f64, options: &BoardOptions) -> Scene {
    let mut sheet = Sheet::new(options, "local currents across a junction, and their sum");
    let (size, theme) = (sheet.size, sheet.theme);
    let top = size * 1.9;
    let bottom = sheet.height - size * 3.2;
    let middle = 0.5 * (top + bottom);
    // The sum has a column of its own, there before it is filled, so that nothing moves then.
    let column = (size * 6.2).min(sheet.width * 0.3);
    let (left, right) = (size * 0.8, sheet.width - column);
    let width = right - left;
    let half = 0.5 * (bottom - top);
    let barrier = (half * 0.1).max(2.5);
    let skin = half * 0.36;
    let mut band = |from: f64, to: f64, colour| {
        sheet.scene.area(
            vec![(left, from), (right, from), (right, to), (left, to)],
            colour,
        );
    };
    band(top, middle - barrier, theme.metal);
    band(middle + barrier, bottom, theme.metal);
    band(middle - skin, middle - barrier, theme.skin);
    band(middle + barrier, middle + skin, theme.skin);
    band(middle - barrier, middle + barrier, theme.barrier);
    let edge = Ink::solid(theme.edge, theme.line_scale);
    for (from, to) in [(top, middle - barrier), (middle + barrier, bottom)] {
        sheet.scene.line(
            vec![
                (left, from),
                (right, from),
                (right, to),
                (left, to),
                (left, from),
            ],
            edge.clone(),
        );
    }
    for depth in [middle - skin, middle + skin] {
        let faint = Ink::solid(theme.edge.over(theme.skin, 0.5), 1.0).dashed(&[3.0, 3.0]);
        sheet.scene.line(vec![(left, depth), (right, depth)], faint);
    }

    // Field: signs a quarter quantum apart, in turn in the upper and the lower layer. They spread
    // in pairs from the middle and the outermost pair grows, so that nothing jumps.
    let signs = (flux.abs() * SIGNS_FOR_A_QUANTUM).min(MOST_SIGNS);
    if signs > 0.05 && flux.is_finite() {
        let apart = width / signs.max(2.0);
        let full = (apart * 0.36).min(skin * 0.3).min(size * 0.5);
        for index in 0..(signs.ceil() as u32 + 1) {
            let pair = index / 2;
            let grown = (signs / 2.0 - f64::from(pair)).clamp(0.0, 1.0);
            let radius = full * grown.sqrt();
            let side = if index % 2 == 0 { 1.0 } else { -1.0 };
            let away = ((f64::from(pair) + 0.5) * apart).min(width * 0.5 - full * 1.2);
            let layer = if (index + pair) % 2 == 0 { -0.66 } else { 0.66 };
            let at = (0.5 * (left + right) + side * away, middle + skin * layer);
            sign(&mut sheet.scene, at, radius, flux > 0.0, theme.field);
        }
    }

    // The local current: a tinted profile with arrows in it. Upwards is positive.
    let reach = half * 0.86;
    let profile: Vec<(f64, f64)> = (0..=120)
        .map(|step| {
            let share = f64::from(step) / 120.0;
            (left + share * width, middle - reach * local(values, share))
        })
        .collect();
    let mut outline = profile.clone();
    outline.push((right, middle));
    outline.push((left, middle));
    sheet.scene.items.push(Item::Area {
        points: outline,
        colour: theme.current,
        opacity: 0.13,
    });
    sheet.scene.line(
        profile,
        Ink::solid(theme.current.over(theme.metal, 0.7), theme.line_scale),
    );
    local_arrows(&mut sheet, values, (left, right), (middle, reach));

    let words = theme.words;
    sheet.scene.write(
        (0.5 * (left + right), size * 1.0),
        "local currents",
        size,
        Anchor::Middle,
        words,
    );
    sum(
        &mut sheet,
        (right, top, bottom),
        reach,
        total,
        options.show_sum,
    );
    flux_caption(&mut sheet, flux, right);
    sheet.caption(0.0, &key(flux), theme.quiet);
    sheet.scene
}

/// The local currents as arrows across the barrier, from one end of the width to the other; a
/// current of one reaches `reach` up or down from the middle.
pub(super) fn local_arrows(
    sheet: &mut Sheet,
    values: &[f64],
    (left, right): (f64, f64),
    (middle, reach): (f64, f64),
) {
    let (theme, width) = (sheet.theme, right - left);
    let count = arrows(width);
    let stroke = (width / count as f64 * 0.2).clamp(2.0, 5.0);
    for index in 0..count {
        let share = (index as f64 + 0.5) / count as f64;
        let current = local(values, share);
        let x = left + share * width;
        let colour = if current < 0.0 {
            theme.counter
        } else {
            theme.current
        };
        let tip = middle - reach * current;
        glyph::arrow(&mut sheet.scene, (x, middle), (x, tip), stroke, colour);
    }
}

/// The flux through the junction, in the line above the lowest; the value of the sum may stand at
/// its end, in the column that begins at `right`.
pub(super) fn flux_caption(sheet: &mut Sheet, flux: f64, right: f64) {
    let flux_now = flux_words(flux);
    let wordings = [
        format!("flux through the junction: {flux_now}"),
        format!("junction flux: {flux_now}"),
        format!("flux {flux_now}"),
    ];
    let free = 0.5 * (right + sheet.width) - sheet.size * 2.0;
    sheet.caption_to(free, 1.0, &wordings, sheet.theme.words);
}

/// The column with the sum: a slot as long as the sum at zero field, and the arrow in it.
pub(super) fn sum(sheet: &mut Sheet, place: (f64, f64, f64), reach: f64, total: f64, shown: bool) {
    let (right, top, bottom) = place;
    let (size, theme) = (sheet.size, sheet.theme);
    let x = 0.5 * (right + sheet.width);
    let middle = 0.5 * (top + bottom);
    let half = size * 0.95;
    let slot = Ink::solid(theme.quiet, theme.line_scale).dashed(&[4.0, 4.0]);
    let (upper, lower) = (middle - reach, middle + reach);
    sheet.scene.line(
        vec![
            (x - half, upper),
            (x + half, upper),
            (x + half, lower),
            (x - half, lower),
            (x - half, upper),
        ],
        slot,
    );
    let base = Ink::solid(theme.edge, theme.line_scale);
    sheet.scene.line(
        vec![(x - half * 1.5, middle), (x + half * 1.5, middle)],
        base,
    );
    sheet
        .scene
        .write((x, size), "sum", size, Anchor::Middle, theme.words);
    let value_at = (x, lower + size * 1.1);
    if shown {
        glyph::arrow(
            &mut sheet.scene,
            (x, middle),
            (x, middle - reach * total),
            size * 0.62,
            theme.computed,
        );
        let value = number(total, 2);
        sheet
            .scene
            .write(value_at, value, size * 1.15, Anchor::Middle, theme.computed);
    } else {
        let at = (x, middle - reach * 0.5);
        sheet
            .scene
            .write(at, "?", size * 1.8, Anchor::Middle, theme.quiet);
    }
}

/// The picture in words.
pub(super) fn describe(flux: f64, values: &[f64], total: f64, show_sum: bool) -> String {
    let up = values.iter().filter(|value| **value > 1e-9).count();
    let down = values.iter().filter(|value| **value < -1e-9).count();
    let share = |count: usize| number(100.0 * count as f64 / values.len().max(1) as f64, 0);
    let turns = values
        .windows(2)
        .filter(|pair| pair[0] * pair[1] < 0.0)
        .count();
    let currents = if down == 0 && up == values.len() {
        let least = values.iter().copied().fold(f64::INFINITY, f64::min);
        if least > 0.999 {
            "All local currents are equal and run upwards.".to_owned()
        } else {
            "All local currents run upwards; they are not all equal.".to_owned()
        }
    } else {
        format!(
            "Over {} percent of the width the local current runs upwards, over {} percent downwards; it changes direction {} along the junction.",
            share(up),
            share(down),
            times(turns)
        )
    };
    let field = if flux == 0.0 {
        "No field enters the junction.".to_owned()
    } else {
        format!("The flux through the junction is {}.", flux_words(flux))
    };
    if show_sum {
        format!(
            "A junction from the side. {field} {currents} Their sum is {} of the sum at zero field.",
            number(total, 2)
        )
    } else {
        format!("A junction from the side. {field} {currents} Their sum is not shown yet.")
    }
}

/// A count in words.
fn times(count: usize) -> String {
    match count {
        0 => "nowhere".to_owned(),
        1 => "once".to_owned(),
        2 => "twice".to_owned(),
        more => format!("{more} times"),
    }
}
