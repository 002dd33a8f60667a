//! The plot rectangle: from data to logical pixels and back.

use super::scene::Point;

/// The rectangle in which curves are drawn, in logical pixels, with the data at its edges.
/// Upwards in data is upwards on the page, so `top` is the smaller pixel number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// Left edge in logical pixels.
    pub left: f64,
    /// Top edge in logical pixels.
    pub top: f64,
    /// Right edge in logical pixels.
    pub right: f64,
    /// Bottom edge in logical pixels.
    pub bottom: f64,
    /// Data x at the left and right edges.
    pub x: (f64, f64),
    /// Data y at the bottom and top edges.
    pub y: (f64, f64),
}

impl Frame {
    /// Where a data point lies, in logical pixels; outside the rectangle when the data is.
    #[must_use]
    pub fn to_px(&self, data: (f64, f64)) -> Point {
        (
            self.left + (data.0 - self.x.0) / (self.x.1 - self.x.0) * self.width(),
            self.bottom - (data.1 - self.y.0) / (self.y.1 - self.y.0) * self.height(),
        )
    }

    /// The data at a place in logical pixels.
    #[must_use]
    pub fn from_px(&self, at: Point) -> (f64, f64) {
        (
            self.x.0 + (at.0 - self.left) / self.width() * (self.x.1 - self.x.0),
            self.y.0 + (self.bottom - at.1) / self.height() * (self.y.1 - self.y.0),
        )
    }

    /// Width in logical pixels.
    #[must_use]
    pub fn width(&self) -> f64 {
        self.right - self.left
    }

    /// Height in logical pixels.
    #[must_use]
    pub fn height(&self) -> f64 {
        self.bottom - self.top
    }

    /// Whether a place in logical pixels lies in the rectangle, edges included.
    #[must_use]
    pub fn contains_px(&self, at: Point) -> bool {
        at.0 >= self.left && at.0 <= self.right && at.1 >= self.top && at.1 <= self.bottom
    }
}
