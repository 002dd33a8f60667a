//! Every picture on its sheet.

use super::*;

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
