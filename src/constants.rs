//! Physical constants in SI units.
//!
//! The Planck constant, the elementary charge and the Boltzmann constant are exact by the
//! definition of the SI of 2019 (SI Brochure, 9th edition); the vacuum permeability is measured and
//! taken from the CODATA adjustment of 2022. Values read from the CODATA 2022 table as shipped with
//! `SciPy` 1.17.1 (`scipy.constants`).

/// Planck constant h in J s. Exact. Source: SI Brochure, 9th edition (2019).
pub const PLANCK: f64 = 6.626_070_15e-34;

/// Elementary charge e in C. Exact. Source: SI Brochure, 9th edition (2019).
pub const ELEMENTARY_CHARGE: f64 = 1.602_176_634e-19;

/// Boltzmann constant in J/K. Exact. Source: SI Brochure, 9th edition (2019).
pub const BOLTZMANN: f64 = 1.380_649e-23;

/// Magnetic flux quantum h/2e in Wb. Exact up to rounding; derived from [`PLANCK`] and
/// [`ELEMENTARY_CHARGE`].
pub const FLUX_QUANTUM: f64 = PLANCK / (2.0 * ELEMENTARY_CHARGE);

/// Vacuum permeability in N/A². Measured; relative standard uncertainty 1.6e-10.
/// Source: CODATA 2022, 1.256 637 061 27(20)e-6.
pub const VACUUM_PERMEABILITY: f64 = 1.256_637_061_27e-6;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn flux_quantum_is_the_printed_one() {
        // CODATA 2022 prints 2.067 833 848...e-15 Wb; further digits from the exact quotient h/2e.
        assert!((FLUX_QUANTUM / 2.067_833_848_461_929e-15 - 1.0).abs() < 1e-15);
    }

    #[test]
    fn josephson_constant_is_its_inverse() {
        // CODATA 2022: K_J = 483 597.848 4...e9 Hz/V.
        assert!((1.0 / FLUX_QUANTUM / 483_597.848_416_983_6e9 - 1.0).abs() < 1e-15);
    }

    #[test]
    fn thermal_current_at_helium_temperature() {
        // 2 pi k_B T / Phi0 at 4.2 K = 0.176 196 uA (computed independently).
        let thermal = 2.0 * core::f64::consts::PI * BOLTZMANN * 4.2 / FLUX_QUANTUM;
        assert!((thermal / 0.176_196e-6 - 1.0).abs() < 3e-6);
    }

    #[test]
    fn permeability_is_near_its_old_exact_value() {
        // Before 2019 it was exactly 4 pi 1e-7; the measured one differs by about 1e-10.
        let old = 4e-7 * core::f64::consts::PI;
        let off = (VACUUM_PERMEABILITY / old - 1.0).abs();
        assert!(off < 1e-9 && off > 1e-12);
    }
}
