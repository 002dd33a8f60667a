#![cfg(not(target_arch = "wasm32"))]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test stops at the first surprise"
)]
//! Painting: what reaches a backend, in SVG and in pixels.

use std::io::Read;

use coldfringe::figure::painter::{Paint, Stroke, paint};
use coldfringe::figure::scene::{Anchor, Colour, Ink, Item, Scene};
use coldfringe::figure::{Axis, Chart, FigureError, Role, Series, Theme, png, svg};
use coldfringe::numerics::elementary::sin;
use plotters_backend::{
    BackendColor, BackendCoord, BackendStyle, BackendTextStyle, DrawingBackend, DrawingErrorKind,
};

/// A call that reached the backend.
#[derive(Debug, Clone, PartialEq)]
enum Call {
    Path(Vec<BackendCoord>, u32, (u8, u8, u8)),
    Polygon(Vec<BackendCoord>, (u8, u8, u8), f64),
    Circle(BackendCoord, u32, (u8, u8, u8)),
    Text(String, BackendCoord, f64, bool),
}

/// A backend that writes down what it is told and never measures text.
#[derive(Debug, Default)]
struct Recorder {
    calls: Vec<Call>,
    refuses: bool,
}

#[derive(Debug, thiserror::Error)]
#[error("out of ink")]
struct OutOfInk;

type Done = Result<(), DrawingErrorKind<OutOfInk>>;

impl DrawingBackend for Recorder {
    type ErrorType = OutOfInk;

    fn get_size(&self) -> (u32, u32) {
        panic!("the painter needs no size")
    }

    fn ensure_prepared(&mut self) -> Done {
        Ok(())
    }

    fn present(&mut self) -> Done {
        Ok(())
    }

    fn draw_pixel(&mut self, _: BackendCoord, _: BackendColor) -> Done {
        panic!("no single pixels are drawn")
    }

    fn draw_path<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        path: I,
        style: &S,
    ) -> Done {
        if self.refuses {
            return Err(DrawingErrorKind::DrawingError(OutOfInk));
        }
        let points = path.into_iter().collect();
        self.calls
            .push(Call::Path(points, style.stroke_width(), style.color().rgb));
        Ok(())
    }

    fn fill_polygon<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        corners: I,
        style: &S,
    ) -> Done {
        let corners = corners.into_iter().collect();
        let colour = style.color();
        self.calls
            .push(Call::Polygon(corners, colour.rgb, colour.alpha));
        Ok(())
    }

    fn draw_circle<S: BackendStyle>(
        &mut self,
        at: BackendCoord,
        radius: u32,
        style: &S,
        fill: bool,
    ) -> Done {
        assert!(fill);
        self.calls.push(Call::Circle(at, radius, style.color().rgb));
        Ok(())
    }

    fn draw_text<S: BackendTextStyle>(&mut self, text: &str, style: &S, at: BackendCoord) -> Done {
        let turned = !matches!(style.transform(), plotters_backend::FontTransform::None);
        self.calls
            .push(Call::Text(text.to_owned(), at, style.size(), turned));
        Ok(())
    }

    fn estimate_text_size<S: BackendTextStyle>(
        &self,
        _: &str,
        _: &S,
    ) -> Result<(u32, u32), DrawingErrorKind<OutOfInk>> {
        panic!("text is never measured: in the browser that touches the page")
    }
}

fn recorded(scene: &Scene, how: &Paint) -> Vec<Call> {
    let mut recorder = Recorder::default();
    paint(scene, &mut recorder, how).unwrap();
    recorder.calls
}

const INK: Colour = Colour(1, 2, 3);

fn paths(calls: &[Call], colour: Colour) -> Vec<Vec<BackendCoord>> {
    calls
        .iter()
        .filter_map(|call| match call {
            Call::Path(points, _, rgb) if *rgb == (colour.0, colour.1, colour.2) => {
                Some(points.clone())
            }
            _ => None,
        })
        .collect()
}

