//! Browsers, and the driver of one.

use std::path::PathBuf;

use anyhow::Context as _;

use super::bench::Bench;
use super::npm;
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

/// Firefox, for pages that are one file: found on the search path, or installed. It needs no driver.
/// `COLDFRINGE_FIREFOX` names another.
pub(super) fn firefox() -> anyhow::Result<PathBuf> {
    if let Some(named) = std::env::var_os("COLDFRINGE_FIREFOX").filter(|value| !value.is_empty()) {
        return Ok(named.into());
    }
    let found = || place::on_path("firefox-esr").or_else(|| place::on_path("firefox"));
    if let Some(firefox) = found() {
        return Ok(firefox);
    }
    debian_package::install(&["firefox-esr"], "pages in one file are checked in Firefox")?;
    found().context("no firefox on the search path: install it, or name it in COLDFRINGE_FIREFOX")
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
        .env("COLDFRINGE_FIREFOX", firefox()?)
        .env("COLDFRINGE_AXE", npm::AXE.path()?)
        .env("COLDFRINGE_RUN_TIME", npm::RUN_TIME.path()?);
    let heard = child::hear(&mut test)?;
    Ok(Tally::of_tests(&heard.output, heard.success))
}
