//! A browser and its driver.

use std::path::PathBuf;

use anyhow::Context as _;

use super::axe;
use super::bench::Bench;
use super::tally::Tally;
use crate::{child, debian_package, place};

/// A Chromium and the driver that steers it.
#[derive(Debug)]
pub(super) struct Browser {
    /// `chromedriver`.
    pub(super) driver: PathBuf,
}

impl Browser {
    /// Finds the driver on the search path or installs Debian's browser and driver. `CHROMEDRIVER` names another.
    pub(super) fn installed() -> anyhow::Result<Browser> {
        if let Some(driver) = std::env::var_os("CHROMEDRIVER").filter(|value| !value.is_empty()) {
            return Ok(Browser {
                driver: driver.into(),
            });
        }
        if place::on_path("chromium").is_none() || place::on_path("chromedriver").is_none() {
            debian_package::install(
                &[
                    "chromium",
                    "chromium-driver",
                    "fonts-dejavu-core",
                    "fonts-liberation",
                ],
                "tests in a real browser",
            )?;
        }
        let driver = place::on_path("chromedriver")
            .context("no chromedriver on the search path: install one that fits your Chromium, or name it in CHROMEDRIVER")?;
        Ok(Browser { driver })
    }
}

/// The checks in `tests/browser.rs`: the served notebook, steered in a real browser.
pub(super) fn checks(bench: &Bench) -> anyhow::Result<Tally> {
    run(bench, &[])
}

/// Times of the page in a browser. They are printed, not judged: they depend on the machine.
pub(super) fn times(bench: &Bench) -> anyhow::Result<Tally> {
    run(bench, &["measure::"])
}

fn run(bench: &Bench, filters: &[&str]) -> anyhow::Result<Tally> {
    let browser = Browser::installed()?;
    let mut test = bench.cargo("test");
    test.args(["--test", "browser", "--"])
        .args(filters)
        .env("COLDFRINGE_BROWSER", "1")
        .env("CHROMEDRIVER", browser.driver)
        .env("COLDFRINGE_AXE", axe::script()?);
    let heard = child::hear(&mut test)?;
    Ok(Tally::of_tests(&heard.output, heard.success))
}
