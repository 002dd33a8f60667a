//! Curves, markers and the cursor on a chart.

use super::*;

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
