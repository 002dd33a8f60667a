//! The look: paper, printed grid and inks of a chart recorder. Every role has a colour, a dash
//! and an end mark of its own, so that colour is never the only sign. The hues keep apart for
//! the common kinds of colour blindness; a test checks the contrasts.

use super::scene::{Colour, Ink};
use crate::numerics::elementary;

/// What a curve is, which decides how it looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// The curve that the model computed.
    Computed,
    /// What the reader drew.
    Sketch,
    /// One of the curves to choose from, counted from 0 (from 4 on the looks repeat).
    Candidate(u8),
    /// An upper edge under which a curve moves.
    Envelope,
    /// The simple picture's curve beside the full one.
    Simple,
    /// What an instrument recorded: points, not a line.
    Recorded,
    /// An earlier trace held for comparison, counted from 0 (from 3 on the dashes repeat).
    Ghost(u8),
}

/// The shape at the end of a curve.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EndMark {
    /// A filled disc.
    Disc,
    /// A ring.
    Ring,
    /// A filled square.
    Square,
    /// A filled triangle.
    Triangle,
    /// A filled diamond.
    Diamond,
    /// A plus sign.
    Plus,
    /// An upright bar.
    Bar,
    /// A diagonal cross.
    Cross,
    /// An empty square.
    Frame,
}

/// Colours and sizes of one look.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Theme {
    /// Its name: `light`, `dark`, `lecture`, `lecture-dark` or `print`.
    pub name: &'static str,
    /// The paper behind everything.
    pub paper: Colour,
    /// The paper inside the plot rectangle and behind a board picture.
    pub plot: Colour,
    /// The fine printed grid; none leaves it out.
    pub grid_fine: Option<Colour>,
    /// The grid at the marked places.
    pub grid: Colour,
    /// The edge of the plot rectangle and its ticks.
    pub edge: Colour,
    /// Words.
    pub words: Colour,
    /// Less important words.
    pub quiet: Colour,
    /// The cursor.
    pub cursor: Colour,
    /// [`Role::Computed`]; on a board the sum, the resultant, the total.
    pub computed: Colour,
    /// [`Role::Sketch`].
    pub sketch: Colour,
    /// [`Role::Candidate`].
    pub candidates: [Colour; 4],
    /// [`Role::Envelope`].
    pub envelope: Colour,
    /// [`Role::Simple`].
    pub simple: Colour,
    /// [`Role::Ghost`].
    pub ghost: Colour,
    /// On a board: currents along their direction, and phasors.
    pub current: Colour,
    /// On a board: currents against their direction, and the circulating current.
    pub counter: Colour,
    /// On a board: magnetic field and flux.
    pub field: Colour,
    /// On a board: superconducting metal.
    pub metal: Colour,
    /// On a board: the depth to which the field enters the metal.
    pub skin: Colour,
    /// On a board: the barrier.
    pub barrier: Colour,
    /// Factor on every text size.
    pub text_scale: f64,
    /// How many logical pixels stand for one of a page of ordinary size: a drawing in a hall is
    /// laid out as a small one and enlarged.
    pub unit: f64,
    /// Factor on every line width.
    pub line_scale: f64,
}

impl Theme {
    /// Text size of a page, in logical pixels, at which a text scale of 1 is right: the largest
    /// words of a chart are then as large as the page's.
    pub const ROOT_TEXT: f64 = 16.0;

    /// Warm paper, a fine green grid, blue-black ink.
    #[must_use]
    pub const fn light() -> Self {
        Self {
            name: "light",
            paper: Colour(251, 247, 237),
            plot: Colour(254, 252, 245),
            grid_fine: Some(Colour(230, 234, 219)),
            grid: Colour(199, 212, 190),
            edge: Colour(92, 102, 88),
            words: Colour(43, 40, 36),
            quiet: Colour(98, 92, 82),
            cursor: Colour(120, 52, 96),
            computed: Colour(20, 42, 104),
            sketch: Colour(184, 72, 8),
            candidates: [
                Colour(0, 100, 168),
                Colour(160, 62, 0),
                Colour(0, 112, 84),
                Colour(150, 52, 116),
            ],
            envelope: Colour(92, 104, 60),
            simple: Colour(126, 78, 20),
            ghost: Colour(134, 128, 118),
            current: Colour(0, 100, 168),
            counter: Colour(176, 62, 0),
            field: Colour(0, 112, 84),
            metal: Colour(214, 209, 198),
            skin: Colour(232, 229, 219),
            barrier: Colour(250, 231, 184),
            text_scale: 1.0,
            unit: 1.0,
            line_scale: 1.0,
        }
    }

