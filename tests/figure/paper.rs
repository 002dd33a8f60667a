//! Axes, frames and the words on them.

use super::*;

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
