//! The painted density of a junction's critical current over its width, and under it the local currents that
//! it leaves at this flux, with their sum beside.

use crate::figure::scene::{Anchor, Ink, Item, Scene};
use crate::figure::ticks::number;

use super::junction::{self, flux_caption, local, local_arrows, sum};
use super::{BoardOptions, Sheet};

/// The picture.
pub(super) fn scene(
    flux: f64,
    density: &[f64],
    values: &[f64],
    total: f64,
    options: &BoardOptions,
) -> Scene {
    let mut sheet = Sheet::new(
        options,
        "density of the critical current, and the local currents under it",
    );
    let (size, theme) = (sheet.size, sheet.theme);
    let column = (size * 6.2).min(sheet.width * 0.3);
    let (left, right) = (size * 0.8, sheet.width - column);
    let width = right - left;
    let (top, bottom) = (size * 1.9, sheet.height - size * 3.2);
    let split = top + (bottom - top) * 0.34;
    let lower = split + size * 1.8;
    let middle = 0.5 * (lower + bottom);
    let reach = 0.5 * (bottom - lower) * 0.92;
    let outline = |level: f64, tall: f64| -> Vec<(f64, f64)> {
        (0..=240)
            .map(|step| {
                let share = f64::from(step) / 240.0;
                (left + share * width, level - tall * local(density, share))
            })
            .collect()
    };

    // What was painted.
    let ground = |from: f64, to: f64| vec![(left, from), (right, from), (right, to), (left, to)];
    sheet.scene.area(ground(top, split), theme.plot);
    let shape = outline(split, (split - top) * 0.94);
    let mut painted = shape.clone();
    painted.push((right, split));
    painted.push((left, split));
    sheet.scene.items.push(Item::Area {
        points: painted,
        colour: theme.current,
        opacity: 0.32,
    });
    sheet
        .scene
        .line(shape, Ink::solid(theme.current, 2.2 * theme.line_scale));
    let edge = Ink::solid(theme.edge, 1.3 * theme.line_scale);
    sheet
        .scene
        .line(vec![(left, split), (right, split)], edge.clone());

    // What it leaves: arrows within the density to both sides.
    sheet.scene.area(ground(lower, bottom), theme.plot);
    for side in [1.0, -1.0] {
        let bound = Ink::solid(theme.edge, theme.line_scale).dashed(&[3.0, 3.0]);
        sheet.scene.line(outline(middle, side * reach), bound);
    }
    sheet
        .scene
        .line(vec![(left, middle), (right, middle)], edge);
    local_arrows(&mut sheet, values, (left, right), (middle, reach));

    let words = theme.words;
    let centre = 0.5 * (left + right);
    sheet.scene.write(
        (centre, size),
        "current density",
        size,
        Anchor::Middle,
        words,
    );
    let between = (centre, split + size * 0.95);
    sheet
        .scene
        .write(between, "local currents", size, Anchor::Middle, words);
    sum(
        &mut sheet,
        (right, lower, bottom),
        reach,
        total,
        options.show_sum,
    );
    flux_caption(&mut sheet, flux, right);
    let wordings = [
        "dashed: as far as the density lets them".to_owned(),
        "dashed: the density".to_owned(),
    ];
    sheet.caption(0.0, &wordings, theme.quiet);
    sheet.scene
}

/// The picture in words.
pub(super) fn describe(
    flux: f64,
    density: &[f64],
    values: &[f64],
    total: f64,
    show_sum: bool,
) -> String {
    let at = |share: f64| number(100.0 * local(density, share), 0);
    format!(
        "The density of the critical current over the width: {} percent of the largest at the left edge, {} a quarter of the way, {} in the middle, {} at three quarters, {} at the right edge. {}",
        at(0.0),
        at(0.25),
        at(0.5),
        at(0.75),
        at(1.0),
        junction::describe(flux, values, total, show_sum)
    )
}
