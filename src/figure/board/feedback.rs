//! The feedback loop: the sensor's voltage goes through an integrator to a coil that takes the applied flux away
//! again. Below it the place of the sensor on its curve of voltage against flux.

use crate::experiment::FeedbackLoop;
use crate::figure::frame::Frame;
use crate::figure::glyph;
use crate::figure::scene::{Anchor, Ink, Point, Scene, words_width};

use super::field::{arc, circle};
use super::graph::{in_units, prefixed};
use super::{BoardOptions, Sheet, flux_words};
use crate::quantity::show;

/// The picture.
pub(super) fn scene(inside: &FeedbackLoop, options: &BoardOptions) -> Scene {
    let mut sheet = Sheet::new(options, "feedback that holds a loop at its working point");
    let (size, theme) = (sheet.size, sheet.theme);
    let shown = |value: f64| {
        if options.show_sum {
            flux_words(value)
        } else {
            "?".to_owned()
        }
    };
    // The blocks.
    let radius = (sheet.height * 0.085).min(sheet.width * 0.08);
    // On a narrow sheet the two fluxes above stand one below the other. Both this and the place of
    // the box follow from the widest numbers, so that nothing moves with the cursor.
    let widest = words_width(
        "applied \u{2212}88.88 \u{3a6}\u{2080}output \u{2212}88.88 \u{3a6}\u{2080}",
        size,
    );
    let is_narrow = widest + size * 2.6 > sheet.width;
    let top = size * if is_narrow { 3.4 } else { 2.2 };
    let sensor = (size * 1.6 + radius, top + radius);
    let wire = Ink::solid(theme.words, 1.6 * theme.line_scale);
    let name = "integrator";
    let half_box = words_width(name, size) * 0.5 + size * 0.5;
    let right = sheet.width - size * 1.2;
    let middle = ((sensor.0 + radius + right) * 0.5 + size * 0.3)
        .max(sensor.0 + radius + words_width("\u{2212}88.8 \u{b5}V", size) + half_box + size * 0.4)
        .min(right - half_box - size * 0.6);
    let level = sensor.1;
    let coil = (sensor.0, sensor.1 + radius + size * 1.7);
    let half_tall = size * 1.1;
    // The way round: sensor, integrator, corner, coil.
    let from = (sensor.0 + radius, level);
    glyph::arrow(
        &mut sheet.scene,
        from,
        (middle - half_box, level),
        1.6 * theme.line_scale,
        theme.words,
    );
    let block = vec![
        (middle - half_box, level - half_tall),
        (middle + half_box, level - half_tall),
        (middle + half_box, level + half_tall),
        (middle - half_box, level + half_tall),
        (middle - half_box, level - half_tall),
    ];
    sheet.scene.area(block.clone(), theme.plot);
    sheet
        .scene
        .line(block, Ink::solid(theme.edge, 1.4 * theme.line_scale));
    sheet
        .scene
        .write((middle, level), name, size, Anchor::Middle, theme.words);
    let half_coil = radius * 0.9;
    sheet.scene.line(
        vec![
            (middle + half_box, level),
            (right, level),
            (right, coil.1),
            (coil.0 + half_coil + size * 2.0, coil.1),
        ],
        wire,
    );
    glyph::arrow(
        &mut sheet.scene,
        (coil.0 + half_coil + size * 2.2, coil.1),
        (coil.0 + half_coil, coil.1),
        1.6 * theme.line_scale,
        theme.words,
    );
    draw_coil(&mut sheet, coil, half_coil);
    draw_sensor(&mut sheet, sensor, radius);
    // Fluxes into the sensor: the applied one from above, the coil's from below.
    glyph::arrow(
        &mut sheet.scene,
        (sensor.0, sensor.1 - radius - size * 0.3),
        (sensor.0, sensor.1 - radius * 0.15),
        size * 0.3,
        theme.field,
    );
    glyph::arrow(
        &mut sheet.scene,
        (sensor.0, coil.1 - size * 0.5),
        (sensor.0, sensor.1 + radius * 0.15),
        size * 0.3,
        theme.counter,
    );
    let start = size * 0.8;
    let applied = format!("applied {}", flux_words(inside.applied));
    sheet
        .scene
        .write((start, size), applied, size, Anchor::Start, theme.field);
    let output = format!("output {}", shown(inside.output));
    let beside = (right, size * if is_narrow { 2.3 } else { 1.0 });
    sheet
        .scene
        .write(beside, output, size, Anchor::End, theme.words);
    let voltage = if options.show_sum {
        show(inside.voltage, "V", 3)
    } else {
        "voltage".to_owned()
    };
    let over_wire = (0.5 * (from.0 + middle - half_box), level - size * 0.8);
    sheet
        .scene
        .write(over_wire, voltage, size, Anchor::Middle, theme.words);
    let feedback = format!("feedback {}", shown(-inside.output));
    sheet.scene.write(
        (right - size * 0.4, coil.1 - size * 0.8),
        feedback,
        size,
        Anchor::End,
        theme.counter,
    );
    curve(&mut sheet, inside, coil.1 + size * 1.2, options.show_sum);
    let left_over = format!("left over: {}", shown(inside.error));
    let at = show(inside.time, "s", 3);
    let wordings = [format!("{left_over}, at {at}"), left_over];
    sheet.caption(0.0, &wordings, theme.words);
    sheet.scene
}

