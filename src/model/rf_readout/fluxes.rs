//! The amplitudes at many static fluxes and one drive: searched for at some, followed from these to those between.
//!
//! A search rises from no amplitude on and looks at the drive at some tens of amplitudes before it knows the first that needs so
//! much. Where two searches not far apart end on the same step, or close to one another between the same two steps, the
//! fluxes between them are spared that: each solves the balance by itself, to the same digits, and only takes from its
//! neighbours which of several amplitudes is the first. Where neighbours end differently the search goes on between them, down to
//! single fluxes if need be.

use super::{Readout, STRONGEST};
use crate::numerics::root;

/// Searched fluxes are so near to one another, in flux quanta, where fluxes between them are followed.
const WIDEST: f64 = 0.01;

/// Amplitudes of neighbours further apart than so many times their fluxes are not taken to hang together.
const STEEPEST: f64 = 4.0;

/// What the followed amplitude may lie beside the straight line between its neighbours: this and half their difference.
const BENT: f64 = 1e-4;

/// An amplitude that balances the drive.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Found {
    flux: f64,
    amplitude: f64,
    /// Hysteresis loops passed round, or one less on a step.
    loops: u32,
    on_step: bool,
}

/// The amplitudes at folded fluxes that rise from one to the next.
pub(super) fn amplitudes(readout: &Readout, fluxes: &[f64], drive: f64) -> Vec<f64> {
    let Some(last) = fluxes.len().checked_sub(1) else {
        return Vec::new();
    };
    let mut row = Row {
        readout,
        drive: drive.clamp(0.0, STRONGEST),
        fluxes,
        amplitudes: vec![f64::NAN; fluxes.len()],
    };
    let ends = (row.search(0), row.search(last));
    row.fill((0, ends.0), (last, ends.1));
    row.amplitudes
}

/// Amplitudes in the making.
struct Row<'a> {
    readout: &'a Readout,
    drive: f64,
    fluxes: &'a [f64],
    amplitudes: Vec<f64>,
}

impl Row<'_> {
    /// Searches at one flux.
    fn search(&mut self, place: usize) -> Found {
        let flux = self.fluxes[place];
        let ladder = self.readout.ladder(flux, self.drive, self.drive);
        let found = ladder.rung(self.drive).map_or_else(
            || Found {
                flux,
                amplitude: 0.0,
                loops: 0,
                on_step: false,
            },
            |rung| Found {
                flux,
                amplitude: ladder.amplitude(rung, self.drive),
                loops: rung.loops,
                on_step: rung.is_step(),
            },
        );
        self.amplitudes[place] = found.amplitude;
        found
    }

    /// All between two places that are searched.
    fn fill(&mut self, left: (usize, Found), right: (usize, Found)) {
        if right.0 - left.0 < 2 {
            return;
        }
        if left.1.hangs_together_with(right.1) {
            for place in left.0 + 1..right.0 {
                match self.follow(self.fluxes[place], left.1, right.1) {
                    Some(amplitude) => self.amplitudes[place] = amplitude,
                    None => {
                        self.search(place);
                    }
                }
            }
            return;
        }
        let middle = left.0.midpoint(right.0);
        let found = self.search(middle);
        self.fill(left, (middle, found));
        self.fill((middle, found), right);
    }

    /// The amplitude at a flux between two that hang together; none where the balance is not found near theirs.
    fn follow(&self, flux: f64, left: Found, right: Found) -> Option<f64> {
        let (readout, loops) = (self.readout, left.loops);
        let threshold = |loops| readout.cycles.threshold(loops, flux);
        if left.on_step {
            let amplitude = threshold(loops)?;
            let holds = readout.needed(flux, amplitude, loops) <= self.drive
                && readout.needed(flux, amplitude, loops + 1) >= self.drive;
            return holds.then_some(amplitude);
        }
        let share = (flux - left.flux) / (right.flux - left.flux);
        let straight = left.amplitude * (1.0 - share) + right.amplitude * share;
        let beside = BENT + 0.5 * (right.amplitude - left.amplitude).abs();
        let below = loops.checked_sub(1).and_then(threshold).unwrap_or(0.0);
        let above = threshold(loops).unwrap_or(f64::INFINITY);
        let (from, to) = (
            (straight - beside).max(below),
            (straight + beside).min(above),
        );
        let mut first = None;
        let off = |amplitude: f64| {
            let off = readout.needed(flux, amplitude, loops) - self.drive;
            first.get_or_insert(off);
            off
        };
        let amplitude = (from < to).then(|| root::brent(off, from, to, 1e-13))??;
        // With the amplitude the drive must rise: from below.
        (first? <= 0.0).then_some(amplitude)
    }
}

impl Found {
    fn hangs_together_with(self, other: Self) -> bool {
        let far = other.flux - self.flux;
        far <= WIDEST
            && self.loops == other.loops
            && self.on_step == other.on_step
            && (self.on_step || (other.amplitude - self.amplitude).abs() <= STEEPEST * far)
    }
}
