#![cfg(not(target_arch = "wasm32"))]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test stops at the first surprise"
)]
//! Board pictures: directions agree with the sign conventions, and nothing that follows is in
//! them before it may be shown.

use std::f64::consts::{PI, TAU};

use coldfringe::experiment::{
    EnergyBranch, FeedbackLoop, Inside, OperatingPoint, Wire, WorkingPoint,
};
use coldfringe::figure::scene::{Anchor, Colour, Item, Scene, words_width};
use coldfringe::figure::{BoardOptions, BoardPicture, Theme, board};
use coldfringe::numerics::elementary::{cos, sin};
use coldfringe::quantity::show;

fn junction(flux: f64) -> Inside {
    let local_current: Vec<f64> = (0..=80)
        .map(|step| cos(TAU * flux * (f64::from(step) / 80.0 - 0.5)))
        .collect();
    let total = if flux == 0.0 {
        1.0
    } else {
        sin(PI * flux) / (PI * flux)
    };
    Inside::Junction {
        flux,
        density: vec![1.0; 2],
        local_current,
        total,
    }
}

fn phasors(count: u32, flux: f64) -> Inside {
    let middle = f64::from(count - 1) / 2.0;
    let phasors: Vec<(f64, f64)> = (0..count)
        .map(|index| {
            (
                1.0 / f64::from(count),
                TAU * flux * (f64::from(index) - middle),
            )
        })
        .collect();
    let x: f64 = phasors
        .iter()
        .map(|(length, angle)| length * cos(*angle))
        .sum();
    let y: f64 = phasors
        .iter()
        .map(|(length, angle)| length * sin(*angle))
        .sum();
    Inside::Phasors {
        flux,
        phasors,
        resultant: (x * x + y * y).sqrt(),
    }
}

fn ring(flux: f64, circulating: f64, at_limit: (f64, f64)) -> Inside {
    Inside::Loop {
        flux,
        total_flux: flux + 0.37 * circulating,
        circulating,
        circulating_simple: circulating,
        critical: 0.5 * (at_limit.0 + at_limit.1),
        at_limit,
        branches: (-2..=2)
            .map(|quanta| EnergyBranch {
                quanta,
                energy: (flux - f64::from(quanta)) * (flux - f64::from(quanta)),
            })
            .collect(),
        occupied: flux.round() as i32,
    }
}

fn one_junction(flux: f64, rising: f64, falling: f64) -> Inside {
    let energy = |total: f64| PI / 2.0 * (total - flux) * (total - flux) - cos(TAU * total) / TAU;
    Inside::RfLoop {
        flux,
        rising: (rising, energy(rising)),
        falling: (falling, energy(falling)),
        circulating_rising: -sin(TAU * rising),
        circulating_falling: -sin(TAU * falling),
        landscape: (-80..=80)
            .map(|step| flux + 0.02 * f64::from(step))
            .map(|total| (total, energy(total)))
            .collect(),
        curve: folded(flux),
    }
}

/// Total against applied flux of a loop with β_rf = 2: applied = total + (β/2π) sin 2π total. It turns where
/// cos 2π total = −1/2, a third of a quantum to each side of a whole one.
fn folded(flux: f64) -> Vec<(bool, Vec<(f64, f64)>)> {
    let first = (flux - 1.6).round();
    (0..4)
        .flat_map(|k| {
            let n = first + f64::from(k);
            [
                (n - 1.0 / 3.0, n + 1.0 / 3.0, true),
                (n + 1.0 / 3.0, n + 2.0 / 3.0, false),
            ]
        })
        .map(|(from, to, stable)| {
            let points = (0..=40)
                .map(|step| from + (to - from) * f64::from(step) / 40.0)
                .map(|total| (total + sin(TAU * total) / PI, total))
                .collect();
            (stable, points)
        })
        .collect()
}

fn tank(flux: f64, swing: f64) -> Inside {
    let curve: Vec<(f64, f64)> = (-80..=80)
        .map(|step| flux + 0.02 * f64::from(step))
        .map(|total| (total + sin(TAU * total) / PI, total))
        .collect();
    Inside::Tank {
        flux,
        drive: 40e-9,
        voltage: 21e-6,
        swing,
        loops: 0.5,
        on_step: true,
        path: vec![(flux - swing, flux - 0.3), (flux + swing, flux + 0.3)],
        curve: vec![(true, curve.clone()), (false, curve)],
    }
}

