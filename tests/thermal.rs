//! The voltage state with thermal noise against published values, limits, and a table made by
//! other means.
#![cfg(not(target_arch = "wasm32"))]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a test stops at the first surprise"
)]

mod golden;

use coldfringe::model::sensor::{
    BestPoint, RULE_ENERGY, RULE_NOISE, RULE_TRANSFER, Sensitivity, best_flux, high_noise_transfer,
    steepest_flux,
};
use coldfringe::model::shunted_loop::ShuntedLoop;
use coldfringe::model::thermal::{FluxCurve, Limit, Point, Thermal};
use coldfringe::numerics::elementary::{cos, pow};
use proptest::prelude::*;

fn symmetric(beta_l: f64) -> ShuntedLoop {
    ShuntedLoop::symmetric(beta_l).unwrap()
}

fn solve_loop(device: &ShuntedLoop, gamma: f64, bias: f64, flux: f64) -> Point {
    Thermal::new(device, gamma)
        .unwrap()
        .solve(bias, flux)
        .unwrap()
}

fn solve(beta_l: f64, gamma: f64, bias: f64, flux: f64) -> Point {
    solve_loop(&symmetric(beta_l), gamma, bias, flux)
}

fn curve(device: &ShuntedLoop, bias: f64, gamma: f64) -> FluxCurve {
    let mut curve = FluxCurve::new(device, bias, gamma, 1e-6).unwrap();
    while !curve.is_done() {
        curve.step().unwrap();
    }
    curve
}

fn near(value: f64, wanted: f64, tolerance: f64) {
    assert!(
        (value - wanted).abs() <= tolerance,
        "{value} is not {wanted} within {tolerance}"
    );
}

// ---- tables and published values

#[test]
fn the_golden_table_is_met_and_the_error_estimate_holds() {
    let rows = golden::numbers(include_str!("golden/thermal.tsv"));
    for cells in &rows {
        let [
            left,
            right,
            beta_l,
            share,
            gamma,
            bias,
            flux,
            voltage,
            transfer,
            noise,
        ] = cells[..]
        else {
            unreachable!("ten columns");
        };
        let device = ShuntedLoop::new(left, right, beta_l, share, 0.0).unwrap();
        let mut thermal = Thermal::new(&device, gamma).unwrap();
        // Alone, and once more in the basis that the first left behind.
        for _ in 0..2 {
            let found = thermal.solve(bias, flux).unwrap();
            near(found.voltage, voltage, 1e-6);
            near(found.noise, noise, 1e-4 * noise);
            near(found.transfer, transfer, 2e-4);
            near(found.voltage, voltage, 2.0 * found.voltage_error + 1e-8);
            near(found.noise, noise, 2.0 * found.noise_error + 1e-7);
            near(found.transfer, transfer, 2.0 * found.transfer_error + 1e-7);
        }
    }
    assert!(rows.len() >= 20);
}

#[test]
fn twenty_thousand_sampled_paths_agree() {
    // 20,000 paths of the stochastic equation, stochastic Heun steps; five digits.
    let a = solve(1.0, 0.05, 2.0, 0.25);
    near(a.voltage, 0.550_608, 2e-6);
    near(a.noise, 0.341_33, 4e-5);
    let b = solve(1.0, 0.05, 1.5, 0.5);
    near(b.voltage, 0.412_379, 2e-6);
    near(b.noise, 0.192_64, 3e-5);
}

