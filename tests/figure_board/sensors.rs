//! Sensors: working points, feedback, tank, wire.

use super::*;

/// The crossing lies on the thick curve, on the bias line, and the words read the voltage off there.
#[test]
fn the_bias_line_crosses_the_curve_where_the_voltage_is_read() {
    let theme = Theme::light();
    for (bias, flux) in [(9e-6, 0.3), (12e-6, 0.0), (-14e-6, 0.45)] {
        let inside = operating(bias, flux);
        let scene = board::scene(&inside, &light(BoardPicture::OperatingPoint, true));
        let crossing = discs(&scene, theme.cursor)[0];
        let upright = &lines(&scene, theme.cursor)[0];
        assert!((upright[0].0 - crossing.0).abs() < 1e-6);
        let curve: Vec<(f64, f64)> = lines(&scene, theme.computed)
            .into_iter()
            .max_by_key(Vec::len)
            .unwrap();
        let off = distance(&curve, crossing);
        assert!(off < 0.7, "{bias} {flux}: {off} pixels from the curve");
        // The extremes bracket it: the half quantum gives more voltage, the whole one less.
        let Inside::OperatingPoint(point) = &inside else {
            panic!("another inside");
        };
        let said = board::describe(&inside, BoardPicture::OperatingPoint, true);
        assert!(said.contains(&show(point.voltage, "V", 3)), "{said}");
        let exact = 3.0 * (bias * bias).sqrt();
        assert!(
            said.contains(&format!(
                "{} for a half",
                show(exact.copysign(bias), "V", 3)
            )),
            "without a critical current the shunts alone count: {said}"
        );
    }
}

/// The tangent has the slope of the curve, and the two bands have its ratio: noise over slope.
#[test]
fn the_slope_turns_the_band_of_voltage_into_one_of_flux() {
    let theme = Theme::light();
    for flux in [0.15, 0.25, 0.4, 0.8] {
        let scene = board::scene(
            &working(flux, 7e-11),
            &light(BoardPicture::WorkingPoint, true),
        );
        let at = discs(&scene, theme.cursor)[0];
        let curve: Vec<(f64, f64)> = lines(&scene, theme.computed)
            .into_iter()
            .max_by_key(Vec::len)
            .unwrap();
        let right = curve
            .iter()
            .position(|point| point.0 > at.0 + 0.01)
            .unwrap();
        let (a, b) = (curve[right - 2], curve[right]);
        let wanted = (b.1 - a.1) / (b.0 - a.0);
        let dashed = |item: &Item| match item {
            Item::Line { points, ink } if ink.colour == theme.counter && !ink.dash.is_empty() => {
                Some(points.clone())
            }
            _ => None,
        };
        let tangent = scene.items.iter().find_map(dashed).unwrap();
        let slope = (tangent[1].1 - tangent[0].1) / (tangent[1].0 - tangent[0].0);
        assert!(
            (slope / wanted - 1.0).abs() < 0.03,
            "{flux}: {slope} {wanted}"
        );
        assert!(distance(&tangent, at) < 0.1);
        let bands: Vec<&Vec<(f64, f64)>> = scene
            .items
            .iter()
            .filter_map(|item| match item {
                Item::Area {
                    points, opacity, ..
                } if *opacity < 0.5 => Some(points),
                _ => None,
            })
            .collect();
        let [voltage, flux_band] = bands[..] else {
            panic!("{} bands", bands.len());
        };
        let tall = (voltage[0].1 - voltage[3].1).abs();
        let wide = (flux_band[0].0 - flux_band[3].0).abs();
        assert!((tall / wide / slope.abs() - 1.0).abs() < 1e-6);
        assert!((0.5 * (voltage[0].1 + voltage[3].1) - at.1).abs() < 1e-6);
        assert!((0.5 * (flux_band[0].0 + flux_band[3].0) - at.0).abs() < 1e-6);
    }
    // At the top there is no slope, and the words say what follows.
    let top = board::describe(&working(0.5, 7e-11), BoardPicture::WorkingPoint, true);
    assert!(top.contains("hides any change of flux"), "{top}");
    let quiet = board::describe(&working(0.25, 0.0), BoardPicture::WorkingPoint, true);
    assert!(quiet.contains("no noise"), "{quiet}");
    // 7e-11 V/√Hz over 2π · 8 µV/Φ0 is 1.39 µΦ0/√Hz.
    let words = board::describe(&working(0.25, 7e-11), BoardPicture::WorkingPoint, true);
    assert!(
        words.contains("flux noise is 1.4 \u{b5}\u{3a6}\u{2080}"),
        "{words}"
    );
}