/// The loop with its two junctions, as a ring with two crosses.
fn draw_sensor(sheet: &mut Sheet, at: Point, radius: f64) {
    let theme = sheet.theme;
    let wide = (radius * 0.22).clamp(3.0, 9.0);
    let rim = Ink::solid(theme.edge, wide + 2.0 * theme.line_scale);
    sheet.scene.line(circle(at, radius), rim);
    sheet
        .scene
        .line(circle(at, radius), Ink::solid(theme.metal, wide));
    let ink = Ink::solid(theme.words, (wide * 0.3).max(1.6));
    for side in [-1.0, 1.0] {
        let x = at.0 + side * radius;
        let reach = wide * 0.85;
        for turn in [-1.0, 1.0] {
            sheet.scene.line(
                vec![
                    (x - reach, at.1 - turn * reach),
                    (x + reach, at.1 + turn * reach),
                ],
                ink.clone(),
            );
        }
    }
}

/// A coil from the side: three arches.
pub(super) fn draw_coil(sheet: &mut Sheet, at: Point, half: f64) {
    let ink = Ink::solid(sheet.theme.words, 1.8 * sheet.theme.line_scale);
    let turn = half / 3.0;
    for index in [-2.0, 0.0, 2.0] {
        let middle = (at.0 + index * turn, at.1);
        sheet
            .scene
            .line(arc(middle, turn, 0.0, std::f64::consts::PI), ink.clone());
    }
}

/// Voltage against flux, the working point, and where the sensor is.
fn curve(sheet: &mut Sheet, inside: &FeedbackLoop, top: f64, shown: bool) {
    let (size, theme) = (sheet.size, sheet.theme);
    let across = match (inside.curve.first(), inside.curve.last()) {
        (Some(first), Some(last)) if shown && first.0 < last.0 => (first.0, last.0),
        _ => {
            let whole = inside.working_flux.floor();
            (whole - 0.25, whole + 1.25)
        }
    };
    let voltages = || {
        let values = inside.curve.iter().map(|point| point.1);
        values.filter(|value| value.is_finite())
    };
    let most = voltages().fold(0.0, |most: f64, value| most.max(value.abs()));
    let (volt, _) = prefixed(most, "V");
    let (low, high) = voltages().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
        (low.min(value), high.max(value))
    });
    let levels = if shown && low < high {
        let room = 0.15 * (high - low);
        ((low - room) / volt, (high + 1.6 * room) / volt)
    } else {
        (0.0, 1.0)
    };
    let mut frame = sheet.frame(across, levels, 4.9);
    frame.top = top;
    if frame.bottom - frame.top < size {
        return;
    }
    sheet.plate(&frame);
    sheet.flux_marks(&frame);
    // Both axes are named below: within the frame, which may be low, the curve would run through the words.
    let name = [
        "voltage against flux in the loop (\u{3a6}\u{2080})",
        "voltage against flux (\u{3a6}\u{2080})",
    ]
    .into_iter()
    .find(|name| words_width(name, size) <= frame.right - size)
    .unwrap_or("voltage, flux");
    let words = (frame.right, frame.bottom + size * 2.2);
    sheet
        .scene
        .write(words, name, size, Anchor::End, theme.words);
    if shown {
        let ink = Ink::solid(theme.computed, 2.2 * theme.line_scale);
        sheet.curve(&frame, &in_units(&inside.curve, 1.0, volt), &ink);
    }
    sheet.foot(&frame);
    held(sheet, &frame, inside, volt, shown);
}

/// The flux at which the loop is to be held, and where it is.
fn held(sheet: &mut Sheet, frame: &Frame, inside: &FeedbackLoop, volt: f64, shown: bool) {
    let (size, theme) = (sheet.size, sheet.theme);
    let x = frame.to_px((inside.working_flux, 0.0)).0;
    if x >= frame.left && x <= frame.right {
        sheet.scene.line(
            vec![(x, frame.top), (x, frame.bottom)],
            Ink::solid(theme.cursor, 1.5 * theme.line_scale).dashed(&[5.0, 4.0]),
        );
    }
    if !shown {
        return;
    }
    let wanted = frame.to_px((inside.working_flux, inside.held / volt));
    if frame.contains_px(wanted) {
        let ring = circle(wanted, size * 0.5);
        sheet
            .scene
            .line(ring, Ink::solid(theme.cursor, 1.8 * theme.line_scale));
    }
    let flux = inside.working_flux + inside.error;
    let at = frame.to_px((flux, inside.voltage / volt));
    if frame.contains_px(at) {
        sheet.scene.disc(at, size * 0.36, theme.counter);
    }
}

/// The picture in words.
pub(super) fn describe(inside: &FeedbackLoop, show_sum: bool) -> String {
    let start = format!(
        "A loop whose voltage goes through an integrator to a coil at the loop. At {} the applied flux is {}; the loop is to be held at {}.",
        show(inside.time, "s", 3),
        flux_words(inside.applied),
        flux_words(inside.working_flux)
    );
    if !show_sum {
        return format!("{start} What the feedback does is not shown yet.");
    }
    let slipped = inside.error.round();
    let slip = if slipped.abs() < 0.5 {
        ""
    } else {
        " It has left its working point for another period of the curve."
    };
    format!(
        "{start} The feedback takes away {}, which is the output; {} is left over, and the voltage is {} where {} is wanted.{slip}",
        flux_words(inside.output),
        flux_words(inside.error),
        show(inside.voltage, "V", 3),
        show(inside.held, "V", 3)
    )
}
