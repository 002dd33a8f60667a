//! The simple picture of a loop that answers an applied flux: a whole number of flux quanta is kept
//! in the loop by a circulating current in proportion to the difference, until half a quantum, where
//! the next state has the lower energy. Holds when the loop's inductance is large.
//!
//! Fluxes in flux quanta, currents in the mean critical current of the two junctions;
//! `beta_l = 2 L I0 / Phi0`.

/// The number of quanta in the state of lowest energy at applied flux `f`. At exactly half a quantum
/// two states are equal; the one with fewer quanta is taken, as on a rising sweep just before the jump.
#[must_use]
pub fn quanta(f: f64) -> f64 {
    (f - 0.5).ceil()
}

/// Circulating current `J = -(f - n) Phi0 / L` in the state of lowest energy; positive raises the flux.
#[must_use]
pub fn circulating_current(f: f64, beta_l: f64) -> f64 {
    // Phi0 / L is 2 I0 / beta_L. Written so that no flux gives no current, not minus nothing.
    (quanta(f) - f) * 2.0 / beta_l
}

/// Critical current in this picture, where positive: the left junction carries half the bias less
/// the circulating current, the right one half the bias and the circulating current, and the first
/// to reach its own critical current ends it: `2 min(left + J, right - J)`. With equal junctions this
/// is `2 (I0 - |J|)`.
#[must_use]
pub fn critical_current(f: f64, beta_l: f64, left: f64, right: f64) -> f64 {
    let circulating = circulating_current(f, beta_l);
    (2.0 * (left + circulating).min(right - circulating)).max(0.0)
}

/// Energy of the state with `n` quanta at applied flux `f`: `(f - n)²`, in units of half a flux
/// quantum squared over the inductance.
#[must_use]
pub fn energy(f: f64, n: f64) -> f64 {
    (f - n) * (f - n)
}
