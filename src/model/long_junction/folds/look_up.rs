//! The critical current at one field: the pieces that reach there are found by the part of the range of field, and the
//! highest of them is refined.

use super::{CriticalCurve, Node};
use crate::model::long_junction::shape::Shape;
use crate::numerics::elementary::{asinh, sinh};
use crate::numerics::root;

/// Parts of the range of field by which pieces of the borders are found.
const BINS: usize = 512;

impl CriticalCurve {
    fn bin(&self, field: f64) -> usize {
        (field / self.top * BINS as f64).clamp(0.0, BINS as f64 - 1.0) as usize
    }

    /// Notes which pieces reach into which part of the range of field; pieces beyond it are let go.
    pub(super) fn sort_into_bins(&mut self) {
        let top = self.top;
        self.pieces
            .retain(|(one, other)| one.field.min(other.field) <= top);
        let spans: Vec<(usize, usize)> = self
            .pieces
            .iter()
            .map(|(one, other)| {
                (
                    self.bin(one.field.min(other.field)),
                    self.bin(one.field.max(other.field)),
                )
            })
            .collect();
        let mut starts = vec![0; BINS + 1];
        for (from, to) in &spans {
            for bin in *from..=*to {
                starts[bin + 1] += 1;
            }
        }
        for bin in 0..BINS {
            starts[bin + 1] += starts[bin];
        }
        let mut members = vec![0; starts[BINS]];
        let mut filled = starts.clone();
        for (piece, (from, to)) in spans.iter().enumerate() {
            for bin in *from..=*to {
                members[filled[bin]] = piece;
                filled[bin] += 1;
            }
        }
        (self.starts, self.members) = (starts, members);
    }

    /// Parameter `t`, `w` and current at the critical current, where the borders are known.
    pub(super) fn best(&self, field: f64) -> Option<(f64, f64, f64)> {
        if field > self.top || self.pieces.is_empty() {
            return None;
        }
        let bin = self.bin(field);
        let pieces = self.members[self.starts[bin]..self.starts[bin + 1]]
            .iter()
            .map(|piece| &self.pieces[*piece])
            .filter(|(one, other)| (one.field <= field) != (other.field < field));
        let straight = |(one, other): &(Node, Node)| {
            let share = (field - one.field) / (other.field - one.field);
            one.current + share * (other.current - one.current)
        };
        let highest = pieces
            .clone()
            .map(straight)
            .fold(f64::NEG_INFINITY, f64::max);
        // The pieces are nearly straight; two that cross here may differ in either way.
        let close = 0.02 * self.length.min(2.0);
        let mut best: Option<(f64, f64, f64)> = None;
        for piece in pieces.filter(|piece| straight(piece) > highest - close) {
            let found = self.on_piece(piece, field);
            if best.is_none_or(|(_, _, current)| found.2 > current) {
                best = Some(found);
            }
        }
        best
    }

    /// The place on a piece with that field: first on the straight line, then on the border itself. Either is a
    /// solution, and the larger current counts; near a turn of the border the second may not be found, but the
    /// current is stationary across the border at fixed field, so that the bow of the line hardly counts.
    fn on_piece(&self, piece: &(Node, Node), field: f64) -> (f64, f64, f64) {
        let (one, other) = piece;
        let (from, to) = (asinh(one.w / self.scale), asinh(other.w / self.scale));
        let place = |share: f64| {
            (
                one.t + share * (other.t - one.t),
                self.scale * sinh(from + share * (to - from)),
            )
        };
        let shape = |share: f64| {
            let (t, w) = place(share);
            Shape::new(self.length, self.complement(t)).field_and_current(w)
        };
        let share = root::brent(|share| shape(share).0 - field, 0.0, 1.0, 1e-10).unwrap_or(0.0);
        let (t, w) = place(share);
        let on_line = (t, w, shape(share).1);
        let steep = (other.field - one.field) / (other.t - one.t);
        match self.on_border(on_line, field, steep) {
            Some(found) if found.2 > on_line.2 => found,
            _ => on_line,
        }
    }

    /// The place on the border itself with that field, close to `start`; `steep` is about how the field grows with
    /// `t` along it.
    fn on_border(
        &self,
        start: (f64, f64, f64),
        field: f64,
        mut steep: f64,
    ) -> Option<(f64, f64, f64)> {
        let (mut t, mut w, _) = start;
        let mut before: Option<(f64, f64)> = None;
        for _ in 0..6 {
            let complement = self.complement(t);
            let shape = Shape::new(self.length, complement);
            let cubic = shape.fold(self.length);
            for _ in 0..4 {
                let value = ((cubic[3] * w + cubic[2]) * w + cubic[1]) * w + cubic[0];
                let slope = (3.0 * cubic[3] * w + 2.0 * cubic[2]) * w + cubic[1];
                w -= value / slope;
            }
            // Written so that what is not a number ends it as well.
            if !(w >= complement.max(0.0) && w <= 1.0) {
                return None;
            }
            let (here, current) = shape.field_and_current(w);
            let off = field - here;
            if off.abs() < 1e-11 * (1.0 + field) {
                return Some((t, w, current));
            }
            if let Some((t_before, field_before)) = before
                && (t - t_before).abs() > 0.0
            {
                steep = (here - field_before) / (t - t_before);
            }
            before = Some((t, here));
            let step = off / steep;
            if step.is_nan() || step.abs() > 0.3 {
                return None;
            }
            t += step;
        }
        None
    }
}
