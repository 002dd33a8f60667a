//! Little noise: the pushed noise-free period against the stationary Fokker–Planck equation.

use coldfringe::model::shunted_loop::ShuntedLoop;
use coldfringe::model::thermal::Thermal;
use coldfringe::model::weak_noise::WeakNoise;

/// Voltage and noise lie within the errors stated, which fall as Γ: at a tenth of it, a tenth.
#[test]
fn the_stationary_equation_is_met_within_the_errors_stated() {
    let mut compared = 0;
    for (left, beta_l, share) in [
        (1.0, 1.0, 0.5),
        (1.0, 0.2, 0.5),
        (1.4, 0.7, 0.2),
        (0.8, 2.0, 0.5),
        (1.0, 4.0, 0.5),
    ] {
        let device = ShuntedLoop::new(left, 2.0 - left, beta_l, share, 0.0).unwrap();
        for gamma in [0.03, 0.01] {
            let mut weak = WeakNoise::new(&device, gamma).unwrap();
            let mut thermal = Thermal::new(&device, gamma).unwrap().with_tolerance(1e-6);
            for (bias, flux) in [
                (1.6, 0.45),
                (1.8, -0.37),
                (2.1, 0.25),
                (2.6, 0.1),
                (4.0, 0.3),
            ] {
                let Some(found) = weak.at(bias, flux) else {
                    continue;
                };
                let Ok(exact) = thermal.solve(bias, flux) else {
                    continue;
                };
                compared += 1;
                let off = (found.voltage - exact.voltage).abs();
                let noise_off = (found.noise - exact.noise).abs();
                assert!(
                    off < found.voltage_error && noise_off < found.noise_error,
                    "{left} {beta_l} {gamma} {bias} {flux}: {found:?} {exact:?}"
                );
            }
        }
    }
    assert!(compared > 30, "{compared}");
}
