//! Figures as files: SVG and PNG hold what the scene holds.

use std::io::Read as _;

use super::backend::INK;
use coldfringe::figure::scene::{Anchor, Colour, Ink, Scene};
use coldfringe::figure::{Axis, Chart, FigureError, Role, Series, Theme, png, svg};

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
