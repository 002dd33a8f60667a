//! The borders of the region of all states, traced once; the critical current at any field from them.

use core::f64::consts::PI;

use super::shape::{Shape, Solution};
use crate::numerics::elementary::{asinh, exp, sinc, sinh};
use crate::numerics::{minimise, root};

/// Parts of the range of field by which pieces of the borders are found.
const BINS: usize = 512;

/// Below this length the field of the current changes nothing by more than 1e-7 of the maximum.
const SHORT: f64 = 0.1;

/// Beyond this field the vortices stand so close that the current's own field changes little.
const FAR: f64 = 60.0;

/// Halvings of a step where borders begin or end.
const DEEPEST: u32 = 12;

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

    fn trace(&mut self) {
        let start = self.without_field();
        self.maximum = start.current;
        // Along the border of the state without vortices m is at least a half.
        let mut t = -asinh(0.7 / self.scale) + 0.007;
        let end = asinh((0.25 * self.top * self.top + 0.5) / self.scale);
        let mut before = self.roots(t);
        while t < end {
            let m = (1.0 - self.complement(t)).max(1.0);
            let step = f64::min(0.15, 0.4 / (self.length * m.sqrt()));
            let next = self.roots(t + step);
            self.link(t, &before, t + step, &next, DEEPEST);
            t += step;
            before = next;
        }
        // The border of the state without vortices starts at zero field.
        let nearest = self
            .pieces
            .iter()
            .flat_map(|piece| [piece.0, piece.1])
            // Along a border of stable states the current changes at most twice as fast as the field.
            .filter(|node| (node.current - start.current).abs() <= 2.0 * node.field + 1e-6)
            .min_by(|one, other| one.field.total_cmp(&other.field));
        if let Some(node) = nearest {
            self.pieces.push((start, node));
        }
    }

    /// The largest current without field, where P vanishes and `w` is the complement.
    fn without_field(&self) -> Node {
        let current = |t: f64| {
            let complement = self.complement(t);
            Shape::new(self.length, complement)
                .field_and_current(complement)
                .1
        };
        let (from, to) = (-asinh(0.7 / self.scale), -0.01);
        // States that turn to and fro along the junction make other peaks: the highest is looked for.
        let steps = ((to - from) / 0.1).ceil().max(2.0);
        let step = (to - from) / steps;
        let mut highest = (from, f64::NEG_INFINITY);
        for k in 0..=steps as u32 {
            let t = from + step * f64::from(k);
            let here = current(t);
            if here > highest.1 {
                highest = (t, here);
            }
        }
        let (t, negative) = minimise::brent(
            |t| -current(t),
            highest.0 - step,
            (highest.0 + step).min(-1e-3),
            1e-9,
        );
        Node {
            t,
            w: self.complement(t),
            field: 0.0,
            current: -negative,
        }
    }

    /// The places of all borders at one parameter, in order of w.
    fn roots(&self, t: f64) -> Vec<Node> {
        let complement = self.complement(t);
        let shape = Shape::new(self.length, complement);
        let cubic = shape.fold(self.length);
        let value = |w: f64| ((cubic[3] * w + cubic[2]) * w + cubic[1]) * w + cubic[0];
        let mut cuts = [complement.max(0.0), 1.0, 1.0, 1.0];
        // Between its turning points the cubic has at most one root.
        let (a, b, c) = (3.0 * cubic[3], cubic[2], cubic[1]);
        let under = b * b - a * c;
        let mut count = 1;
        if under > 0.0 {
            let far = -(b + if b < 0.0 { -under.sqrt() } else { under.sqrt() });
            let (one, other) = (far / a, c / far);
            for turn in [one.min(other), one.max(other)] {
                if turn > cuts[0] && turn < 1.0 {
                    cuts[count] = turn;
                    count += 1;
                }
            }
        }
        let mut nodes = Vec::new();
        for pair in cuts.windows(2).take(count) {
            if let [from, to] = *pair
                && let Some(w) = root::brent(value, from, to, 1e-18)
            {
                let (field, current) = shape.field_and_current(w);
                if field.is_finite() && current.is_finite() {
                    nodes.push(Node {
                        t,
                        w,
                        field,
                        current,
                    });
                }
            }
        }
        nodes
    }

    /// Joins the places at one parameter with those at the next.
    fn link(&mut self, t: f64, before: &[Node], next_t: f64, next: &[Node], depth: u32) {
        let near = |one: &Node, other: &Node| {
            let lobe = f64::min(1.0, 2.0 * PI / self.length);
            (one.field - other.field).abs() < 0.06 * lobe
                // One border may end at w = 1 where the next begins at 0, at nearly the same field and current.
                && (one.w - other.w).abs() < 0.3
                && (one.current - other.current).abs() < 0.06 * self.length.min(2.0)
                || one.field.min(other.field) > self.top
        };
        let fits = before.len() == next.len()
            && before.iter().zip(next).all(|(one, other)| near(one, other));
        if fits {
            self.pieces
                .extend(before.iter().copied().zip(next.iter().copied()));
            return;
        }
        if depth > 0 {
            let middle = 0.5 * (t + next_t);
            let between = self.roots(middle);
            self.link(t, before, middle, &between, depth - 1);
            self.link(middle, &between, next_t, next, depth - 1);
            return;
        }
        if before.len() == next.len() {
            for (one, other) in before.iter().zip(next) {
                if near(one, other) {
                    self.pieces.push((*one, *other));
                    continue;
                }
                // One border ends in this step and another begins.
                let ends = self.edge(one, next_t).map(|edge| (*one, edge));
                let begins = self.edge(other, t).map(|edge| (edge, *other));
                self.pieces.extend(ends.into_iter().chain(begins));
            }
            return;
        }
        let (more, fewer) = if before.len() > next.len() {
            (before, next)
        } else {
            (next, before)
        };
        let mut rest = more.to_vec();
        if more.len() >= fewer.len() + 2 {
            // Two are born or die together: a turning point of the border.
            let apart = |k: usize| (rest[k + 1].field - rest[k].field).abs();
            let first = (0..rest.len() - 1)
                .min_by(|one, other| apart(*one).total_cmp(&apart(*other)))
                .unwrap_or(0);
            let pair = (rest[first], rest[first + 1]);
            rest.drain(first..first + 2);
            self.pieces.push(pair);
        }
        if rest.len() > fewer.len() {
            // One has come over the edge, where the current or the field vanishes.
            let lost = (0..rest.len())
                .min_by(|one, other| {
                    let at_edge = |k: usize| rest[k].current.min(rest[k].field);
                    at_edge(*one).total_cmp(&at_edge(*other))
                })
                .unwrap_or(0);
            let lost = rest.remove(lost);
            let toward = if lost.t > t { t } else { next_t };
            if let Some(edge) = self.edge(&lost, toward) {
                self.pieces.push((lost, edge));
            }
        }
        self.pieces
            .extend(rest.iter().copied().zip(fewer.iter().copied()));
    }

    /// Where a border that is lost on the way to the parameter `toward` comes to the edge: there its current
    /// vanishes. Close to the edge the current goes as the root of the distance, so that the last place before it
    /// may still be well above nothing.
    fn edge(&self, last: &Node, toward: f64) -> Option<Node> {
        // Without current the phase in the middle of the junction is that of a vortex, or of none.
        let on_edge = |w: f64| {
            let off = |t: f64| {
                let cubic = Shape::new(self.length, self.complement(t)).fold(self.length);
                ((cubic[3] * w + cubic[2]) * w + cubic[1]) * w + cubic[0]
            };
            let t = root::brent(off, last.t, toward, 1e-15)?;
            let (field, current) = Shape::new(self.length, self.complement(t)).field_and_current(w);
            (field.is_finite() && current < last.current).then_some(Node {
                t,
                w,
                field,
                current,
            })
        };
        if last.w > 0.5 {
            on_edge(1.0)
        } else {
            on_edge(0.0)
        }
    }

    fn bin(&self, field: f64) -> usize {
        (field / self.top * BINS as f64).clamp(0.0, BINS as f64 - 1.0) as usize
    }

    fn sort_into_bins(&mut self) {
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
    fn best(&self, field: f64) -> Option<(f64, f64, f64)> {
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
