//! Steps on the wasm side: lints, and tests that run in a browser.

use std::path::PathBuf;

use anyhow::Context as _;

use super::browser::Browser;
use super::tally::Tally;
use crate::bundle::BINDGEN;
use crate::toolchain::Toolchain;
use crate::{child, place, say};

/// The wasm code and its tests pass the linter; a warning is a failure.
pub(super) fn lints() -> anyhow::Result<Tally> {
    let toolchain = Toolchain::find()?;
    let mut tally = Tally::default();
    // All in one as the tests have it, then each of the parts that a browser fetches.
    let part = |name: &str| format!("coldfringe_part=\"{name}\"");
    let lessons = [part("page"), "coldfringe_without_homework".to_owned()];
    let parts = [
        (true, &[][..]),
        (false, &lessons[..]),
        (false, &[part("page")][..]),
        (false, &[part("worker")][..]),
    ];
    for (tests, conditions) in parts {
        let mut clippy = toolchain.clippy()?;
        clippy.args(["--quiet", "--lib"]);
        if tests {
            clippy.args(["--test", "wasm"]);
        }
        clippy.args(["--", "-D", "warnings"]);
        for condition in conditions {
            clippy.args(["--cfg", condition]);
        }
        tally += Tally::of(child::hear(&mut clippy)?.success);
    }
    Ok(tally)
}

/// The tests in `tests/wasm.rs`, compiled for wasm and run in a headless browser.
pub(super) fn tests() -> anyhow::Result<Tally> {
    let browser = Browser::installed()?;
    let runner = runner()?;
    let mut test = Toolchain::find()?.cargo("test", &[])?;
    test.args(["--test", "wasm"])
        .env("CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_RUNNER", runner)
        .env("CHROMEDRIVER", browser.driver)
        // The arguments for the browser are in webdriver.json.
        .env("WASM_BINDGEN_TEST_TIMEOUT", "120");
    let heard = child::hear(&mut test)?;
    Ok(Tally::of_tests(&heard.output, heard.success))
}

/// The program that carries wasm tests into the browser, of the same version as the crate; compiled once into the cache.
pub(super) fn runner() -> anyhow::Result<PathBuf> {
    let root = place::cache()?.join(format!("wasm-bindgen-cli-{BINDGEN}"));
    let runner = root.join("bin/wasm-bindgen-test-runner");
    if !runner.is_file() {
        say::progress(&format!(
            "compiling the test runner for wasm, once, into {} (a minute or two)",
            root.display()
        ));
        // Not locked to the versions the crate was published with: a registry that lags behind may lack one of them.
        child::show(
            child::command("cargo", &place::project()?)
                // It runs for seconds and is compiled on every new machine: optimised a little.
                .env("CARGO_PROFILE_RELEASE_OPT_LEVEL", "1")
                .env("CARGO_PROFILE_RELEASE_LTO", "off")
                .args(["install", "--quiet", "wasm-bindgen-cli", "--version"])
                .arg(format!("={BINDGEN}"))
                .arg("--root")
                .arg(&root),
        )
        .with_context(|| {
            format!("the test runner for wasm could not be installed; try by hand: cargo install wasm-bindgen-cli --version ={BINDGEN} --root {}", root.display())
        })?;
    }
    Ok(runner)
}
