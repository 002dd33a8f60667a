#![cfg(not(target_arch = "wasm32"))]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test stops at the first surprise"
)]
//! Charts: layout, cutting at the frame, gaps and jumps, ticks, looks, words and numbers.

use coldfringe::figure::scene::{Item, Scene, words_width};
use coldfringe::figure::theme::contrast;
use coldfringe::figure::{
    Axis, Chart, FigureError, Frame, Mark, Role, Series, Theme, clip, dash, describe, labels, ticks,
};

fn axis(unit: &str, from: f64, to: f64) -> Axis {
    Axis::new("flux", unit, from, to).unwrap()
}

fn chart(width: f64, height: f64) -> Chart {
    let y = Axis::new("critical current", "uA", 0.0, 10.0).unwrap();
    Chart::new(width, height, axis("Phi0", -2.0, 2.0), y, Theme::light())
}

fn sampled(from: f64, to: f64, count: u32, value: impl Fn(f64) -> f64) -> Vec<(f64, f64)> {
    (0..=count)
        .map(|step| {
            let x = from + (to - from) * f64::from(step) / f64::from(count);
            (x, value(x))
        })
        .collect()
}

/// The drawn pieces of the curve with that role.
fn pieces(scene: &Scene, theme: &Theme, role: Role) -> Vec<Vec<(f64, f64)>> {
    let wanted = theme.ink(role);
    scene
        .items
        .iter()
        .filter_map(|item| match item {
            Item::Line { points, ink } if *ink == wanted => Some(points.clone()),
            _ => None,
        })
        .collect()
}

#[test]
fn bounds_that_cannot_be_drawn_are_refused() {
    for (from, to) in [
        (0.0, f64::INFINITY),
        (f64::NEG_INFINITY, 1.0),
        (f64::NAN, 1.0),
        (-1e308, 1e308),
    ] {
        assert!(matches!(
            Axis::new("x", "", from, to),
            Err(FigureError::BoundNotFinite { .. })
        ));
    }
    for (from, to) in [(1.0, 1.0), (2.0, 1.0), (1.0, 1.0 + 1e-13)] {
        assert!(matches!(
            Axis::new("x", "", from, to),
            Err(FigureError::BoundsNotRising { .. })
        ));
    }
}

#[test]
fn units_read_as_the_trade_writes_them() {
    assert_eq!(axis("Phi0", 0.0, 1.0).words(), "flux (Φ₀)");
    assert_eq!(axis("uA", 0.0, 1.0).words(), "flux (µA)");
    assert_eq!(axis("1", 0.0, 1.0).words(), "flux");
    assert_eq!(axis("", 0.0, 1.0).words(), "flux");
    assert_eq!(axis("Phi0/sqrt(Hz)", 0.0, 1.0).unit(), "Φ₀/√Hz");
}

#[test]
fn frame_maps_both_ways() {
    let frame = chart(640.0, 380.0).frame();
    for data in [(-2.0, 0.0), (2.0, 10.0), (0.3, 4.0), (5.0, -3.0)] {
        let back = frame.from_px(frame.to_px(data));
        assert!((back.0 - data.0).abs() < 1e-12 && (back.1 - data.1).abs() < 1e-12);
    }
    assert!(
        frame.to_px((0.0, 10.0)).1 < frame.to_px((0.0, 0.0)).1,
        "up is up"
    );
    assert!(frame.contains_px(frame.to_px((1.9, 9.9))));
    assert!(!frame.contains_px(frame.to_px((2.1, 5.0))));
}

