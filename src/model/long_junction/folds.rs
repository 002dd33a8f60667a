//! The borders of the region of all states, traced once (`trace.rs`); the critical current at any field from them
//! (`look_up.rs`).

mod look_up;
mod trace;

use core::f64::consts::PI;

use super::shape::Solution;
use crate::numerics::elementary::{exp, sinc, sinh};

/// Below this length the field of the current changes nothing by more than 1e-7 of the maximum.
const SHORT: f64 = 0.1;

/// Beyond this field the vortices stand so close that the current's own field changes little.
const FAR: f64 = 60.0;

/// One place on a border: `1 - m = -scale sinh t`, and `w`.
#[derive(Debug, Clone, Copy)]
struct Node {
    t: f64,
    w: f64,
    field: f64,
    current: f64,
}

/// The critical current against applied field: even in the field, largest at none.
#[derive(Debug, Clone)]
pub struct CriticalCurve {
    length: f64,
    /// Field of the present range.
    top: f64,
    /// How close to one the parameter comes: the ends are that far apart in their effects.
    scale: f64,
    /// Pieces of the borders, short enough to be taken as straight in `t` and `asinh(w/scale)`.
    pieces: Vec<(Node, Node)>,
    /// Which pieces reach into each part of the range of field: places in `members`.
    starts: Vec<usize>,
    members: Vec<usize>,
    maximum: f64,
}

impl CriticalCurve {
    /// The curve of a junction of `length` penetration depths for applied fields up to `field`; fields beyond
    /// it are taken as at it where the current's own field still counts.
    ///
    /// Errors: about 1e-9 up to a length of 20; from a field of 60 on that of the short junction's
    /// pattern, which is used there, at most about length/field² (in one penetration depth's critical current),
    /// where that pattern vanishes.
    #[must_use]
    pub fn new(length: f64, field: f64) -> Self {
        let mut curve = Self {
            length,
            // A little beyond, so that the last place lies inside.
            top: (field.abs() * 1.001 + 0.1).min(FAR),
            scale: exp(-length),
            pieces: Vec::new(),
            starts: Vec::new(),
            members: Vec::new(),
            maximum: length,
        };
        if length >= SHORT {
            curve.trace();
            curve.sort_into_bins();
        }
        curve
    }

    /// The largest critical current, at zero field.
    #[must_use]
    pub fn maximum(&self) -> f64 {
        self.maximum
    }

    /// Length of the junction.
    #[must_use]
    pub fn length(&self) -> f64 {
        self.length
    }

    /// Critical current at an applied field.
    #[must_use]
    pub fn at(&self, field: f64) -> f64 {
        match self.best(field.abs()) {
            Some((_, _, current)) => current,
            None => self.without_own_field(field),
        }
    }

    /// The state at the critical current.
    #[must_use]
    pub fn state(&self, field: f64) -> Solution {
        let (complement, w) = match self.best(field.abs()) {
            Some((t, w, _)) => (self.complement(t), w),
            // A uniform turn of the phase, a quarter turn in the middle.
            None => (0.5 - 0.25 * field * field, 0.5),
        };
        Solution::new(self.length, complement, w, field < 0.0)
    }

    /// The pattern that the junction would have if its current's own field did not count.
    #[must_use]
    pub fn without_own_field(&self, field: f64) -> f64 {
        self.length * sinc(field * self.length / (2.0 * PI)).abs()
    }

    fn complement(&self, t: f64) -> f64 {
        -self.scale * sinh(t)
    }
}
