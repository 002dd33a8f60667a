//! Putting a scene on any plotters backend. Backends know whole pixels only, so a scene is
//! painted into a finer space than it is shown in: a canvas is scaled down as it is drawn on, and
//! the pixels of a bitmap are averaged afterwards.

use plotters_backend::text_anchor::{HPos, Pos, VPos};
use plotters_backend::{
    BackendColor, BackendCoord, BackendStyle, BackendTextStyle, DrawingBackend, FontFamily,
    FontTransform,
};

use super::dash::dashes;
use super::error::FigureError;
use super::letters;
use super::scene::{Anchor, Colour, Ink, Item, Point, Scene};

/// How a backend draws a line that is more than a pixel wide.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stroke {
    /// As one path, joined by the backend (ask a canvas for round joins and ends).
    Path,
    /// As filled pieces with round joins, for backends whose own wide lines are rough (bitmaps).
    Pieces,
}

/// How a scene goes onto a backend.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Paint {
    /// Backend pixels for one logical pixel; 8 or more keeps curves smooth.
    pub fineness: f64,
    /// Whether words are drawn too; a page may rather set them as HTML over the canvas.
    pub words: bool,
    /// Whether the scene's background is painted.
    pub background: bool,
    /// Factor on text sizes that makes the backend's letters come out at the scene's size: 1 on
    /// a canvas, 1.24 in bitmaps, whose size counts the line height.
    pub text_factor: f64,
    /// The font family, as the backend knows it.
    pub family: &'static str,
    /// How wide lines are drawn.
    pub stroke: Stroke,
}

impl Paint {
    /// For a canvas whose context is scaled down by `fineness / device scale`.
    #[must_use]
    pub const fn canvas(fineness: f64, words: bool) -> Self {
        Self {
            fineness,
            words,
            background: true,
            text_factor: 1.0,
            family: "system-ui, sans-serif",
            stroke: Stroke::Path,
        }
    }
}

/// Paints a scene. Text is never measured, so no font and no page is needed for that.
///
/// # Errors
/// When the backend refuses a call.
pub fn paint<DB: DrawingBackend>(
    scene: &Scene,
    backend: &mut DB,
    how: &Paint,
) -> Result<(), FigureError> {
    backend.ensure_prepared().map_err(refused("the sheet"))?;
    if let Some(colour) = scene.background.filter(|_| how.background) {
        let (right, bottom) = (scene.width, scene.height);
        let sheet = [(0.0, 0.0), (right, 0.0), (right, bottom), (0.0, bottom)];
        fill(backend, how, &sheet, colour, 1.0)?;
    }
    for item in &scene.items {
        match item {
            Item::Line { points, ink } => line(backend, how, points, ink)?,
            Item::Area {
                points,
                colour,
                opacity,
            } => fill(backend, how, points, *colour, *opacity)?,
            Item::Disc { at, radius, colour } => disc(backend, how, *at, *radius, *colour)?,
            Item::Words { .. } => {
                if how.words {
                    words(backend, how, item)?;
                }
            }
        }
    }
    backend.present().map_err(refused("the finished sheet"))
}

/// Turns a backend's error into ours.
fn refused<E: std::fmt::Display>(what: &'static str) -> impl Fn(E) -> FigureError {
    move |cause| FigureError::Backend {
        what,
        cause: cause.to_string(),
    }
}

fn is_finite(at: &Point) -> bool {
    at.0.is_finite() && at.1.is_finite()
}

fn coordinate(at: Point, fineness: f64) -> BackendCoord {
    // The cast saturates, so a far point stays far.
    (
        (at.0 * fineness).round() as i32,
        (at.1 * fineness).round() as i32,
    )
}

fn colour(colour: Colour, opacity: f64) -> BackendColor {
    BackendColor {
        alpha: opacity.clamp(0.0, 1.0),
        rgb: (colour.0, colour.1, colour.2),
    }
}

/// A line's style for the backend.
struct Pen {
    colour: BackendColor,
    width: u32,
}

impl BackendStyle for Pen {
    fn color(&self) -> BackendColor {
        self.colour
    }

    fn stroke_width(&self) -> u32 {
        self.width
    }
}

fn line<DB: DrawingBackend>(
    backend: &mut DB,
    how: &Paint,
    points: &[Point],
    ink: &Ink,
) -> Result<(), FigureError> {
    let pen = Pen {
        colour: colour(ink.colour, ink.opacity),
        width: (ink.width * how.fineness).round().max(1.0) as u32,
    };
    for run in points.split(|at| !is_finite(at)) {
        if run.len() < 2 {
            continue;
        }
        for piece in dashes(run, &ink.dash) {
            match how.stroke {
                Stroke::Path => {
                    let mut path: Vec<BackendCoord> = piece
                        .iter()
                        .map(|&at| coordinate(at, how.fineness))
                        .collect();
                    path.dedup();
                    backend.draw_path(path, &pen).map_err(refused("a line"))?;
                }
                Stroke::Pieces => pieces(backend, how, &piece, ink)?,
            }
        }
    }
    Ok(())
}

