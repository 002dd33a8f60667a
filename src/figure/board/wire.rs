//! A wire in solder, cut along its middle: the two contacts, the field that the wire's own current puts round it,
//! and the strip between the contacts that this field threads.

use crate::experiment::Wire;
use crate::figure::glyph;
use crate::figure::scene::{Anchor, Ink, Point, Scene, words_width};
use crate::figure::ticks::number;

use super::field::{MOST_SIGNS, SIGNS_FOR_A_QUANTUM, arc, arc_head, circle, sign};
use super::{BoardOptions, Sheet, flux_words};
use crate::quantity::show;

/// Signs of the field before it may be counted.
const UNCOUNTED: f64 = 6.0;

/// What is written under the wire seen from its end.
const END_ON: [&str; 2] = ["from the", "right end"];

/// Where things stand on the sheet.
struct Place {
    /// The wire's upper and lower surface.
    upper: f64,
    lower: f64,
    /// Its ends.
    from: f64,
    to: f64,
    /// The contacts.
    left: f64,
    right: f64,
    /// How deep the field goes to each side of the upper surface.
    deep: f64,
}

/// The picture.
pub(super) fn scene(inside: &Wire, options: &BoardOptions) -> Scene {
    let mut sheet = Sheet::new(options, "a wire in solder with two contacts");
    let size = sheet.size;
    let bottom = sheet.height - size * (0.8 + 1.4 * 3.0) - size * 0.4;
    let top = size * 0.6;
    let tall = bottom - top;
    let end = (sheet.width * 0.2).max(words_width(END_ON[1], size) + size * 1.2);
    let place = Place {
        upper: top + tall * 0.52,
        lower: top + tall * 0.76,
        from: end,
        to: sheet.width - size * 0.6,
        left: end + (sheet.width - end) * 0.24,
        right: end + (sheet.width - end) * 0.74,
        deep: tall * 0.1,
    };
    solder(&mut sheet, &place, (top, bottom));
    let positive = inside.current >= 0.0;
    let running = inside.current.abs() > 0.0 && inside.current.is_finite();
    let signs = if !running {
        0.0
    } else if options.show_sum {
        (inside.flux.abs() * SIGNS_FOR_A_QUANTUM).min(MOST_SIGNS)
    } else {
        UNCOUNTED
    };
    strip(&mut sheet, &place, signs, positive);
    along(&mut sheet, &place, running, positive);
    // Half the sum is what each of two equal contacts carries at most.
    let longest = (place.upper - top) * 1.1;
    contacts(&mut sheet, &place, inside, longest, options.show_sum);
    end_on(
        &mut sheet,
        (end * 0.5, place.upper * 0.5 + place.lower * 0.5),
        running,
        positive,
    );
    captions(&mut sheet, inside, options.show_sum);
    sheet.scene
}

/// The bead, and the wire through it with its oxide.
fn solder(sheet: &mut Sheet, place: &Place, ends: (f64, f64)) {
    let (size, theme) = (sheet.size, sheet.theme);
    let middle = (
        0.5 * (place.left + place.right),
        0.5 * (place.upper + place.lower),
    );
    let across = (place.right - place.left) * 0.82;
    let up = middle.1 - ends.0;
    let down = ends.1 - middle.1;
    let bead: Vec<Point> = circle((0.0, 0.0), 1.0)
        .into_iter()
        .map(|(x, y)| {
            let tall = if y < 0.0 { up } else { down };
            (middle.0 + across * x, middle.1 + tall * y)
        })
        .map(|(x, y)| (x.min(place.to), y))
        .collect();
    sheet.scene.area(bead.clone(), theme.metal);
    sheet
        .scene
        .line(bead, Ink::solid(theme.edge, theme.line_scale));
    let band = |from: f64, to: f64| {
        vec![
            (place.from, from),
            (place.to, from),
            (place.to, to),
            (place.from, to),
        ]
    };
    sheet.scene.area(band(place.upper, place.lower), theme.skin);
    let oxide = (size * 0.22).max(2.5);
    for surface in [place.upper, place.lower] {
        sheet.scene.area(
            band(surface - oxide * 0.5, surface + oxide * 0.5),
            theme.barrier,
        );
        let edge = Ink::solid(theme.edge, 1.0);
        for side in [-0.5, 0.5] {
            let y = surface + side * oxide;
            sheet
                .scene
                .line(vec![(place.from, y), (place.to, y)], edge.clone());
        }
    }
    let name = (middle.0, ends.0 + size * 1.1);
    sheet
        .scene
        .write(name, "solder", size, Anchor::Middle, theme.words);
}