/// A loop of negligible inductance without noise: V = (R/2) sqrt(I² − Ic²), Ic = 2 I0 |cos πΦ/Φ0|.
fn operating(bias: f64, flux: f64) -> Inside {
    const AMPERES: f64 = 10e-6;
    let end: f64 = 1.6 * AMPERES.copysign(bias);
    let curve = |flux: f64| -> Vec<(f64, f64)> {
        let critical = AMPERES * cos(PI * flux).abs();
        (0..=160)
            .map(|k| end * f64::from(k) / 160.0)
            .map(|bias| {
                let above = (bias * bias - critical * critical).max(0.0);
                (bias, 3.0 * above.sqrt().copysign(bias))
            })
            .collect()
    };
    let critical = AMPERES * cos(PI * flux).abs();
    let above = (bias * bias - critical * critical).max(0.0);
    Inside::OperatingPoint(OperatingPoint {
        bias,
        flux,
        flux_moves: true,
        voltage: 3.0 * above.sqrt().copysign(bias),
        largest: AMPERES,
        resistance: 3.0,
        end,
        curve: curve(flux),
        whole: curve(0.0),
        half: curve(0.5),
        leaves_noise_out: false,
    })
}

/// Voltage 9 µV − 8 µV cos 2πΦ/Φ0, with even noise.
fn working(flux: f64, noise: f64) -> Inside {
    let voltage = |flux: f64| 9e-6 - 8e-6 * cos(TAU * flux);
    Inside::WorkingPoint(WorkingPoint {
        bias: 9e-6,
        flux,
        voltage: voltage(flux),
        transfer: 8e-6 * TAU * sin(TAU * flux),
        noise,
        noisiest: noise,
        curve: (0..=192)
            .map(|k| flux.floor() - 0.25 + f64::from(k) / 128.0)
            .map(|flux| (flux, voltage(flux)))
            .collect(),
    })
}

fn feedback(applied: f64, error: f64) -> Inside {
    let voltage = |flux: f64| 9e-6 - 8e-6 * cos(TAU * flux);
    Inside::FeedbackLoop(FeedbackLoop {
        time: 2.5e-4,
        working_flux: 0.25,
        applied,
        output: applied - error,
        error,
        voltage: voltage(0.25 + error),
        held: voltage(0.25),
        curve: (0..=192)
            .map(|k| (0.25 + error).floor() - 0.25 + f64::from(k) / 128.0)
            .map(|flux| (flux, voltage(flux)))
            .collect(),
    })
}

/// Two contacts of a wire in solder, carrying shares of left and right.
fn wire(flux: f64, left: f64) -> Inside {
    let right = 1.0 - left;
    let along = (left + right) * cos(PI * flux);
    let across = (left - right) * sin(PI * flux);
    let resultant = (along * along + across * across).sqrt();
    // Each phasor's part along the sum: (a · s)/|s|.
    let part = |share: f64, side: f64| {
        share * (cos(PI * flux) * along + side * sin(PI * flux) * across) / resultant
    };
    Inside::Wire(Wire {
        current: 32.5e-3 * flux,
        flux,
        field: 1.3e-4 * flux,
        spacing: 1e-4,
        depth: 2e-7,
        contacts: (part(left, 1.0), part(right, -1.0)),
        resultant,
    })
}

fn options(picture: BoardPicture, width: f64, theme: Theme, show_sum: bool) -> BoardOptions {
    BoardOptions {
        picture,
        width,
        height: width * 0.8,
        theme,
        show_sum,
    }
}

fn light(picture: BoardPicture, show_sum: bool) -> BoardOptions {
    options(picture, 480.0, Theme::light(), show_sum)
}

fn texts(scene: &Scene) -> Vec<String> {
    scene
        .words()
        .filter_map(|item| match item {
            Item::Words { text, .. } => Some(text.clone()),
            _ => None,
        })
        .collect()
}

fn lines(scene: &Scene, colour: Colour) -> Vec<Vec<(f64, f64)>> {
    scene
        .items
        .iter()
        .filter_map(|item| match item {
            Item::Line { points, ink } if ink.colour == colour => Some(points.clone()),
            _ => None,
        })
        .collect()
}

