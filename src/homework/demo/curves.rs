//! The curves that an invented class draws. Each is computed once, on many places; every student who
//! means it reads it off there, stretched by a hand of their own: some curves take a tenth of a second.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

use super::super::marking::Numbers;
use crate::experiment::Setup;
use crate::lesson::spec::ChartSpec;
use crate::prediction::{PictureError, pictures};

/// Places of a curve, ten for each that a student draws: a hand trembles by far more.
const PLACES: u32 = 1601;
/// How far a hand stretches a curve at most, either way.
pub(super) const STRETCH: f64 = 0.025;

/// Curves known so far, by question and picture.
#[derive(Debug, Default)]
pub(super) struct Curves {
    known: BTreeMap<(Numbers, String), Curve>,
}

/// A curve on even places, in the SI unit of its column.
#[derive(Debug)]
pub(super) struct Curve {
    from: f64,
    to: f64,
    values: Vec<f64>,
}

impl Curves {
    /// The curve of a picture in a question, on the chart and as much more as a hand may press in.
    pub(super) fn of(
        &mut self,
        question: &Numbers,
        picture: &str,
        setup: &Setup,
        chart: &ChartSpec,
        si_per_unit: f64,
    ) -> Result<&Curve, PictureError> {
        let curve = match self.known.entry((question.clone(), picture.to_owned())) {
            Entry::Occupied(known) => known.into_mut(),
            Entry::Vacant(place) => {
                let (from, to) = (chart.x.from, chart.x.to);
                let least = 1.0 - STRETCH;
                let (from, to) = (from.min(from / least), to.max(to / least));
                let last = f64::from(PLACES - 1);
                let x: Vec<f64> = (0..PLACES)
                    .map(|k| (from + (to - from) * f64::from(k) / last) * si_per_unit)
                    .collect();
                let values = pictures::curve(picture, setup, &chart.column, &x)?;
                place.insert(Curve { from, to, values })
            }
        };
        Ok(curve)
    }
}

impl Curve {
    /// The value at the nearest place: a jump stays a jump.
    pub(super) fn near(&self, x: f64) -> f64 {
        let share = (x - self.from) / (self.to - self.from);
        let last = self.values.len().saturating_sub(1);
        let place = (share * last as f64).round().max(0.0) as usize;
        self.values.get(place.min(last)).copied().unwrap_or(0.0)
    }
}
