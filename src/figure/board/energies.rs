//! The energy of each flux state against the applied flux: one parabola for each whole number of
//! quanta, and a ball in the occupied one.

use crate::experiment::Inside;
use crate::figure::clip;
use crate::figure::frame::Frame;
use crate::figure::scene::{Anchor, Colour, Ink, Scene, words_width};
use crate::figure::theme::Theme;
use crate::figure::ticks::{number, ticks};
use crate::numerics::order::within;

use super::{BoardOptions, Sheet, flux_words};

/// Highest energy shown, in units of half a flux quantum squared over the inductance.
const TOP: f64 = 1.35;

/// Half the range of applied flux shown.
const HALF_RANGE: f64 = 1.9;

/// The picture.
pub(super) fn scene(inside: &Inside, options: &BoardOptions) -> Scene {
    let mut sheet = Sheet::new(options, "energies of the flux states");
    let Inside::Loop { flux, occupied, .. } = inside else {
        return sheet.scene;
    };
    let (size, theme) = (sheet.size, sheet.theme);
    let flux = if flux.is_finite() { *flux } else { 0.0 };
    // The window stands still near zero and follows a far flux in whole quanta.
    let shift = if flux.abs() <= 1.75 {
        0.0
    } else {
        flux.round()
    };
    let window = (shift - HALF_RANGE, shift + HALF_RANGE);
    let frame = sheet.frame(window, (-0.09, TOP), 4.4);
    sheet.plate(&frame);
    let marks = ticks(frame.x.0, frame.x.1, 5, true);
    for &x in &marks.major {
        let at = frame.to_px((x, 0.0)).0;
        sheet.scene.line(
            vec![(at, frame.top), (at, frame.bottom)],
            Ink::solid(theme.grid, 1.0),
        );
    }
    let first = (shift - HALF_RANGE - 0.95).ceil() as i32;
    let last = (shift + HALF_RANGE + 0.95).floor() as i32;
    for quanta in first..=last {
        parabola(&mut sheet, &frame, quanta, flux);
    }
    sheet.foot(&frame);
    for (&x, word) in marks.major.iter().zip(&marks.words) {
        let at = (frame.to_px((x, 0.0)).0, frame.bottom + size * 0.95);
        sheet
            .scene
            .write(at, word.clone(), size, Anchor::Middle, theme.words);
    }
    sheet.name_axes(&frame, "applied flux (\u{3a6}\u{2080})", "energy");
    let at = frame.to_px((flux, 0.0)).0;
    sheet.scene.line(
        vec![(at, frame.top), (at, frame.bottom)],
        Ink::solid(theme.cursor, 1.5 * theme.line_scale),
    );
    let words = flux_words(flux);
    let wide = words_width(&words, size) * 0.5;
    let words_at = (within(at, wide, sheet.width - wide), frame.top - size * 0.9);
    let cursor = theme.cursor;
    sheet
        .scene
        .write(words_at, words, size, Anchor::Middle, cursor);
    for quanta in first..=last {
        name(&mut sheet, &frame, quanta);
    }
    if options.show_sum {
        let energy = (flux - f64::from(*occupied)) * (flux - f64::from(*occupied));
        let ball = frame.to_px((flux, energy));
        let radius = size * 0.52;
        if energy <= TOP {
            sheet.scene.disc(ball, radius + 1.5, theme.plot);
            sheet.scene.disc(ball, radius, theme.counter);
            sheet.scene.disc(
                (ball.0 - radius * 0.3, ball.1 - radius * 0.3),
                radius * 0.26,
                theme.plot,
            );
        }
        let state = quanta_words(*occupied);
        let wordings = [
            format!("occupied: the state with {state}"),
            format!("occupied: {state}"),
        ];
        sheet.caption(0.0, &wordings, theme.words);
    }
    sheet.scene
}

/// One parabola with its number at the bottom, and a small ring where it meets the applied flux.
fn parabola(sheet: &mut Sheet, frame: &Frame, quanta: i32, flux: f64) {
    let theme = sheet.theme;
    let size = sheet.size;
    let n = f64::from(quanta);
    let points: Vec<(f64, f64)> = (-60..=60)
        .map(|step| {
            let away = f64::from(step) / 60.0 * 1.25;
            frame.to_px((n + away, away * away))
        })
        .collect();
    let shade = colour(&theme, quanta);
    for piece in clip::polyline(frame, &points) {
        sheet
            .scene
            .line(piece, Ink::solid(shade, 2.2 * theme.line_scale));
    }
    let at = frame.to_px((flux, (flux - n) * (flux - n)));
    if frame.contains_px(at) {
        sheet.scene.disc(at, size * 0.3, shade);
        sheet.scene.disc(at, size * 0.15, theme.plot);
    }
}

/// The number of each parabola's state, above its bottom, on a patch of paper.
fn name(sheet: &mut Sheet, frame: &Frame, quanta: i32) {
    let theme = sheet.theme;
    let size = sheet.size * 0.95;
    let (x, bottom) = frame.to_px((f64::from(quanta), 0.0));
    if x <= frame.left + size || x >= frame.right - size {
        return;
    }
    let name = format!("n = {}", number(f64::from(quanta), 0));
    let y = bottom - frame.height() * 0.27;
    let (wide, tall) = (words_width(&name, size) * 0.5 + size * 0.2, size * 0.7);
    sheet.scene.area(
        vec![
            (x - wide, y - tall),
            (x + wide, y - tall),
            (x + wide, y + tall),
            (x - wide, y + tall),
        ],
        theme.plot,
    );
    let shade = colour(&theme, quanta);
    sheet.scene.write((x, y), name, size, Anchor::Middle, shade);
}

/// Neighbouring states differ in colour.
fn colour(theme: &Theme, quanta: i32) -> Colour {
    if quanta.rem_euclid(2) == 0 {
        theme.current
    } else {
        theme.field
    }
}

/// A number of quanta in words.
fn quanta_words(quanta: i32) -> String {
    let count = number(f64::from(quanta), 0);
    if quanta.abs() == 1 {
        format!("{count} quantum")
    } else {
        format!("{count} quanta")
    }
}

/// The picture in words.
pub(super) fn describe(inside: &Inside, show_sum: bool) -> String {
    let Inside::Loop {
        flux,
        branches,
        occupied,
        ..
    } = inside
    else {
        return String::new();
    };
    let listed: Vec<String> = branches
        .iter()
        .filter(|branch| branch.energy <= TOP)
        .map(|branch| {
            format!(
                "{} at {}",
                quanta_words(branch.quanta),
                number(branch.energy, 2)
            )
        })
        .collect();
    let start = format!(
        "One parabola of energy for each whole number of flux quanta in the loop. The applied flux is {}.",
        flux_words(*flux)
    );
    if show_sum {
        format!(
            "{start} Energies there, in units of half a flux quantum squared over the inductance: {}. The state with {} is occupied.",
            listed.join(", "),
            quanta_words(*occupied)
        )
    } else {
        format!("{start} The occupied state is not shown yet.")
    }
}