const PICTURES: [BoardPicture; BoardPicture::ALL.len()] = BoardPicture::ALL;

fn insides() -> Vec<Inside> {
    vec![
        junction(0.0),
        junction(1.43),
        junction(-2.4),
        phasors(2, 0.2),
        phasors(2, 0.5),
        phasors(32, 0.07),
        ring(0.0, 0.0, (1.0, 1.0)),
        ring(0.3, -0.4, (1.0, 0.45)),
        ring(-7.4, 0.5, (0.3, 1.0)),
        one_junction(0.5, 0.215, 0.785),
        one_junction(0.0, 0.0, 0.0),
        one_junction(-300.2, -300.1, -300.1),
        tank(0.2, 0.6),
        tank(-40.5, 0.0),
        tank(0.0, 9.0),
        operating(9e-6, 0.3),
        operating(0.0, 0.0),
        operating(-14.9e-6, 0.5),
        operating(2.4e-5, 0.25),
        working(0.25, 7e-11),
        working(0.5, 7e-11),
        working(-3.2, 0.0),
        feedback(1.93, 0.03),
        feedback(-1234.5, -1.4),
        wire(0.0, 0.5),
        wire(0.3, 0.5),
        wire(-1.4, 0.7),
        wire(70.2, 0.5),
    ]
}

#[test]
fn every_picture_stays_on_its_sheet_at_any_size() {
    for theme in Theme::all() {
        for width in [320.0, 480.0, 1000.0] {
            for inside in insides() {
                for picture in PICTURES {
                    for show_sum in [false, true] {
                        let scene =
                            board::scene(&inside, &options(picture, width, theme, show_sum));
                        assert!(!scene.items.is_empty() && !scene.title.is_empty());
                        check_on_sheet(&scene, width);
                    }
                }
            }
        }
    }
}

fn check_on_sheet(scene: &Scene, width: f64) {
    for item in &scene.items {
        let points = match item {
            Item::Line { points, .. } | Item::Area { points, .. } => points.clone(),
            Item::Disc { at, .. } => vec![*at],
            Item::Words {
                at,
                text,
                size,
                anchor,
                ..
            } => {
                let wide = words_width(text, *size);
                let left = match anchor {
                    Anchor::Start => at.0,
                    Anchor::Middle => at.0 - wide / 2.0,
                    Anchor::End => at.0 - wide,
                };
                assert!(
                    left > -0.5 && left + wide < width + 0.5,
                    "\"{text}\" at {width}: from {left} to {}",
                    left + wide
                );
                vec![*at]
            }
        };
        for (x, y) in points {
            assert!(x.is_finite() && y.is_finite());
            assert!(
                x > -2.0 && x < scene.width + 2.0 && y > -2.0 && y < scene.height + 2.0,
                "({x}, {y}) on {width}: {item:?}"
            );
        }
    }
}

