//! How long curves of a thousand points take: `cargo bench --bench statics`.

// On the page's target there is nothing to time here.
#[cfg(target_arch = "wasm32")]
fn main() {}

#[cfg(not(target_arch = "wasm32"))]
fn main() {
    divan::main();
}

#[cfg(not(target_arch = "wasm32"))]
mod curves {
    use coldfringe::experiment::{Setup, readings, run};

    const KINDS: [&str; 4] = [
        "single-junction",
        "junction-pair",
        "junction-array",
        "screened-loop",
    ];

    fn points(setup: &Setup) -> Vec<f64> {
        let (from, to) = setup.default_window();
        (0..1000)
            .map(|k| from + (to - from) * f64::from(k) / 999.0)
            .collect()
    }

    /// A trace with all its columns and readings.
    #[divan::bench(args = KINDS)]
    fn thousand_points(bencher: divan::Bencher<'_, '_>, kind: &str) {
        if let Ok(setup) = Setup::new(kind) {
            let x = points(&setup);
            bencher.bench_local(|| run(divan::black_box(&setup), &x));
        }
    }

    /// The readings alone.
    #[divan::bench(args = KINDS)]
    fn readings_alone(bencher: divan::Bencher<'_, '_>, kind: &str) {
        if let Ok(setup) = Setup::new(kind) {
            bencher.bench_local(|| readings(divan::black_box(&setup)));
        }
    }

    /// A loop whose screening is far from one, with unequal sides.
    #[divan::bench(args = ["1 pH", "10 nH"])]
    fn unequal_loop(bencher: divan::Bencher<'_, '_>, inductance: &str) {
        let setup = Setup::new("screened-loop").and_then(|mut setup| {
            setup.set("loop-inductance", inductance)?;
            setup.set("critical-current-left", "3 uA")?;
            setup.set("left-inductance-fraction", "0.2")?;
            Ok(setup)
        });
        if let Ok(setup) = setup {
            let x = points(&setup);
            bencher.bench_local(|| run(divan::black_box(&setup), &x));
        }
    }
}