/// The strip between the contacts that the field threads: both penetration depths tall.
fn strip(sheet: &mut Sheet, place: &Place, signs: f64, positive: bool) {
    let theme = sheet.theme;
    let corners = vec![
        (place.left, place.upper - place.deep),
        (place.right, place.upper - place.deep),
        (place.right, place.upper + place.deep),
        (place.left, place.upper + place.deep),
    ];
    sheet.scene.area(corners.clone(), theme.plot);
    let mut outline = corners;
    outline.push((place.left, place.upper - place.deep));
    sheet.scene.line(
        outline,
        Ink::solid(theme.field, 1.4 * theme.line_scale).dashed(&[4.0, 3.0]),
    );
    // Clear of the contacts.
    let width = place.right - place.left - sheet.size * 1.6;
    let apart = width / signs.max(2.0);
    let full = (apart * 0.36).min(place.deep * 0.62).min(sheet.size * 0.55);
    let middle = 0.5 * (place.left + place.right);
    // From the middle in pairs, the outermost growing: nothing jumps.
    for index in 0..(signs.ceil() as u32 + 1) {
        let pair = index / 2;
        let grown = (signs / 2.0 - f64::from(pair)).clamp(0.0, 1.0);
        let side = if index % 2 == 0 { 1.0 } else { -1.0 };
        let away = ((f64::from(pair) + 0.5) * apart).min(width * 0.5 - full);
        let at = (middle + side * away, place.upper);
        sign(
            &mut sheet.scene,
            at,
            full * grown.sqrt(),
            positive,
            theme.field,
        );
    }
}

/// The current along the wire.
fn along(sheet: &mut Sheet, place: &Place, running: bool, positive: bool) {
    let (size, theme) = (sheet.size, sheet.theme);
    let y = place.upper + place.deep + 0.55 * (place.lower - place.upper - place.deep);
    let words = "wire";
    let at = (place.right + size * 0.8, y);
    sheet
        .scene
        .write(at, words, size, Anchor::Start, theme.words);
    if !running {
        return;
    }
    let (from, to) = (place.from + size * 0.5, place.right);
    let (from, to) = if positive { (from, to) } else { (to, from) };
    let stroke = (size * 0.3).max(3.0);
    glyph::arrow(&mut sheet.scene, (from, y), (to, y), stroke, theme.current);
}

/// The two contacts, and what passes through each.
fn contacts(sheet: &mut Sheet, place: &Place, inside: &Wire, longest: f64, shown: bool) {
    let (size, theme) = (sheet.size, sheet.theme);
    let reach = size * 0.42;
    for (x, share, side) in [
        (place.left, inside.contacts.0, -1.0),
        (place.right, inside.contacts.1, 1.0),
    ] {
        let ink = Ink::solid(theme.words, 2.4 * theme.line_scale);
        for turn in [-1.0, 1.0] {
            sheet.scene.line(
                vec![
                    (x - reach, place.upper - turn * reach),
                    (x + reach, place.upper + turn * reach),
                ],
                ink.clone(),
            );
        }
        if !shown || !share.is_finite() {
            continue;
        }
        let length = longest * share;
        let colour = if share < 0.0 {
            theme.counter
        } else {
            theme.current
        };
        let foot = place.upper - reach - size * 0.4;
        let (from, to) = if share < 0.0 {
            (foot + length, foot)
        } else {
            (foot, foot - length)
        };
        let stroke = (size * 0.3).max(3.0);
        glyph::arrow(&mut sheet.scene, (x, from), (x, to), stroke, colour);
        let anchor = if side < 0.0 {
            Anchor::End
        } else {
            Anchor::Start
        };
        let beside = (x + side * size * 0.7, foot - size * 0.5);
        let value = number(share, 2);
        sheet.scene.write(beside, value, size, anchor, colour);
    }
}