#[test]
fn each_item_reaches_the_backend_at_its_place() {
    let mut scene = Scene::new(100.0, 50.0, Some(Colour(9, 9, 9)));
    scene.line(vec![(1.0, 2.0), (3.0, 4.0)], Ink::solid(INK, 2.5));
    scene.area(vec![(0.0, 0.0), (1.0, 0.0), (0.0, 1.0)], INK);
    scene.disc((5.0, 6.0), 1.5, INK);
    scene.items.push(Item::Words {
        at: (7.0, 8.0),
        text: "field".to_owned(),
        size: 12.0,
        anchor: Anchor::Middle,
        upwards: true,
        colour: INK,
    });
    let calls = recorded(&scene, &Paint::canvas(8.0, true));
    let rgb = (1, 2, 3);
    assert_eq!(
        calls,
        [
            Call::Polygon(vec![(0, 0), (800, 0), (800, 400), (0, 400)], (9, 9, 9), 1.0),
            Call::Path(vec![(8, 16), (24, 32)], 20, rgb),
            Call::Polygon(vec![(0, 0), (8, 0), (0, 8)], rgb, 1.0),
            Call::Circle((40, 48), 12, rgb),
            Call::Text("field".to_owned(), (56, 64), 96.0, true),
        ]
    );
    // Without words, for a page that sets them itself.
    let calls = recorded(&scene, &Paint::canvas(8.0, false));
    assert_eq!(calls.len(), 4);
    assert_eq!(scene.words().count(), 1);
}

#[test]
fn what_is_not_finite_splits_lines_and_draws_nothing_else() {
    let mut scene = Scene::new(100.0, 50.0, None);
    let gap = f64::NAN;
    let points = vec![
        (0.0, 1.0),
        (1.0, 1.0),
        (2.0, gap),
        (3.0, 1.0),
        (4.0, 1.0),
        (gap, 1.0),
        (6.0, 1.0),
    ];
    scene.line(points, Ink::solid(INK, 1.0));
    scene.area(vec![(0.0, 0.0), (f64::INFINITY, 0.0), (0.0, 1.0)], INK);
    scene.disc((gap, 0.0), 1.0, INK);
    scene.disc((0.0, 0.0), gap, INK);
    scene.write((0.0, f64::INFINITY), "x", 12.0, Anchor::Start, INK);
    let calls = recorded(&scene, &Paint::canvas(10.0, true));
    assert_eq!(
        paths(&calls, INK),
        [vec![(0, 10), (10, 10)], vec![(30, 10), (40, 10)]]
    );
    assert_eq!(calls.len(), 2);
}

#[test]
fn dashes_are_cut_before_the_backend() {
    let mut scene = Scene::new(100.0, 50.0, None);
    let ink = Ink::solid(INK, 1.0).dashed(&[6.0, 4.0]);
    scene.line(vec![(0.0, 0.0), (15.0, 0.0), (15.0, 10.0)], ink);
    let drawn = paths(&recorded(&scene, &Paint::canvas(10.0, false)), INK);
    assert_eq!(
        drawn,
        [
            vec![(0, 0), (60, 0)],
            vec![(100, 0), (150, 0), (150, 10)],
            vec![(150, 50), (150, 100)]
        ]
    );
}

/// A ripple of ±0.4 % of the range must not be flattened into a few whole pixels.
#[test]
fn a_small_ripple_keeps_its_levels() {
    let x = Axis::new("flux", "Phi0", 0.0, 1.0).unwrap();
    let y = Axis::new("voltage", "uV", 0.0, 1.0).unwrap();
    let mut chart = Chart::new(400.0, 300.0, x, y, Theme::light());
    let points = (0..=1000)
        .map(|step| {
            let at = f64::from(step) / 1000.0;
            (at, 0.5 + 0.004 * sin(std::f64::consts::TAU * 5.0 * at))
        })
        .collect();
    chart.series.push(Series::new("", Role::Computed, points));
    let scene = chart.scene();
    let levels = |fineness: f64| {
        let calls = recorded(&scene, &Paint::canvas(fineness, false));
        let curve = paths(&calls, chart.theme.computed)
            .into_iter()
            .max_by_key(Vec::len)
            .unwrap();
        let mut heights: Vec<i32> = curve.iter().map(|at| at.1).collect();
        heights.sort_unstable();
        heights.dedup();
        heights.len()
    };
    assert!(levels(1.0) <= 4, "whole pixels would flatten it");
    assert!(levels(8.0) >= 12, "{}", levels(8.0));
    assert!(levels(10.0) >= 16, "{}", levels(10.0));
}

