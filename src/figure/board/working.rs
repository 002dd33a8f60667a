//! The voltage of a loop against flux, with its working point: the slope there, and the noise of the voltage as a
//! band that the slope turns into a band of flux.

use crate::experiment::WorkingPoint;
use crate::figure::clip;
use crate::figure::frame::Frame;
use crate::figure::scene::{Anchor, Colour, Ink, Item, Scene};
use crate::numerics::order::within;

use super::graph::{in_units, prefixed};
use super::{BoardOptions, Sheet, flux_words};
use crate::quantity::show;

/// The noise is shown in so wide a band of frequencies, a power of ten, that at its loudest it is at most this share of the
/// voltage's swing.
const LOUDEST: f64 = 0.2;

/// A slope that would need more than this many quanta for the whole swing is none.
const FLAT: f64 = 20.0;

/// What is drawn of the noise.
struct Noise {
    /// The bandwidth, Hz.
    bandwidth: f64,
    /// Its root mean square, V.
    voltage: f64,
    /// The same in flux quanta; none where the voltage does not answer to flux.
    flux: Option<f64>,
}

/// Largest less smallest voltage.
fn swing(inside: &WorkingPoint) -> f64 {
    let (least, most) = ends(&inside.curve);
    most - least
}

fn ends(curve: &[(f64, f64)]) -> (f64, f64) {
    curve
        .iter()
        .map(|point| point.1)
        .filter(|voltage| voltage.is_finite())
        .fold(
            (f64::INFINITY, f64::NEG_INFINITY),
            |(least, most), value| (least.min(value), most.max(value)),
        )
}

fn noise(inside: &WorkingPoint) -> Option<Noise> {
    let swing = swing(inside);
    if !(inside.noise > 0.0 && inside.noisiest > 0.0 && swing > 0.0 && swing.is_finite()) {
        return None;
    }
    let most = LOUDEST * swing / inside.noisiest;
    let most = most * most;
    let mut bandwidth = 1.0;
    while bandwidth * 10.0 <= most && bandwidth < 1e15 {
        bandwidth *= 10.0;
    }
    while bandwidth > most && bandwidth > 1e-9 {
        bandwidth /= 10.0;
    }
    let voltage = inside.noise * bandwidth.sqrt();
    let slopes = inside.transfer.abs() * FLAT > swing;
    Some(Noise {
        bandwidth,
        voltage,
        flux: slopes.then_some(voltage / inside.transfer.abs()),
    })
}

/// The picture.
pub(super) fn scene(inside: &WorkingPoint, options: &BoardOptions) -> Scene {
    let mut sheet = Sheet::new(options, "working point on voltage against flux");
    let theme = sheet.theme;
    let (least, most) = ends(&inside.curve);
    let across = match (inside.curve.first(), inside.curve.last()) {
        (Some(first), Some(last)) if first.0 < last.0 => (first.0, last.0),
        _ => return sheet.scene,
    };
    let size_of = least.abs().max(most.abs());
    if !(options.show_sum && size_of.is_finite() && size_of > 0.0) {
        return empty(sheet, inside, across);
    }
    let (volt, volts) = prefixed(size_of, "V");
    let room = 0.16 * (most - least).max(0.01 * size_of);
    let levels = ((least - room) / volt, (most + room) / volt);
    let frame = sheet.numbered_frame(across, levels, 7.0);
    sheet.plate(&frame);
    sheet.flux_marks(&frame);
    sheet.level_marks(&frame);
    sheet.foot(&frame);
    let noise = noise(inside);
    if let Some(noise) = &noise {
        bands(&mut sheet, &frame, inside, noise, volt);
    }
    let ink = Ink::solid(theme.computed, 2.6 * theme.line_scale);
    sheet.curve(&frame, &in_units(&inside.curve, 1.0, volt), &ink);
    tangent(&mut sheet, &frame, inside, volt);
    sheet.name_axes(
        &frame,
        "applied flux (\u{3a6}\u{2080})",
        &format!("voltage ({volts})"),
    );
    sheet.flux_line(&frame, inside.flux, "flux");
    let at = frame.to_px((inside.flux, inside.voltage / volt));
    if frame.contains_px(at) {
        let size = sheet.size;
        sheet.scene.disc(at, size * 0.45, theme.cursor);
        sheet.scene.disc(at, size * 0.22, theme.plot);
    }
    words(&mut sheet, inside, noise.as_ref());
    sheet.scene
}

/// Before the curve may be shown: the axes and the flux.
fn empty(mut sheet: Sheet, inside: &WorkingPoint, across: (f64, f64)) -> Scene {
    let (size, theme) = (sheet.size, sheet.theme);
    let frame = sheet.frame(across, (0.0, 1.0), 7.0);
    sheet.plate(&frame);
    sheet.flux_marks(&frame);
    sheet.foot(&frame);
    sheet.name_axes(&frame, "applied flux (\u{3a6}\u{2080})", "voltage");
    sheet.flux_line(&frame, inside.flux, "flux");
    let at = frame.to_px((inside.flux, 0.5));
    let x = at.0.min(frame.right - size * 2.0) + size * 1.2;
    sheet
        .scene
        .write((x, at.1), "?", size * 1.8, Anchor::Middle, theme.quiet);
    let bias = format!("bias {}", show(inside.bias, "A", 3));
    sheet.caption(0.0, &[bias], theme.words);
    sheet.scene
}

