//! Mean voltage without noise and capacitance against limits and independent tables; the table has capacitance, too.

use crate::golden;
use coldfringe::model::running::{Quiet, Running};
use coldfringe::model::shunted_loop::ShuntedLoop;
use coldfringe::model::underdamped::{Branch, Underdamped};
use coldfringe::numerics::elementary::cos;

#[test]
fn the_golden_table_is_met() {
    let rows = golden::rows(include_str!("../golden/running.tsv"));
    for cells in &rows {
        let line = cells.join(" ");
        let number = |place: usize| golden::number(cells[place]);
        let device =
            ShuntedLoop::new(number(0), number(1), number(2), number(3), number(4)).unwrap();
        let branch = match cells[7] {
            "rising" => Branch::Rising,
            _ => Branch::Falling,
        };
        let found = Underdamped::new(&device).voltage(number(5), number(6), branch);
        let error = (found - number(8)).abs();
        assert!(error <= 1e-6, "{line}: found {found}, off by {error:e}");
        if number(4) <= 0.0 {
            let quiet = Running::new(&device).unwrap().at(number(5), number(6));
            let off = (quiet.voltage - number(8)).abs();
            // The state's own estimate of its error must not be far too small.
            assert!(
                off <= 1e-6 && off <= 10.0 * quiet.error + 1e-10,
                "{line}: {quiet:?}, off by {off:e}"
            );
        }
    }
    assert!(rows.len() >= 24, "{}", rows.len());
}

// ---- symmetry

fn quiet(device: &ShuntedLoop, bias: f64, flux: f64) -> Quiet {
    Running::new(device).unwrap().at(bias, flux)
}

fn device(left: f64, beta_l: f64, share: f64) -> ShuntedLoop {
    ShuntedLoop::new(left, 2.0 - left, beta_l, share, 0.0).unwrap()
}

/// Holds a number to another, to a tolerance.
pub(super) fn near(found: f64, wanted: f64, tolerance: f64, what: &str) {
    assert!(
        (found - wanted).abs() <= tolerance,
        "{what}: {found} instead of {wanted}"
    );
}

#[test]
fn voltage_is_even_and_periodic_in_flux() {
    for beta_l in [0.02, 0.3, 1.0, 4.0] {
        let equal = device(1.0, beta_l, 0.5);
        let unequal = device(1.3, beta_l, 0.3);
        for flux in [0.05, 0.2, 0.37, 0.5] {
            let here = quiet(&equal, 2.1, flux);
            let mirrored = quiet(&equal, 2.1, -flux);
            near(here.voltage, mirrored.voltage, 1e-8, "even");
            near(here.transfer, -mirrored.transfer, 1e-5, "odd slope");
            for whole in [-3.0, 1.0, 50.0] {
                let there = quiet(&unequal, 2.1, flux + whole).voltage;
                near(
                    there,
                    quiet(&unequal, 2.1, flux).voltage,
                    1e-8,
                    "a whole period",
                );
            }
            // The loop seen from behind: sides exchanged and flux turned round.
            let behind = device(0.7, beta_l, 0.7);
            near(
                quiet(&behind, 2.1, -flux).voltage,
                quiet(&unequal, 2.1, flux).voltage,
                1e-8,
                "from behind",
            );
            // Bias and flux turned round.
            near(
                quiet(&unequal, -2.1, -flux).voltage,
                -quiet(&unequal, 2.1, flux).voltage,
                1e-12,
                "turned round",
            );
        }
    }
}

// ---- limits

/// Without inductance the loop is one junction whose critical current is 2|cos πφ|: v = √((i/2)² − cos²πφ).
#[test]
fn no_inductance_leaves_one_junction() {
    let exact = |bias: f64, flux: f64| {
        let limit = cos(core::f64::consts::PI * flux);
        (0.25 * bias * bias - limit * limit).max(0.0).sqrt()
    };
    for (bias, flux) in [(2.2, 0.1), (1.5, 0.35), (0.8, 0.45), (4.0, 0.25)] {
        let off = [1e-2, 1e-3, 1e-4]
            .map(|beta_l| quiet(&device(1.0, beta_l, 0.5), bias, flux).voltage - exact(bias, flux));
        // The correction of first order in β_L has the sign of cos s and averages out over a slip.
        assert!(off[1].abs() < 1e-5, "{bias} {flux}: {off:?}");
        near(off[0] / off[1], 100.0, 10.0, "second order");
        assert!(
            off[2].abs() < 1e-8 + 0.011 * off[1].abs(),
            "{bias} {flux}: {off:?}"
        );
    }
}

/// With much inductance flux no longer matters, and each junction turns on its own with half the bias.
#[test]
fn much_inductance_parts_the_junctions() {
    for bias in [2.1_f64, 2.5, 4.0] {
        let exact = (0.25 * bias * bias - 1.0).sqrt();
        let off = [20.0, 200.0].map(|beta_l| {
            [0.1, 0.25, 0.5]
                .map(|flux| (quiet(&device(1.0, beta_l, 0.5), bias, flux).voltage - exact).abs())
                .into_iter()
                .fold(0.0, f64::max)
        });
        assert!(off[1] < 0.02 && off[1] < 0.5 * off[0], "{bias}: {off:?}");
    }
}

// ---- hysteresis

// ---- power

// ---- slopes

#[test]
fn slopes_are_limits_of_differences() {
    for beta_l in [0.02, 0.3, 1.0, 5.0] {
        for (left, share) in [(1.0, 0.5), (1.3, 0.3)] {
            let device = device(left, beta_l, share);
            let at = |bias: f64, flux: f64| quiet(&device, bias, flux).voltage;
            for (bias, flux) in [(2.2, 0.15), (2.6, 0.4), (5.0, 0.25)] {
                let found = quiet(&device, bias, flux);
                let h = 1e-3;
                // Fourth order.
                let slope = |f: &dyn Fn(f64) -> f64| {
                    (8.0 * (f(h) - f(-h)) - (f(2.0 * h) - f(-2.0 * h))) / (12.0 * h)
                };
                let what = format!("beta_l {beta_l} left {left} bias {bias} flux {flux}");
                near(
                    found.transfer,
                    slope(&|x| at(bias, flux + x)),
                    2e-4,
                    &format!("transfer, {what}"),
                );
                near(
                    found.resistance,
                    slope(&|x| at(bias + x, flux)),
                    2e-4,
                    &format!("resistance, {what}"),
                );
            }
        }
    }
}

// ---- everywhere
