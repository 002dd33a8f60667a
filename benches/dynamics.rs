//! How long voltage states take: the vector sine, curves without noise, up and down with capacitance, random paths,
//! and all of it against the device: `cargo bench --bench dynamics`.

// On the page's target there is nothing to time here.
#[cfg(target_arch = "wasm32")]
fn main() {}

#[cfg(not(target_arch = "wasm32"))]
fn main() {
    divan::main();
}

/// Sine and cosine of 4096 angles; the bench counts them.
#[cfg(not(target_arch = "wasm32"))]
mod sines {
    use coldfringe::numerics::elementary;
    use coldfringe::numerics::lanes::{Lane, Pair};
    use coldfringe::numerics::vector_sine::{cosine, sine};
    use divan::counter::ItemsCount;
    use divan::{Bencher, black_box};

    const ANGLES: usize = 4096;

    fn angles() -> Vec<f64> {
        (0..ANGLES)
            .map(|k| 0.013 * k as f64 - 0.5 * 0.013 * ANGLES as f64)
            .collect()
    }

    fn one_by_one(bencher: Bencher<'_, '_>, function: impl Fn(f64) -> f64) {
        let angles = angles();
        bencher
            .counter(ItemsCount::new(ANGLES))
            .bench_local(|| -> f64 { black_box(&angles).iter().map(|x| function(*x)).sum() });
    }

    fn two_by_two(bencher: Bencher<'_, '_>, function: impl Fn(Pair) -> Pair) {
        let angles = angles();
        bencher
            .counter(ItemsCount::new(ANGLES))
            .bench_local(|| -> f64 {
                let mut sum = Pair::splat(0.0);
                for two in black_box(&angles).chunks_exact(2) {
                    sum += function(Pair::new(two[0], two[1]));
                }
                sum.sum()
            });
    }

    #[divan::bench]
    fn sine_pair(bencher: Bencher<'_, '_>) {
        two_by_two(bencher, sine);
    }

    #[divan::bench]
    fn sine_single(bencher: Bencher<'_, '_>) {
        one_by_one(bencher, sine);
    }

    #[divan::bench]
    fn sine_libm(bencher: Bencher<'_, '_>) {
        one_by_one(bencher, elementary::sin);
    }

    #[divan::bench]
    fn cosine_pair(bencher: Bencher<'_, '_>) {
        two_by_two(bencher, cosine);
    }

    #[divan::bench]
    fn cosine_single(bencher: Bencher<'_, '_>) {
        one_by_one(bencher, cosine);
    }

    #[divan::bench]
    fn cosine_libm(bencher: Bencher<'_, '_>) {
        one_by_one(bencher, elementary::cos);
    }
}

/// Curves without noise.
#[cfg(not(target_arch = "wasm32"))]
mod quiet {
    use coldfringe::experiment::{Setup, run};
    use coldfringe::model::running::Running;
    use coldfringe::model::shunted_loop::ShuntedLoop;
    use coldfringe::model::underdamped::{Branch, Underdamped};
    use divan::{Bencher, black_box};

    /// Voltages at so many fluxes of a period, added up.
    fn period(beta_l: f64, bias: f64, points: u32) -> Option<f64> {
        let mut running = Running::new(&ShuntedLoop::symmetric(black_box(beta_l))?)?;
        let flux = |k: u32| f64::from(k) / f64::from(points);
        Some((0..points).map(|k| running.at(bias, flux(k)).voltage).sum())
    }

    /// A period of a thousand points against β_L, at 1.1 of the largest critical current.
    #[divan::bench(args = [0.01, 0.05, 0.051, 0.1, 0.3, 1.0, 3.0, 10.0, 20.0], sample_count = 10)]
    fn period_at_screening(beta_l: f64) -> Option<f64> {
        period(beta_l, 2.2, 1000)
    }

    /// The same against the bias: much of the period is at rest below 2, and slow just above.
    #[divan::bench(args = [1.0, 1.6, 1.99, 2.0001, 2.2, 4.0, 20.0], sample_count = 10)]
    fn period_at_bias(bias: f64) -> Option<f64> {
        period(1.0, bias, 1000)
    }

    /// The same against the number of points.
    #[divan::bench(args = [100, 300, 1000, 3000, 10_000], sample_count = 10)]
    fn period_at_points(points: u32) -> Option<f64> {
        period(1.0, 2.2, points)
    }

    /// Against bias from 0 to 4 I0, a thousand points.
    #[divan::bench(sample_count = 10)]
    fn characteristic() -> Option<f64> {
        let mut running = Running::new(&ShuntedLoop::symmetric(black_box(1.0))?)?;
        Some(
            (0..1000)
                .map(|k| running.at(4.0 * f64::from(k) / 999.0, 0.25).voltage)
                .sum(),
        )
    }