#[test]
fn a_finite_volume_solution_agrees_around_the_published_optimum() {
    // Exponentially fitted finite volumes, β_L = 1, Γ = 0.05, a quarter quantum: V, V_Φ in R/L, S_V in k_B T R, ε in
    // k_B T L/R. The row at 1.6 is extrapolated, good to 0.2 %; the others are of one grid, stated good to 0.5 %. That
    // holds at low bias; at 2.0 and 2.2 their noise is 2 and 4 % high, as the golden table by collocation shows
    // (0.34133/0.05 = 6.83 at 2.0).
    for (bias, voltage, transfer, noise, energy, share) in [
        (1.4, 0.0453, 0.561, 9.00, 14.3, 0.005),
        (1.5, 0.1152, 0.921, 15.74, 9.28, 0.005),
        (1.6, 0.2102, 1.015, 16.73, 8.12, 0.002),
        (1.7, 0.3066, 0.902, 13.76, 8.47, 0.005),
        (1.8, 0.3954, 0.751, 10.62, 9.42, 0.005),
        (2.0, 0.5500, 0.521, 6.95, 12.8, 0.02),
        (2.2, 0.6868, 0.381, 5.41, 18.6, 0.04),
    ] {
        let found = Sensitivity::of_point(1.0, 0.05, &solve(1.0, 0.05, bias, 0.25));
        near(found.voltage, voltage, share * voltage + 5e-5);
        near(found.transfer_share, transfer, share * transfer + 5e-4);
        near(found.noise_share, noise, share * noise + 5e-3);
        near(found.energy, energy, 3.0 * share * energy + 0.05);
    }
}

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

// ---- limits

#[test]
fn without_inductance_two_junctions_are_one() {
    // At whole quanta both junctions move together: one junction at half the bias with half of Γ, since the two shunts
    // push independently. Closed form of Ambegaokar and Halperin, Phys. Rev. Lett. 22, 1364 (1969) (from memory;
    // evaluated with mpmath), for (Γ, i, v) of the one junction.
    for (gamma, bias, voltage) in [
        (0.05, 1.0, 0.292_965_717_645),
        (0.1, 1.0, 0.368_953_245_762),
        (0.2, 1.0, 0.464_294_555_981),
        (1.0, 1.0, 0.774_718_425_303),
        (0.1, 0.8, 0.089_823_665_606_8),
        (1.0, 2.0, 1.801_796_788_27),
    ] {
        // The difference of the phases still fluctuates, by an amount linear in β_L.
        let [a, b] = [0.002, 0.001].map(|beta_l| solve(beta_l, 2.0 * gamma, 2.0 * bias, 0.0));
        near(2.0 * b.voltage - a.voltage, voltage, 3e-6);
    }
}

#[test]
fn without_inductance_the_noise_is_that_of_one_junction() {
    // S_V(0)/(4 k_B T R) of one junction from the exact diffusion of its phase: Γ, i, value. Close to the formula of
    // Likharev and Semenov, JETP Lett. 15, 442 (1972) (from memory), for weak noise.
    for (gamma, bias, noise) in [
        (0.05, 1.2, 3.816_027),
        (0.05, 1.5, 2.169_373),
        (0.1, 1.0, 4.111_299),
        (0.1, 1.5, 2.097_524),
        (0.5, 1.5, 1.537_759),
        (1.0, 2.0, 1.208_851),
    ] {
        let [a, b] = [0.002, 0.001].map(|beta_l| solve(beta_l, 2.0 * gamma, 2.0 * bias, 0.0));
        near(
            (2.0 * b.noise - a.noise) / (4.0 * gamma),
            noise,
            2e-5 * noise,
        );
    }
}

#[test]
fn strong_noise_leaves_the_shunts() {
    // S_V → 2 k_B T R: two shunts in parallel, each half the voltage's fluctuation.
    let mut before = f64::INFINITY;
    for gamma in [10.0, 40.0] {
        let found = solve(1.0, gamma, 1.3, 0.2);
        let off = (found.voltage - 0.65).abs();
        assert!(off < before / 8.0 || before.is_infinite());
        near(found.noise / gamma, 2.0, 2.0 / gamma / gamma);
        near(found.resistance, 0.5, 1.0 / gamma / gamma);
        before = off;
    }
    assert!(before < 2e-3);
}

#[test]
fn weak_noise_and_little_inductance_give_the_square_root() {
    // V = ½ √(i² − 4 cos² πφ).
    for (bias, flux) in [(2.5, 0.1), (2.2, 0.3), (1.9, 0.4)] {
        let cosine = cos(core::f64::consts::PI * flux);
        let plain = (0.25 * bias * bias - cosine * cosine).sqrt();
        near(solve(0.01, 0.005, bias, flux).voltage, plain, 3e-3);
    }
}

