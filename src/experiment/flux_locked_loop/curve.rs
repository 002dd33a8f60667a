//! The sensor's voltage over a period of the flux, as the feedback meets it: computed at equal places, cubics between.

/// The voltage over a period, by values and slopes at equal places.
#[derive(Debug, Clone)]
pub(super) struct Curve {
    nodes: Vec<(f64, f64)>,
    /// The steepest slope at a node.
    pub(super) fastest: f64,
}

impl Curve {
    /// The curve through these values with these slopes, at equal places of a period.
    pub(super) fn new(values: &[f64], slopes: &[f64]) -> Self {
        // Cubics between nodes may be a little steeper than at them.
        let steepest = slopes
            .iter()
            .fold(0.0_f64, |most, slope| most.max(slope.abs()));
        Self {
            nodes: values.iter().copied().zip(slopes.iter().copied()).collect(),
            fastest: steepest,
        }
    }

    fn node(&self, place: f64) -> (f64, f64) {
        let count = self.nodes.len() as f64;
        let place = place - count * (place / count).floor();
        self.nodes
            .get(place as usize)
            .copied()
            .unwrap_or((f64::NAN, f64::NAN))
    }

    /// Value and slope.
    pub(super) fn at(&self, flux: f64) -> (f64, f64) {
        let count = self.nodes.len() as f64;
        let place = (flux - flux.floor()) * count;
        let left = place.floor();
        let t = place - left;
        let ((a, da), (b, db)) = (self.node(left), self.node(left + 1.0));
        let (da, db) = (da / count, db / count);
        let bend = 3.0 * (b - a) - 2.0 * da - db;
        let twist = 2.0 * (a - b) + da + db;
        (
            a + t * (da + t * (bend + t * twist)),
            (da + t * (2.0 * bend + 3.0 * t * twist)) * count,
        )
    }
}
