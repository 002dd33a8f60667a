//! A chart: axes, curves, markers and a cursor, laid out for the width it is given and turned
//! into a scene.

use super::axis::Axis;
use super::frame::Frame;
use super::labels;
use super::scene::{Anchor, Ink, Scene, words_width};
use super::series::Series;
use super::theme::{Role, Theme};
use super::ticks::{self, Ticks};
use crate::numerics::order::within;

mod curves;
mod marks;

/// An upright marker at one x.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// Where it stands, in data units.
    pub x: f64,
    /// Words beside it; may be empty.
    pub label: String,
    /// Whose marker it is: the reader's ([`Role::Sketch`]), the model's ([`Role::Computed`]), …
    pub role: Role,
}

/// A chart in logical pixels.
#[derive(Debug, Clone, PartialEq)]
pub struct Chart {
    /// Width; taken as at least 120.
    pub width: f64,
    /// Height; taken as at least 100.
    pub height: f64,
    /// What runs to the right.
    pub x: Axis,
    /// What runs upwards.
    pub y: Axis,
    /// The curves; roles decide which lie on top.
    pub series: Vec<Series>,
    /// The markers.
    pub marks: Vec<Mark>,
    /// The common cursor, in data units of x.
    pub cursor: Option<f64>,
    /// The look.
    pub theme: Theme,
    /// Rows kept for the key even while it is empty, so that the plot rectangle keeps its place
    /// when curves get their names.
    pub key_rows: u8,
}

/// Sizes that follow from the width and the theme.
struct Layout {
    frame: Frame,
    x: Ticks,
    y: Ticks,
    size: f64,
    key_top: f64,
}

impl Chart {
    /// An empty chart.
    #[must_use]
    pub fn new(width: f64, height: f64, x: Axis, y: Axis, theme: Theme) -> Self {
        Self {
            width,
            height,
            x,
            y,
            series: Vec::new(),
            marks: Vec::new(),
            cursor: None,
            theme,
            key_rows: 0,
        }
    }

    /// The plot rectangle, for turning pointer places into data and back.
    #[must_use]
    pub fn frame(&self) -> Frame {
        self.layout().frame
    }

    fn sides(&self) -> (f64, f64) {
        let side = |value: f64, least: f64| {
            if value.is_finite() {
                within(value, least, 20_000.0)
            } else {
                least
            }
        };
        (side(self.width, 120.0), side(self.height, 100.0))
    }

    fn layout(&self) -> Layout {
        let (width, height) = self.sides();
        let size = self.theme.text_size(width);
        let margin = size * 0.6;
        // From the top: words of the y axis, the key, half a line of air for the upper tick word.
        let key_top = margin * 0.5 + size * 1.45;
        let key = labels::key_height(&self.series, width - 2.0 * margin, size)
            .max(labels::rows_height(usize::from(self.key_rows), size));
        let top = (key_top + key + size * 0.55).min(height * 0.5);
        // From the bottom: words of the x axis and its tick words.
        let bottom = (height - size * 3.25).max(top + height * 0.2);
        let rows = ((bottom - top) / (size * 2.4)).floor().clamp(2.0, 10.0);
        let y = ticks::ticks(
            self.y.from(),
            self.y.to(),
            rows as usize,
            self.y.in_quanta(),
        );
        let widest = y
            .words
            .iter()
            .map(|word| words_width(word, size))
            .fold(0.0, f64::max);
        let left = (margin + widest + size * 0.55).min(width * 0.4);
        let letters = self.series.iter().any(labels::stands_at_end);
        let right = width - if letters { size * 2.2 } else { size * 1.1 };
        let columns = ((right - left) / (size * 3.3)).floor().clamp(2.0, 13.0);
        let x = ticks::ticks(
            self.x.from(),
            self.x.to(),
            columns as usize,
            self.x.in_quanta(),
        );
        Layout {
            frame: Frame {
                left,
                top,
                right,
                bottom,
                x: (self.x.from(), self.x.to()),
                y: (self.y.from(), self.y.to()),
            },
            x,
            y,
            size,
            key_top,
        }
    }