#[test]
fn a_large_inductance_leaves_two_junctions_alone() {
    // Each at half the bias with the whole Γ; closed form of Ambegaokar and Halperin at (1, 1) and (1, 2).
    for (bias, voltage) in [(2.0, 0.774_718_425_303), (4.0, 1.801_796_788_27)] {
        let [a, b] = [4.0, 8.0].map(|beta_l| solve(beta_l, 1.0, bias, 0.25).voltage);
        assert!((b - voltage).abs() < (a - voltage).abs());
        near(2.0 * b - a, voltage, 4e-3);
        let swing = |beta_l| {
            (solve(beta_l, 0.3, 1.8, 0.5).voltage - solve(beta_l, 0.3, 1.8, 0.0).voltage).abs()
        };
        assert!(swing(3.0) < swing(1.0) && swing(1.0) < swing(0.3));
    }
}

// ---- symmetries and slopes

#[test]
fn flux_quanta_and_mirrors_change_nothing() {
    let found = solve(0.8, 0.1, 1.7, 0.37);
    for other in [
        solve(0.8, 0.1, 1.7, -0.37),
        solve(0.8, 0.1, 1.7, 3.37),
        solve(0.8, 0.1, 1.7, -1.37),
    ] {
        near(other.voltage, found.voltage, 2e-7);
        near(other.noise, found.noise, 1e-5);
        near(other.transfer.abs(), found.transfer.abs(), 1e-4);
    }
    let reversed = solve(0.8, 0.1, -1.7, 0.37);
    near(reversed.voltage, -found.voltage, 2e-7);

    let one = ShuntedLoop::new(1.4, 0.6, 0.8, 0.3, 0.0).unwrap();
    let other = ShuntedLoop::new(0.6, 1.4, 0.8, 0.7, 0.0).unwrap();
    let (a, b) = (
        solve_loop(&one, 0.1, 1.7, 0.22),
        solve_loop(&other, 0.1, 1.7, -0.22),
    );
    near(a.voltage, b.voltage, 2e-7);
    near(a.transfer, -b.transfer, 1e-4);
    near(a.resistance, b.resistance, 1e-4);
    assert!((a.voltage - solve_loop(&one, 0.1, 1.7, -0.22).voltage).abs() > 1e-3);
}

#[test]
fn slopes_are_those_of_neighbours() {
    let device = ShuntedLoop::new(1.1, 0.9, 1.2, 0.3, 0.0).unwrap();
    let at = |bias, flux| {
        Thermal::new(&device, 0.1)
            .unwrap()
            .with_tolerance(1e-8)
            .solve(bias, flux)
            .unwrap()
    };
    let step = 1e-3;
    let middle = at(1.6, 0.28);
    let (low, high) = (at(1.6, 0.28 - step), at(1.6, 0.28 + step));
    let slope = |of: fn(&Point) -> f64| (of(&high) - of(&low)) / (2.0 * step);
    near(middle.transfer, slope(|p| p.voltage), 1e-4);
    near(middle.curvature, slope(|p| p.transfer), 1e-3);
    near(middle.noise_slope, slope(|p| p.noise), 1e-3);
    let (low, high) = (at(1.6 - step, 0.28), at(1.6 + step, 0.28));
    near(
        middle.resistance,
        (high.voltage - low.voltage) / (2.0 * step),
        1e-4,
    );
}

#[test]
fn a_tighter_tolerance_comes_closer() {
    for (beta_l, gamma, bias, flux) in [(1.0, 0.05, 1.6, 0.3), (3.0, 0.3, 1.5, 0.1)] {
        let at = |tolerance| {
            Thermal::new(&symmetric(beta_l), gamma)
                .unwrap()
                .with_tolerance(tolerance)
                .solve(bias, flux)
                .unwrap()
        };
        let exact = at(1e-9);
        for tolerance in [1e-3, 1e-5, 1e-7] {
            let found = at(tolerance);
            near(found.voltage, exact.voltage, 3.0 * tolerance);
            near(found.noise, exact.noise, 60.0 * tolerance);
        }
    }
}

