//! Native steps: format, lints, tests, documentation.

use super::bench::Bench;
use super::tally::Tally;
use crate::child;

/// Every file is formatted.
pub(super) fn format(bench: &Bench) -> anyhow::Result<Tally> {
    let heard = child::hear(bench.cargo("fmt").arg("--check"))?;
    Ok(Tally::of(heard.success))
}

/// The native code, its tests and its benchmarks pass the linter; a warning is a failure.
pub(super) fn lints(bench: &Bench) -> anyhow::Result<Tally> {
    let heard = child::hear(bench.cargo("clippy").args([
        "--quiet",
        "--all-targets",
        "--",
        "-D",
        "warnings",
    ]))?;
    Ok(Tally::of(heard.success))
}

/// The seed from which tests of properties draw their cases, unless the caller's environment has one: the same
/// source then passes twice or fails twice.
const SEED: (&str, &str) = ("PROPTEST_RNG_SEED", "1");

/// Unit, integration and documentation tests.
pub(super) fn tests(bench: &Bench) -> anyhow::Result<Tally> {
    let mut cargo = bench.cargo("test");
    if std::env::var_os(SEED.0).is_none() {
        cargo.env(SEED.0, SEED.1);
    }
    let heard = child::hear(cargo.args(["--quiet", "--no-fail-fast"]))?;
    Ok(Tally::of_tests(&heard.output, heard.success))
}

/// The documentation builds; a warning is a failure.
pub(super) fn docs(bench: &Bench) -> anyhow::Result<Tally> {
    let heard = child::hear(
        bench
            .cargo("doc")
            .args(["--quiet", "--no-deps", "--document-private-items"])
            .env("RUSTDOCFLAGS", "-D warnings"),
    )?;
    Ok(Tally::of(heard.success))
}
