//! Phasors and local currents.

use super::*;

/// Phasors put head to tail would give their sum away, so before they all start in the middle.
#[test]
fn phasors_are_not_added_before_they_may_be() {
    let inside = phasors(2, 0.2);
    let theme = Theme::light();
    let starts = |show_sum| {
        let scene = board::scene(&inside, &light(BoardPicture::Phasors, show_sum));
        let first = lines(&scene, theme.current)[0][0];
        let second = lines(&scene, theme.counter)[0][0];
        (
            (first.0 - second.0).abs() + (first.1 - second.1).abs(),
            scene,
        )
    };
    let (apart, scene) = starts(false);
    assert!(apart < 1e-9);
    assert!(lines(&scene, theme.computed).is_empty(), "no resultant");
    let (apart, scene) = starts(true);
    assert!(apart > 20.0);
    assert!(!lines(&scene, theme.computed).is_empty());
    assert!(texts(&scene).iter().any(|text| text.contains("0.81")));
}

/// A row's phasors end where their sum does, magnified while they nearly cancel, and the picture says by how much.
#[test]
fn many_phasors_are_magnified_where_they_cancel() {
    let theme = Theme::light();
    for (flux, rim) in [
        (0.0, "the largest"),
        (0.06, "the largest"),
        (0.29, "quarter"),
    ] {
        let scene = board::scene(&phasors(8, flux), &light(BoardPicture::Phasors, true));
        let sum = (sin(8.0 * PI * flux) / (8.0 * sin(PI * flux))).abs();
        let sum = if flux > 0.0 { sum } else { 1.0 };
        let said = texts(&scene);
        assert!(
            said.contains(&format!("sum: {sum:.2} of the largest")),
            "{said:?}"
        );
        assert!(said.iter().any(|text| text.contains(rim)), "{said:?}");
        // Eight arrows on each dial; the chain ends at the tip of the sum.
        let heads: Vec<Vec<(f64, f64)>> = scene
            .items
            .iter()
            .filter_map(|item| match item {
                Item::Area { points, colour, .. } if *colour == theme.counter => {
                    Some(points.clone())
                }
                _ => None,
            })
            .collect();
        assert_eq!(heads.len(), 8, "every other one of sixteen");
        let last = heads[7][0];
        let tips: Vec<(f64, f64)> = scene
            .items
            .iter()
            .filter_map(|item| match item {
                Item::Area { points, colour, .. } if *colour == theme.computed => Some(points[0]),
                _ => None,
            })
            .collect();
        assert!(
            (tips[0].0 - last.0).abs() < 1e-6 && (tips[0].1 - last.1).abs() < 1e-6,
            "{flux}"
        );
    }
    let hidden = board::scene(&phasors(8, 0.29), &light(BoardPicture::Phasors, false));
    assert!(lines(&hidden, theme.computed).is_empty());
    assert!(
        !texts(&hidden)
            .iter()
            .any(|text| text.contains("rim") || text.contains("sum"))
    );
}

/// At zero field all local currents are equal; at one quantum as much runs down as up.
#[test]
fn local_arrows_follow_the_currents() {
    let theme = Theme::light();
    let width = theme.line_scale;
    let arrows = |flux: f64| {
        let scene = board::scene(&junction(flux), &light(BoardPicture::Junction, true));
        let length = |colour| -> Vec<f64> {
            scene
                .items
                .iter()
                .filter_map(|item| match item {
                    Item::Line { points, ink }
                        if ink.colour == colour && points.len() == 2 && ink.width > width =>
                    {
                        Some(points[0].1 - points[1].1)
                    }
                    _ => None,
                })
                .collect()
        };
        (length(theme.current), length(theme.counter))
    };
    let (up, down) = arrows(0.0);
    assert!(down.is_empty() && up.len() > 10);
    assert!(
        up.iter()
            .all(|length| (length - up[0]).abs() < 1e-9 && *length > 20.0)
    );
    let (up, down) = arrows(1.0);
    assert!(
        up.iter().all(|length| *length > 0.0),
        "up is up on the page"
    );
    assert!(down.iter().all(|length| *length < 0.0));
    let (rising, falling) = (up.iter().sum::<f64>(), down.iter().sum::<f64>());
    assert!(
        (rising + falling).abs() < 0.12 * rising,
        "{rising} {falling}"
    );
}

/// The painted profile bounds the local currents, at the same places across.
#[test]
fn a_profile_bounds_its_local_currents() {
    let theme = Theme::light();
    let density: Vec<f64> = (0..120)
        .map(|k| if (30..90).contains(&k) { 0.25 } else { 1.0 })
        .collect();
    let inside = Inside::Junction {
        flux: 0.8,
        local_current: (0..41)
            .map(|k| {
                let share = (f64::from(k) + 0.5) / 41.0;
                let bound = if share > 0.25 && share < 0.75 {
                    0.25
                } else {
                    1.0
                };
                bound * cos(TAU * 0.8 * (share - 0.5))
            })
            .collect(),
        density,
        total: 0.3,
    };
    let scene = board::scene(&inside, &light(BoardPicture::Profile, true));
    let long = |colour| -> Vec<Vec<(f64, f64)>> {
        let all = lines(&scene, colour).into_iter();
        all.filter(|points| points.len() == 241).collect()
    };
    let shape = &long(theme.current)[0];
    let foot = shape.iter().map(|point| point.1).fold(0.0, f64::max);
    let head = shape
        .iter()
        .map(|point| point.1)
        .fold(f64::INFINITY, f64::min);
    assert!(shape[0].1 - head < 1e-9, "full at the edge");
    assert!((shape[120].1 - foot).abs() < 1e-9 && foot - head > 30.0);
    let bounds = long(theme.edge);
    let [upper, lower] = &bounds[..] else {
        panic!("{} bounds", bounds.len());
    };
    let level = 0.5 * (upper[0].1 + lower[0].1);
    let across = upper[240].0 - upper[0].0;
    for colour in [theme.current, theme.counter] {
        for arrow in lines(&scene, colour)
            .iter()
            .filter(|points| points.len() == 2 && points[0].0 < upper[240].0)
        {
            let index = ((arrow[0].0 - upper[0].0) / across * 240.0) as usize;
            let room = (level - upper[index].1).max(level - upper[index + 1].1);
            assert!((arrow[1].1 - level).abs() <= room + 2.0);
        }
    }
    let words = board::describe(&inside, BoardPicture::Profile, true);
    assert!(
        words.contains("100 percent of the largest at the left edge")
            && words.contains("25 in the middle"),
        "{words}"
    );
}
