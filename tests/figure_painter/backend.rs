//! What the painter tells a drawing backend: each item at its place, no ripple flattened, nothing measured.

use coldfringe::figure::painter::{Paint, Stroke, paint};
use coldfringe::figure::scene::{Anchor, Colour, Ink, Item, Scene};
use coldfringe::figure::{Axis, Chart, FigureError, Role, Series, Theme};
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

/// An ink that only what is looked for has.
pub(super) const INK: Colour = Colour(1, 2, 3);

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