/// A wide line as one rectangle for each segment and a disc at each corner between two.
fn pieces<DB: DrawingBackend>(
    backend: &mut DB,
    how: &Paint,
    points: &[Point],
    ink: &Ink,
) -> Result<(), FigureError> {
    let half = ink.width / 2.0;
    for pair in points.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        let (dx, dy) = (b.0 - a.0, b.1 - a.1);
        let length = (dx * dx + dy * dy).sqrt();
        if length <= 0.0 {
            continue;
        }
        let (nx, ny) = (-dy / length * half, dx / length * half);
        let corners = [
            (a.0 + nx, a.1 + ny),
            (b.0 + nx, b.1 + ny),
            (b.0 - nx, b.1 - ny),
            (a.0 - nx, a.1 - ny),
        ];
        fill(backend, how, &corners, ink.colour, ink.opacity)?;
    }
    if half * how.fineness >= 1.5 {
        for &at in points.get(1..points.len() - 1).unwrap_or_default() {
            disc(backend, how, at, half, ink.colour)?;
        }
    }
    Ok(())
}

fn fill<DB: DrawingBackend>(
    backend: &mut DB,
    how: &Paint,
    points: &[Point],
    shade: Colour,
    opacity: f64,
) -> Result<(), FigureError> {
    if points.len() < 3 || !points.iter().all(is_finite) {
        return Ok(());
    }
    let corners: Vec<BackendCoord> = points
        .iter()
        .map(|&at| coordinate(at, how.fineness))
        .collect();
    backend
        .fill_polygon(corners, &colour(shade, opacity))
        .map_err(refused("an area"))
}

fn disc<DB: DrawingBackend>(
    backend: &mut DB,
    how: &Paint,
    at: Point,
    radius: f64,
    shade: Colour,
) -> Result<(), FigureError> {
    if !(is_finite(&at) && radius.is_finite() && radius > 0.0) {
        return Ok(());
    }
    let radius = (radius * how.fineness).round().max(1.0) as u32;
    backend
        .draw_circle(
            coordinate(at, how.fineness),
            radius,
            &colour(shade, 1.0),
            true,
        )
        .map_err(refused("a disc"))
}

fn words<DB: DrawingBackend>(
    backend: &mut DB,
    how: &Paint,
    item: &Item,
) -> Result<(), FigureError> {
    let Item::Words {
        at,
        text,
        size,
        anchor,
        upwards,
        colour: shade,
    } = item
    else {
        return Ok(());
    };
    if !is_finite(at) || text.is_empty() {
        return Ok(());
    }
    let lettering = Lettering {
        family: how.family,
        size: size * how.fineness * how.text_factor,
        anchor: *anchor,
        upwards: *upwards,
        colour: colour(*shade, 1.0),
    };
    backend
        .draw_text(text, &lettering, coordinate(*at, how.fineness))
        .map_err(refused("words"))
}

/// A text style for the backend.
pub(super) struct Lettering {
    pub(super) family: &'static str,
    pub(super) size: f64,
    anchor: Anchor,
    upwards: bool,
    pub(super) colour: BackendColor,
}

impl BackendTextStyle for Lettering {
    type FontError = FigureError;

    fn color(&self) -> BackendColor {
        self.colour
    }

    fn size(&self) -> f64 {
        self.size
    }

    fn transform(&self) -> FontTransform {
        if self.upwards {
            FontTransform::Rotate270
        } else {
            FontTransform::None
        }
    }

    fn anchor(&self) -> Pos {
        let across = match self.anchor {
            Anchor::Start => HPos::Left,
            Anchor::Middle => HPos::Center,
            Anchor::End => HPos::Right,
        };
        Pos::new(across, VPos::Center)
    }

    fn family(&self) -> FontFamily<'_> {
        FontFamily::Name(self.family)
    }

    fn layout_box(&self, text: &str) -> Result<((i32, i32), (i32, i32)), FigureError> {
        letters::extent(self, text)
    }

    fn draw<E, Draw: FnMut(i32, i32, BackendColor) -> Result<(), E>>(
        &self,
        text: &str,
        at: BackendCoord,
        draw: Draw,
    ) -> Result<Result<(), E>, FigureError> {
        letters::draw(self, text, at, draw)
    }
}
