//! Mean voltage without noise against limits and independent tables.

#![cfg(not(target_arch = "wasm32"))]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a test stops at the first surprise"
)]

use coldfringe::model::shunted_loop::ShuntedLoop;
use coldfringe::model::underdamped::{Branch, Underdamped};

fn with_capacitance(beta_l: f64, beta_c: f64) -> Underdamped {
    Underdamped::new(&ShuntedLoop::new(1.0, 1.0, beta_l, 0.5, beta_c).unwrap())
}

/// Without flux both junctions move as one alone would: v = √(i² − 1) with i the bias of each.
#[test]
fn one_junction_has_its_square_root() {
    for beta_l in [0.01, 0.1, 1.0, 5.0, 20.0] {
        let mut state = with_capacitance(beta_l, 0.0);
        for bias in [1e-12, 1e-9, 1e-6, 1e-4, 0.01, 0.1, 0.25, 1.0, 4.0] {
            let i = 1.0 + bias;
            let voltage = state.voltage(2.0 * i, 0.0, Branch::Rising);
            let exact = (bias * (2.0 + bias)).sqrt();
            assert!(
                (voltage - exact).abs() < 1e-8 + 1e-5 * bias,
                "{beta_l} {i}: {voltage} {exact}"
            );
        }
        assert!(state.voltage(2.0, 0.0, Branch::Rising) <= 0.0);
    }
}

/// Currents at which one junction stops slipping, by following the orbit from saddle to saddle (computed
/// independently with SciPy; the approximation 4/(π √β_c) for much capacitance is from memory of Stewart, Appl. Phys.
/// Lett. 12, 277 (1968), and McCumber, J. Appl. Phys. 39, 3113 (1968)).
#[test]
fn one_junction_returns_to_rest_where_it_must() {
    let table = [
        (1.0, 0.964_327),
        (1.5, 0.870_143),
        (2.0, 0.789_865),
        (3.0, 0.674_787),
        (4.0, 0.597_383),
        (5.0, 0.541_310),
        (10.0, 0.392_683),
        (20.0, 0.281_184),
        (50.0, 0.179_172),
        (100.0, 0.127_009),
    ];
    for (beta_c, expected) in table {
        let found = 0.5 * with_capacitance(1.0, beta_c).return_current(0.0);
        assert!((found - expected).abs() < 2e-6, "{beta_c}: {found}");
    }
}