    /// The same recorder at night.
    #[must_use]
    pub const fn dark() -> Self {
        Self {
            name: "dark",
            paper: Colour(24, 27, 31),
            plot: Colour(19, 22, 26),
            grid_fine: Some(Colour(33, 39, 40)),
            grid: Colour(53, 64, 61),
            edge: Colour(150, 160, 150),
            words: Colour(236, 231, 219),
            quiet: Colour(176, 172, 160),
            cursor: Colour(226, 150, 200),
            computed: Colour(240, 236, 214),
            sketch: Colour(246, 150, 88),
            candidates: [
                Colour(98, 182, 240),
                Colour(240, 160, 60),
                Colour(64, 200, 158),
                Colour(222, 142, 190),
            ],
            envelope: Colour(170, 182, 120),
            simple: Colour(214, 176, 110),
            ghost: Colour(124, 128, 130),
            current: Colour(98, 182, 240),
            counter: Colour(246, 150, 70),
            field: Colour(64, 200, 158),
            metal: Colour(66, 70, 76),
            skin: Colour(46, 50, 55),
            barrier: Colour(98, 82, 40),
            text_scale: 1.0,
            unit: 1.0,
            line_scale: 1.0,
        }
    }

    /// Black on white with strong lines and large words, for a projector in a bright room. There
    /// are three hues only, black, blue and vermilion (those of Okabe and Ito, darkened until
    /// their letters keep 4.5:1), in shades that the dashes tell apart; and no printed grid, which
    /// a bright room would turn into dirt.
    #[must_use]
    pub const fn lecture() -> Self {
        Self {
            name: "lecture",
            paper: Colour(255, 255, 255),
            plot: Colour(255, 255, 255),
            grid_fine: None,
            grid: Colour(255, 255, 255),
            edge: Colour(0, 0, 0),
            words: Colour(0, 0, 0),
            quiet: Colour(40, 40, 40),
            cursor: Colour(0, 66, 116),
            computed: Colour(0, 0, 0),
            sketch: Colour(186, 66, 0),
            candidates: [
                Colour(0, 102, 170),
                Colour(170, 60, 0),
                Colour(28, 28, 28),
                Colour(0, 74, 128),
            ],
            envelope: Colour(0, 90, 152),
            simple: Colour(154, 54, 0),
            ghost: Colour(64, 64, 64),
            current: Colour(0, 92, 160),
            counter: Colour(176, 62, 0),
            field: Colour(0, 0, 0),
            metal: Colour(206, 206, 206),
            skin: Colour(230, 230, 230),
            barrier: Colour(255, 230, 160),
            text_scale: 1.75,
            unit: 1.0,
            line_scale: 1.8,
        }
    }

    /// White on black for a dark hall, with the same three hues.
    #[must_use]
    pub const fn lecture_dark() -> Self {
        Self {
            name: "lecture-dark",
            paper: Colour(10, 10, 12),
            plot: Colour(10, 10, 12),
            grid_fine: None,
            grid: Colour(10, 10, 12),
            edge: Colour(255, 255, 255),
            words: Colour(255, 255, 255),
            quiet: Colour(216, 216, 216),
            cursor: Colour(190, 226, 250),
            computed: Colour(255, 255, 255),
            sketch: Colour(246, 150, 70),
            candidates: [
                Colour(96, 186, 240),
                Colour(246, 164, 92),
                Colour(236, 236, 236),
                Colour(140, 206, 246),
            ],
            envelope: Colour(116, 194, 242),
            simple: Colour(248, 178, 116),
            ghost: Colour(184, 184, 184),
            current: Colour(104, 188, 242),
            counter: Colour(248, 156, 78),
            field: Colour(250, 250, 250),
            metal: Colour(70, 70, 74),
            skin: Colour(46, 46, 50),
            barrier: Colour(92, 76, 34),
            text_scale: 1.75,
            unit: 1.0,
            line_scale: 1.8,
        }
    }