/// The wire seen from its right end: the field runs round it.
fn end_on(sheet: &mut Sheet, at: Point, running: bool, positive: bool) {
    let (size, theme) = (sheet.size, sheet.theme);
    let wire = (at.0 * 0.42).min(size * 1.6);
    let field = wire * 1.62;
    sheet.scene.disc(at, wire, theme.skin);
    let edge = Ink::solid(theme.edge, theme.line_scale);
    sheet.scene.line(circle(at, wire), edge);
    for (line, text) in END_ON.into_iter().enumerate() {
        let below = (at.0, at.1 + field + size * (1.1 + 1.2 * line as f64));
        sheet
            .scene
            .write(below, text, size, Anchor::Middle, theme.quiet);
    }
    if !running {
        return;
    }
    sign(&mut sheet.scene, at, wire * 0.4, positive, theme.current);
    let turn = if positive { 1.0 } else { -1.0 };
    let ink = Ink::solid(theme.field, 2.0 * theme.line_scale);
    sheet.scene.line(arc(at, field, 0.4, turn * 5.6), ink);
    let head = 0.4 + turn * 6.1;
    let back = head - turn * (size * 0.8 / field).min(0.9);
    let ring = (at, field);
    arc_head(
        &mut sheet.scene,
        ring,
        (back, head),
        size * 0.4,
        theme.field,
    );
}

fn captions(sheet: &mut Sheet, inside: &Wire, shown: bool) {
    let words = sheet.theme.words;
    let current = show(inside.current, "A", 3);
    let wordings = [
        format!("current along the wire: {current}"),
        format!("wire current: {current}"),
    ];
    sheet.caption(2.0, &wordings, words);
    if !shown {
        let wordings = [
            "dashed: what the field threads between the contacts".to_owned(),
            "dashed: what the field threads".to_owned(),
        ];
        sheet.caption(1.0, &wordings, words);
        return;
    }
    let flux = flux_words(inside.flux);
    let wordings = [
        format!("flux in the dashed strip: {flux}, each sign \u{bc} \u{3a6}\u{2080}"),
        format!("flux in the dashed strip: {flux}"),
        format!("flux {flux}"),
    ];
    sheet.caption(1.0, &wordings, words);
    let sum = number(inside.resultant, 2);
    let wordings = [
        format!("critical current: {sum} of the largest"),
        format!("critical current: {sum}"),
    ];
    sheet.caption(0.0, &wordings, words);
}

/// The picture in words.
pub(super) fn describe(inside: &Wire, show_sum: bool) -> String {
    let current = show(inside.current, "A", 3);
    let start = format!(
        "A wire frozen in solder, cut along its middle, touches the solder at two places {} apart. A current of {current} runs along it, and its field of {} at the surface runs round it.",
        show(inside.spacing, "m", 3),
        show(inside.field, "T", 3)
    );
    if !show_sum {
        return format!(
            "{start} It threads the strip between the contacts; how much is not shown yet."
        );
    }
    format!(
        "{start} It threads the strip between the contacts, {} deep: the flux there is {}. At the critical current the left contact carries {} and the right one {} of the largest sum; together {}.",
        show(inside.depth, "m", 3),
        flux_words(inside.flux),
        number(inside.contacts.0, 2),
        number(inside.contacts.1, 2),
        number(inside.resultant, 2)
    )
}
