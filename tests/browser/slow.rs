//! Set-ups whose curves are computed in the background: the page stays alive, says what it does, can be stopped, keeps
//! what was committed, and shows the very numbers that the command computes.
//!
//! A browser's work is made to last by holding back what the page sends to its workers, so that every state stands still
//! while it is looked at.

mod bench;
mod questions;
mod worker;

use super::drawing::{Columns, Ends};
use super::page::{Checked, Page};
use super::reader::{Means, Or};
use coldfringe::experiment::{self, Setup};
use serde_json::json;

pub(crate) use bench::{bench_follows_its_slider, bench_shows_its_work_and_stops};
pub(crate) use questions::{
    fits_a_telephone_while_computing, is_walked_by_keyboard_alone,
    numbers_are_judged_when_they_are_there, predictions_wait_and_are_kept,
};
pub(crate) use worker::{
    is_fetched_only_where_it_is_needed, worker_computes_the_bits_of_the_command,
    worker_that_breaks_is_replaced, worker_that_cannot_be_loaded_is_told_of,
};

pub(super) const LESSON: &str = "slow-loop";
pub(super) const BENCH: &str = "slow-loop-bias";
pub(super) const NUMBER: &str = "slow-loop-swing";
pub(super) const CURVE: &str = "slow-loop-curve";
pub(super) const PLACE: &str = "slow-loop-best";
pub(super) const QUESTION: &str = "slow-loop-depth";

/// From the next page on, messages to workers wait until `letGo()` is called there; with `false` they pass.
async fn hold(page: &Page, held: bool) -> Checked {
    page.browser(
        "Page.addScriptToEvaluateOnNewDocument",
        json!({ "source": format!(
            "(() => {{ const Real = Worker; window.workers = []; window.held = []; window.holding = {held}; \
               window.letGo = () => {{ window.holding = false; held.splice(0).forEach(send => send()); }}; \
               window.Worker = class extends Real {{ \
                 constructor(...how) {{ super(...how); window.workers.push(this); }} \
                 postMessage(...what) {{ const send = () => super.postMessage(...what); if (window.holding) held.push(send); else send(); }} }}; }})();"
        ) }),
    )
    .await?;
    Ok(())
}

/// Calls a function of the page that gives nothing back.
pub(super) async fn call(page: &Page, script: &str) -> Checked {
    page.client.execute(script, vec![]).await?;
    Ok(())
}

/// Waits until the status of a block shows (or not) that something is computed.
async fn computing(page: &Page, block: &str, shown: bool) -> Checked {
    page.until(&format!(
        "!document.querySelector('#{block} [data-role=computing]').hidden === {shown}"
    ))
    .await
}

/// Waits until a status holds words.
async fn says(page: &Page, block: &str, words: &str) -> Checked {
    page.until(&format!(
        "document.querySelector('#{block} [data-role=computing]').textContent.includes({})",
        json!(words)
    ))
    .await
}

/// Waits until a bench has all its readings, and gives the first.
pub(super) async fn reading(page: &Page) -> Or<String> {
    let place = format!("#{BENCH} [data-role=readings] div:not([hidden]) dd");
    page.until(&format!(
        "(list => list.length === 2 && list.every(dd => dd.textContent !== '…'))([...document.querySelectorAll({})])",
        json!(place)
    ))
    .await?;
    computing(page, BENCH, false).await?;
    page.text(&place).await
}

/// Waits until the first reading of the bench is this.
async fn reads(page: &Page, wanted: &str) -> Checked {
    page.until(&format!(
        "document.querySelector('#slow-loop-bias [data-role=readings] dd').textContent === {}",
        json!(wanted)
    ))
    .await
}

/// The device of the lesson at a bias.
fn device(bias: &str) -> Setup {
    let mut setup = Setup::new("voltage-flux").expect("the set-up");
    for (name, value) in [
        ("critical-current-left", "5 uA"),
        ("critical-current-right", "5 uA"),
        ("loop-inductance", "200 pH"),
        ("shunt-resistance", "6 ohm"),
        ("temperature", "4.2 K"),
        ("bias-current", bias),
    ] {
        setup.set(name, value).expect("a value in its range");
    }
    setup
}

/// The swing of that device as the page writes it.
pub(super) fn swing(bias: &str) -> String {
    let readings = experiment::readings(&device(bias)).expect("readings");
    let swing = readings.iter().find(|reading| reading.name == "swing");
    let swing = swing.expect("a swing");
    coldfringe::quantity::show(swing.value, swing.unit, 3)
}

/// The axes of the sketch.
pub(super) const ENDS: Ends = Ends {
    x: (-1.0, 1.0),
    y: (0.0, 40.0),
};

/// A curve with maxima at half quanta, at the 17 columns of the keyboard.
pub(super) fn arches() -> Columns {
    (0..17)
        .map(|column| match column % 8 {
            0 => 350,
            1 | 7 => 400,
            2 | 6 => 500,
            3 | 5 => 600,
            _ => 650,
        })
        .collect()
}

/// Presses both buttons of a commitment.
pub(super) async fn commit(page: &Page, means: Means, block: &str) -> Checked {
    page.choose(means, block, "sure", "guess").await?;
    page.press_button(means, &format!("#{block} [data-role=commit]"))
        .await?;
    page.until(&format!(
        "!document.querySelector('#{block} [data-role=confirm]').hidden"
    ))
    .await?;
    page.press_button(means, &format!("#{block} [data-role=confirm-yes]"))
        .await
}