/// Every word stands inside the sheet, and words of one axis do not touch, at all three sizes.
#[test]
fn words_fit_on_phone_laptop_and_projector() {
    for (width, height) in [
        (320.0, 250.0),
        (340.0, 260.0),
        (640.0, 380.0),
        (1100.0, 640.0),
    ] {
        for theme in Theme::all() {
            let mut chart = chart(width, height);
            chart.theme = theme;
            for (name, role) in [
                ("computed", Role::Computed),
                ("your sketch", Role::Sketch),
                ("A", Role::Candidate(0)),
            ] {
                let points = sampled(-2.0, 2.0, 50, |x| x * x);
                chart.series.push(Series::new(name, role, points));
            }
            let frame = chart.frame();
            assert!(frame.width() > 0.6 * width, "{} {width}", theme.name);
            assert!(frame.height() > 0.35 * height, "{} {width}", theme.name);
            let mut below: Vec<(f64, f64)> = Vec::new();
            for item in chart.scene().words() {
                let Item::Words {
                    at,
                    text,
                    size,
                    anchor,
                    ..
                } = item
                else {
                    continue;
                };
                let wide = words_width(text, *size);
                let left = match anchor {
                    coldfringe::figure::scene::Anchor::Start => at.0,
                    coldfringe::figure::scene::Anchor::Middle => at.0 - wide / 2.0,
                    coldfringe::figure::scene::Anchor::End => at.0 - wide,
                };
                assert!(
                    left >= -0.5 && left + wide <= width + 0.5,
                    "{} at {width}: \"{text}\" from {left} to {}",
                    theme.name,
                    left + wide
                );
                assert!(at.1 > size * 0.4 && at.1 < height - size * 0.4, "{text}");
                if (at.1 - frame.bottom - size).abs() < 0.1 {
                    below.push((left, left + wide));
                }
            }
            assert!(below.len() >= 3, "{} words under the x axis", below.len());
            for pair in below.windows(2) {
                assert!(pair[0].1 < pair[1].0, "{} at {width}: {pair:?}", theme.name);
            }
        }
    }
}

#[test]
fn absurd_sizes_still_give_a_scene() {
    for (width, height) in [(f64::NAN, 100.0), (0.0, 0.0), (-5.0, 1e300)] {
        let scene = chart(width, height).scene();
        assert!(scene.width >= 120.0 && scene.height >= 100.0);
        assert!(scene.width <= 20_000.0 && scene.height <= 20_000.0);
    }
}

/// Outside points end the line at the crossing; they are not moved onto the edge.
#[test]
fn curves_end_where_they_cross_the_frame() {
    let mut chart = chart(640.0, 380.0);
    let points = sampled(-2.0, 2.0, 400, |x| 20.0 - 15.0 * x.abs());
    chart.series.push(Series::new("", Role::Computed, points));
    let frame = chart.frame();
    let drawn = pieces(&chart.scene(), &chart.theme, Role::Computed);
    // Above 10 between -2/3 and 2/3 and below 0 beyond 4/3: two pieces are left.
    assert_eq!(drawn.len(), 2);
    let wanted = [
        ((-4.0 / 3.0, 0.0), (-2.0 / 3.0, 10.0)),
        ((2.0 / 3.0, 10.0), (4.0 / 3.0, 0.0)),
    ];
    for (piece, (start, end)) in drawn.iter().zip(wanted) {
        for (at, data) in [(piece[0], start), (piece[piece.len() - 1], end)] {
            let place = frame.to_px(data);
            assert!(
                (at.0 - place.0).abs() < 1e-6 && (at.1 - place.1).abs() < 1e-6,
                "{at:?} is not {place:?}"
            );
        }
        assert!(piece.iter().all(|&at| frame.contains_px(at)));
        let level = piece
            .windows(2)
            .filter(|pair| (pair[0].1 - pair[1].1).abs() < 1e-9);
        assert_eq!(level.count(), 0, "a false plateau");
    }
}

/// A voltage that rests at zero, but for rounding, is one line along the lower edge.
#[test]
fn rounding_does_not_tear_a_curve_that_rests_on_the_edge() {
    let frame = Frame {
        left: 0.0,
        top: 0.0,
        right: 100.0,
        bottom: 50.0,
        x: (0.0, 1.0),
        y: (0.0, 1.0),
    };
    let resting: Vec<(f64, f64)> = (0..=100)
        .map(|k| (f64::from(k), 50.0 + 1e-9 * f64::from(k % 3 - 1)))
        .collect();
    assert_eq!(clip::polyline(&frame, &resting).len(), 1);
    // A whole pixel outside is outside.
    let below: Vec<(f64, f64)> = (0..=100).map(|k| (f64::from(k), 51.0)).collect();
    assert!(clip::polyline(&frame, &below).is_empty());
}