#[test]
fn a_refusal_of_the_backend_is_passed_on() {
    let mut scene = Scene::new(100.0, 50.0, None);
    scene.line(vec![(0.0, 0.0), (1.0, 0.0)], Ink::solid(INK, 1.0));
    let mut recorder = Recorder {
        refuses: true,
        ..Recorder::default()
    };
    let error = paint(&scene, &mut recorder, &Paint::canvas(8.0, false)).unwrap_err();
    assert!(matches!(error, FigureError::Backend { what: "a line", .. }));
    assert!(error.to_string().contains("out of ink"));
}

#[test]
fn pieces_make_wide_lines_of_polygons() {
    let mut scene = Scene::new(100.0, 50.0, None);
    scene.line(
        vec![(0.0, 5.0), (10.0, 5.0), (10.0, 15.0)],
        Ink::solid(INK, 2.0),
    );
    let how = Paint {
        stroke: Stroke::Pieces,
        ..Paint::canvas(10.0, false)
    };
    let calls = recorded(&scene, &how);
    assert_eq!(
        calls,
        [
            Call::Polygon(vec![(0, 60), (100, 60), (100, 40), (0, 40)], (1, 2, 3), 1.0),
            Call::Polygon(
                vec![(90, 50), (90, 150), (110, 150), (110, 50)],
                (1, 2, 3),
                1.0
            ),
            Call::Circle((100, 50), 10, (1, 2, 3)),
        ]
    );
}

#[test]
fn svg_has_size_view_box_name_and_escapes() {
    let mut scene = Scene::new(640.0, 380.5, Some(Colour(255, 255, 255)));
    scene.title = "current < limit & \"flux\"".to_owned();
    scene.write(
        (10.0, 20.0),
        "I < 2I\u{2080} & more",
        14.0,
        Anchor::Start,
        INK,
    );
    scene.line(vec![(0.0, 0.0), (0.16, 0.0)], Ink::solid(INK, 2.5));
    let text = svg(&scene).unwrap();
    assert!(text.starts_with("<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"640\" height=\"380.5\" viewBox=\"0 0 640 380.5\" role=\"img\""));
    assert!(text.contains("<title>current &lt; limit &amp; \"flux\"</title>"));
    assert!(text.contains("I &lt; 2I\u{2080} &amp; more"));
    // Letters stand on a line a little below their middle.
    assert!(text.contains("<text x=\"10\" y=\"24.9\" font-size=\"14\" text-anchor=\"start\""));
    assert!(
        text.contains("points=\"0,0 0.16,0\""),
        "hundredths of a pixel"
    );
    assert!(text.contains("stroke-width=\"2.5\""));
    assert_eq!(text.matches("<svg").count(), 1);
    assert!(text.trim_end().ends_with("</svg>"));
    // Well formed as far as a count of angle brackets can say.
    assert_eq!(text.matches('<').count(), text.matches('>').count());
    for (width, height) in [(f64::NAN, 10.0), (10.0, 0.0), (1e9, 10.0)] {
        let bad = Scene::new(width, height, None);
        assert!(matches!(svg(&bad), Err(FigureError::Size { .. })));
    }
}

/// Reads back a PNG of 8-bit red, green, blue rows without filters.
struct Picture {
    width: usize,
    height: usize,
    rows: Vec<u8>,
}

