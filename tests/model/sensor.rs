//! How good a sensor a loop is: against published optima, rules of thumb and a real device.

use super::thermal::{curve, near, solve, symmetric};
use coldfringe::model::sensor::{
    BestPoint, RULE_ENERGY, RULE_NOISE, RULE_TRANSFER, Sensitivity, best_flux, high_noise_transfer,
    steepest_flux,
};
use coldfringe::model::thermal::{FluxCurve, Thermal};

#[test]
fn the_fit_for_strong_noise_is_good_there_only() {
    // Largest transfer at a quarter quantum: β_L, Γ, bias, exact and fitted transfer, noise, energy. The exact ones by
    // finite volumes on one coarse grid (about 1 %).
    for (beta_l, gamma, bias, transfer, fit, noise, energy) in [
        (1.0, 0.05, 1.58, 2.03, 1.550, 17.0, 8.26),
        (1.0, 0.1, 1.53, 1.51, 1.363, 10.1, 8.9),
        (1.0, 0.2, 1.44, 1.08, 1.099, 5.98, 10.3),
        (1.0, 0.5, 1.16, 0.583, 0.576, 2.90, 17.0),
        (0.5, 0.1, 1.47, 2.42, 2.066, 10.4, 14.2),
        (2.0, 0.1, 1.60, 0.766, 0.733, 9.27, 7.9),
    ] {
        let found = Sensitivity::of_point(beta_l, gamma, &solve(beta_l, gamma, bias, 0.25));
        near(found.transfer, transfer, 0.015 * transfer);
        near(found.noise_share, noise, 0.02 * noise);
        near(found.energy, energy, 0.04 * energy);
        near(high_noise_transfer(beta_l, gamma), fit, 1e-3);
        let low = 1.0 - fit / found.transfer;
        if gamma * beta_l >= 0.2 - 1e-9 && beta_l < 1.5 {
            assert!(low.abs() < 0.05, "the fit is good for strong noise");
        } else {
            assert!(low > 0.03 && low < 0.31, "the fit is low for weak noise");
        }
    }
}

#[test]
fn the_best_point_is_the_published_one() {
    // Tesche and Clarke 1977 (from memory): 8 to 9 k_B T L/R at about R/L and 16 k_B T R. Another program's
    // exact solution gives 7.9, 15.3 and 0.99 at i = 1.5, φ = 0.30, which lies on the flat floor of the valley.
    let known = Sensitivity::of_point(1.0, 0.05, &solve(1.0, 0.05, 1.5, 0.3));
    near(known.energy, 7.9, 0.05);
    near(known.noise_share, 15.3, 0.05);
    near(known.transfer_share, 0.99, 0.005);
    let mut search = BestPoint::new(&symmetric(1.0), 0.05).unwrap();
    while !search.is_done() {
        search.step().unwrap();
    }
    let best = search.best().unwrap();
    assert!(best.energy < known.energy && best.energy > known.energy - 0.05);
    near(best.bias, 1.5, 0.05);
    near(best.flux, 0.30, 0.02);
    // The rules are within a seventh of it, and not exact.
    near(best.transfer_share, RULE_TRANSFER, 0.03);
    near(best.noise_share, RULE_NOISE, 1.0);
    near(best.energy, RULE_ENERGY, 1.3);
    assert!(best.energy < RULE_ENERGY - 0.9);

    // The same flux from a whole curve at that bias.
    let whole = best_flux(&curve(&symmetric(1.0), best.bias, 0.05)).unwrap();
    near(whole.flux, best.flux, 2e-3);
    near(whole.energy, best.energy, 1e-3);
}

#[test]
fn a_real_device_is_not_better_than_computed() {
    // L = 11 pH, 100 µA, 2 Ω at 4.2 K: measured 1.3e-7 Φ0/√Hz ("An ultra-low-noise tunnel junction dc SQUID",
    // Appl. Phys. Lett.; authors and year, Ketchen and Voss 1979, from memory). Its β_L is 1.064, its Γ 0.00176. The
    // rules 16 k_B T R and R/L give 1.146e-7.
    let time = 2.067_833_848e-15 / (2.0 * core::f64::consts::PI * 1e-4 * 2.0);
    let device = symmetric(1.064);
    let point = Thermal::new(&device, 0.00176)
        .unwrap()
        .with_tolerance(1e-4)
        .solve(1.6, 0.3)
        .unwrap();
    let found = Sensitivity::of_point(1.064, 0.00176, &point);
    let flux_noise = found.flux_noise * f64::sqrt(time);
    assert!(flux_noise < 1.3e-7 && flux_noise > 1.0e-7);
    near(flux_noise, 1.146e-7, 0.09e-7);
}

#[test]
fn a_loop_at_rest_measures_nothing() {
    let rests = solve(1.0, 0.02, 0.4, 0.1);
    assert!(rests.voltage.abs() < 1e-6);
    let found = Sensitivity::of_point(1.0, 0.02, &rests);
    assert!(found.energy.is_infinite() && found.flux_noise.is_infinite());
}

#[test]
fn a_period_at_the_optimum_takes_nine_points() {
    let curve = curve(&symmetric(1.0), 1.6, 0.05);
    assert!(curve.steps() == 9 && curve.thermal().eliminations() <= 12);
    let steepest = steepest_flux(&curve).unwrap();
    assert!(steepest.flux > 0.15 && steepest.flux < 0.3);
    // A rough curve is there after three.
    let mut rough = FluxCurve::new(&symmetric(1.0), 1.6, 0.05, 1e-6).unwrap();
    assert!(rough.at(0.1).is_none());
    for _ in 0..3 {
        rough.step().unwrap();
    }
    let read = rough.at(0.1).unwrap();
    assert!(!rough.is_done() && rough.share() > 0.1);
    near(
        read.voltage,
        curve.at(0.1).unwrap().voltage,
        read.voltage_error,
    );
}