#[test]
fn clipping_keeps_what_is_inside_whole() {
    let frame = Frame {
        left: 0.0,
        top: 0.0,
        right: 10.0,
        bottom: 10.0,
        x: (0.0, 1.0),
        y: (0.0, 1.0),
    };
    let inside = [(1.0, 1.0), (5.0, 9.0), (9.0, 1.0), (9.0, 1.0), (2.0, 2.0)];
    assert_eq!(
        clip::polyline(&frame, &inside),
        vec![vec![(1.0, 1.0), (5.0, 9.0), (9.0, 1.0), (2.0, 2.0)]]
    );
    // Through the whole frame, in by the left edge and out by the right.
    assert_eq!(
        clip::segment(&frame, (-10.0, 5.0), (20.0, 5.0)),
        Some(((0.0, 5.0), (10.0, 5.0)))
    );
    assert_eq!(clip::segment(&frame, (-5.0, 4.0), (4.0, -5.0)), None);
    assert!(clip::polyline(&frame, &[(3.0, 3.0)]).is_empty());
    assert!(clip::polyline(&frame, &[(f64::NAN, 3.0), (3.0, 3.0)]).is_empty());
}

#[test]
fn gaps_split_and_jumps_are_dotted() {
    let mut chart = chart(640.0, 380.0);
    let mut points = sampled(-2.0, -0.5, 30, |_| 3.0);
    points.push((-0.4, f64::NAN));
    points.extend(sampled(-0.3, 0.5, 30, |_| 3.0));
    points.push((0.5, 8.0));
    points.push((2.0, 8.0));
    let series = Series::new("", Role::Computed, points);
    assert_eq!(series.at(-0.4), None, "no value in a gap");
    assert_eq!(series.at(1.0), Some(8.0));
    chart.series.push(series);
    let scene = chart.scene();
    let frame = chart.frame();
    let drawn = pieces(&scene, &chart.theme, Role::Computed);
    assert_eq!(drawn.len(), 3, "before the gap, after it, after the jump");
    let floor = frame.to_px((0.0, 0.0)).1;
    for piece in &drawn {
        assert!(
            piece.iter().all(|at| (at.1 - floor).abs() > 20.0),
            "a false dip"
        );
    }
    let colour = chart.theme.computed;
    let uprights: Vec<_> = scene
        .items
        .iter()
        .filter_map(|item| match item {
            Item::Line { points, ink } if ink.colour == colour && ink.width < 2.0 => Some(points),
            _ => None,
        })
        .collect();
    assert_eq!(uprights.len(), 1);
    let x = frame.to_px((0.5, 0.0)).0;
    assert!(uprights[0].iter().all(|at| (at.0 - x).abs() < 1e-9));
}

#[test]
fn jumps_of_a_sampled_curve_are_found_and_cusps_are_none() {
    let saw = |x: f64| 0.7 * (x.round() - x);
    let found = Series::new("", Role::Computed, sampled(-2.0, 2.0, 401, saw)).with_jumps(0.2);
    let jumps: Vec<f64> = found
        .points
        .windows(2)
        .filter(|pair| pair[1].0 <= pair[0].0)
        .map(|pair| pair[0].0)
        .collect();
    assert_eq!(jumps.len(), 4, "{jumps:?}");
    for (jump, wanted) in jumps.iter().zip([-1.5, -0.5, 0.5, 1.5]) {
        assert!((jump - wanted).abs() < 0.01);
    }
    let cusps = sampled(-2.0, 2.0, 401, |x| (x.fract()).abs());
    let cusped = sampled(-2.0, 2.0, 401, |x| 5.0 * (x - x.round()).abs());
    assert_eq!(
        Series::new("", Role::Computed, cusped.clone())
            .with_jumps(0.2)
            .points,
        cusped
    );
    let _ = cusps;
}

