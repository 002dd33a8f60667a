//! The loop with its two junctions: bias halves, circulating current, applied flux, and how near
//! each junction is to its limit.

use crate::experiment::Inside;
use crate::figure::glyph;
use crate::figure::scene::{Anchor, Ink, Point, Scene};
use crate::figure::ticks::number;

use super::field::{arc, arc_head, signs_in_hole};
use super::{BoardOptions, Sheet, flux_words};

/// Where the loop stands on the sheet.
struct Place {
    centre: Point,
    /// Half the distance between the arms.
    across: f64,
    /// Half the distance between the upper and lower lead.
    along: f64,
    /// Width of the metal.
    metal: f64,
}

/// The picture: at the largest bias, or `at_rest` without any.
pub(super) fn scene(inside: &Inside, options: &BoardOptions, at_rest: bool) -> Scene {
    let mut sheet = Sheet::new(options, "currents in a loop with two junctions");
    let Inside::Loop {
        flux,
        circulating,
        circulating_simple,
        critical,
        at_limit,
        ..
    } = inside
    else {
        return sheet.scene;
    };
    let (size, theme) = (sheet.size, sheet.theme);
    // Room for all lines from the start, so that nothing moves when they are filled.
    let lines = if at_rest { 2.0 } else { 3.0 };
    let bottom = sheet.height - size * (0.8 + 1.4 * lines);
    let lead = size * 1.9;
    let along = ((bottom - size * 0.6) * 0.5 - lead).max(size * 2.0);
    let metal_width = (along * 0.13).clamp(5.0, 18.0);
    let across = (along * 1.25)
        .min(sheet.width * 0.5 - metal_width * 1.2 - size * 4.7)
        .max(size * 2.0);
    let place = Place {
        centre: (0.5 * sheet.width, size * 0.6 + lead + along),
        across,
        along,
        metal: metal_width,
    };
    metal(&mut sheet, &place, lead);
    applied(&mut sheet, &place, *flux);
    // Before the sum may be shown the bias is drawn as such, at no particular size.
    if !at_rest {
        let half = if options.show_sum { *critical } else { 0.6 };
        bias(&mut sheet, &place, lead, half);
    }
    if options.show_sum && at_rest {
        // Whole quanta are the picture in which a loop at rest is explained.
        round(&mut sheet, &place, *circulating_simple);
        for side in [-1.0, 1.0] {
            gauge(&mut sheet, &place, side, circulating_simple.abs());
        }
        let wordings = [
            circulates(*circulating_simple),
            format!("circulating: {}", number(*circulating_simple, 2)),
        ];
        sheet.caption(0.0, &wordings, theme.words);
    } else if options.show_sum {
        round(&mut sheet, &place, *circulating);
        gauge(&mut sheet, &place, -1.0, at_limit.0);
        gauge(&mut sheet, &place, 1.0, at_limit.1);
        let sum = number(*circulating, 2);
        let wordings = [
            format!("circulating, no bias: {sum} of one limit"),
            format!("circulating: {sum}"),
        ];
        sheet.caption(1.0, &wordings, theme.words);
        let largest = number(*critical, 2);
        let wordings = [
            format!("largest bias: {largest} of both limits"),
            format!("largest bias: {largest}"),
        ];
        sheet.caption(0.0, &wordings, theme.words);
    }
    let line = lines - 1.0;
    let wordings = [format!("applied flux: {}", flux_words(*flux))];
    sheet.caption(line, &wordings, theme.words);
    sheet.scene
}

/// The circulating current of a loop at rest, for the caption.
fn circulates(circulating: f64) -> String {
    if circulating.abs() < 0.005 {
        "no circulating current".to_owned()
    } else {
        format!("circulating: {} of one limit", number(circulating, 2))
    }
}