    /// The set-up of the page with all its columns and readings, a thousand points.
    #[divan::bench(args = ["voltage-flux", "current-voltage"], sample_count = 10)]
    fn setup(bencher: Bencher<'_, '_>, kind: &str) {
        let setup = Setup::new(kind).and_then(|mut setup| {
            setup.set("temperature", "0 K")?;
            if kind == "voltage-flux" {
                setup.set("bias-current", "11 uA")?;
            }
            Ok(setup)
        });
        if let Ok(setup) = setup {
            let (from, to) = setup.default_window();
            let x: Vec<f64> = (0..1000)
                .map(|k| from + (to - from) * f64::from(k) / 999.0)
                .collect();
            bencher.bench_local(|| run(&setup, &x));
        }
    }

    /// Up and down in bias between 0 and 4 I0 with two hundred points each way, against β_c.
    #[divan::bench(args = [0.01, 0.1, 0.3, 1.0, 2.0, 5.0, 10.0, 30.0, 100.0], sample_count = 5)]
    fn up_and_down(beta_c: f64) -> Option<f64> {
        let device = ShuntedLoop::new(1.0, 1.0, 1.0, 0.5, black_box(beta_c))?;
        let mut state = Underdamped::new(&device);
        let bias = |k: u32| 4.0 * f64::from(k) / 199.0;
        let up: f64 = (0..200)
            .map(|k| state.voltage(bias(k), 0.2, Branch::Rising))
            .sum();
        let down: f64 = (0..200)
            .rev()
            .map(|k| state.voltage(bias(k), 0.2, Branch::Falling))
            .sum();
        Some(up + down)
    }

    /// The return current of one loop, against β_c.
    #[divan::bench(args = [1.0, 2.0, 10.0, 100.0], sample_count = 5)]
    fn return_current(beta_c: f64) -> Option<f64> {
        let device = ShuntedLoop::new(1.0, 1.0, 1.0, 0.5, black_box(beta_c))?;
        Some(Underdamped::new(&device).return_current(0.2))
    }
}

/// Random paths: the counter is steps of a path.
#[cfg(not(target_arch = "wasm32"))]
mod random {
    use coldfringe::model::langevin::{Langevin, Start};
    use coldfringe::model::shunted_loop::ShuntedLoop;
    use divan::Bencher;
    use divan::counter::ItemsCount;

    fn block(bencher: Bencher<'_, '_>, beta_l: f64, beta_c: f64) {
        let paths = ShuntedLoop::new(1.0, 1.0, beta_l, 0.5, beta_c)
            .and_then(|device| Langevin::new(&device, 1.6, 0.25, 0.05, Start::Rest, 3));
        if let Some(mut paths) = paths {
            bencher
                .counter(ItemsCount::new(paths.cost()))
                .bench_local(|| paths.advance());
        }
    }

    /// A block of all paths without capacitance, against β_L.
    #[divan::bench(args = [0.05, 0.3, 1.0, 3.0], sample_count = 10)]
    fn block_at_screening(bencher: Bencher<'_, '_>, beta_l: f64) {
        block(bencher, beta_l, 0.0);
    }

    /// The same against β_c.
    #[divan::bench(args = [0.1, 1.0, 10.0, 100.0], sample_count = 10)]
    fn block_at_damping(bencher: Bencher<'_, '_>, beta_c: f64) {
        block(bencher, 1.0, beta_c);
    }
}

/// A noisy period with voltage, transfer and noise, against the number of points drawn.
#[cfg(not(target_arch = "wasm32"))]
mod noisy {
    use coldfringe::experiment::{Setup, run};
    use divan::Bencher;

    #[divan::bench(args = [51, 241, 1001, 4001], sample_count = 5)]
    fn period_at_points(bencher: Bencher<'_, '_>, points: u32) {
        let setup = Setup::new("voltage-flux").and_then(|mut setup| {
            setup.set("loop-inductance", "206.78 pH")?;
            setup.set("temperature", "5.956 K")?;
            setup.set("bias-current", "8 uA")?;
            Ok(setup)
        });
        if let Ok(setup) = setup {
            let x: Vec<f64> = (0..points)
                .map(|k| 2.0 * f64::from(k) / f64::from(points - 1))
                .collect();
            bencher.bench_local(|| run(&setup, &x));
        }
    }
}

/// A loop held by feedback: the voltage of its period, and a thousand moments.
#[cfg(not(target_arch = "wasm32"))]
mod feedback {
    use coldfringe::experiment::{Setup, run};
    use divan::Bencher;

    /// Against how far the signal is below the bandwidth of 100 kHz: steps grow in proportion.
    #[divan::bench(args = ["10 kHz", "1 kHz", "100 Hz"], sample_count = 5)]
    fn thousand_moments(bencher: Bencher<'_, '_>, frequency: &str) {
        let setup = Setup::new("flux-locked-loop").and_then(|mut setup| {
            setup.set("frequency", frequency)?;
            Ok(setup)
        });
        if let Ok(setup) = setup {
            let (from, to) = setup.default_window();
            let x: Vec<f64> = (0..1000)
                .map(|k| from + (to - from) * f64::from(k) / 999.0)
                .collect();
            bencher.bench_local(|| run(&setup, &x));
        }
    }
}
