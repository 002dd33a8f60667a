//! Floor 4: charts and board pictures as scenes (pure data), and what makes files of them. Must
//! not know predictions or lessons.
//!
//! A [`Chart`] or [`board`] picture becomes a [`scene::Scene`]. [`painter::paint`] puts it on any
//! plotters backend: the page's canvas, and natively the bitmap that [`png`] makes a file of.
//! [`svg`] writes it as a drawing.

use serde::Serialize;

use crate::experiment::{SetupDescription, View};

pub mod axis;
#[cfg(not(target_arch = "wasm32"))]
pub mod bitmap;
pub mod board;
pub mod chart;
pub mod clip;
pub mod dash;
pub mod describe;
pub mod error;
pub mod frame;
mod glyph;
pub mod labels;
mod letters;
pub mod painter;
pub mod scene;
pub mod series;
mod table;
pub mod theme;
pub mod ticks;
pub mod vector;

pub use axis::Axis;
#[cfg(not(target_arch = "wasm32"))]
pub use bitmap::png;
pub use board::BoardOptions;
pub use chart::{Chart, Mark};
pub use error::FigureError;
pub use frame::Frame;
pub use painter::{Paint, paint};
pub use scene::Scene;
pub use series::Series;
pub use theme::{Role, Theme};
pub use vector::svg;

/// Which board picture stands beside a chart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum BoardPicture {
    /// A junction from the side, with its local currents and their sum.
    Junction,
    /// The phasors of two or many junctions, adding.
    Phasors,
    /// The loop with the bias halves and the circulating current.
    Loop,
    /// The loop on its own, without bias: its circulating current and each junction's share.
    LoopAtRest,
    /// The energy of each flux state, or of a loop with one junction, with the occupied one.
    Energies,
    /// The way of one rf cycle on the curve of a loop with one junction.
    Swing,
    /// The current-voltage curve of a shunted loop with its bias line.
    OperatingPoint,
    /// Voltage against flux with the working point, its slope and its noise.
    WorkingPoint,
    /// The feedback loop round a sensor.
    FeedbackLoop,
    /// The loop with one junction beside the coil of its tank.
    TankCircuit,
    /// A wire in solder with two contacts.
    Wire,
    /// The density of a junction's critical current, and the local currents under it.
    Profile,
}

impl BoardPicture {
    /// All of them.
    pub const ALL: [Self; 12] = [
        Self::Junction,
        Self::Phasors,
        Self::Loop,
        Self::LoopAtRest,
        Self::Energies,
        Self::Swing,
        Self::OperatingPoint,
        Self::WorkingPoint,
        Self::FeedbackLoop,
        Self::TankCircuit,
        Self::Wire,
        Self::Profile,
    ];

    /// The name in lesson files and in JSON.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Junction => "junction",
            Self::Phasors => "phasors",
            Self::Loop => "loop",
            Self::LoopAtRest => "loop-at-rest",
            Self::Energies => "energies",
            Self::Swing => "swing",
            Self::OperatingPoint => "operating-point",
            Self::WorkingPoint => "working-point",
            Self::FeedbackLoop => "feedback-loop",
            Self::TankCircuit => "tank-circuit",
            Self::Wire => "wire",
            Self::Profile => "profile",
        }
    }

    /// What it can show: it draws the first of these that a device has.
    #[must_use]
    pub fn views(self) -> &'static [View] {
        match self {
            Self::Junction | Self::Profile => &[View::Junction],
            Self::Phasors => &[View::Phasors],
            Self::Loop | Self::LoopAtRest => &[View::Loop],
            Self::Energies => &[View::Loop, View::RfLoop],
            Self::Swing => &[View::Tank],
            Self::OperatingPoint => &[View::OperatingPoint],
            Self::WorkingPoint => &[View::WorkingPoint],
            Self::FeedbackLoop => &[View::FeedbackLoop],
            Self::TankCircuit => &[View::RfLoop, View::Tank],
            Self::Wire => &[View::Wire],
        }
    }

    /// What of a device it shows; none when it cannot show such a device.
    #[must_use]
    pub fn view_of(self, device: &SetupDescription) -> Option<View> {
        let has = |view: &&View| device.views().contains(view);
        self.views().iter().find(has).copied()
    }

    /// The pictures that can show a device.
    pub fn fitting(device: &SetupDescription) -> impl Iterator<Item = Self> {
        Self::ALL
            .into_iter()
            .filter(|picture| picture.view_of(device).is_some())
    }

    /// The picture of that name.
    #[must_use]
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|picture| picture.name() == name)
    }
}