/// The metal of loop and leads, and the junctions as crosses.
fn metal(sheet: &mut Sheet, place: &Place, lead: f64) {
    let theme = sheet.theme;
    let (x, y) = place.centre;
    let (a, b, wide) = (place.across, place.along, place.metal);
    let body = Ink::solid(theme.metal, wide);
    let rim = Ink::solid(theme.edge, wide + 2.0 * theme.line_scale);
    let around = vec![
        (x, y - b),
        (x + a, y - b),
        (x + a, y + b),
        (x - a, y + b),
        (x - a, y - b),
        (x, y - b),
    ];
    for ink in [rim, body] {
        let reach = lead
            - if ink.width > wide {
                0.0
            } else {
                theme.line_scale
            };
        sheet.scene.line(around.clone(), ink.clone());
        sheet
            .scene
            .line(vec![(x, y - b), (x, y - b - reach)], ink.clone());
        sheet.scene.line(vec![(x, y + b), (x, y + b + reach)], ink);
    }
    for side in [-1.0, 1.0] {
        let at = x + side * a;
        let reach = wide * 0.95;
        let thin = wide * 0.28;
        sheet.scene.area(
            vec![
                (at - wide * 0.5, y - thin),
                (at + wide * 0.5, y - thin),
                (at + wide * 0.5, y + thin),
                (at - wide * 0.5, y + thin),
            ],
            theme.barrier,
        );
        let ink = Ink::solid(theme.words, (wide * 0.2).clamp(1.8, 4.0));
        sheet.scene.line(
            vec![(at - reach, y - reach), (at + reach, y + reach)],
            ink.clone(),
        );
        sheet
            .scene
            .line(vec![(at - reach, y + reach), (at + reach, y - reach)], ink);
    }
}

/// The applied field in the hole; up to three quanta stand at their ease.
fn applied(sheet: &mut Sheet, place: &Place, flux: f64) {
    let reach = place.across.min(place.along) - place.metal * 1.2;
    let hole = (place.centre, reach);
    signs_in_hole(&mut sheet.scene, hole, (12.0, 0.4), flux, sheet.theme.field);
}

/// The bias: in at the bottom, half up each arm, out at the top.
fn bias(sheet: &mut Sheet, place: &Place, lead: f64, share: f64) {
    let (size, theme) = (sheet.size, sheet.theme);
    let (x, y) = place.centre;
    let shade = theme.current;
    let stroke = place.metal * 0.4;
    let foot = y + place.along + lead;
    glyph::arrow(
        &mut sheet.scene,
        (x, foot - size * 0.15),
        (x, foot - lead * 0.85),
        stroke,
        shade,
    );
    let head = y - place.along;
    glyph::arrow(
        &mut sheet.scene,
        (x, head - lead * 0.15),
        (x, head - lead * 0.95),
        stroke,
        shade,
    );
    sheet.scene.write(
        (x + place.metal * 0.5 + size * 0.6, foot - size * 0.55),
        "bias",
        size,
        Anchor::Start,
        shade,
    );
    let room = place.along - place.metal;
    for side in [-1.0, 1.0] {
        let at = x + side * (place.across + place.metal * 1.1 + size * 0.7);
        let start = y + room;
        let tip = start - 2.0 * room * share.clamp(0.0, 1.0);
        glyph::arrow(&mut sheet.scene, (at, start), (at, tip), stroke, shade);
    }
}

/// The circulating current as an arc in the hole: counter-clockwise when positive, its sweep and
/// width growing with the current.
fn round(sheet: &mut Sheet, place: &Place, circulating: f64) {
    let theme = sheet.theme;
    let share = circulating.abs().min(1.0);
    if share < 0.004 || !circulating.is_finite() {
        return;
    }
    let radius = place.across.min(place.along) - place.metal * 1.35;
    let width = place.metal * (0.25 + 0.4 * share);
    let sweep = circulating.signum() * (0.5 + 4.9 * share);
    // It ends at the top right or top left and grows backwards, so the head keeps its place.
    let end = std::f64::consts::FRAC_PI_2 + circulating.signum() * 0.9;
    let head = circulating.signum() * (width * 3.6 / radius).min(0.45);
    let shaft = arc(place.centre, radius, end - sweep, sweep - head * 0.7);
    sheet.scene.line(shaft, Ink::solid(theme.counter, width));
    let half = width * 1.75;
    let ring = (place.centre, radius);
    arc_head(
        &mut sheet.scene,
        ring,
        (end - head, end),
        half,
        theme.counter,
    );
}