// ---- whole curves

#[test]
fn a_curve_agrees_with_points_solved_alone() {
    let unequal = ShuntedLoop::new(1.2, 0.8, 1.0, 0.4, 0.0).unwrap();
    for (device, gamma) in [
        (symmetric(1.0), 0.05),
        (symmetric(1.0), 2.0),
        (symmetric(0.3), 0.3),
        (unequal, 0.1),
    ] {
        let curve = curve(&device, 1.6, gamma);
        near(curve.share(), 1.0, 0.0);
        for flux in [0.03, 0.2, 0.31, 0.47, 0.9, 1.3] {
            let exact = Thermal::new(&device, gamma)
                .unwrap()
                .with_tolerance(1e-8)
                .solve(1.6, flux)
                .unwrap();
            let read = curve.at(flux).unwrap();
            near(read.voltage, exact.voltage, 1e-6);
            near(read.transfer, exact.transfer, 1e-4);
            near(read.noise, exact.noise, 2e-5 + 1e-4 * exact.noise);
            near(read.voltage, exact.voltage, read.voltage_error);
            near(read.noise, exact.noise, read.noise_error);
        }
    }
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

// ---- refusals

#[test]
fn what_cannot_be_solved_is_refused_with_a_reason() {
    let heavy = ShuntedLoop::new(1.0, 1.0, 1.0, 0.5, 0.3).unwrap();
    assert!(matches!(
        Thermal::new(&heavy, 0.1),
        Err(Limit::Capacitance { .. })
    ));
    for gamma in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert!(matches!(
            Thermal::new(&symmetric(1.0), gamma),
            Err(Limit::OutOfRange { .. })
        ));
    }
    let mut thermal = Thermal::new(&symmetric(1.0), 0.1).unwrap();
    assert!(matches!(
        thermal.solve(f64::NAN, 0.0),
        Err(Limit::OutOfRange { .. })
    ));
    assert!(matches!(
        thermal.solve(1.0, f64::INFINITY),
        Err(Limit::OutOfRange { .. })
    ));
    for (beta_l, gamma) in [(1.0, 1e-5), (400.0, 0.05)] {
        let refused = Thermal::new(&symmetric(beta_l), gamma)
            .unwrap()
            .solve(1.5, 0.2);
        assert!(matches!(refused, Err(Limit::TooCostly { .. })));
    }
    let mut curve = FluxCurve::new(&symmetric(1.0), 1.5, 1e-5, 1e-6).unwrap();
    assert!(curve.step().is_err() && !curve.is_done());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    /// Γ from 0.02 to 2, β_L from 0.05 to 3, any bias to 4: always an answer, a number, within what must hold.
    #[test]
    fn the_range_has_no_holes(
        beta in 0.0..1.0_f64, noise in 0.0..1.0_f64, bias in -4.0..4.0_f64, flux in -2.0..2.0_f64,
        left in 0.3..1.0_f64, share in 0.0..1.0_f64,
    ) {
        let device = ShuntedLoop::new(left, 1.0, 0.05 * pow(60.0, beta), share, 0.0).unwrap();
        let gamma = 0.02 * pow(100.0, noise);
        let found = Thermal::new(&device, gamma).unwrap().with_tolerance(1e-5).solve(bias, flux).unwrap();
        for value in [found.voltage, found.transfer, found.curvature, found.resistance, found.noise, found.noise_slope] {
            prop_assert!(value.is_finite());
        }
        // Noise never lets the junctions carry current backwards, nor more than the bias.
        let slack = 4.0 * found.voltage_error + 1e-6;
        prop_assert!(found.voltage * bias.signum() >= -slack);
        prop_assert!(found.voltage.abs() <= 0.5 * bias.abs() + slack);
        prop_assert!(found.noise >= 0.0);
    }
}
