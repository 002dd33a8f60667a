//! Tracing the borders: their places at one parameter after the next, joined to pieces, cut where a border begins or
//! ends.

use core::f64::consts::PI;

use super::{CriticalCurve, Node};
use crate::model::long_junction::shape::Shape;
use crate::numerics::elementary::asinh;
use crate::numerics::{minimise, root};

/// Halvings of a step where borders begin or end.
const DEEPEST: u32 = 12;

impl CriticalCurve {
    /// Finds all pieces of the borders in the range of field, and the largest critical current.
    pub(super) fn trace(&mut self) {
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
}
