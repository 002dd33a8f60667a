//! The current-voltage curve of a loop at the applied flux, between its two extremes, and the bias as an
//! upright line: where they cross the voltage is read off.

use crate::experiment::OperatingPoint;
use crate::figure::frame::Frame;
use crate::figure::scene::{Anchor, Colour, Ink, Scene, words_width};

use super::graph::{in_units, prefixed};
use super::{BoardOptions, Sheet, flux_words};
use crate::quantity::show;

/// The curves are shown up to this bias, as a share of the largest critical current, as long as the bias
/// itself stays within it.
const SHOWN: f64 = 1.5;

/// The picture.
pub(super) fn scene(inside: &OperatingPoint, options: &BoardOptions) -> Scene {
    let mut sheet = Sheet::new(options, "voltage against bias current, with the bias on it");
    let (size, theme) = (sheet.size, sheet.theme);
    let near = SHOWN * inside.largest;
    let end = if inside.bias.abs() <= near {
        near.copysign(inside.end)
    } else {
        inside.end
    };
    // No curve is above that of the shunts alone.
    let volts = inside.resistance * end;
    if !(volts.is_finite() && volts.abs() > 0.0) {
        return sheet.scene;
    }
    let ((ampere, amperes), (volt, volts_name)) = (prefixed(end, "A"), prefixed(volts, "V"));
    let range = |end: f64| if end < 0.0 { (end, 0.0) } else { (0.0, end) };
    let frame = sheet.numbered_frame(range(end / ampere), range(volts / volt), 5.6);
    sheet.plate(&frame);
    sheet.marks(&frame, false);
    sheet.level_marks(&frame);
    let shunts = [(0.0, 0.0), (end / ampere, inside.resistance * end / volt)];
    let ink = Ink::solid(theme.quiet, 1.3 * theme.line_scale).dashed(&[2.0, 4.0]);
    sheet.curve(&frame, &shunts, &ink);
    sheet.foot(&frame);
    sheet.name_axes(
        &frame,
        &format!("bias current ({amperes})"),
        &format!("voltage ({volts_name})"),
    );
    if options.show_sum {
        let scale = theme.line_scale;
        for (curve, colour, dash) in [
            (&inside.whole, theme.current, [9.0, 4.0]),
            (&inside.half, theme.counter, [3.0, 3.0]),
        ] {
            let ink = Ink::solid(colour, 1.8 * scale).dashed(&dash);
            sheet.curve(&frame, &in_units(curve, ampere, volt), &ink);
        }
        extremes(&mut sheet, inside, &frame, (ampere, volt));
        let ink = Ink::solid(theme.computed, 3.0 * scale);
        sheet.curve(&frame, &in_units(&inside.curve, ampere, volt), &ink);
    }
    let bias = show(inside.bias, "A", 3);
    sheet.cursor_line(&frame, inside.bias / ampere, &format!("bias {bias}"));
    let flux = flux_words(inside.flux);
    let mut voltage = "?".to_owned();
    if options.show_sum {
        read_off(
            &mut sheet,
            &frame,
            (inside.bias / ampere, inside.voltage / volt),
        );
        voltage = show(inside.voltage, "V", 3);
    }
    let wordings = [
        format!("applied flux {flux}: the thick line"),
        format!("applied flux {flux}"),
    ];
    let wordings = if options.show_sum {
        &wordings[..]
    } else {
        &wordings[1..]
    };
    sheet.caption(1.0, wordings, theme.words);
    let noise = if inside.leaves_noise_out {
        ", without noise"
    } else {
        ""
    };
    sheet.caption(0.0, &[format!("voltage: {voltage}{noise}")], theme.words);
    if !options.show_sum {
        let at = frame.to_px((inside.bias / ampere, 0.5 * volts / volt));
        let x = at.0.min(frame.right - size * 2.0) + size * 1.2;
        sheet
            .scene
            .write((x, at.1), "?", size * 1.8, Anchor::Middle, theme.quiet);
    }
    sheet.scene
}

