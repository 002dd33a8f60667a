//! Amplitudes at which the drive is looked at to find where it rises and falls.
//!
//! The drive bends sharply where the swing just reaches what makes the loop change fast: the steep part of its
//! curve at each half quantum or, with hysteresis, its next jump. Looks crowd there.

use crate::model::rf_loop::RfLoop;
use crate::numerics::elementary::pow;

/// From look to look at most, in flux quanta.
const FARTHEST: f64 = 0.125;

/// From look to look at least, but for the last looks before a jump.
const NEAREST: f64 = 2e-3;

/// From look to look just before a jump: there the drive falls by a root of what is left.
const BEFORE_JUMP: f64 = 1e-5;

/// Less than this is not divided.
const CRUMB: f64 = 1e-9;

/// Looks between two thresholds, at least.
const FEWEST: f64 = 4.0;

/// A range of amplitudes in which nothing jumps.
#[derive(Debug, Clone, Copy)]
pub(super) struct Looks {
    from: f64,
    to: f64,
    crowd: Crowd,
}

/// Where looks crowd.
#[derive(Debug, Clone, Copy)]
enum Crowd {
    /// At both ends, which are thresholds.
    Ends,
    /// Where the swing reaches a half quantum on either side of the static flux; so near at least.
    Halves { flux: f64, nearest: f64 },
}

impl Looks {
    /// The range from one threshold to the next of a loop at a static flux; `to` may be anywhere before.
    pub(super) fn new(device: &RfLoop, flux: f64, from: f64, to: f64) -> Self {
        let crowd = if device.is_hysteretic() {
            Crowd::Ends
        } else {
            // Half the width of the steep part: there its slope has fallen to about a half.
            let width = 0.2 * pow((1.0 - device.beta_rf()).max(0.0), 1.5);
            let nearest = width.max(NEAREST);
            Crowd::Halves { flux, nearest }
        };
        Self { from, to, crowd }
    }

    /// The look after one, which is below the end.
    pub(super) fn after(&self, look: f64) -> f64 {
        let from_whole = |place: f64| (place - place.round()).abs();
        let step = match self.crowd {
            Crowd::Ends => {
                let left = (0.5 * (self.to - look)).max(BEFORE_JUMP);
                left.min((look - self.from).max(NEAREST))
            }
            Crowd::Halves { flux, nearest } => {
                let off = from_whole(look - 0.5 - flux).min(from_whole(look - 0.5 + flux));
                (0.5 * off).max(nearest)
            }
        };
        let widest = FARTHEST.min((self.to - self.from) / FEWEST);
        let step = step.min(widest).max(CRUMB);
        // No crumb is left over.
        if look + 1.5 * step < self.to {
            look + step
        } else {
            self.to
        }
    }

    /// A look halfway to the next; none when that is near enough already.
    pub(super) fn between(look: f64, next: f64) -> Option<f64> {
        (next - look > NEAREST).then_some(0.5 * (look + next))
    }
}