    /// The chart as a scene. Curves end where they cross the plot rectangle.
    #[must_use]
    pub fn scene(&self) -> Scene {
        let (width, height) = self.sides();
        let layout = self.layout();
        let mut scene = Scene::new(width, height, Some(self.theme.paper));
        scene.title = format!("{} against {}", self.y.label(), self.x.label());
        self.paper(&mut scene, &layout);
        self.curves(&mut scene, &layout);
        self.draw_marks(&mut scene, &layout);
        self.draw_cursor(&mut scene, &layout);
        self.words(&mut scene, &layout);
        scene
    }

    /// The printed grid and the edge of the plot.
    fn paper(&self, scene: &mut Scene, layout: &Layout) {
        let theme = &self.theme;
        let frame = &layout.frame;
        let corners = vec![
            (frame.left, frame.top),
            (frame.right, frame.top),
            (frame.right, frame.bottom),
            (frame.left, frame.bottom),
        ];
        scene.area(corners.clone(), theme.plot);
        let mut lines = |xs: &[f64], ys: &[f64], ink: &Ink| {
            for &x in xs {
                let at = frame.to_px((x, 0.0)).0;
                scene.line(vec![(at, frame.top), (at, frame.bottom)], ink.clone());
            }
            for &y in ys {
                let at = frame.to_px((0.0, y)).1;
                scene.line(vec![(frame.left, at), (frame.right, at)], ink.clone());
            }
        };
        if let Some(colour) = theme.grid_fine {
            lines(&layout.x.minor, &layout.y.minor, &Ink::solid(colour, 0.75));
        }
        lines(
            &layout.x.major,
            &layout.y.major,
            &Ink::solid(theme.grid, 1.0),
        );
        // Zero inside the plot is the line that signs are read against.
        let zero = |from: f64, to: f64| -> Vec<f64> {
            (from < 0.0 && to > 0.0)
                .then_some(0.0)
                .into_iter()
                .collect()
        };
        lines(
            &zero(self.x.from(), self.x.to()),
            &zero(self.y.from(), self.y.to()),
            &Ink::solid(theme.edge.over(theme.plot, 0.55), 1.0),
        );
        let edge = Ink::solid(theme.edge, theme.line_scale);
        let mut around = corners;
        around.push((frame.left, frame.top));
        scene.line(around, edge.clone());
        let tick = layout.size * 0.35;
        for &x in &layout.x.major {
            let at = frame.to_px((x, 0.0)).0;
            scene.line(
                vec![(at, frame.bottom), (at, frame.bottom + tick)],
                edge.clone(),
            );
        }
        for &y in &layout.y.major {
            let at = frame.to_px((0.0, y)).1;
            scene.line(
                vec![(frame.left - tick, at), (frame.left, at)],
                edge.clone(),
            );
        }
    }

    fn words(&self, scene: &mut Scene, layout: &Layout) {
        let theme = &self.theme;
        let frame = &layout.frame;
        let size = layout.size;
        let (_, height) = self.sides();
        for (&x, word) in layout.x.major.iter().zip(&layout.x.words) {
            let at = (frame.to_px((x, 0.0)).0, frame.bottom + size * 1.0);
            scene.write(at, word.clone(), size, Anchor::Middle, theme.words);
        }
        for (&y, word) in layout.y.major.iter().zip(&layout.y.words) {
            let at = (frame.left - size * 0.55, frame.to_px((0.0, y)).1);
            scene.write(at, word.clone(), size, Anchor::End, theme.words);
        }
        // Long words become smaller before they leave the drawing.
        let fitting = |words: &str, room: f64| {
            let wide = words_width(words, size).max(1.0);
            size * (room / wide).clamp(0.6, 1.0)
        };
        scene.write(
            (frame.right, height - size * 0.95),
            self.x.words(),
            fitting(&self.x.words(), frame.right),
            Anchor::End,
            theme.words,
        );
        let margin = size * 0.6;
        scene.write(
            (margin, margin * 0.5 + size * 0.75),
            self.y.words(),
            fitting(&self.y.words(), scene.width - 2.0 * margin),
            Anchor::Start,
            theme.words,
        );
        labels::key(
            scene,
            theme,
            &self.series,
            (margin, layout.key_top),
            scene.width - 2.0 * margin,
            size,
        );
    }
}
