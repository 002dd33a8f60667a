//! A loop with one junction, driven to and fro by the coil of a tank: the curve of total against applied
//! flux, and the way that one cycle takes on it. What it encloses is the energy that the loop takes.

use crate::experiment::{CurvePiece, Inside};
use crate::figure::clip;
use crate::figure::frame::Frame;
use crate::figure::scene::{Ink, Scene};
use crate::figure::ticks::number;

use super::{BoardOptions, Sheet, flux_words};

/// The picture.
pub(super) fn scene(inside: &Inside, options: &BoardOptions) -> Scene {
    let mut sheet = Sheet::new(
        options,
        "one rf cycle on the curve of total against applied flux",
    );
    let Inside::Tank {
        flux,
        swing,
        loops,
        on_step,
        curve,
        path,
        ..
    } = inside
    else {
        return sheet.scene;
    };
    let theme = sheet.theme;
    let (across, upwards) = extent(curve);
    let frame = sheet.frame(across, upwards, 5.6);
    sheet.plate(&frame);
    sheet.flux_marks(&frame);
    branches(&mut sheet, &frame, curve);
    sheet.foot(&frame);
    sheet.name_axes(&frame, "applied flux (\u{3a6}\u{2080})", "total flux");
    sheet.flux_line(&frame, *flux, "static");
    if options.show_sum {
        cycle(&mut sheet, &frame, path);
        swing_bar(&mut sheet, &frame, (*flux - *swing, *flux + *swing));
        let size = flux_words(*swing);
        let held = if *on_step { ", held at a step" } else { "" };
        let wordings = [
            format!("swing: {size} to each side{held}"),
            format!("swing: {size}{held}"),
            format!("swing: {size}"),
        ];
        sheet.caption(1.0, &wordings, theme.words);
        let wordings = [
            format!("hysteresis loops in a cycle: {}", number(*loops, 2)),
            format!("loops: {}", number(*loops, 2)),
        ];
        sheet.caption(0.0, &wordings, theme.words);
    }
    sheet.scene
}

/// All branches of the curve; those on which the loop cannot stay are dashed.
pub(super) fn branches(sheet: &mut Sheet, frame: &Frame, curve: &[CurvePiece]) {
    for (stable, points) in curve {
        let ink = Ink::solid(sheet.theme.current, 1.6 * sheet.theme.line_scale);
        let ink = if *stable {
            ink
        } else {
            ink.dashed(&[3.0, 3.0])
        };
        sheet.curve(frame, points, &ink);
    }
}

/// The way of one cycle on the branches.
pub(super) fn cycle(sheet: &mut Sheet, frame: &Frame, path: &[(f64, f64)]) {
    let ink = Ink::solid(sheet.theme.counter, 3.0 * sheet.theme.line_scale);
    sheet.curve(frame, path, &ink);
}

/// The ranges of applied and total flux of a curve.
pub(super) fn extent(curve: &[CurvePiece]) -> ((f64, f64), (f64, f64)) {
    let points = || {
        curve
            .iter()
            .flat_map(|(_, points)| points)
            .filter(|(applied, total)| applied.is_finite() && total.is_finite())
    };
    let ends = |value: fn(&(f64, f64)) -> f64| {
        let (least, most) = points().map(value).fold(
            (f64::INFINITY, f64::NEG_INFINITY),
            |(least, most), value| (least.min(value), most.max(value)),
        );
        if least < most {
            (least, most)
        } else {
            (-1.0, 1.0)
        }
    };
    let y = ends(|point| point.1);
    let room = 0.06 * (y.1 - y.0);
    (ends(|point| point.0), (y.0 - room, y.1 + room))
}

/// How far the drive swings the applied flux, along the lower edge.
fn swing_bar(sheet: &mut Sheet, frame: &Frame, ends: (f64, f64)) {
    let theme = sheet.theme;
    let tick = sheet.size * 0.4;
    let y = frame.bottom - sheet.size * 0.6;
    let (from, to) = (frame.to_px((ends.0, 0.0)).0, frame.to_px((ends.1, 0.0)).0);
    let ink = Ink::solid(theme.counter, 2.0 * theme.line_scale);
    for piece in [
        vec![(from, y), (to, y)],
        vec![(from, y - tick), (from, y + tick)],
        vec![(to, y - tick), (to, y + tick)],
    ] {
        if piece.iter().all(|(x, y)| x.is_finite() && y.is_finite()) {
            for kept in clip::polyline(frame, &piece) {
                sheet.scene.line(kept, ink.clone());
            }
        }
    }
}

/// The picture in words.
pub(super) fn describe(inside: &Inside, show_sum: bool) -> String {
    let Inside::Tank {
        flux,
        swing,
        loops,
        on_step,
        ..
    } = inside
    else {
        return String::new();
    };
    let start = format!(
        "Total against applied flux of the loop. The coil swings the applied flux round a static {}.",
        flux_words(*flux)
    );
    if !show_sum {
        return format!("{start} How far it swings is not shown yet.");
    }
    let held = if *on_step {
        " The swing is held at a step."
    } else {
        ""
    };
    format!(
        "{start} It swings by {} to each side and passes round {} hysteresis loops in a cycle, on average.{held}",
        flux_words(*swing),
        number(*loops, 2)
    )
}