/// How near a junction is to its limit: a tube that fills up to a line.
fn gauge(sheet: &mut Sheet, place: &Place, side: f64, share: f64) {
    let (size, theme) = (sheet.size, sheet.theme);
    let wide = size * 0.8;
    let tall = place.along * 1.2;
    let (x, y) = place.centre;
    let middle = x + side * (place.across + place.metal * 1.1 + size * 3.0);
    let foot = y + tall * 0.5;
    let tube = |from: f64, to: f64| {
        vec![
            (middle - wide * 0.5, from),
            (middle + wide * 0.5, from),
            (middle + wide * 0.5, to),
            (middle - wide * 0.5, to),
        ]
    };
    let limit = foot - tall;
    sheet.scene.area(tube(limit, foot), theme.plot);
    let full = if share.is_finite() {
        share.abs().min(1.0)
    } else {
        0.0
    };
    let shade = if full > 0.995 {
        theme.counter
    } else {
        theme.current
    };
    sheet.scene.area(tube(foot - tall * full, foot), shade);
    let mut edge = tube(limit, foot);
    edge.push((middle - wide * 0.5, limit));
    sheet
        .scene
        .line(edge, Ink::solid(theme.edge, theme.line_scale));
    sheet.scene.line(
        vec![(middle - wide, limit), (middle + wide, limit)],
        Ink::solid(theme.words, 2.0 * theme.line_scale),
    );
    sheet.scene.write(
        (middle, limit - size * 0.75),
        "limit",
        size * 0.9,
        Anchor::Middle,
        theme.words,
    );
    sheet.scene.write(
        (middle, foot + size * 0.85),
        number(share, 2),
        size * 0.95,
        Anchor::Middle,
        theme.words,
    );
}

/// The picture in words.
pub(super) fn describe(inside: &Inside, at_rest: bool, show_sum: bool) -> String {
    let Inside::Loop {
        flux,
        total_flux,
        circulating,
        circulating_simple,
        critical,
        at_limit,
        ..
    } = inside
    else {
        return String::new();
    };
    if at_rest {
        let flux = flux_words(*flux);
        let start = format!(
            "A loop with a junction in each arm, without bias. The applied flux is {flux}."
        );
        let share = number(circulating_simple.abs(), 2);
        let way = if !show_sum {
            "The circulating current is not shown yet.".to_owned()
        } else if circulating_simple.abs() < 0.005 {
            "No current circulates.".to_owned()
        } else if *circulating_simple > 0.0 {
            format!(
                "A current of {share} of one junction's limit circulates counter-clockwise, which raises the flux."
            )
        } else {
            format!(
                "A current of {share} of one junction's limit circulates clockwise, which lowers the flux."
            )
        };
        return format!("{start} {way}");
    }
    let start = format!(
        "A loop with a junction in each arm. Bias enters at the bottom, splits, and leaves at the top. The applied flux is {}.",
        flux_words(*flux)
    );
    if !show_sum {
        return format!("{start} The circulating current is not shown yet.");
    }
    let way = if circulating.abs() < 0.005 {
        "No current circulates without bias.".to_owned()
    } else {
        let (way, does) = if *circulating > 0.0 {
            (
                "counter-clockwise, which raises the flux",
                "adds to the bias in the right arm",
            )
        } else {
            (
                "clockwise, which lowers the flux",
                "adds to the bias in the left arm",
            )
        };
        format!(
            "Without bias a current of {} of one junction's limit circulates {way}; it {does}. The total flux is {}.",
            number(circulating.abs(), 2),
            flux_words(*total_flux)
        )
    };
    format!(
        "{start} {way} The largest bias is {} of the sum of both limits; then the left junction carries {} of its limit, the right {}.",
        number(*critical, 2),
        number(at_limit.0, 2),
        number(at_limit.1, 2)
    )
}