#[test]
fn a_traced_curve_stops_at_the_pen() {
    let mut series = Series::new("", Role::Computed, sampled(-2.0, 2.0, 40, |x| x + 3.0));
    series.drawn_to = Some(0.123);
    let last = *series.traced().last().unwrap();
    assert!((last.0 - 0.123).abs() < 1e-12 && (last.1 - 3.123).abs() < 1e-12);
    assert_eq!(series.at(0.2), None, "nothing is known beyond the pen");
    let mut chart = chart(640.0, 380.0);
    chart.cursor = Some(1.0);
    chart.series.push(series);
    let frame = chart.frame();
    let pen = frame.to_px((0.123, 3.123));
    let drawn = pieces(&chart.scene(), &chart.theme, Role::Computed);
    let longest = drawn.iter().max_by_key(|piece| piece.len()).unwrap();
    let end = longest[longest.len() - 1];
    assert!((end.0 - pen.0).abs() < 1e-6 && (end.1 - pen.1).abs() < 1e-6);
    // No dot of the cursor betrays the curve beyond the pen.
    let ahead = frame.to_px((1.0, 4.0));
    let betrayed = chart.scene().items.iter().any(|item| match item {
        Item::Disc { at, .. } => (at.0 - ahead.0).abs() < 1.0,
        _ => false,
    });
    assert!(!betrayed);
}

#[test]
fn the_cursor_puts_a_dot_on_each_curve() {
    let mut chart = chart(640.0, 380.0);
    for (role, value) in [
        (Role::Computed, 2.0),
        (Role::Sketch, 5.0),
        (Role::Ghost(0), 7.0),
    ] {
        let points = sampled(-2.0, 2.0, 10, |_| value);
        chart.series.push(Series::new("", role, points));
    }
    chart.cursor = Some(0.5);
    let frame = chart.frame();
    let x = frame.to_px((0.5, 0.0)).0;
    let dots: Vec<f64> = chart
        .scene()
        .items
        .iter()
        .filter_map(|item| match item {
            Item::Disc { at, .. } if (at.0 - x).abs() < 1e-9 => Some(at.1),
            _ => None,
        })
        .collect();
    for value in [2.0, 5.0] {
        let y = frame.to_px((0.5, value)).1;
        assert!(dots.iter().any(|dot| (dot - y).abs() < 1e-9));
    }
    let ghost = frame.to_px((0.5, 7.0)).1;
    assert!(dots.iter().all(|dot| (dot - ghost).abs() > 1.0));
}

#[test]
fn marks_outside_the_axis_are_left_out() {
    let mut chart = chart(640.0, 380.0);
    let bare = chart.scene().items.len();
    for x in [3.0, -2.5, f64::NAN] {
        chart.marks.push(Mark {
            x,
            label: "here".to_owned(),
            role: Role::Sketch,
        });
    }
    assert_eq!(chart.scene().items.len(), bare);
    chart.marks[0].x = 1.95;
    let scene = chart.scene();
    let said = scene
        .words()
        .any(|item| matches!(item, Item::Words { text, .. } if text == "here"));
    assert!(said);
}

#[test]
fn ticks_stand_at_round_places() {
    let found = ticks::ticks(-3.0, 3.0, 12, true);
    assert_eq!(found.words, ["−3", "−2", "−1", "0", "1", "2", "3"]);
    assert!(found.minor.iter().any(|at| (at - 0.25).abs() < 1e-12));
    assert!(found.minor.iter().all(|at| (at - at.round()).abs() > 0.1));
    let found = ticks::ticks(-1.0, 1.0, 8, true);
    assert_eq!(found.words[0..3], ["−1.00", "−0.75", "−0.50"]);
    assert_eq!(
        ticks::ticks(0.0, 1.1, 6, false).words,
        ["0.0", "0.2", "0.4", "0.6", "0.8", "1.0"]
    );
    assert_eq!(
        ticks::ticks(0.0, 20.0, 5, false).words,
        ["0", "5", "10", "15", "20"]
    );
    assert_eq!(ticks::ticks(0.0, 2.0e-4, 5, false).words[1], "0.00005");
    assert!(ticks::ticks(0.0, 3e8, 5, false).words[1].contains('e'));
    for (from, to) in [
        (0.0, 1.0),
        (-7.3, 11.1),
        (1e-9, 2e-9),
        (1e12, 3e12),
        (99.9, 100.1),
    ] {
        for most in 2..14 {
            let found = ticks::ticks(from, to, most, false);
            assert!(
                found.major.len() <= most + 1,
                "{from} {to} {most}: {:?}",
                found.major
            );
            assert!(!found.major.is_empty() || most < 4);
            let edge = (to - from) * 1e-6;
            assert!(
                found
                    .major
                    .iter()
                    .all(|at| *at >= from - edge && *at <= to + edge)
            );
            let mut words = found.words.clone();
            words.dedup();
            assert_eq!(
                words.len(),
                found.words.len(),
                "words differ from mark to mark"
            );
        }
    }
}

