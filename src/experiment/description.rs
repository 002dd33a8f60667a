//! What a set-up is: its parameters, what is swept, what comes out. Everything a form, a command or
//! a page needs to know about it, and the functions of its physics.

use super::scale::AxisScale;
use super::setup::Setup;
use super::sweep::Slices;
use super::{ExperimentError, Folded, Inside, Reading, View};

/// What a parameter's value may be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ParameterKind {
    /// One quantity with its unit.
    Quantity,
    /// A whole number.
    Whole,
    /// One quantity, or a list of them.
    Quantities,
    /// The name of a current profile, or its samples.
    Profile,
    /// One of a few names.
    Choice(&'static [&'static str]),
}

/// One parameter of a set-up.
#[derive(Debug, Clone, Copy)]
pub struct ParameterDescription {
    /// Its name, e.g. `critical-current`.
    pub name: &'static str,
    /// What its value may be.
    pub kind: ParameterKind,
    /// Its SI unit, e.g. `A`; empty for a pure number.
    pub unit: &'static str,
    /// The least value, in that unit.
    pub from: f64,
    /// The greatest value, in that unit.
    pub to: f64,
    /// The value when none is given, as one would write it.
    pub default: &'static str,
    /// What it is, in plain words.
    pub words: &'static str,
}

/// A column of the trace, or what is swept.
#[derive(Debug, Clone, Copy)]
pub struct ColumnDescription {
    /// Its name, e.g. `critical-current`.
    pub name: &'static str,
    /// Its SI unit (flux in `Phi0`).
    pub unit: &'static str,
    /// What it is, in plain words.
    pub words: &'static str,
}

/// A number that can be read off.
#[derive(Debug, Clone, Copy)]
pub struct ReadingDescription {
    /// Its name, e.g. `first-zero`.
    pub name: &'static str,
    /// Its SI unit; empty for a pure number.
    pub unit: &'static str,
    /// What it is, in plain words. They begin with a label short enough to stand beside the number;
    /// what is to be said besides follows a colon, a semicolon, a comma or a bracket.
    pub words: &'static str,
}

impl ReadingDescription {
    /// The words cut in two: the label, and the rest with the sign that divides them.
    #[must_use]
    pub fn label_and_more(&self) -> (&'static str, &'static str) {
        let end = [": ", "; ", ", ", " ("]
            .iter()
            .filter_map(|sign| self.words.find(sign))
            .min();
        self.words.split_at(end.unwrap_or(self.words.len()))
    }
}

/// One kind of set-up.
#[derive(Debug)]
pub struct SetupDescription {
    /// Its name, e.g. `single-junction`.
    pub kind: &'static str,
    /// What it is, in a sentence.
    pub summary: &'static str,
    /// Its parameters.
    pub parameters: &'static [ParameterDescription],
    /// What is swept.
    pub x: ColumnDescription,
    /// What can be swept instead, when the parameter `sweep` names it.
    pub other_x: &'static [ColumnDescription],
    /// What comes out.
    pub columns: &'static [ColumnDescription],
    /// What can be read off.
    pub readings: &'static [ReadingDescription],
    /// Its physics.
    pub(crate) physics: Physics,
}

/// Folded curves over the range that the values of x span.
pub(crate) type FoldedOver = fn(&Setup, &[f64]) -> Vec<Folded>;

/// The inside at one x, as seen from one of the set-up's views.
pub(crate) type LookInside = fn(&Setup, View, f64) -> Result<Inside, ExperimentError>;

/// The ways to look into a device: some views are there at once, others have to be waited for.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Look {
    /// The inside from the views that are there at once.
    pub(crate) at_once: LookInside,
    /// The views that are not.
    pub(crate) slow: &'static [View],
    /// The inside from those; none in the page's own wasm, which does not hold their physics.
    pub(crate) behind: Option<LookInside>,
}

impl Look {
    /// Every view within a frame, on whatever thread asks.
    pub(crate) const fn at_once(look: LookInside) -> Self {
        Self {
            at_once: look,
            slow: &[],
            behind: None,
        }
    }

    /// These views away from where the reader clicks, in less than a tenth of a second: a picture
    /// follows a cursor.
    pub(crate) const fn and_behind(self, slow: &'static [View], look: LookInside) -> Self {
        Self {
            slow,
            behind: if cfg!(coldfringe_part = "page") {
                None
            } else {
                Some(look)
            },
            ..self
        }
    }

    /// All of a set-up's views away from where the reader clicks.
    pub(crate) const fn behind(views: &'static [View], look: LookInside) -> Self {
        let nothing: LookInside =
            |setup, _, _| Err(ExperimentError::NoView(setup.description().kind));
        Self::at_once(nothing).and_behind(views, look)
    }
}

/// The physics of a set-up. The set-up handed to these has been checked.
#[derive(Debug)]
pub(crate) struct Physics {
    /// What is wrong with the parameters taken together, if anything.
    pub(crate) conflict: fn(&Setup) -> Option<String>,
    /// Columns and readings.
    pub(crate) work: Work,
    /// What can be seen inside; the first when nothing else is asked.
    pub(crate) views: &'static [View],
    /// The inside at one x.
    pub(crate) inside: Look,
    /// The scales that x can be shown on.
    pub(crate) axes: fn(&Setup) -> Vec<AxisScale>,
    /// From where to where x is swept when nothing else is asked.
    pub(crate) window: fn(&Setup) -> (f64, f64),
    /// Where the model leaves its range of validity.
    pub(crate) warnings: fn(&Setup) -> Vec<String>,
    /// The largest size of x, in its SI unit, for which the model still has its digits.
    pub(crate) reach: fn(&Setup) -> f64,
    /// Curves over the range of x that are no functions of x, where there are such.
    pub(crate) folded: Option<FoldedOver>,
}