/// Two insides that differ only in what follows give the same picture and the same words.
#[test]
fn nothing_that_follows_is_there_before_it_may_be() {
    let mut other = vec![
        junction(0.7),
        phasors(2, 0.2),
        ring(0.3, -0.4, (1.0, 0.45)),
        one_junction(0.5, 0.215, 0.785),
        tank(0.2, 0.6),
        operating(9e-6, 0.3),
        working(0.25, 7e-11),
        feedback(1.93, 0.03),
        wire(0.3, 0.6),
    ];
    let first = other.clone();
    for inside in &mut other {
        match inside {
            Inside::Junction { total, .. } => *total = -0.99,
            Inside::Phasors { resultant, .. } => *resultant = 0.123,
            Inside::Loop {
                total_flux,
                circulating,
                circulating_simple,
                critical,
                at_limit,
                occupied,
                ..
            } => {
                *total_flux = 0.9;
                *circulating = 0.77;
                *circulating_simple = 0.66;
                *critical = 0.11;
                *at_limit = (0.2, 0.3);
                *occupied = 1;
            }
            Inside::RfLoop {
                rising,
                falling,
                circulating_rising,
                circulating_falling,
                curve,
                ..
            } => {
                curve.truncate(1);
                *rising = (0.3, 0.1);
                *falling = (0.3, 0.1);
                *circulating_rising = 0.4;
                *circulating_falling = 0.4;
            }
            Inside::Tank {
                swing,
                loops,
                on_step,
                path,
                voltage,
                ..
            } => {
                *voltage = 1e-6;
                *swing = 0.3;
                *loops = 0.0;
                *on_step = false;
                path.clear();
            }
            Inside::OperatingPoint(point) => {
                point.voltage = 1e-6;
                point.curve = vec![(0.0, 0.0), (16e-6, 48e-6)];
                point.whole.truncate(2);
                point.half.truncate(2);
            }
            Inside::WorkingPoint(point) => {
                point.voltage = 3e-6;
                point.transfer = -1e-5;
                point.noise = 5e-11;
                point.noisiest = 9e-11;
                for place in &mut point.curve {
                    place.1 *= 0.5;
                }
            }
            Inside::Wire(wire) => {
                wire.flux = 2.2;
                wire.contacts = (-0.1, 0.3);
                wire.resultant = 0.2;
            }
            Inside::FeedbackLoop(place) => {
                place.output = 0.2;
                place.error = 1.73;
                place.voltage = 1e-6;
                place.held = 2e-6;
                for place in &mut place.curve {
                    place.1 *= 0.5;
                }
            }
        }
    }
    for (one, two) in first.iter().zip(&other) {
        for picture in PICTURES {
            let shut = light(picture, false);
            assert_eq!(board::scene(one, &shut), board::scene(two, &shut));
            assert_eq!(
                board::describe(one, picture, false),
                board::describe(two, picture, false)
            );
            let open = light(picture, true);
            let (a, b) = (board::scene(one, &open), board::scene(two, &open));
            assert_ne!(a, b, "{picture:?}: what follows is shown once it may be");
        }
    }
}

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

/// Positive circulating current raises the flux; with the field out of the page it runs
/// counter-clockwise (right-hand rule).
#[test]
fn circulating_current_turns_the_right_way() {
    let theme = Theme::light();
    for (circulating, wanted) in [(0.5, 1.0), (-0.5, -1.0)] {
        let scene = board::scene(
            &ring(0.3, circulating, (1.0, 1.0)),
            &light(BoardPicture::Loop, true),
        );
        let arcs = lines(&scene, theme.counter);
        assert_eq!(arcs.len(), 1);
        let arc = &arcs[0];
        let (a, b, c) = (arc[0], arc[arc.len() / 2], arc[arc.len() - 1]);
        // The page's y runs down, so counter-clockwise has a negative cross product there.
        let turn = (b.0 - a.0) * (c.1 - b.1) - (b.1 - a.1) * (c.0 - b.0);
        assert!(turn * wanted < 0.0, "{circulating}");
    }
    let still = board::scene(
        &ring(0.0, 0.0, (0.9, 0.9)),
        &light(BoardPicture::Loop, true),
    );
    assert!(
        lines(&still, theme.counter).is_empty(),
        "no current, no arrow"
    );
}

/// At rest no bias is drawn or spoken of, and both junctions carry the circulating current.
#[test]
fn a_loop_at_rest_has_no_bias() {
    let inside = ring(0.4, -0.2, (1.0, 0.6));
    let scene = board::scene(&inside, &light(BoardPicture::LoopAtRest, true));
    let said: Vec<&str> = scene
        .items
        .iter()
        .filter_map(|item| match item {
            Item::Words { text, .. } => Some(text.as_str()),
            _ => None,
        })
        .collect();
    assert!(!said.iter().any(|text| text.contains("bias")), "{said:?}");
    assert_eq!(
        said.iter().filter(|text| **text == "0.20").count(),
        2,
        "{said:?}"
    );
    let words = board::describe(&inside, BoardPicture::LoopAtRest, true);
    assert!(
        words.contains("without bias") && words.contains("0.20"),
        "{words}"
    );
    assert!(words.contains("clockwise, which lowers"), "{words}");
    let hidden = board::describe(&inside, BoardPicture::LoopAtRest, false);
    assert!(!hidden.contains("0.20"), "{hidden}");
}