#[test]
fn dashes_run_on_through_corners() {
    let corner = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0)];
    let cut = dash::dashes(&corner, &[6.0, 2.0]);
    let wanted = vec![
        vec![(0.0, 0.0), (6.0, 0.0)],
        vec![(8.0, 0.0), (10.0, 0.0), (10.0, 4.0)],
        vec![(10.0, 6.0), (10.0, 10.0)],
    ];
    assert_eq!(cut.len(), wanted.len());
    for (piece, right) in cut.iter().zip(&wanted) {
        assert_eq!(piece.len(), right.len(), "{piece:?}");
        for (a, b) in piece.iter().zip(right) {
            assert!((a.0 - b.0).abs() < 1e-12 && (a.1 - b.1).abs() < 1e-12);
        }
    }
    for useless in [&[][..], &[3.0][..], &[0.0, 0.0][..], &[f64::NAN, 1.0][..]] {
        assert_eq!(dash::dashes(&corner, useless), vec![corner.to_vec()]);
    }
}

#[test]
fn letters_at_curve_ends_do_not_collide() {
    let heights = labels::spread(&[50.0, 50.0, 52.0, 200.0], 14.0, 10.0, 210.0);
    let mut sorted = heights.clone();
    sorted.sort_by(f64::total_cmp);
    for pair in sorted.windows(2) {
        assert!(pair[1] - pair[0] >= 14.0 - 1e-9, "{heights:?}");
    }
    assert!((heights[3] - 200.0).abs() < 1e-9, "the lone one stays");
    assert!(
        heights[0] < heights[2] && heights[1] < heights[2],
        "order is kept"
    );
    // At the edge they are pushed inside.
    let heights = labels::spread(&[209.0, 210.0, 210.0], 14.0, 10.0, 210.0);
    assert!(heights.iter().all(|y| (10.0..=210.0 + 1e-9).contains(y)));
    // Too many for the room: evenly.
    let heights = labels::spread(&[0.0; 5], 14.0, 10.0, 30.0);
    assert!((heights[4] - 30.0).abs() < 1e-9 && (heights[0] - 10.0).abs() < 1e-9);
    assert!(labels::spread(&[], 14.0, 0.0, 1.0).is_empty());
}

