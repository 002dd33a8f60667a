//! How long curves of the loop with one junction and of its tank take: `cargo bench --bench rf`.

// On the page's target there is nothing to time here.
#[cfg(target_arch = "wasm32")]
fn main() {}

#[cfg(not(target_arch = "wasm32"))]
fn main() {
    divan::main();
}

#[cfg(not(target_arch = "wasm32"))]
mod curves {
    use coldfringe::experiment::{Setup, SetupError, readings, run};

    fn device(kind: &str, parameters: &[(&str, &str)]) -> Result<Setup, SetupError> {
        let mut setup = Setup::new(kind)?;
        for (name, value) in parameters {
            setup.set(name, value)?;
        }
        Ok(setup)
    }

    /// A thousand points of `setup` over its window.
    fn thousand(bencher: divan::Bencher<'_, '_>, setup: Result<Setup, SetupError>) {
        if let Ok(setup) = setup {
            let (from, to) = setup.default_window();
            let x: Vec<f64> = (0..1000)
                .map(|k| from + (to - from) * f64::from(k) / 999.0)
                .collect();
            bencher.bench_local(|| run(divan::black_box(&setup), &x));
        }
    }

    /// Both sweeps of the loop.
    #[divan::bench(args = ["300 pH", "3 nH", "100 nH"])]
    fn rf_loop(bencher: divan::Bencher<'_, '_>, inductance: &str) {
        thousand(
            bencher,
            device("rf-loop", &[("loop-inductance", inductance)]),
        );
    }

    /// Tank voltage against static flux: on the first step, between steps, and far up.
    #[divan::bench(args = ["4 nA", "7 nA", "25 nA", "250 nA"])]
    fn tank_over_flux(bencher: divan::Bencher<'_, '_>, drive: &str) {
        thousand(bencher, device("rf-readout", &[("drive-current", drive)]));
    }

    /// Tank voltage against drive.
    #[divan::bench(args = ["0 Phi0", "0.3 Phi0"])]
    fn tank_over_drive(bencher: divan::Bencher<'_, '_>, flux: &str) {
        let sweep = [("sweep", "drive-current"), ("flux", flux)];
        thousand(bencher, device("rf-readout", &sweep));
    }

    /// A loop without hysteresis.
    #[divan::bench]
    fn tank_without_steps(bencher: divan::Bencher<'_, '_>) {
        let weak = [("critical-current", "0.8 uA")];
        thousand(bencher, device("rf-readout", &weak));
    }

    /// The readings alone.
    #[divan::bench]
    fn tank_readings(bencher: divan::Bencher<'_, '_>) {
        if let Ok(setup) = Setup::new("rf-readout") {
            bencher.bench_local(|| readings(divan::black_box(&setup)));
        }
    }
}
