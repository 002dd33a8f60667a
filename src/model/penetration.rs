//! How far fields reach: the magnetic thickness of a junction and the Josephson penetration depth.

use crate::numerics::elementary::tanh;

/// Magnetic thickness of a junction in an applied field: barrier plus the depth to which the field enters both films,
/// `t + depth_1 tanh(film_1 / 2 depth_1) + depth_2 tanh(film_2 / 2 depth_2)`. All in one unit of
/// length; films and depths above nothing. It sets the period of the pattern: an applied field stands on both faces of
/// each film, so that a London film of thickness D holds `depth tanh(D / 2 depth)` of it on the side of the barrier.
/// Source: M. Weihnacht, phys. stat. sol. 32, K169 (1969) (from memory).
#[must_use]
pub fn magnetic_thickness(barrier: f64, films: [(f64, f64); 2]) -> f64 {
    films.iter().fold(barrier, |sum, (film, depth)| {
        sum + depth * tanh(film / (2.0 * depth))
    })
}

/// The same for the field of the junction's own current, which stands in the barrier alone and vanishes outside:
/// `t + depth_1 coth(film_1 / depth_1) + depth_2 coth(film_2 / depth_2)`. It sets the Josephson penetration depth. Both
/// agree for films much thicker than their penetration depths (1 % at five of them), and only for such films does one
/// magnetic thickness serve for both, as the set-ups take it. Source: as above.
#[must_use]
pub fn self_field_thickness(barrier: f64, films: [(f64, f64); 2]) -> f64 {
    films.iter().fold(barrier, |sum, (film, depth)| {
        sum + depth / tanh(film / depth)
    })
}

/// Josephson penetration depth over the width of a junction that is `width_over_length` times as
/// wide as it is long, when `self_flux` is the flux (in flux quanta) that the critical current
/// would drive through the magnetic thickness along that length: `mu0 I_c d / Phi0`.
///
/// From `lambda_J² = Phi0 / (2 pi mu0 j d)` with `j = I_c / (width × length)`:
/// `(lambda_J / width)² = (length/width) / (2 pi × self_flux)`. Source: R. A. Ferrell and R. E. Prange,
/// Phys. Rev. Lett. 10, 479 (1963) (from memory).
#[must_use]
pub fn josephson_depth(self_flux: f64, width_over_length: f64) -> f64 {
    (1.0 / (2.0 * core::f64::consts::PI * self_flux * width_over_length)).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thick_films_give_the_sum_of_depths() {
        // Two thick niobium films of depth 90 nm and a barrier of 1 nm: 181 nm (derivation).
        let thickness = magnetic_thickness(1.0, [(5000.0, 90.0), (5000.0, 90.0)]);
        assert!((thickness - 181.0).abs() < 1e-9);
        // Thin films: half the film each.
        let thin = magnetic_thickness(0.0, [(1.0, 90.0), (1.0, 90.0)]);
        assert!((thin - 1.0).abs() < 1e-4);
    }
}
