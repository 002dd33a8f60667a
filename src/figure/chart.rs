//! A chart: axes, curves, markers and a cursor, laid out for the width it is given and turned
//! into a scene.

use super::axis::Axis;
use super::clip;
use super::frame::Frame;
use super::glyph;
use super::labels::{self, EndLabel};
use super::scene::{Anchor, Colour, Ink, Item, Point, Scene, words_width};
use super::series::Series;
use super::theme::{Role, Theme};
use super::ticks::{self, Ticks};
use crate::numerics::order::{sort_short_by, within};

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

    fn curves(&self, scene: &mut Scene, layout: &Layout) {
        let mut order: Vec<&Series> = self.series.iter().collect();
        let height = |series: &Series| match series.role {
            Role::Ghost(_) => 0,
            Role::Envelope => 1,
            Role::Simple => 2,
            Role::Candidate(_) => 3,
            Role::Sketch => 4,
            Role::Computed | Role::Recorded => 5,
        };
        sort_short_by(&mut order, |one, other| height(one).cmp(&height(other)));
        let mut names = Vec::new();
        for series in order {
            if let Some(end) = self.curve(scene, layout, series)
                && labels::stands_at_end(series)
            {
                names.push(EndLabel {
                    end,
                    text: series.name.clone(),
                    colour: self.theme.ink(series.role).colour,
                });
            }
        }
        labels::end_labels(scene, &self.theme, &layout.frame, names, layout.size);
    }

    /// Draws one curve and gives back its last visible point.
    fn curve(&self, scene: &mut Scene, layout: &Layout, series: &Series) -> Option<Point> {
        let theme = &self.theme;
        let frame = &layout.frame;
        let ink = theme.ink(series.role);
        if series.role == Role::Recorded {
            return dots(scene, frame, series, 1.7 * theme.line_scale, ink.colour);
        }
        let traced = series.traced();
        let pixels: Vec<Point> = traced.iter().map(|&point| frame.to_px(point)).collect();
        // Jumps part the curve and are drawn as dotted uprights of their own.
        let mut runs: Vec<Vec<Point>> = vec![Vec::new()];
        let mut jumps: Vec<[Point; 2]> = Vec::new();
        for (index, &at) in pixels.iter().enumerate() {
            if let Some(&before) = index.checked_sub(1).and_then(|last| pixels.get(last))
                && is_jump(before, at)
            {
                jumps.push([before, at]);
                runs.push(Vec::new());
            }
            if let Some(run) = runs.last_mut() {
                run.push(at);
            }
        }
        for [from, to] in jumps {
            let thin = Ink {
                width: (ink.width * 0.5).max(1.0),
                ..ink.clone()
            }
            .dashed(&[1.5 * theme.line_scale, 3.0 * theme.line_scale]);
            for points in clip::polyline(frame, &[from, to]) {
                scene.line(points, thin.clone());
            }
        }
        let mut last = None;
        for run in &runs {
            for points in clip::polyline(frame, run) {
                last = points.last().copied();
                scene.line(points, ink.clone());
            }
        }
        let end = last?;
        let pen_at = series
            .drawn_to
            .and_then(|x| Some(frame.to_px((x, series.at(x)?))))
            .filter(|&at| frame.contains_px(at));
        let finished = series
            .drawn_to
            .is_none_or(|x| series.points.last().is_none_or(|&(end, _)| x >= end));
        match pen_at {
            Some(at) if !finished => {
                glyph::pen(scene, at, layout.size * 0.8, ink.colour, theme.edge);
            }
            _ => {
                let mark = theme.end_mark(series.role);
                let size = 7.5 * theme.line_scale;
                glyph::end_mark(scene, mark, end, size, ink.colour, theme.plot);
            }
        }
        Some(end)
    }

    fn draw_marks(&self, scene: &mut Scene, layout: &Layout) {
        let theme = &self.theme;
        let frame = &layout.frame;
        let size = layout.size;
        let standing: Vec<(&Mark, f64)> = self
            .marks
            .iter()
            .map(|mark| (mark, frame.to_px((mark.x, 0.0)).0))
            .filter(|&(_, at)| at >= frame.left && at <= frame.right)
            .collect();
        for &(mark, at) in &standing {
            let mut ink = theme.ink(mark.role);
            ink.width = (ink.width * 0.8).max(1.5);
            let colour = ink.colour;
            scene.line(vec![(at, frame.bottom), (at, frame.top)], ink);
            glyph::end_mark(
                scene,
                theme.end_mark(mark.role),
                (at, frame.bottom),
                8.5 * theme.line_scale,
                colour,
                theme.plot,
            );
        }
        let named = standing.iter().filter(|(mark, _)| !mark.label.is_empty());
        for (row, &(mark, at)) in named.enumerate() {
            let colour = theme.ink(mark.role).colour;
            let wide = words_width(&mark.label, size);
            // On the side where the words lie inside the plot and on no other marker's line.
            let reach = wide + size * 0.9;
            let is_free = |from: f64, to: f64| {
                from >= frame.left
                    && to <= frame.right
                    && !standing
                        .iter()
                        .any(|&(_, other)| (other - at).abs() > 1e-9 && other > from && other < to)
            };
            let to_left =
                !is_free(at, at + reach) && (is_free(at - reach, at) || at + reach > frame.right);
            let y = frame.top + size * (0.95 + 1.4 * row as f64);
            let (x, anchor, box_left) = if to_left {
                (at - size * 0.5, Anchor::End, at - size * 0.7 - wide)
            } else {
                (at + size * 0.5, Anchor::Start, at + size * 0.3)
            };
            scene.items.push(Item::Area {
                points: vec![
                    (box_left, y - size * 0.68),
                    (box_left + wide + size * 0.4, y - size * 0.68),
                    (box_left + wide + size * 0.4, y + size * 0.68),
                    (box_left, y + size * 0.68),
                ],
                colour: theme.plot,
                opacity: 0.88,
            });
            scene.write((x, y), mark.label.clone(), size, anchor, colour);
        }
    }

    fn draw_cursor(&self, scene: &mut Scene, layout: &Layout) {
        let theme = &self.theme;
        let frame = &layout.frame;
        let Some(x) = self.cursor else { return };
        let at = frame.to_px((x, 0.0)).0;
        if !at.is_finite() || at < frame.left || at > frame.right {
            return;
        }
        scene.line(
            vec![(at, frame.top), (at, frame.bottom)],
            Ink::solid(theme.cursor, 1.25 * theme.line_scale),
        );
        let reach = layout.size * 0.36;
        scene.area(
            vec![
                (at, frame.top),
                (at - reach, frame.top - reach * 1.3),
                (at + reach, frame.top - reach * 1.3),
            ],
            theme.cursor,
        );
        for series in &self.series {
            if matches!(series.role, Role::Ghost(_)) {
                continue;
            }
            let Some(dot) = series.at(x).map(|y| frame.to_px((x, y))) else {
                continue;
            };
            if frame.contains_px(dot) {
                let size = 4.5 * theme.line_scale;
                scene.disc(dot, size, theme.plot);
                scene.disc(dot, size * 0.72, theme.ink(series.role).colour);
            }
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

/// Draws the points of a record, and gives back the last that is on the paper.
fn dots(
    scene: &mut Scene,
    frame: &Frame,
    series: &Series,
    radius: f64,
    ink: Colour,
) -> Option<Point> {
    let mut last = None;
    for &point in &series.points {
        let at = frame.to_px(point);
        if frame.contains_px(at) {
            scene.disc(at, radius, ink);
            last = Some(at);
        }
    }
    last
}

/// Whether two neighbouring points of a curve, in logical pixels, are a jump: upright, apart.
fn is_jump(before: Point, at: Point) -> bool {
    (before.0 - at.0).abs() < 1e-6 && (before.1 - at.1).abs() > 1e-6
}