/// The slope at the working point, as a straight line over a good part of the picture.
fn tangent(sheet: &mut Sheet, frame: &Frame, inside: &WorkingPoint, volt: f64) {
    let theme = sheet.theme;
    let reach = 0.3;
    let end = |side: f64| {
        (
            inside.flux + side * reach,
            (inside.voltage + side * reach * inside.transfer) / volt,
        )
    };
    let ink = Ink::solid(theme.counter, 2.2 * theme.line_scale).dashed(&[10.0, 4.0]);
    sheet.curve(frame, &[end(-1.0), end(1.0)], &ink);
}

/// The noise as a band of voltage from the left to the tangent, and from there as a band of flux down.
fn bands(sheet: &mut Sheet, frame: &Frame, inside: &WorkingPoint, noise: &Noise, volt: f64) {
    let theme = sheet.theme;
    let (low, high) = (
        (inside.voltage - noise.voltage) / volt,
        (inside.voltage + noise.voltage) / volt,
    );
    let Some(flux) = noise.flux else {
        let right = frame.x.1;
        let corners = [
            (frame.x.0, low),
            (right, low),
            (right, high),
            (frame.x.0, high),
        ];
        band(sheet, frame, &corners, theme.counter);
        return;
    };
    // Where the edges meet the tangent.
    let rises = inside.transfer > 0.0;
    let (at_low, at_high) = if rises {
        (inside.flux - flux, inside.flux + flux)
    } else {
        (inside.flux + flux, inside.flux - flux)
    };
    let corners = [
        (frame.x.0, low),
        (at_low, low),
        (at_high, high),
        (frame.x.0, high),
    ];
    band(sheet, frame, &corners, theme.counter);
    let corners = [
        (at_low, frame.y.0),
        (at_low, low),
        (at_high, high),
        (at_high, frame.y.0),
    ];
    band(sheet, frame, &corners, theme.field);
}

/// A tinted band; its edges, from the first corner to the second and from the third to the last, as lines.
fn band(sheet: &mut Sheet, frame: &Frame, corners: &[(f64, f64); 4], colour: Colour) {
    let hold = |(x, y): (f64, f64)| {
        let x = within(x, frame.x.0, frame.x.1);
        frame.to_px((x, within(y, frame.y.0, frame.y.1)))
    };
    let at = corners.map(hold);
    sheet.scene.items.push(Item::Area {
        points: at.to_vec(),
        colour,
        opacity: 0.22,
    });
    let ink = Ink::solid(colour, 1.4 * sheet.theme.line_scale);
    for edge in [[at[0], at[1]], [at[2], at[3]]] {
        for piece in clip::polyline(frame, &edge) {
            sheet.scene.line(piece, ink.clone());
        }
    }
}

/// What the picture says below: voltage and slope, the noise in both bands, the flux noise.
fn words(sheet: &mut Sheet, inside: &WorkingPoint, noise: Option<&Noise>) {
    let ink = sheet.theme.words;
    let voltage = show(inside.voltage, "V", 3);
    let slope = show(inside.transfer, "V/Phi0", 3);
    let wordings = [
        format!("voltage {voltage}, slope {slope}"),
        format!("slope {slope}"),
    ];
    sheet.caption(2.0, &wordings, ink);
    let Some(noise) = noise else {
        sheet.caption(1.0, &["no noise".to_owned()], ink);
        return;
    };
    let (band, volts) = (show(noise.bandwidth, "Hz", 1), show(noise.voltage, "V", 2));
    let Some(flux) = noise.flux else {
        let wordings = [
            format!("noise \u{b1}{volts} in {band}, and no slope:"),
            format!("noise \u{b1}{volts}, and no slope:"),
        ];
        sheet.caption(1.0, &wordings, ink);
        sheet.caption(0.0, &["it hides any change of flux".to_owned()], ink);
        return;
    };
    let flux = show(flux, "Phi0", 2);
    let wordings = [
        format!("noise in {band}: \u{b1}{volts} looks like \u{b1}{flux}"),
        format!("in {band}: \u{b1}{volts} looks like \u{b1}{flux}"),
        format!("\u{b1}{volts} looks like \u{b1}{flux}"),
    ];
    sheet.caption(1.0, &wordings, ink);
    let flux = show(inside.noise / inside.transfer.abs(), "Phi0/sqrt(Hz)", 2);
    sheet.caption(0.0, &[format!("flux noise {flux}")], ink);
}

/// The picture in words.
pub(super) fn describe(inside: &WorkingPoint, show_sum: bool) -> String {
    let start = format!(
        "Voltage against applied flux at a bias of {}. The flux is {}.",
        show(inside.bias, "A", 3),
        flux_words(inside.flux)
    );
    if !show_sum {
        return format!("{start} The curve is not shown yet.");
    }
    let place = format!(
        "{start} There the voltage is {} and its slope {}.",
        show(inside.voltage, "V", 3),
        show(inside.transfer, "V/Phi0", 3)
    );
    let Some(noise) = noise(inside) else {
        return format!("{place} There is no noise.");
    };
    let loud = format!(
        "{place} In a bandwidth of {} the voltage's noise is a band of {} to each side.",
        show(noise.bandwidth, "Hz", 1),
        show(noise.voltage, "V", 2)
    );
    match noise.flux {
        Some(flux) => format!(
            "{loud} Divided by the slope it is a band of flux of {} to each side; the flux noise is {}.",
            show(flux, "Phi0", 2),
            show(inside.noise / inside.transfer.abs(), "Phi0/sqrt(Hz)", 2)
        ),
        None => format!("{loud} Without a slope it hides any change of flux."),
    }
}
