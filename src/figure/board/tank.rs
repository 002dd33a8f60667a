//! The loop with one junction beside the coil of its tank: applied flux, circulating current, the drive; and below
//! the branch of total against applied flux that is occupied.

use crate::experiment::Inside;
use crate::figure::glyph;
use crate::figure::scene::{Anchor, Ink, Point, Scene};
use crate::figure::ticks::number;

use super::field::{arc, arc_head, circle, signs_in_hole};
use super::graph::in_units;
use super::swing::{branches, cycle, extent};
use super::{BoardOptions, Sheet, flux_words};
use crate::quantity::show;

/// What is drawn, whichever set-up it comes from.
struct Shown<'i> {
    flux: f64,
    /// Current that drives the tank, if there is one.
    drive: Option<f64>,
    /// Circulating current, when it stands still.
    circulating: Option<f64>,
    curve: &'i [(bool, Vec<(f64, f64)>)],
    /// Applied and total flux of the state, risen and fallen.
    states: [Option<(f64, f64)>; 2],
}

fn shown(inside: &Inside) -> Option<Shown<'_>> {
    match inside {
        Inside::RfLoop {
            flux,
            rising,
            falling,
            circulating_rising,
            curve,
            ..
        } => {
            let one = (rising.0 - falling.0).abs() < 1e-6;
            Some(Shown {
                flux: *flux,
                drive: None,
                circulating: Some(*circulating_rising),
                curve,
                states: [
                    Some((*flux, rising.0)),
                    (!one).then_some((*flux, falling.0)),
                ],
            })
        }
        Inside::Tank {
            flux, drive, curve, ..
        } => Some(Shown {
            flux: *flux,
            drive: Some(*drive),
            circulating: None,
            curve,
            states: [None, None],
        }),
        _ => None,
    }
}

/// The picture.
pub(super) fn scene(inside: &Inside, options: &BoardOptions) -> Scene {
    let mut sheet = Sheet::new(options, "a loop with one junction beside a tank coil");
    let Some(shown) = shown(inside) else {
        return sheet.scene;
    };
    let size = sheet.size;
    let below = 6.3;
    let bottom = sheet.height - size * below;
    let circuit = (bottom - size * 1.6) * 0.46;
    let radius = (circuit * 0.42).min(sheet.width * 0.16);
    let level = size * 1.9 + circuit * 0.45;
    let ring = (sheet.width * 0.66, level);
    tank(&mut sheet, &shown, ring, radius);
    draw_ring(&mut sheet, &shown, ring, radius, options.show_sum);
    graph(
        &mut sheet,
        inside,
        &shown,
        (level + circuit * 0.5 + size * 0.7, below),
        options.show_sum,
    );
    captions(&mut sheet, inside, options.show_sum);
    sheet.scene
}

/// The coil with its capacitor, the drive, and the flux that couples coil and loop.
fn tank(sheet: &mut Sheet, shown: &Shown<'_>, ring: Point, radius: f64) {
    let (size, theme) = (sheet.size, sheet.theme);
    let wire = Ink::solid(theme.words, 1.8 * theme.line_scale);
    let coil = ring.0 - radius * 2.1;
    let plate = coil - radius * 1.6;
    let (top, bottom) = (ring.1 - radius, ring.1 + radius);
    // The coil: half turns that open to the loop.
    let turns = 4.0;
    let turn = (bottom - top) / (2.0 * turns);
    for index in 0..4_u8 {
        let middle = (coil, top + turn * (2.0 * f64::from(index) + 1.0));
        let half_turn = arc(
            middle,
            turn,
            std::f64::consts::FRAC_PI_2,
            -std::f64::consts::PI,
        );
        sheet.scene.line(half_turn, wire.clone());
    }
    // The capacitor in parallel.
    let gap = size * 0.28;
    for piece in [
        vec![(coil, top), (plate, top), (plate, ring.1 - gap)],
        vec![(coil, bottom), (plate, bottom), (plate, ring.1 + gap)],
        vec![
            (plate - size * 0.8, ring.1 - gap),
            (plate + size * 0.8, ring.1 - gap),
        ],
        vec![
            (plate - size * 0.8, ring.1 + gap),
            (plate + size * 0.8, ring.1 + gap),
        ],
    ] {
        sheet.scene.line(piece, wire.clone());
    }
    let words = theme.words;
    let name = (0.5 * (coil + plate), bottom + size * 0.95);
    sheet.scene.write(name, "tank", size, Anchor::Middle, words);
    // Flux from the coil into the loop.
    for offset in [-0.45, 0.45] {
        let y = ring.1 + radius * offset;
        glyph::arrow(
            &mut sheet.scene,
            (coil + turn + size * 0.3, y),
            (ring.0 - radius * 1.12, y),
            size * 0.2,
            theme.field,
        );
    }
    if let Some(drive) = shown.drive {
        glyph::arrow(
            &mut sheet.scene,
            (plate - size * 2.6, top),
            (plate - size * 0.2, top),
            size * 0.26,
            theme.current,
        );
        let text = format!("drive {}", show(drive, "A", 3));
        sheet
            .scene
            .write((size * 0.8, size), text, size, Anchor::Start, theme.current);
    }
}

