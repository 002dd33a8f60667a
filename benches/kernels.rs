//! The pieces of work that a page asks for, natively: `cargo bench --bench kernels`. The same under
//! Node: `node benches/in_node.mjs` after `coldfringe build`.

// On the page's target there is nothing to time here.
#[cfg(target_arch = "wasm32")]
fn main() {}

#[cfg(not(target_arch = "wasm32"))]
fn main() {
    divan::main();
}

#[cfg(not(target_arch = "wasm32"))]
mod kernels {
    use coldfringe::kernels::{KERNELS, Kernel};

    #[divan::bench(args = KERNELS.map(|kernel| kernel.name), sample_count = 10)]
    fn whole_run(name: &str) -> Option<f64> {
        Kernel::find(name)?.run().ok()
    }
}