impl Picture {
    fn read(file: &[u8]) -> Self {
        assert_eq!(&file[..8], b"\x89PNG\r\n\x1a\n");
        let mut at = 8;
        let (mut width, mut height, mut data) = (0, 0, Vec::new());
        while at < file.len() {
            let length = u32::from_be_bytes(file[at..at + 4].try_into().unwrap()) as usize;
            let kind = &file[at + 4..at + 8];
            let body = &file[at + 8..at + 8 + length];
            let mut check = flate2::Crc::new();
            check.update(kind);
            check.update(body);
            let told =
                u32::from_be_bytes(file[at + 8 + length..at + 12 + length].try_into().unwrap());
            assert_eq!(check.sum(), told);
            match kind {
                b"IHDR" => {
                    width = u32::from_be_bytes(body[..4].try_into().unwrap()) as usize;
                    height = u32::from_be_bytes(body[4..8].try_into().unwrap()) as usize;
                    assert_eq!(&body[8..], [8, 2, 0, 0, 0]);
                }
                b"IDAT" => data.extend_from_slice(body),
                _ => assert_eq!(kind, b"IEND"),
            }
            at += 12 + length;
        }
        let mut rows = Vec::new();
        flate2::read::ZlibDecoder::new(&data[..])
            .read_to_end(&mut rows)
            .unwrap();
        assert_eq!(rows.len(), (width * 3 + 1) * height);
        Self {
            width,
            height,
            rows,
        }
    }

    fn pixel(&self, x: usize, y: usize) -> (u8, u8, u8) {
        let start = y * (self.width * 3 + 1);
        assert_eq!(self.rows[start], 0, "rows are stored without a filter");
        let at = start + 1 + 3 * x;
        (self.rows[at], self.rows[at + 1], self.rows[at + 2])
    }
}

#[test]
fn png_has_ink_where_the_curve_is_and_paper_elsewhere() {
    let x = Axis::new("flux", "Phi0", 0.0, 1.0).unwrap();
    let y = Axis::new("current", "uA", 0.0, 1.0).unwrap();
    let theme = Theme::light();
    let mut chart = Chart::new(320.0, 240.0, x, y, theme);
    let points = vec![(0.0, 0.13), (1.0, 0.87)];
    chart.series.push(Series::new("", Role::Computed, points));
    let frame = chart.frame();
    let scene = chart.scene();
    for scale in [1.0, 2.0, 3.0] {
        let picture = Picture::read(&png(&scene, scale).unwrap());
        assert_eq!(picture.width, (320.0 * scale) as usize);
        assert_eq!(picture.height, (240.0 * scale) as usize);
        let at = |data: (f64, f64)| {
            let (px, py) = frame.to_px(data);
            picture.pixel((px * scale) as usize, (py * scale) as usize)
        };
        let ink = theme.computed;
        for step in 1..9 {
            let place = f64::from(step) / 9.0;
            let found = at((place, 0.13 + 0.74 * place));
            let off = i32::from(found.0.abs_diff(ink.0))
                + i32::from(found.1.abs_diff(ink.1))
                + i32::from(found.2.abs_diff(ink.2));
            assert!(off < 60, "at {place}, scale {scale}: {found:?}");
        }
        // Away from the curve and between grid lines.
        let paper = theme.plot;
        assert_eq!(at((0.21, 0.93)), (paper.0, paper.1, paper.2));
        assert_eq!(
            picture.pixel(0, 0),
            (theme.paper.0, theme.paper.1, theme.paper.2)
        );
    }
}

/// Letters come from the built-in font: there is ink of words where words stand.
#[test]
fn png_has_letters() {
    let mut scene = Scene::new(60.0, 24.0, Some(Colour(255, 255, 255)));
    scene.write((30.0, 12.0), "Φ₀ µA", 16.0, Anchor::Middle, Colour(0, 0, 0));
    let picture = Picture::read(&png(&scene, 2.0).unwrap());
    let dark = |xs: std::ops::Range<usize>| {
        xs.flat_map(|x| (0..48).map(move |y| (x, y)))
            .filter(|&(x, y)| picture.pixel(x, y).0 < 100)
            .count()
    };
    assert!(dark(20..100) > 150, "{}", dark(20..100));
    assert!(
        dark(20..60) > 40 && dark(60..100) > 40,
        "centred on the point"
    );
    assert_eq!(
        dark(0..5) + dark(115..120),
        0,
        "words stay near their point"
    );
}

#[test]
fn png_of_an_impossible_size_is_refused() {
    let scene = Scene::new(100.0, 100.0, None);
    for scale in [0.0, -1.0, f64::NAN, f64::INFINITY, 100.0, 1e9] {
        assert!(matches!(png(&scene, scale), Err(FigureError::Size { .. })));
    }
    assert!(png(&scene, 0.5).is_ok());
}