/// Contrast limits: WCAG 2.2, success criteria 1.4.3 (text) and 1.4.11 (graphics).
#[test]
fn every_line_and_word_stands_out() {
    let roles = [
        Role::Computed,
        Role::Sketch,
        Role::Candidate(0),
        Role::Candidate(1),
        Role::Candidate(2),
        Role::Candidate(3),
        Role::Envelope,
        Role::Simple,
        Role::Ghost(0),
        Role::Ghost(1),
        Role::Ghost(2),
    ];
    for theme in Theme::all() {
        for background in [theme.paper, theme.plot] {
            for role in roles {
                let ratio = contrast(theme.ink(role).colour, background);
                assert!(ratio >= 3.0, "{} {role:?}: {ratio:.2}", theme.name);
            }
            for (what, colour) in [
                ("edge", theme.edge),
                ("cursor", theme.cursor),
                ("field", theme.field),
            ] {
                let ratio = contrast(colour, background);
                assert!(ratio >= 3.0, "{} {what}: {ratio:.2}", theme.name);
            }
            // Everything that words are set in: axes, keys, and the letters of curves and boards.
            let mut texts = vec![
                theme.words,
                theme.quiet,
                theme.computed,
                theme.sketch,
                theme.cursor,
            ];
            texts.extend([theme.current, theme.counter, theme.field]);
            texts.extend(theme.candidates);
            for colour in texts {
                let ratio = contrast(colour, background);
                assert!(ratio >= 4.5, "{} {colour:?}: {ratio:.2}", theme.name);
            }
        }
        // On a board the arrows lie on metal, its skin and the barrier.
        for below in [theme.metal, theme.skin, theme.barrier] {
            for colour in [theme.current, theme.counter, theme.field] {
                let ratio = contrast(colour, below);
                assert!(
                    ratio >= 3.0,
                    "{} {colour:?} on {below:?}: {ratio:.2}",
                    theme.name
                );
            }
        }
        for (index, &one) in roles.iter().enumerate() {
            for &other in &roles[..index] {
                let (a, b) = (theme.ink(one), theme.ink(other));
                assert_ne!(a.dash, b.dash, "{one:?} and {other:?} have the same dash");
                if !matches!((one, other), (Role::Ghost(_), Role::Ghost(_))) {
                    // On white paper the computed curve and the sketch are both black: dash and mark tell them apart.
                    assert!(
                        a.colour != b.colour || theme.name == "print",
                        "{}",
                        theme.name
                    );
                    assert_ne!(theme.end_mark(one), theme.end_mark(other));
                }
            }
        }
    }
    // Black on white is 21 by the definition of the contrast ratio (WCAG 2.2).
    use coldfringe::figure::scene::Colour;
    let most = contrast(Colour(0, 0, 0), Colour(255, 255, 255));
    assert!((most - 21.0).abs() < 1e-12);
}

/// A projector in a bright room cannot show black: what is sent as black comes out as a dark grey.
/// Everything of the lecture's look is held to that: the grey of a quarter is added to both
/// colours, as light adds, and the contrast is taken by the formula of WCAG 2.2. Words keep 7:1,
/// lines 3:1.
#[test]
fn the_lecture_is_readable_on_a_washed_out_projector() {
    use coldfringe::figure::scene::Colour;
    let linear = |channel: u8| {
        let share = f64::from(channel) / 255.0;
        if share <= 0.04045 {
            share / 12.92
        } else {
            coldfringe::numerics::elementary::pow((share + 0.055) / 1.055, 2.4)
        }
    };
    let luminance = |colour: Colour| {
        0.2126 * linear(colour.0) + 0.7152 * linear(colour.1) + 0.0722 * linear(colour.2)
    };
    let lift = luminance(Colour(64, 64, 64));
    let washed = |one: Colour, other: Colour| {
        let shown = |colour| lift + luminance(colour) * (1.0 - lift) + 0.05;
        let (one, other) = (shown(one), shown(other));
        one.max(other) / one.min(other)
    };
    let black_on_white = washed(Colour(0, 0, 0), Colour(255, 255, 255));
    assert!((10.0..11.0).contains(&black_on_white), "{black_on_white}");
    for theme in [Theme::lecture(), Theme::lecture_dark()] {
        let words = washed(theme.words, theme.plot).min(washed(theme.quiet, theme.plot));
        assert!(words >= 7.0, "{}: words {words:.2}", theme.name);
        let lines = [
            theme.computed,
            theme.sketch,
            theme.envelope,
            theme.simple,
            theme.ghost,
            theme.current,
            theme.counter,
            theme.field,
            theme.cursor,
            theme.edge,
        ];
        for colour in lines.into_iter().chain(theme.candidates) {
            let ratio = washed(colour, theme.plot);
            assert!(ratio >= 3.0, "{}: {colour:?} {ratio:.2}", theme.name);
        }
        assert_eq!(theme.grid, theme.plot, "no thin grey grid");
        assert_eq!(theme.grid_fine, None);
    }
}

#[test]
fn projector_words_are_large() {
    assert!(Theme::lecture().text_size(1100.0) >= 28.0);
    assert!(Theme::light().text_size(340.0) >= 12.0);
}

fn single_slit(flux: f64) -> f64 {
    coldfringe::numerics::elementary::sinc(flux).abs()
}