    /// Black on white for paper: no tint behind the plot, and the reader's own line is told from
    /// the computed one by its dashes.
    #[must_use]
    pub const fn print() -> Self {
        Self {
            name: "print",
            sketch: Colour(0, 0, 0),
            grid_fine: Some(Colour(232, 232, 232)),
            grid: Colour(200, 200, 200),
            quiet: Colour(60, 60, 60),
            cursor: Colour(90, 0, 80),
            candidates: [
                Colour(0, 92, 160),
                Colour(150, 56, 0),
                Colour(0, 98, 72),
                Colour(136, 36, 104),
            ],
            envelope: Colour(72, 84, 40),
            simple: Colour(110, 66, 10),
            ghost: Colour(120, 120, 120),
            field: Colour(0, 98, 72),
            text_scale: 1.0,
            line_scale: 1.0,
            ..Self::lecture()
        }
    }

    /// The theme of that name, if there is one.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        match name {
            "light" => Some(Self::light()),
            "dark" => Some(Self::dark()),
            "lecture" => Some(Self::lecture()),
            "lecture-dark" => Some(Self::lecture_dark()),
            "print" => Some(Self::print()),
            _ => None,
        }
    }

    /// All five themes.
    #[must_use]
    pub fn all() -> [Self; 5] {
        [
            Self::light(),
            Self::dark(),
            Self::lecture(),
            Self::lecture_dark(),
            Self::print(),
        ]
    }

    /// Text size in logical pixels for a drawing of that width. A narrow drawing has no room for
    /// a theme's large words: the theme's factor counts in full from 600 pixels on.
    #[must_use]
    pub fn text_size(&self, width: f64) -> f64 {
        let width = width / self.unit;
        let room = ((width - 300.0) / 300.0).clamp(0.0, 1.0);
        (width / 44.0).clamp(12.5, 16.0) * self.unit * (1.0 + (self.text_scale - 1.0) * room)
    }

    /// The ink of a role.
    #[must_use]
    pub fn ink(&self, role: Role) -> Ink {
        let (colour, width, dash): (Colour, f64, &[f64]) = match role {
            Role::Computed | Role::Recorded => (self.computed, 2.5, &[]),
            Role::Sketch => (self.sketch, 2.5, &[10.0, 7.0]),
            Role::Candidate(index) => {
                let dash: &[f64] = match index % 4 {
                    0 => &[24.0, 3.0],
                    1 => &[7.0, 4.0],
                    2 => &[14.0, 4.0, 3.0, 4.0],
                    _ => &[2.5, 3.5],
                };
                (self.candidates[usize::from(index % 4)], 2.5, dash)
            }
            Role::Envelope => (self.envelope, 1.5, &[1.5, 5.0]),
            Role::Simple => (self.simple, 2.0, &[16.0, 5.0, 2.0, 5.0, 2.0, 5.0]),
            Role::Ghost(index) => {
                let dash: &[f64] = match index % 3 {
                    0 => &[5.0, 2.0],
                    1 => &[2.0, 2.0],
                    _ => &[9.0, 2.0, 2.0, 2.0],
                };
                (self.ghost, 1.5, dash)
            }
        };
        let scale = self.line_scale;
        Ink {
            colour,
            opacity: 1.0,
            width: width * scale,
            dash: dash.iter().map(|length| length * scale).collect(),
        }
    }

    /// The end mark of a role.
    #[must_use]
    pub fn end_mark(&self, role: Role) -> EndMark {
        match role {
            Role::Computed | Role::Recorded => EndMark::Disc,
            Role::Sketch => EndMark::Ring,
            Role::Candidate(index) => match index % 4 {
                0 => EndMark::Square,
                1 => EndMark::Triangle,
                2 => EndMark::Diamond,
                _ => EndMark::Plus,
            },
            Role::Envelope => EndMark::Bar,
            Role::Simple => EndMark::Cross,
            Role::Ghost(_) => EndMark::Frame,
        }
    }
}

/// How strongly two colours stand apart, from 1 (alike) to 21 (black and white): the contrast
/// ratio of the Web Content Accessibility Guidelines 2.2, by their formula for relative
/// luminance.
#[must_use]
pub fn contrast(one: Colour, other: Colour) -> f64 {
    let linear = |channel: u8| {
        let share = f64::from(channel) / 255.0;
        if share <= 0.04045 {
            share / 12.92
        } else {
            elementary::pow((share + 0.055) / 1.055, 2.4)
        }
    };
    let luminance = |colour: Colour| {
        0.2126 * linear(colour.0) + 0.7152 * linear(colour.1) + 0.0722 * linear(colour.2)
    };
    let (a, b) = (luminance(one), luminance(other));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}
