//! Board pictures: what goes on inside the device at the cursor, in the way it is drawn on a
//! blackboard. The same cursor moves the chart and these.
//!
//! Signs, the same in all pictures: positive field points out of the page (dots), negative into
//! it (crosses). Bias current enters at the bottom and leaves at the top, and positive currents
//! run upwards. A positive circulating current raises the flux, so it runs counter-clockwise: up
//! the right arm, where it adds to the bias, and down the left, where it takes from it.

use crate::experiment::Inside;
use crate::numerics::order::within;

use super::BoardPicture;
use super::scene::{Anchor, Colour, Scene, words_width};
use super::theme::Theme;
use super::ticks::number;

mod energies;
mod feedback;
mod field;
mod graph;
mod junction;
mod landscape;
mod operating;
mod phasors;
mod profile;
mod ring;
mod row;
mod swing;
mod tank;
mod wire;
mod working;

/// How a board picture is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoardOptions {
    /// Which picture. One that does not fit the inside gives way to the inside's own.
    pub picture: BoardPicture,
    /// Width in logical pixels; taken as at least 160.
    pub width: f64,
    /// Height in logical pixels; taken as at least 120.
    pub height: f64,
    /// The look.
    pub theme: Theme,
    /// Whether what follows is shown too: the sum, the resultant, the circulating current, the
    /// junctions' limits, the occupied state. False before a prediction is committed: then the
    /// scene holds nothing of them, in no item.
    pub show_sum: bool,
}

/// What every picture needs: the sheet, its sides and its text size.
struct Sheet {
    scene: Scene,
    width: f64,
    height: f64,
    size: f64,
    theme: Theme,
}

impl Sheet {
    fn new(options: &BoardOptions, title: &str) -> Self {
        let side = |value: f64, least: f64| {
            if value.is_finite() {
                within(value, least, 20_000.0)
            } else {
                least
            }
        };
        let width = side(options.width, 160.0);
        let height = side(options.height, 120.0);
        let mut scene = Scene::new(width, height, Some(options.theme.paper));
        scene.title = title.to_owned();
        Self {
            scene,
            width,
            height,
            size: options.theme.text_size(width),
            theme: options.theme,
        }
    }

    /// Writes one line at the left edge, the first of the given wordings that fits (else the
    /// last); line 0 is the lowest.
    fn caption(&mut self, line: f64, wordings: &[String], colour: Colour) {
        self.caption_to(self.width - self.size * 0.4, line, wordings, colour);
    }

    /// The same where the line ends at `right`.
    fn caption_to(&mut self, right: f64, line: f64, wordings: &[String], colour: Colour) {
        let room = right - self.size * 0.8;
        let fitting = wordings
            .iter()
            .find(|text| words_width(text, self.size) * 1.06 <= room)
            .or(wordings.last());
        if let Some(text) = fitting {
            let at = (
                self.size * 0.8,
                self.height - self.size * (0.95 + 1.4 * line),
            );
            self.scene
                .write(at, text.clone(), self.size, Anchor::Start, colour);
        }
    }
}

/// The part of a board picture that stands at a share of its width, for pointing at it: the
/// `left` and the `right` junction of a loop. None where no part stands.
#[must_use]
pub fn part_at(picture: BoardPicture, across: f64) -> Option<&'static str> {
    match picture {
        BoardPicture::Loop | BoardPicture::LoopAtRest if across < 0.4 => Some("left"),
        BoardPicture::Loop | BoardPicture::LoopAtRest if across > 0.6 => Some("right"),
        _ => None,
    }
}

/// The board picture as a scene.
#[must_use]
pub fn scene(inside: &Inside, options: &BoardOptions) -> Scene {
    match inside {
        Inside::Junction {
            flux,
            density,
            local_current,
            total,
        } if options.picture == BoardPicture::Profile => {
            profile::scene(*flux, density, local_current, *total, options)
        }
        Inside::Junction {
            flux,
            local_current,
            total,
            ..
        } => junction::scene(*flux, local_current, *total, options),
        Inside::Phasors {
            flux,
            phasors,
            resultant,
        } => phasors::scene(*flux, phasors, *resultant, options),
        Inside::RfLoop { .. } | Inside::Tank { .. }
            if options.picture == BoardPicture::TankCircuit =>
        {
            tank::scene(inside, options)
        }
        Inside::RfLoop { .. } => landscape::scene(inside, options),
        Inside::Tank { .. } => swing::scene(inside, options),
        Inside::OperatingPoint(inside) => operating::scene(inside, options),
        Inside::WorkingPoint(inside) => working::scene(inside, options),
        Inside::FeedbackLoop(inside) => feedback::scene(inside, options),
        Inside::Wire(inside) => wire::scene(inside, options),
        Inside::Loop { .. } if options.picture == BoardPicture::Energies => {
            energies::scene(inside, options)
        }
        Inside::Loop { .. } => {
            ring::scene(inside, options, options.picture == BoardPicture::LoopAtRest)
        }
    }
}

/// The same in words, for readers who do not see the picture. With `show_sum` false nothing that
/// follows from the picture is said, as in [`BoardOptions::show_sum`].
#[must_use]
pub fn describe(inside: &Inside, picture: BoardPicture, show_sum: bool) -> String {
    match inside {
        Inside::Junction {
            flux,
            density,
            local_current,
            total,
        } if picture == BoardPicture::Profile => {
            profile::describe(*flux, density, local_current, *total, show_sum)
        }
        Inside::Junction {
            flux,
            local_current,
            total,
            ..
        } => junction::describe(*flux, local_current, *total, show_sum),
        Inside::Phasors {
            flux,
            phasors,
            resultant,
        } => phasors::describe(*flux, phasors, *resultant, show_sum),
        Inside::RfLoop { .. } | Inside::Tank { .. } if picture == BoardPicture::TankCircuit => {
            tank::describe(inside, show_sum)
        }
        Inside::RfLoop { .. } => landscape::describe(inside, show_sum),
        Inside::Tank { .. } => swing::describe(inside, show_sum),
        Inside::OperatingPoint(inside) => operating::describe(inside, show_sum),
        Inside::WorkingPoint(inside) => working::describe(inside, show_sum),
        Inside::FeedbackLoop(inside) => feedback::describe(inside, show_sum),
        Inside::Wire(inside) => wire::describe(inside, show_sum),
        Inside::Loop { .. } if picture == BoardPicture::Energies => {
            energies::describe(inside, show_sum)
        }
        Inside::Loop { .. } => {
            ring::describe(inside, picture == BoardPicture::LoopAtRest, show_sum)
        }
    }
}

/// A flux in words: `1.50 Φ₀`.
fn flux_words(flux: f64) -> String {
    format!("{} \u{3a6}\u{2080}", number(flux, 2))
}
