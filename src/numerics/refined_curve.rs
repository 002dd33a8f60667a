//! A smooth curve from few costly points: values and slopes at nodes, cubic between them, the
//! next node always where the cubic has missed most.

/// Value and slope of a curve at a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Node {
    /// The place.
    pub x: f64,
    /// The value there.
    pub value: f64,
    /// The slope there.
    pub slope: f64,
}

/// A curve in the making. Ask [`RefinedCurve::next_place`] where to compute, and hand the result to
/// [`RefinedCurve::add`], until there is no next place.
#[derive(Debug, Clone)]
pub struct RefinedCurve {
    from: f64,
    to: f64,
    tolerance: f64,
    most: usize,
    nodes: Vec<Node>,
    /// For each gap between neighbours, by how much the cubic across it is thought to err.
    errors: Vec<f64>,
}

/// Equal gaps before any gap is halved for its error: a feature narrower than these can be missed.
const FIRST_GAPS: u32 = 16;

impl RefinedCurve {
    /// A curve from `from` to `to`, to be right within `tolerance`, of at most `most` nodes.
    #[must_use]
    pub fn new(from: f64, to: f64, tolerance: f64, most: usize) -> Self {
        Self {
            from: from.min(to),
            to: from.max(to),
            tolerance,
            most,
            nodes: Vec::new(),
            errors: Vec::new(),
        }
    }

    /// The nodes computed so far, from left to right.
    #[must_use]
    pub fn nodes(&self) -> &[Node] {
        &self.nodes
    }

    /// The largest error that any gap is thought to have; infinite while nothing is known.
    #[must_use]
    pub fn error(&self) -> f64 {
        if self.nodes.is_empty() {
            return f64::INFINITY;
        }
        self.errors.iter().copied().fold(0.0, f64::max)
    }

    /// The share of the work that is thought to be done, from 0 to 1.
    #[must_use]
    pub fn share(&self) -> f64 {
        if self.next_place().is_none() {
            return 1.0;
        }
        let first = f64::from(FIRST_GAPS + 1);
        let nodes = self.nodes.len() as f64;
        let begun = 0.5 * (nodes / first).min(1.0);
        let open = self
            .errors
            .iter()
            .filter(|error| **error > self.tolerance)
            .count() as f64;
        if nodes < first {
            begun
        } else {
            begun + 0.49 * (1.0 - open / self.errors.len().max(1) as f64)
        }
    }

    /// Where the next point is wanted; none when the curve is as good as asked or has its most nodes.
    #[must_use]
    pub fn next_place(&self) -> Option<f64> {
        if self.nodes.len() >= self.most {
            return None;
        }
        let (Some(first), Some(last)) = (self.nodes.first(), self.nodes.last()) else {
            return Some(self.from);
        };
        if self.nodes.len() == 1 {
            return (self.to > first.x).then_some(self.to);
        }
        // Halving from the ends of the range on gives the first, equal gaps, coarse ones first.
        let widest = (last.x - first.x) / f64::from(FIRST_GAPS);
        let gaps = || self.nodes.iter().zip(self.nodes.iter().skip(1));
        let wide = gaps()
            .map(|(left, right)| (right.x - left.x, 0.5 * (left.x + right.x)))
            .filter(|(width, _)| *width > widest * 1.000_001)
            .fold(None, larger);
        if let Some((_, place)) = wide {
            return Some(place);
        }
        gaps()
            .zip(&self.errors)
            .map(|((left, right), error)| (*error, 0.5 * (left.x + right.x)))
            .filter(|(error, _)| *error > self.tolerance)
            .fold(None, larger)
            .map(|(_, place)| place)
    }

