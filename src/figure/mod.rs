//! Floor 4: charts and board pictures as scenes (pure data), and the painter that puts a scene on
//! any drawing backend. Must not know predictions or lessons.

pub mod scene;

use serde::{Deserialize, Serialize};

/// Which board picture stands beside a chart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum BoardPicture {
    /// A junction from the side, with its local currents and their sum.
    Junction,
    /// The phasors of two or many junctions, adding.
    Phasors,
    /// The loop with the bias halves and the circulating current.
    Loop,
    /// The energy of each flux state, with the occupied one.
    Energies,
}