/// How columns and readings are computed.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Work {
    /// Within a frame, on whatever thread asks.
    AtOnce {
        /// The columns, in the order of the description.
        columns: fn(&Setup, &[f64]) -> Vec<Vec<f64>>,
        /// The readings that exist for these parameters.
        readings: fn(&Setup) -> Vec<Reading>,
    },
    /// The same, but away from the page, whose wasm is to stay small.
    Behind {
        /// The columns, in the order of the description.
        columns: fn(&Setup, &[f64]) -> Vec<Vec<f64>>,
        /// The readings that exist for these parameters.
        readings: fn(&Setup) -> Vec<Reading>,
    },
    /// In slices of a few milliseconds, coarse first.
    InSlices {
        /// Begins a run.
        begin: fn(&Setup, &[f64]) -> Box<dyn Slices>,
        /// The readings that follow from the parameters alone. They need no run.
        known: fn(&Setup) -> Vec<Reading>,
    },
    /// At that pace in a worker: this build is the page's own and does not hold the physics.
    Elsewhere(Pace),
}

/// The work of a slow set-up. The page's own wasm leaves it out: the list of set-ups then holds no
/// way to it, and the linker drops the physics behind it.
pub(crate) const fn in_slices(
    begin: fn(&Setup, &[f64]) -> Box<dyn Slices>,
    known: fn(&Setup) -> Vec<Reading>,
) -> Work {
    if cfg!(coldfringe_part = "page") {
        Work::Elsewhere(Pace::InSlices)
    } else {
        Work::InSlices { begin, known }
    }
}

/// The work of a quick set-up that lessons seldom show: the page's own wasm leaves it to the worker.
pub(crate) const fn behind(
    columns: fn(&Setup, &[f64]) -> Vec<Vec<f64>>,
    readings: fn(&Setup) -> Vec<Reading>,
) -> Work {
    if cfg!(coldfringe_part = "page") {
        Work::Elsewhere(Pace::Behind)
    } else {
        Work::Behind { columns, readings }
    }
}

/// Words that only the command and the building of pages say: the page's own wasm leaves them out.
pub(crate) const fn told(words: &'static str) -> &'static str {
    if cfg!(coldfringe_part = "page") {
        ""
    } else {
        words
    }
}

/// What warns of a set-up that is computed behind the page: it comes with the curve.
pub(crate) const fn warned_behind(
    warnings: fn(&Setup) -> Vec<String>,
) -> fn(&Setup) -> Vec<String> {
    if cfg!(coldfringe_part = "page") {
        |_| Vec::new()
    } else {
        warnings
    }
}

/// How long a run takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pace {
    /// A curve of a thousand points within a frame.
    AtOnce,
    /// As quick, but computed behind the page.
    Behind,
    /// Longer: to be run as a [`super::Sweep`], away from where the reader clicks.
    InSlices,
}

impl SetupDescription {
    /// Whether a curve is there at once or in slices.
    #[must_use]
    pub fn pace(&self) -> Pace {
        match self.physics.work {
            Work::AtOnce { .. } => Pace::AtOnce,
            Work::Behind { .. } => Pace::Behind,
            Work::InSlices { .. } => Pace::InSlices,
            Work::Elsewhere(pace) => pace,
        }
    }

    /// What can be seen inside the device; the first is the usual one.
    #[must_use]
    pub fn views(&self) -> &'static [View] {
        self.physics.views
    }

    /// Whether the inside is there at once from a view, or has to be waited for.
    #[must_use]
    pub fn look_pace(&self, view: View) -> Pace {
        if self.physics.inside.slow.contains(&view) {
            Pace::Behind
        } else {
            Pace::AtOnce
        }
    }

    /// The column of that name.
    #[must_use]
    pub fn column(&self, name: &str) -> Option<&'static ColumnDescription> {
        self.columns.iter().find(|column| column.name == name)
    }

    /// The parameter of that name.
    #[must_use]
    pub fn parameter(&self, name: &str) -> Option<&'static ParameterDescription> {
        self.parameters
            .iter()
            .find(|parameter| parameter.name == name)
    }

    /// The reading of that name.
    #[must_use]
    pub fn reading(&self, name: &str) -> Option<&'static ReadingDescription> {
        self.readings.iter().find(|reading| reading.name == name)
    }
}

#[cfg(test)]
mod tests {
    use crate::experiment::descriptions;

    /// Beside a number in a lecture there is room for so many letters.
    const ROOM: usize = 38;

    #[test]
    fn every_reading_begins_with_a_label_of_its_own_that_fits_beside_its_number() {
        for device in descriptions() {
            let mut seen = Vec::new();
            for reading in device.readings {
                let (label, more) = reading.label_and_more();
                assert_eq!(format!("{label}{more}"), reading.words);
                let size = label.chars().count();
                assert!((3..=ROOM).contains(&size), "{}: {label}", device.kind);
                assert!(!seen.contains(&label), "{}: {label} twice", device.kind);
                seen.push(label);
            }
        }
    }
}
