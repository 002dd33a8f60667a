//! How long the noisy voltage state takes: `cargo bench --bench thermal`.

// On the page's target there is nothing to time here.
#[cfg(target_arch = "wasm32")]
fn main() {}

#[cfg(not(target_arch = "wasm32"))]
fn main() {
    divan::main();
}

#[cfg(not(target_arch = "wasm32"))]
mod thermal {
    use coldfringe::experiment::{Inside, Setup, View, look_inside};
    use coldfringe::model::sensor::BestPoint;
    use coldfringe::model::shunted_loop::ShuntedLoop;
    use coldfringe::model::thermal::{FluxCurve, Thermal};

    fn period(beta_l: f64, gamma: f64) -> Option<f64> {
        let device = ShuntedLoop::symmetric(beta_l)?;
        let mut curve = FluxCurve::new(&device, 1.6, gamma, 1e-6).ok()?;
        while !curve.is_done() {
            curve.step().ok()?;
        }
        curve.at(0.25).map(|point| point.voltage)
    }

    /// A whole period of voltage, transfer and noise to 1e-6 and 1e-4, against Γ.
    #[divan::bench(args = [0.02, 0.05, 0.1, 0.3, 1.0], sample_count = 10)]
    fn period_at_gamma(gamma: f64) -> Option<f64> {
        period(1.0, gamma)
    }

    /// The same against β_L.
    #[divan::bench(args = [0.1, 0.3, 1.0, 3.0], sample_count = 10)]
    fn period_at_screening(beta_l: f64) -> Option<f64> {
        period(beta_l, 0.05)
    }

    fn single(bencher: divan::Bencher<'_, '_>, device: Option<ShuntedLoop>, gamma: f64) {
        if let Some(mut solver) = device.and_then(|device| Thermal::new(&device, gamma).ok()) {
            // The basis is found once; a neighbour costs one elimination.
            let first = solver.solve(1.6, 0.3);
            if first.is_ok() {
                bencher.bench_local(|| solver.solve(1.6, 0.3));
            }
        }
    }

    /// One point beside another that is already solved, against Γ.
    #[divan::bench(args = [0.005, 0.01, 0.02, 0.05, 0.1, 0.3, 1.0], sample_count = 10)]
    fn point_at_gamma(bencher: divan::Bencher<'_, '_>, gamma: f64) {
        single(bencher, ShuntedLoop::symmetric(1.0), gamma);
    }

    /// The same against β_L.
    #[divan::bench(args = [0.1, 0.3, 1.0, 3.0, 6.0], sample_count = 10)]
    fn point_at_screening(bencher: divan::Bencher<'_, '_>, beta_l: f64) {
        single(bencher, ShuntedLoop::symmetric(beta_l), 0.05);
    }

    /// One point of a loop with unequal junctions: complex couplings.
    #[divan::bench(sample_count = 10)]
    fn point_unequal(bencher: divan::Bencher<'_, '_>) {
        single(bencher, ShuntedLoop::new(1.3, 0.7, 1.0, 0.4, 0.0), 0.05);
    }

    /// The best working point over bias and flux.
    #[divan::bench(sample_count = 5)]
    fn best_point() -> Option<f64> {
        let device = ShuntedLoop::symmetric(1.0)?;
        let mut search = BestPoint::new(&device, 0.05).ok()?;
        while !search.is_done() {
            search.step().ok()?;
        }
        search.best().map(|best| best.energy)
    }

    /// The board picture with the operating point, of the noisy loop whose period is timed in `src/kernels.rs`: every flux of 32
    /// biases, and two curves of 80 biases.
    #[divan::bench(sample_count = 3)]
    fn operating_point_board() -> Option<Inside> {
        let mut setup = Setup::new("voltage-flux").ok()?;
        for (name, value) in [
            ("critical-current-left", "5 uA"),
            ("critical-current-right", "5 uA"),
            ("loop-inductance", "206.78 pH"),
            ("shunt-resistance", "6 ohm"),
            ("temperature", "5.956 K"),
            ("bias-current", "8 uA"),
        ] {
            setup.set(name, value).ok()?;
        }
        look_inside(&setup, View::OperatingPoint, 0.3).ok()
    }
}
