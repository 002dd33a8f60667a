//! The voltage state with thermal noise against published values, limits, and tables made by other
//! means.
#![cfg(not(target_arch = "wasm32"))]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a test stops at the first surprise"
)]

use coldfringe::model::shunted_loop::ShuntedLoop;
use coldfringe::model::thermal::{FluxCurve, Limit, Point, Thermal};

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
fn curve() {
    for g in [0.02, 0.05, 0.1, 0.5, 2.0] {
        let device = ShuntedLoop::symmetric(1.0).unwrap();
        let t = std::time::Instant::now();
        let mut curve = FluxCurve::new(&device, 1.6, g, 1e-6).unwrap();
        while !curve.is_done() {
            curve.step().unwrap();
        }
        println!(
            "{g} {:?} steps {} elim {} {:?} {:?}",
            t.elapsed(),
            curve.steps(),
            curve.thermal().eliminations(),
            curve.thermal().basis(),
            curve.at(0.25)
        );
        println!("  {:?}", curve.at(0.3));
        println!(
            "  {:?}",
            Thermal::new(&device, g)
                .unwrap()
                .with_tolerance(1e-9)
                .solve(1.6, 0.3)
        );
    }
}