/// The loop: its junction, the applied flux in it, and the current round it.
fn draw_ring(sheet: &mut Sheet, shown: &Shown<'_>, at: Point, radius: f64, with_current: bool) {
    let (size, theme) = (sheet.size, sheet.theme);
    let wide = (radius * 0.2).clamp(4.0, 12.0);
    let rim = Ink::solid(theme.edge, wide + 2.0 * theme.line_scale);
    sheet.scene.line(circle(at, radius), rim);
    sheet
        .scene
        .line(circle(at, radius), Ink::solid(theme.metal, wide));
    let cross = Ink::solid(theme.words, (wide * 0.3).max(1.8));
    let (x, reach) = (at.0 + radius, wide * 0.95);
    for turn in [-1.0, 1.0] {
        sheet.scene.line(
            vec![
                (x - reach, at.1 - turn * reach),
                (x + reach, at.1 + turn * reach),
            ],
            cross.clone(),
        );
    }
    sheet.scene.write(
        (x + reach + size * 0.3, at.1),
        "junction",
        size,
        Anchor::Start,
        theme.words,
    );
    let hole = (at, radius - wide * 2.2);
    signs_in_hole(&mut sheet.scene, hole, (9.0, 0.42), shown.flux, theme.field);
    let text = format!("applied {}", flux_words(shown.flux));
    let name = (sheet.width - size * 0.8, size);
    sheet
        .scene
        .write(name, text, size, Anchor::End, theme.field);
    let Some(circulating) = shown.circulating.filter(|_| with_current) else {
        return;
    };
    let share = circulating.abs().min(1.0);
    if share < 0.004 || !circulating.is_finite() {
        return;
    }
    // Outside the ring, counter-clockwise when it raises the flux.
    let turn = circulating.signum();
    let around = radius + wide * 1.3;
    let start = -turn * std::f64::consts::FRAC_PI_2 - turn * 0.9;
    let sweep = turn * (0.4 + 1.2 * share);
    let width = (size * (0.14 + 0.16 * share)).max(2.0);
    let start = std::f64::consts::PI + start;
    sheet.scene.line(
        arc(at, around, start, sweep),
        Ink::solid(theme.counter, width),
    );
    let back = start + sweep;
    let tip = back + turn * (width * 3.6 / around);
    let ring = (at, around);
    arc_head(
        &mut sheet.scene,
        ring,
        (back, tip),
        width * 1.8,
        theme.counter,
    );
}