#[test]
fn features_of_the_one_slit_curve() {
    let x = axis("Phi0", -3.5, 3.5);
    let series = Series::new(
        "computed",
        Role::Computed,
        sampled(-3.5, 3.5, 700, single_slit),
    );
    let found = describe::features(&series, &x).unwrap();
    let places: Vec<f64> = found.minima.iter().map(|at| at.0).collect();
    assert_eq!(places.len(), 6, "{places:?}");
    for (place, wanted) in places.iter().zip([-3.0, -2.0, -1.0, 1.0, 2.0, 3.0]) {
        assert!((place - wanted).abs() < 0.006);
    }
    assert!(found.highest.0.abs() < 0.006);
    assert_eq!(found.mirrored, Some(true));
    assert!(found.jumps.is_empty() && found.crossings.is_empty());
    // First side lobe 0.2172: the largest value of |sin x / x| beyond its first zero
    // (common practice, no source; the same from cos x = sin x / x).
    let side = found
        .maxima
        .iter()
        .map(|at| at.1)
        .filter(|y| *y < 0.9)
        .fold(0.0, f64::max);
    assert!((side - 0.2172).abs() < 1e-3, "{side}");
    let y = Axis::new("critical current", "1", 0.0, 1.1).unwrap();
    let words = describe::curve(&series, &x, &y);
    assert!(words.contains("6 minima, where it reaches zero"), "{words}");
    assert!(words.contains("left and right are alike"), "{words}");
    assert!(words.contains("0.217"), "{words}");
}

/// Cusps on zero that the samples miss are zeros; a lifted cusp is none.
#[test]
fn cusps_between_samples_are_zeros() {
    let x = axis("Phi0", -5.0, 5.0);
    let y = Axis::new("critical current", "1", 0.0, 1.1).unwrap();
    let fringes = |at: f64| coldfringe::numerics::elementary::cos(std::f64::consts::PI * at).abs();
    let series = Series::new("computed", Role::Computed, sampled(-5.0, 5.0, 801, fringes));
    let words = describe::curve(&series, &x, &y);
    assert!(
        words.contains("10 minima, where it reaches zero"),
        "{words}"
    );
    let lifted = |at: f64| 0.2 + fringes(at);
    let series = Series::new("computed", Role::Computed, sampled(-5.0, 5.0, 801, lifted));
    let words = describe::curve(&series, &x, &y);
    assert!(!words.contains("zero"), "{words}");
}

#[test]
fn features_of_a_saw_and_of_a_lifted_curve() {
    let x = axis("Phi0", -2.0, 2.0);
    let saw = |at: f64| 0.7 * (at.round() - at);
    let series =
        Series::new("current", Role::Computed, sampled(-2.0, 2.0, 801, saw)).with_jumps(0.2);
    let found = describe::features(&series, &x).unwrap();
    assert_eq!(found.jumps.len(), 4);
    assert_eq!(found.crossings.len(), 3, "{:?}", found.crossings);
    assert!(found.minima.is_empty());
    assert_eq!(found.mirrored, Some(false));
    let lifted = |at: f64| 2.0 + coldfringe::numerics::elementary::cos(std::f64::consts::TAU * at);
    let series = Series::new("lifted", Role::Computed, sampled(-2.0, 2.0, 801, lifted));
    let y = Axis::new("critical current", "uA", 0.0, 4.0).unwrap();
    let words = describe::curve(&series, &x, &y);
    assert!(words.contains("4 minima at 1.00 µA"), "{words}");
    assert!(words.contains("1.00 Φ₀ apart"), "{words}");
    let flat = Series::new("flat", Role::Computed, sampled(-2.0, 2.0, 10, |_| 3.0));
    assert_eq!(describe::curve(&flat, &x, &y), "flat: 3.00 µA everywhere.");
    let nothing = Series::new("none", Role::Computed, vec![]);
    assert_eq!(describe::curve(&nothing, &x, &y), "none: nothing is drawn.");
    // A sketch is not read for features.
    let sketch = Series::new("your sketch", Role::Sketch, sampled(-2.0, 2.0, 801, lifted));
    assert!(!describe::curve(&sketch, &x, &y).contains("minima"));
}

