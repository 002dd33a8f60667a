//! A long junction at rest: so long that the field of its own current counts. The current is fed in
//! line and alike at both ends.
//!
//! Lengths are in Josephson penetration depths, the phase difference f(x) along the junction obeys
//! `f'' = sin f`, and the field in the junction is f'. With the applied field h and the current I (in the
//! critical current of one penetration depth) the ends, at plus and minus half the length L, feel
//!
//! ```text
//! f'(L/2) = h + I/2        f'(-L/2) = h - I/2        so that  I = integral of sin f
//! ```
//!
//! The critical current is the largest I over all solutions at a given h. Sources: R. A. Ferrell and R. E.
//! Prange, Phys. Rev. Lett. 10, 479 (1963); C. S. Owen and D. J. Scalapino, Phys. Rev. 164, 538 (1967) (both
//! from memory); the method is a derivation.
//!
//! # All solutions in closed form
//! With S = -cos(f/2), C = sin(f/2), P = f'/2 in the middle of the junction, `m = S² + P²`, and sn, cn, dn the
//! elliptic functions of argument x and parameter m, the addition theorems give at the place x
//!
//! ```text
//! P(x) = (P cn - S C sn dn) / (1 - S² sn²)
//! S(x) = (S cn dn + C P sn) / (1 - S² sn²)        C(x) = (C dn - S P sn cn) / (1 - S² sn²)
//! ```
//!
//! So both ends, and with them h and I, are known functions of two numbers: `w = C²` and the
//! complement `1 - m = C² - P²`. Neither loses digits in a junction so long that its middle is free of field.
//!
//! # The largest current
//! At the largest current the map from the two numbers to (h, I) folds over: its Jacobian vanishes. For a
//! given m that is a cubic equation in w (`Shape::fold`), whose roots are all the borders there are, of states
//! with any number of vortices, stable or not. They are traced over m once (module `folds`); the largest current
//! at one field is then looked up among the pieces and solved for.

mod folds;
mod shape;

pub use folds::CriticalCurve;
pub use shape::Solution;

/// Saturation of the critical current of a very long junction fed alike at both ends: both ends carry a
/// strip two penetration depths wide (derivation: f' there is at most 2).
pub const SATURATION: f64 = 4.0;

/// The same when the current enters and leaves at one end only.
pub const SATURATION_ONE_END: f64 = 2.0;

/// Field at which a vortex in the middle of a very long junction first costs no energy.
pub const LOWER_FIELD: f64 = 4.0 / core::f64::consts::PI;

/// Field at which vortices enter a very long junction at its ends.
pub const ENTRY_FIELD: f64 = 2.0;
