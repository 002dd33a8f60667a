//! A scene: what is to be drawn, as pure data in logical pixels with the origin at the top left.
//! Charts and board pictures become scenes; the painter puts a scene on a canvas, in SVG or in a
//! bitmap, at any device scale.

/// A point in logical pixels: from the left, from the top.
pub type Point = (f64, f64);

/// A colour, red, green, blue.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Colour(pub u8, pub u8, pub u8);

impl Colour {
    /// This colour laid over another at an opacity from 0 to 1.
    #[must_use]
    pub fn over(self, below: Self, opacity: f64) -> Self {
        let opacity = opacity.clamp(0.0, 1.0);
        let mix = |upper: u8, lower: u8| {
            (f64::from(upper) * opacity + f64::from(lower) * (1.0 - opacity)).round() as u8
        };
        Self(
            mix(self.0, below.0),
            mix(self.1, below.1),
            mix(self.2, below.2),
        )
    }
}

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

impl Ink {
    /// A solid, opaque line of that colour and width.
    #[must_use]
    pub fn solid(colour: Colour, width: f64) -> Self {
        Self {
            colour,
            opacity: 1.0,
            width,
            dash: Vec::new(),
        }
    }

    /// The same ink with dashes; the lengths are drawn and left out in turn.
    #[must_use]
    pub fn dashed(mut self, dash: &[f64]) -> Self {
        self.dash = dash.to_vec();
        self
    }
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
        points: Vec<Point>,
        /// The ink.
        ink: Ink,
    },
    /// A filled polygon.
    Area {
        /// The corners.
        points: Vec<Point>,
        /// Its colour.
        colour: Colour,
        /// Opacity from 0 to 1.
        opacity: f64,
    },
    /// A filled disc.
    Disc {
        /// Its middle.
        at: Point,
        /// Its radius.
        radius: f64,
        /// Its colour.
        colour: Colour,
    },
    /// Words, upright and vertically centred on their point unless turned.
    Words {
        /// The point.
        at: Point,
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
    /// Its name in a few words: the accessible name of an exported picture. May be empty.
    pub title: String,
    /// Width in logical pixels.
    pub width: f64,
    /// Height in logical pixels.
    pub height: f64,
    /// Colour behind everything; none leaves the page's own showing.
    pub background: Option<Colour>,
    /// The things in it, the first lowest.
    pub items: Vec<Item>,
}

impl Scene {
    /// An empty drawing.
    #[must_use]
    pub fn new(width: f64, height: f64, background: Option<Colour>) -> Self {
        Self {
            title: String::new(),
            width,
            height,
            background,
            items: Vec::new(),
        }
    }

    /// The words in it alone, for a page that sets them as HTML over a canvas painted without
    /// words.
    pub fn words(&self) -> impl Iterator<Item = &Item> {
        self.items
            .iter()
            .filter(|item| matches!(item, Item::Words { .. }))
    }

    /// Adds a line.
    pub fn line(&mut self, points: Vec<Point>, ink: Ink) {
        self.items.push(Item::Line { points, ink });
    }

    /// Adds a filled, opaque polygon.
    pub fn area(&mut self, points: Vec<Point>, colour: Colour) {
        self.items.push(Item::Area {
            points,
            colour,
            opacity: 1.0,
        });
    }

    /// Adds a filled disc.
    pub fn disc(&mut self, at: Point, radius: f64, colour: Colour) {
        self.items.push(Item::Disc { at, radius, colour });
    }

    /// Adds upright words.
    pub fn write(
        &mut self,
        at: Point,
        text: impl Into<String>,
        size: f64,
        anchor: Anchor,
        colour: Colour,
    ) {
        self.items.push(Item::Words {
            at,
            text: text.into(),
            size,
            anchor,
            upwards: false,
            colour,
        });
    }
}

/// How wide words are expected to come out, in logical pixels: an estimate from the kinds of
/// letters, on the wide side, so that layout needs no font and no page to measure on.
#[must_use]
pub fn words_width(text: &str, size: f64) -> f64 {
    let ems: f64 = text
        .chars()
        .map(|letter| match letter {
            'i' | 'l' | 'j' | 'I' | '.' | ',' | ':' | ';' | '\'' | '|' | '!' => 0.32,
            ' ' | 't' | 'f' | 'r' | '(' | ')' | '[' | ']' | '/' | '-' => 0.41,
            '\u{2080}'..='\u{2089}' | '\u{2070}'..='\u{207f}' | '\u{b2}' | '\u{b3}' => 0.42,
            'm' | 'w' | 'M' | 'W' => 0.95,
            'A'..='Z' | '\u{391}'..='\u{3a9}' | '\u{2212}' | '+' | '=' | '\u{2192}' => 0.76,
            _ => 0.62,
        })
        .sum();
    ems * size
}