#[test]
fn numbers_are_read_off_with_three_figures() {
    for (value, words) in [
        (0.0, "0"),
        (1e-17, "0"),
        (-0.2172, "−0.217"),
        (12.346, "12.3"),
        (3.0, "3.00"),
        (1234.5, "1234"),
        (2.07e-7, "2.07e−7"),
        (f64::NAN, "no value"),
    ] {
        assert_eq!(describe::figures(value), words);
    }
}

#[test]
fn table_is_short_and_csv_is_whole() {
    let x = axis("Phi0", -3.0, 3.0);
    let y = Axis::new("critical current", "uA", 0.0, 1.1).unwrap();
    let points = sampled(-3.0, 3.0, 600, single_slit);
    let series = [
        Series::new("computed", Role::Computed, points.clone()),
        Series::new(
            "say \"half\", or less",
            Role::Sketch,
            vec![(-1.0, 0.1), (0.5, 0.1), (1.0, f64::NAN)],
        ),
    ];
    let table = describe::DataTable::new(&series, &x, &y);
    assert!(table.rows.len() <= describe::MOST_ROWS && table.rows.len() > 20);
    assert_eq!(table.header[0], "flux (Φ₀)");
    assert_eq!(table.header[1], "computed (µA)");
    assert!(table.rows.iter().all(|row| row.len() == 3));
    let zero = table.rows.iter().find(|row| row[0] == "0.0").unwrap();
    assert_eq!(zero[1], "1.000");
    assert_eq!(zero[2], "0.100");
    let csv = describe::csv(&series, &x, &y);
    let lines: Vec<&str> = csv.split("\r\n").collect();
    assert_eq!(lines.len(), 603, "header, 601 points, the end");
    assert_eq!(lines[602], "");
    assert_eq!(
        lines[0],
        "flux (Φ₀),computed (µA),flux (Φ₀),\"say \"\"half\"\", or less (µA)\""
    );
    assert!(
        lines[3].ends_with(",1,"),
        "a gap is an empty cell: {}",
        lines[3]
    );
    for (line, point) in lines[1..602].iter().zip(&points) {
        let mut cells = line.split(',');
        let read: Vec<f64> = cells
            .by_ref()
            .take(2)
            .map(|cell| cell.parse().unwrap())
            .collect();
        assert_eq!(read[0].to_bits(), point.0.to_bits());
        assert_eq!(read[1].to_bits(), point.1.to_bits());
        assert_eq!(cells.count(), 2);
    }
    // Two curves on the same x share a column.
    let twice = [series[0].clone(), series[0].clone()];
    assert!(describe::csv(&twice, &x, &y).starts_with("flux (Φ₀),computed (µA),computed (µA)\r\n"));
}

/// A record is points: as many discs as lie on the paper, every one in the table, none made up between.
#[test]
fn a_record_is_drawn_and_told_point_by_point() {
    let x = Axis::new("field", "uT", -1.0, 1.0).unwrap();
    let y = Axis::new("current", "uA", 0.0, 10.0).unwrap();
    let points: Vec<(f64, f64)> = (0..=100)
        .map(|k| {
            let at = f64::from(k) / 50.0 - 1.0;
            (at, if k == 7 { 11.0 } else { f64::from(k % 10) })
        })
        .collect();
    let record = Series::new("record", Role::Recorded, points);
    let mut chart = Chart::new(640.0, 400.0, x.clone(), y.clone(), Theme::light());
    let discs = |chart: &Chart| {
        let items = chart.scene().items;
        items
            .iter()
            .filter(|item| matches!(item, Item::Disc { .. }))
            .count()
    };
    let bare = discs(&chart);
    chart.series.push(record.clone());
    // Four more stand in the key.
    assert_eq!(
        discs(&chart) - bare,
        100 + 4,
        "one point lies above the paper"
    );
    let table = describe::DataTable::new(std::slice::from_ref(&record), &x, &y);
    assert_eq!(table.rows.len(), 101);
    assert_eq!(table.rows[7][1].parse(), Ok(11.0));
    assert!(describe::curve(&record, &x, &y).contains("101 points with noise"));
}
