//! A scene: what is to be drawn, as pure data in logical pixels with the origin at the top left.
//! Charts and board pictures become scenes; the painter puts a scene on a canvas, in SVG or in a
//! bitmap, at any device scale.

/// A colour, red, green, blue.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Colour(pub u8, pub u8, pub u8);

/// How a line is inked.
#[derive(Debug, Clone, PartialEq)]
pub struct Ink {
    /// Its colour.
    pub colour: Colour,
    /// Opacity from 0 to 1.
    pub opacity: f64,
    /// Width in logical pixels.
    pub width: f64,
    /// Lengths of dashes and gaps in logical pixels; empty for a solid line.
    pub dash: Vec<f64>,
}

/// Where a text hangs from its point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// The point is at the left end.
    Start,
    /// The point is in the middle.
    Middle,
    /// The point is at the right end.
    End,
}

/// One thing in a scene.
#[derive(Debug, Clone, PartialEq)]
pub enum Item {
    /// A line through points; a point that is not finite splits it.
    Line {
        /// The points.
        points: Vec<(f64, f64)>,
        /// The ink.
        ink: Ink,
    },
    /// A filled polygon.
    Area {
        /// The corners.
        points: Vec<(f64, f64)>,
        /// Its colour.
        colour: Colour,
        /// Opacity from 0 to 1.
        opacity: f64,
    },
    /// A filled disc.
    Disc {
        /// Its middle.
        at: (f64, f64),
        /// Its radius.
        radius: f64,
        /// Its colour.
        colour: Colour,
    },
    /// Words, upright and vertically centred on their point unless turned.
    Words {
        /// The point.
        at: (f64, f64),
        /// The words.
        text: String,
        /// Size in logical pixels.
        size: f64,
        /// How they hang.
        anchor: Anchor,
        /// Turned a quarter to read upwards.
        upwards: bool,
        /// Their colour.
        colour: Colour,
    },
}

/// A drawing in logical pixels.
#[derive(Debug, Clone, PartialEq)]
pub struct Scene {
    /// Width in logical pixels.
    pub width: f64,
    /// Height in logical pixels.
    pub height: f64,
    /// Colour behind everything; none leaves the page's own showing.
    pub background: Option<Colour>,
    /// The things in it, the first lowest.
    pub items: Vec<Item>,
}