/// The sensor stands on its curve, beside the wanted point by the error; slipped, it says so.
#[test]
fn the_feedback_holds_the_sensor_on_its_curve() {
    let theme = Theme::light();
    for error in [0.03, -0.1, 1.0] {
        let inside = feedback(1.93, error);
        let scene = board::scene(&inside, &light(BoardPicture::FeedbackLoop, true));
        let at = discs(&scene, theme.counter)[0];
        let curve: Vec<(f64, f64)> = lines(&scene, theme.computed)
            .into_iter()
            .max_by_key(Vec::len)
            .unwrap();
        assert!(distance(&curve, at) < 0.7, "{error}");
        let said = board::describe(&inside, BoardPicture::FeedbackLoop, true);
        assert_eq!(said.contains("another period"), error > 0.5, "{said}");
        assert!(texts(&scene).contains(&format!("output {:.2} \u{3a6}\u{2080}", 1.93 - error)));
    }
    let hidden = board::scene(
        &feedback(1.93, 0.03),
        &light(BoardPicture::FeedbackLoop, false),
    );
    assert!(texts(&hidden).contains(&"output ?".to_owned()));
    assert!(lines(&hidden, theme.computed).is_empty());
}

/// Signs of the field between the contacts count the flux by quarters of a quantum, out of the page above a wire
/// whose current runs to the right; and the contacts' arrows add up to the critical current.
#[test]
fn the_field_of_a_wire_threads_the_strip_between_the_contacts() {
    let theme = Theme::light();
    let signs = |flux: f64, show_sum: bool| {
        let scene = board::scene(&wire(flux, 0.5), &light(BoardPicture::Wire, show_sum));
        let strip = lines(&scene, theme.field)
            .into_iter()
            .find(|points| points.len() == 5)
            .expect("the dashed strip");
        let within = |at: &(f64, f64)| {
            at.0 > strip[0].0 && at.0 < strip[1].0 && at.1 > strip[0].1 && at.1 < strip[2].1
        };
        let dots = discs(&scene, theme.field)
            .iter()
            .filter(|at| within(at))
            .count();
        let bars = lines(&scene, theme.field)
            .iter()
            .filter(|points| points.len() == 2 && within(&points[0]))
            .count();
        (dots, bars / 2)
    };
    assert_eq!(signs(0.0, true), (0, 0));
    assert_eq!(signs(1.0, true), (4, 0));
    assert_eq!(signs(-1.5, true), (0, 6));
    assert_eq!(signs(1.0, false), signs(0.25, false), "not counted before");
    for (flux, left) in [(0.3, 0.5), (0.45, 0.7), (1.2, 0.6)] {
        let inside = wire(flux, left);
        let Inside::Wire(parts) = &inside else {
            panic!("another inside");
        };
        assert!((parts.contacts.0 + parts.contacts.1 - parts.resultant).abs() < 1e-12);
        let scene = board::scene(&inside, &light(BoardPicture::Wire, true));
        for share in [parts.contacts.0, parts.contacts.1] {
            let word = format!("{:.2}", share.abs());
            let said = texts(&scene);
            assert!(said.iter().any(|text| text.ends_with(&word)), "{word}");
        }
    }
}

/// The occupied state lies on a branch where the loop can stay, and that branch stands out.
#[test]
fn the_tank_shows_the_branch_that_is_occupied() {
    let theme = Theme::light();
    // Applied 0.5: total + sin(2π total)/π = 0.5 has its risen root below a third of a quantum.
    let (mut low, mut high) = (0.0, 1.0 / 3.0);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if middle + sin(TAU * middle) / PI < 0.5 {
            low = middle;
        } else {
            high = middle;
        }
    }
    let inside = one_junction(0.5, low, 1.0 - low);
    let scene = board::scene(&inside, &light(BoardPicture::TankCircuit, true));
    let states = discs(&scene, theme.counter);
    assert_eq!(states.len(), 2, "risen and fallen");
    let near = |state: usize| {
        let branch =
            |points: &Vec<(f64, f64)>| points.len() > 10 && distance(points, states[state]) < 0.5;
        lines(&scene, theme.counter)
            .iter()
            .filter(|points| branch(points))
            .count()
    };
    assert_eq!(
        (near(0), near(1)),
        (1, 0),
        "the risen state's branch stands out"
    );
    let words = board::describe(&inside, BoardPicture::TankCircuit, true);
    assert!(words.contains("clockwise, which lowers"), "{words}");
    let driven = board::describe(&tank(0.2, 0.6), BoardPicture::TankCircuit, true);
    assert!(
        driven.contains("40.0 nA") && driven.contains("21.0 \u{b5}V"),
        "{driven}"
    );
    let hidden = board::describe(&tank(0.2, 0.6), BoardPicture::TankCircuit, false);
    assert!(!hidden.contains("21.0"), "{hidden}");
}