/// Bias runs upwards, so a clockwise current adds to it in the left arm; words and picture say so.
#[test]
fn words_agree_with_the_directions() {
    let words = board::describe(&ring(0.3, -0.4, (1.0, 0.45)), BoardPicture::Loop, true);
    assert!(
        words.contains("clockwise, which lowers the flux"),
        "{words}"
    );
    assert!(!words.contains("counter-clockwise"), "{words}");
    assert!(
        words.contains("left arm") && words.contains("left junction carries 1.00"),
        "{words}"
    );
    let words = board::describe(&ring(0.7, 0.4, (0.45, 1.0)), BoardPicture::Loop, true);
    assert!(
        words.contains("counter-clockwise, which raises the flux"),
        "{words}"
    );
    assert!(words.contains("right arm"), "{words}");
    let words = board::describe(&junction(1.0), BoardPicture::Junction, true);
    assert!(
        words.contains("changes direction twice") && words.contains("sum is 0.00"),
        "{words}"
    );
    let words = board::describe(&ring(0.7, 0.4, (0.45, 1.0)), BoardPicture::Energies, true);
    assert!(
        words.contains("The state with 1 quantum is occupied"),
        "{words}"
    );
}

/// One sign of field for a quarter of a quantum, dots out of the page, crosses into it.
#[test]
fn field_signs_count_the_flux() {
    let theme = Theme::light();
    let signs = |flux: f64| {
        let scene = board::scene(
            &ring(flux, 0.0, (1.0, 1.0)),
            &light(BoardPicture::Loop, true),
        );
        let drawn = lines(&scene, theme.field);
        let rings = drawn.iter().filter(|points| points.len() > 3).count();
        let bars = drawn.iter().filter(|points| points.len() == 2).count();
        (rings, bars)
    };
    assert_eq!(signs(0.0), (0, 0));
    assert_eq!(signs(1.0), (4, 0));
    assert_eq!(signs(-1.5), (6, 12));
}

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

fn discs(scene: &Scene, colour: Colour) -> Vec<(f64, f64)> {
    let at = |item: &Item| match item {
        Item::Disc { at, colour: of, .. } if *of == colour => Some(*at),
        _ => None,
    };
    scene.items.iter().filter_map(at).collect()
}

/// How far a place is from a line through points.
fn distance(line: &[(f64, f64)], at: (f64, f64)) -> f64 {
    line.windows(2)
        .map(|pair| {
            let ((ax, ay), (bx, by)) = (pair[0], pair[1]);
            let (dx, dy) = (bx - ax, by - ay);
            let along = ((at.0 - ax) * dx + (at.1 - ay) * dy) / (dx * dx + dy * dy).max(1e-12);
            let along = along.clamp(0.0, 1.0);
            let (x, y) = (ax + along * dx - at.0, ay + along * dy - at.1);
            (x * x + y * y).sqrt()
        })
        .fold(f64::INFINITY, f64::min)
}

#[test]
fn odd_input_gives_a_picture_and_no_panic() {
    let odd = [
        Inside::Junction {
            flux: f64::NAN,
            density: vec![],
            local_current: vec![],
            total: f64::NAN,
        },
        Inside::Junction {
            flux: 1e9,
            density: vec![0.2, f64::NAN],
            local_current: vec![f64::NAN, 1.0],
            total: 0.0,
        },
        Inside::Phasors {
            flux: f64::INFINITY,
            phasors: vec![],
            resultant: 0.0,
        },
        ring(f64::NAN, f64::NAN, (f64::NAN, f64::INFINITY)),
        ring(1e12, 0.1, (0.0, 0.0)),
        one_junction(f64::NAN, f64::NAN, 0.0),
        one_junction(1e14, 0.0, 1.0),
        tank(f64::NAN, f64::INFINITY),
        tank(0.0, 1e300),
        operating(f64::NAN, 0.1),
        operating(1e300, f64::INFINITY),
        working(f64::NAN, 1e-11),
        working(1e18, f64::INFINITY),
        working(0.25, 1e300),
        feedback(f64::NAN, 0.1),
        feedback(1e300, 1e300),
        wire(f64::NAN, 0.5),
        wire(1e300, 0.5),
        Inside::WorkingPoint(WorkingPoint {
            bias: 0.0,
            flux: 0.0,
            voltage: 0.0,
            transfer: 0.0,
            noise: 0.0,
            noisiest: 0.0,
            curve: vec![],
        }),
    ];
    for inside in odd {
        for picture in PICTURES {
            for width in [f64::NAN, 0.0, 320.0] {
                let scene = board::scene(&inside, &options(picture, width, Theme::dark(), true));
                assert!(scene.width >= 160.0);
                assert!(!board::describe(&inside, picture, true).is_empty());
            }
        }
    }
}