/// The names of the two extremes, beside the curves where they rise.
fn extremes(sheet: &mut Sheet, inside: &OperatingPoint, frame: &Frame, units: (f64, f64)) {
    let (size, theme) = (sheet.size, sheet.theme);
    let side = if inside.end < 0.0 { -1.0 } else { 1.0 };
    let level = |share: f64| share * (frame.y.0 + frame.y.1) * units.1;
    let mut name =
        |curve: &[(f64, f64)], share: f64, words: &str, outwards: f64, colour: Colour| {
            let level = level(share);
            let Some(point) = curve.iter().find(|point| point.1.abs() >= level.abs()) else {
                return;
            };
            let at = frame.to_px((point.0 / units.0, point.1 / units.1));
            let anchor = if outwards > 0.0 {
                Anchor::Start
            } else {
                Anchor::End
            };
            let x = at.0 + outwards * size * 0.5;
            let far = x + outwards * (words_width(words, size) + size * 0.2);
            let tall = size * 0.7;
            sheet.scene.area(
                vec![
                    (x, at.1 - tall),
                    (far, at.1 - tall),
                    (far, at.1 + tall),
                    (x, at.1 + tall),
                ],
                theme.plot,
            );
            sheet.scene.write((x, at.1), words, size, anchor, colour);
        };
    let whole = "n \u{3a6}\u{2080}";
    let half = "(n+\u{bd}) \u{3a6}\u{2080}";
    name(&inside.whole, 0.13, whole, side, theme.current);
    name(&inside.half, 0.25, half, -side, theme.counter);
}

/// The crossing, and the way from it to the voltage at the left.
fn read_off(sheet: &mut Sheet, frame: &Frame, point: (f64, f64)) {
    let (size, theme) = (sheet.size, sheet.theme);
    let at = frame.to_px(point);
    if !frame.contains_px(at) {
        return;
    }
    let ink = Ink::solid(theme.computed, 1.5 * theme.line_scale).dashed(&[5.0, 4.0]);
    sheet.scene.line(vec![(frame.left, at.1), at], ink);
    let tip = size * 0.4;
    sheet.scene.area(
        vec![
            (frame.left, at.1),
            (frame.left + tip * 1.4, at.1 - tip),
            (frame.left + tip * 1.4, at.1 + tip),
        ],
        theme.computed,
    );
    sheet.scene.disc(at, size * 0.45, theme.cursor);
    sheet.scene.disc(at, size * 0.22, theme.plot);
}

/// The picture in words.
pub(super) fn describe(inside: &OperatingPoint, show_sum: bool) -> String {
    let bias = show(inside.bias, "A", 3);
    let flux = flux_words(inside.flux);
    let start = format!(
        "Voltage upwards against bias current across. A line stands at the bias of {bias}; the applied flux is {flux}."
    );
    if !show_sum {
        return format!("{start} The curve of the loop is not shown yet.");
    }
    let read = |curve: &[(f64, f64)]| show(at_bias(curve, inside.bias), "V", 3);
    let noise = if inside.leaves_noise_out {
        " Noise is left out."
    } else {
        ""
    };
    format!(
        "{start} The curve at this flux meets the line at {}. The two extremes meet it at {} for a whole number of quanta and at {} for a half quantum more.{noise}",
        show(inside.voltage, "V", 3),
        read(&inside.whole),
        read(&inside.half),
    )
}

/// The voltage on a curve at a bias.
fn at_bias(curve: &[(f64, f64)], bias: f64) -> f64 {
    let after = curve.partition_point(|point| point.0.abs() < bias.abs());
    let (Some(b), Some(a)) = (curve.get(after), curve.get(after.saturating_sub(1))) else {
        return f64::NAN;
    };
    if after == 0 {
        return b.1;
    }
    a.1 + (b.1 - a.1) * (bias - a.0) / (b.0 - a.0)
}