    /// Takes a computed point. One that is not finite is taken as the value that was expected there, so
    /// that the curve goes on.
    pub fn add(&mut self, node: Node) {
        let index = self.nodes.partition_point(|known| known.x < node.x);
        let expected = self.at(node.x);
        let node = if node.value.is_finite() && node.slope.is_finite() {
            node
        } else {
            Node {
                x: node.x,
                value: expected.unwrap_or(0.0),
                slope: 0.0,
            }
        };
        self.nodes.insert(index, node);
        if self.nodes.len() < 2 {
            return;
        }
        let inside = index > 0 && index + 1 < self.nodes.len();
        let missed = match expected {
            // The cubic's error falls with the fourth power of the gap.
            Some(expected) if inside => (node.value - expected).abs() / 16.0,
            _ => f64::INFINITY,
        };
        if inside {
            if let Some(old) = self.errors.get_mut(index - 1) {
                *old = missed;
            }
            self.errors.insert(index, missed);
        } else {
            self.errors.insert(index.saturating_sub(1), missed);
        }
    }

    /// The value at a place: cubic between nodes, straight on beyond the ends. None while there is no
    /// node.
    #[must_use]
    pub fn at(&self, x: f64) -> Option<f64> {
        let (first, last) = (self.nodes.first()?, self.nodes.last()?);
        let straight = |node: &Node| node.value + node.slope * (x - node.x);
        if x <= first.x {
            return Some(straight(first));
        }
        if x >= last.x {
            return Some(straight(last));
        }
        let index = self.nodes.partition_point(|known| known.x < x);
        let left = self.nodes.get(index.checked_sub(1)?)?;
        let right = self.nodes.get(index)?;
        let width = right.x - left.x;
        let t = (x - left.x) / width;
        let u = 1.0 - t;
        Some(
            u * u * (1.0 + 2.0 * t) * left.value
                + t * t * (1.0 + 2.0 * u) * right.value
                + width * t * u * (u * left.slope - t * right.slope),
        )
    }
}

/// The pair with the larger first entry; the earlier one of equals.
fn larger(best: Option<(f64, f64)>, next: (f64, f64)) -> Option<(f64, f64)> {
    match best {
        Some(best) if best.0 >= next.0 => Some(best),
        _ => Some(next),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]
mod tests {
    use super::*;

    fn filled(from: f64, to: f64, f: impl Fn(f64) -> (f64, f64)) -> RefinedCurve {
        let mut curve = RefinedCurve::new(from, to, 1e-6, 400);
        while let Some(x) = curve.next_place() {
            let (value, slope) = f(x);
            curve.add(Node { x, value, slope });
        }
        curve
    }

    #[test]
    fn nodes_crowd_where_the_curve_bends() {
        // A resistance that sets in within 0.05 about 1.
        let f = |x: f64| {
            let t = (x - 1.0) / 0.05;
            let root = (1.0 + t * t).sqrt();
            (0.025 * (t + root), 0.5 * (1.0 + t / root))
        };
        let curve = filled(0.0, 3.0, f);
        for k in 0..=3000 {
            let x = f64::from(k) * 1e-3;
            assert!((curve.at(x).unwrap() - f(x).0).abs() < 2e-6, "at {x}");
        }
        assert!(curve.nodes().len() < 120, "{} nodes", curve.nodes().len());
        let near = curve
            .nodes()
            .iter()
            .filter(|node| (node.x - 1.0).abs() < 0.25)
            .count();
        assert!(2 * near > curve.nodes().len());
    }

    #[test]
    fn a_cubic_needs_no_refinement() {
        let curve = filled(-1.0, 1.0, |x| (x * x * x - x, 3.0 * x * x - 1.0));
        // Ends, 15 places between, and one more in each of the 16 gaps to see that they are right.
        assert!(curve.nodes().len() <= 33);
        assert!(curve.error() < 1e-12);
    }

    #[test]
    fn one_place_and_failed_points_are_borne() {
        let curve = filled(2.0, 2.0, |_| (5.0, 1.0));
        assert_eq!(curve.nodes().len(), 1);
        assert!((curve.at(2.0).unwrap() - 5.0).abs() < 1e-15);
        let holes = filled(0.0, 1.0, |x| {
            if (0.4..0.6).contains(&x) {
                (f64::NAN, 0.0)
            } else {
                (x, 1.0)
            }
        });
        assert!((0..=10).all(|k| holes.at(f64::from(k) * 0.1).unwrap().is_finite()));
    }
}
