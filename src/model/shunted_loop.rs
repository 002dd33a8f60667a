//! A loop of two junctions, each with a shunt and a capacitance of its own, in normalised
//! quantities: current in I0, the mean critical current of the two junctions; voltage in I0 R;
//! time in Φ0/(2π I0 R); flux in Φ0.
//!
//! The phases δ1 (left) and δ2 (right) obey
//!
//! β_c δ̈k + δ̇k + a_k sin δk = i/2 ∓ j + n_k,  j = (δ1 − δ2 − 2π φ)/(π β_L),  ⟨n n⟩ = 2Γ δ(τ),
//!
//! with a_k the critical currents in I0, i the bias and j the circulating current in I0, and φ the
//! applied flux (for unequal arms: as [`ShuntedLoop::flux_at`] gives it). The voltage is the mean
//! of δ̇1 and δ̇2. Equations as in Tesche and Clarke, J. Low Temp. Phys. 29, 301 (1977) (from
//! memory), derived here from the current balance of each junction.

/// A shunted loop: two junctions with equal shunts, their arms and capacitances.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShuntedLoop {
    left: f64,
    right: f64,
    beta_l: f64,
    beta_c: f64,
    skew: f64,
}

impl ShuntedLoop {
    /// Equal junctions and arms, β_L = 1, no capacitance.
    pub const EQUAL: Self = Self {
        left: 1.0,
        right: 1.0,
        beta_l: 1.0,
        beta_c: 0.0,
        skew: 0.0,
    };

    /// A loop whose junctions carry `left` and `right` at most (in any common unit), with the
    /// screening parameter β_L = 2 L I0/Φ0, the share of the inductance in the left arm, and
    /// β_c = 2π I0 R² C/Φ0 of the mean junction.
    ///
    /// Nothing when a critical current or β_L is not positive, β_c is negative, the share is
    /// outside 0 to 1, or anything is not finite.
    #[must_use]
    pub fn new(
        left: f64,
        right: f64,
        beta_l: f64,
        left_fraction: f64,
        beta_c: f64,
    ) -> Option<Self> {
        let finite = [left, right, beta_l, left_fraction, beta_c]
            .iter()
            .all(|value| value.is_finite());
        let fits = left > 0.0
            && right > 0.0
            && beta_l > 0.0
            && beta_c >= 0.0
            && (0.0..=1.0).contains(&left_fraction);
        let mean = 0.5 * (left + right);
        (finite && fits).then(|| Self {
            left: left / mean,
            right: right / mean,
            beta_l,
            beta_c,
            skew: 1.0 - 2.0 * left_fraction,
        })
    }

    /// A loop with equal junctions and arms and no capacitance. Nothing when β_L is not positive
    /// and finite.
    #[must_use]
    pub fn symmetric(beta_l: f64) -> Option<Self> {
        Self::new(1.0, 1.0, beta_l, 0.5, 0.0)
    }

    /// Critical current of the left junction, in I0.
    #[must_use]
    pub fn left(&self) -> f64 {
        self.left
    }

    /// Critical current of the right junction, in I0.
    #[must_use]
    pub fn right(&self) -> f64 {
        self.right
    }

    /// Screening parameter 2 L I0/Φ0.
    #[must_use]
    pub fn beta_l(&self) -> f64 {
        self.beta_l
    }

    /// Damping parameter 2π I0 R² C/Φ0; zero without capacitance.
    #[must_use]
    pub fn beta_c(&self) -> f64 {
        self.beta_c
    }

    /// The same loop with another damping parameter.
    #[must_use]
    pub fn with_beta_c(self, beta_c: f64) -> Self {
        Self { beta_c, ..self }
    }

    /// Share of the inductance in the left arm.
    #[must_use]
    pub fn left_fraction(&self) -> f64 {
        0.5 * (1.0 - self.skew)
    }

    /// Whether junctions and arms are equal, so that voltage is even in the flux.
    #[must_use]
    pub fn is_symmetric(&self) -> bool {
        (self.left - self.right).abs() <= 0.0 && self.skew.abs() <= 0.0
    }

    /// The flux that the loop feels: the applied flux and what the bias itself adds in unequal
    /// arms, (L2 − L1) I/2. With it the equations are those of equal arms.
    #[must_use]
    pub fn flux_at(&self, applied: f64, bias: f64) -> f64 {
        applied + 0.25 * self.skew * self.beta_l * bias
    }
}

#[cfg(test)]
#[allow(clippy::expect_used, reason = "a test stops at the first surprise")]
mod tests {
    use super::*;

    #[test]
    fn currents_are_shares_of_their_mean() {
        let unequal = ShuntedLoop::new(6e-6, 4e-6, 1.0, 0.5, 0.0).expect("a loop");
        assert!((unequal.left() - 1.2).abs() < 1e-15 && (unequal.right() - 0.8).abs() < 1e-15);
        assert!(!unequal.is_symmetric());
    }

    #[test]
    fn bias_in_the_right_arm_raises_the_flux() {
        // All inductance on the right: Φ = Φ_a + L I/2, and L I0/Φ0 = β_L/2.
        let right = ShuntedLoop::new(1.0, 1.0, 2.0, 0.0, 0.0).expect("a loop");
        assert!((right.flux_at(0.1, 1.0) - 0.6).abs() < 1e-15);
    }

    #[test]
    fn what_is_no_loop_is_refused() {
        assert!(ShuntedLoop::symmetric(0.0).is_none());
        assert!(ShuntedLoop::new(1.0, -1.0, 1.0, 0.5, 0.0).is_none());
        assert!(ShuntedLoop::new(1.0, 1.0, 1.0, 0.5, f64::NAN).is_none());
        assert!(ShuntedLoop::new(1.0, 1.0, 1.0, 1.5, 0.0).is_none());
    }
}
