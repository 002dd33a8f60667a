//! The voltage state with thermal noise against published values, limits, and tables made by other
//! means.
#![cfg(not(target_arch = "wasm32"))]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a test stops at the first surprise"
)]

use coldfringe::model::sensor::BestPoint;
use coldfringe::model::shunted_loop::ShuntedLoop;
use coldfringe::model::thermal::{FluxCurve, Point, Thermal};

fn solve(beta_l: f64, gamma: f64, bias: f64, flux: f64) -> Point {
    let device = ShuntedLoop::symmetric(beta_l).unwrap();
    Thermal::new(&device, gamma)
        .unwrap()
        .solve(bias, flux)
        .unwrap()
}

#[test]
fn twenty_thousand_sampled_paths_agree() {
    // PHYSICS.md: 20,000 Langevin paths.
    let a = solve(1.0, 0.05, 2.0, 0.25);
    assert!((a.voltage - 0.550_608).abs() < 2e-6 && (a.noise / 0.341_33 - 1.0).abs() < 1e-4);
    let b = solve(1.0, 0.05, 1.5, 0.5);
    assert!((b.voltage - 0.412_379).abs() < 2e-6 && (b.noise / 0.192_64 - 1.0).abs() < 1e-4);
}

#[test]
fn a_curve_agrees_with_points_solved_alone() {
    let device = ShuntedLoop::symmetric(1.0).unwrap();
    for gamma in [0.05, 0.3, 2.0] {
        let mut curve = FluxCurve::new(&device, 1.6, gamma, 1e-6).unwrap();
        while !curve.is_done() {
            curve.step().unwrap();
        }
        for flux in [0.03, 0.2, 0.31, 0.47, 0.9, 1.3] {
            let exact = Thermal::new(&device, gamma)
                .unwrap()
                .with_tolerance(1e-8)
                .solve(1.6, flux)
                .unwrap();
            let read = curve.at(flux).unwrap();
            assert!((read.voltage - exact.voltage).abs() < 1e-6);
            assert!((read.transfer - exact.transfer).abs() < 1e-4);
            assert!((read.noise - exact.noise).abs() < 5e-5 + 1e-4 * exact.noise);
        }
    }
}

#[test]
fn the_best_point_is_the_published_one() {
    // Tesche and Clarke 1977 (from memory): 8 to 9 k_B T L/R at about R/L and 16 k_B T R; the exact solution
    // of another program gives 7.9, 15.3 and 0.99 at i = 1.5, φ = 0.30.
    let mut search = BestPoint::new(&ShuntedLoop::symmetric(1.0).unwrap(), 0.05).unwrap();
    while !search.is_done() {
        search.step().unwrap();
    }
    let best = search.best().unwrap();
    assert!((best.energy - 7.9).abs() < 0.05);
    assert!((best.noise_share - 15.3).abs() < 0.1);
    assert!((best.transfer_share - 0.99).abs() < 0.01);
    assert!((best.bias - 1.5).abs() < 0.02 && (best.flux - 0.30).abs() < 0.005);
}