/// Total against applied flux with the occupied branch, or with the way of one cycle.
fn graph(
    sheet: &mut Sheet,
    inside: &Inside,
    shown: &Shown<'_>,
    (top, below): (f64, f64),
    with_state: bool,
) {
    let (size, theme) = (sheet.size, sheet.theme);
    // The curve of the loop itself follows from the model; under a tank it is what the drive works on.
    let known = with_state || shown.drive.is_some();
    let (across, upwards) = if known {
        extent(shown.curve)
    } else {
        let flux = if shown.flux.abs() < 1e6 {
            shown.flux
        } else {
            0.0
        };
        ((flux - 1.6, flux + 1.6), (0.0, 1.0))
    };
    let mut frame = sheet.frame(across, upwards, below);
    frame.top = top;
    if frame.bottom - frame.top < size * 2.0 {
        return;
    }
    sheet.plate(&frame);
    sheet.flux_marks(&frame);
    if known {
        branches(sheet, &frame, shown.curve);
    }
    sheet.foot(&frame);
    let words = (frame.left + size * 0.4, frame.top + size * 0.9);
    sheet
        .scene
        .write(words, "total flux", size, Anchor::Start, theme.words);
    let words = (frame.right, frame.bottom + size * 2.2);
    let name = "applied flux (\u{3a6}\u{2080})";
    sheet
        .scene
        .write(words, name, size, Anchor::End, theme.words);
    let x = frame.to_px((shown.flux, 0.0)).0;
    if x >= frame.left && x <= frame.right {
        sheet.scene.line(
            vec![(x, frame.top), (x, frame.bottom)],
            Ink::solid(theme.cursor, 1.5 * theme.line_scale).dashed(&[5.0, 4.0]),
        );
    }
    if !with_state {
        return;
    }
    if let Inside::Tank { path, .. } = inside {
        cycle(sheet, &frame, path);
    }
    // The branch of the risen state stands out.
    if let [Some(risen), _] = shown.states {
        let near = |piece: &&(bool, Vec<(f64, f64)>)| {
            let ends = (piece.1.first(), piece.1.last());
            let inside = |(a, b): (&(f64, f64), &(f64, f64))| {
                a.1.min(b.1) - 1e-9 <= risen.1 && risen.1 <= a.1.max(b.1) + 1e-9
            };
            piece.0 && ends.0.zip(ends.1).is_some_and(inside)
        };
        if let Some((_, points)) = shown.curve.iter().find(near) {
            let ink = Ink::solid(theme.counter, 3.4 * theme.line_scale);
            sheet.curve(&frame, &in_units(points, 1.0, 1.0), &ink);
        }
    }
    for (state, full) in shown.states.iter().zip([true, false]) {
        let Some(at) = state.map(|state| frame.to_px(state)) else {
            continue;
        };
        if frame.contains_px(at) {
            sheet.scene.disc(at, size * 0.45, theme.counter);
            let hole = if full { 0.0 } else { 0.26 };
            sheet.scene.disc(at, size * hole, theme.plot);
        }
    }
}

fn captions(sheet: &mut Sheet, inside: &Inside, shown: bool) {
    let words = sheet.theme.words;
    if !shown {
        return;
    }
    match inside {
        Inside::RfLoop {
            rising,
            falling,
            circulating_rising,
            ..
        } => {
            let wordings = [
                format!(
                    "flux risen: total {}, current {} of the limit",
                    flux_words(rising.0),
                    number(circulating_rising.abs(), 2)
                ),
                format!("flux risen: total {}", flux_words(rising.0)),
            ];
            sheet.caption(1.0, &wordings, words);
            let fallen = format!("flux fallen (ring): total {}", flux_words(falling.0));
            sheet.caption(0.0, &[fallen], words);
        }
        Inside::Tank {
            voltage,
            swing,
            on_step,
            ..
        } => {
            let held = if *on_step { ", held at a step" } else { "" };
            let wordings = [format!(
                "swing of the flux: {} to each side",
                flux_words(*swing)
            )];
            sheet.caption(1.0, &wordings, words);
            let voltage = show(*voltage, "V", 3);
            let wordings = [
                format!("tank voltage: {voltage}{held}"),
                format!("tank voltage: {voltage}"),
            ];
            sheet.caption(0.0, &wordings, words);
        }
        _ => {}
    }
}

/// The picture in words.
pub(super) fn describe(inside: &Inside, show_sum: bool) -> String {
    let start = "A loop with one junction beside the coil of a tank; no wires lead to it.";
    match inside {
        Inside::Tank { drive, voltage, .. } => {
            let driven = format!("{start} The tank is driven by {}.", show(*drive, "A", 3));
            let rest = super::swing::describe(inside, show_sum);
            if show_sum {
                format!(
                    "{driven} {rest} The tank's voltage is {}.",
                    show(*voltage, "V", 3)
                )
            } else {
                format!("{driven} {rest}")
            }
        }
        Inside::RfLoop {
            flux,
            rising,
            falling,
            circulating_rising,
            ..
        } => {
            let start = format!("{start} The applied flux is {}.", flux_words(*flux));
            if !show_sum {
                return format!("{start} The occupied branch is not shown yet.");
            }
            let way = if circulating_rising.abs() < 0.005 {
                "no current circulates".to_owned()
            } else {
                format!(
                    "{} of the junction's limit circulates {}",
                    number(circulating_rising.abs(), 2),
                    if *circulating_rising > 0.0 {
                        "counter-clockwise, which raises the flux"
                    } else {
                        "clockwise, which lowers the flux"
                    }
                )
            };
            let fallen = if (rising.0 - falling.0).abs() < 1e-6 {
                String::new()
            } else {
                format!(
                    " When the applied flux has fallen the total flux is {}.",
                    flux_words(falling.0)
                )
            };
            format!(
                "{start} When it has risen the total flux is {}, and {way}.{fallen}",
                flux_words(rising.0)
            )
        }
        _ => String::new(),
    }
}
