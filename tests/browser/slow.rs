//! Set-ups whose curves are computed in the background: the page stays alive, says what it does, can be stopped, keeps
//! what was committed, and shows the very numbers that the command computes.
//!
//! A browser's work is made to last by holding back what the page sends to its workers, so that every state stands still
//! while it is looked at.

use coldfringe::experiment::{self, Setup};
use serde_json::json;

use super::drawing::{Columns, Ends};
use super::gestures::{Pointer, key};
use super::page::{Checked, LAPTOP, NARROWEST, Page, TELEPHONE};
use super::reader::{Means, Or};

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

/// Pages whose devices are all quick never ask for the worker; others ask for it once they are at rest, from their own site.
pub(crate) async fn is_fetched_only_where_it_is_needed(page: Page) -> Checked {
    page.open_live("").await?;
    page.value("new Promise(done => setTimeout(done, 1500))")
        .await?;
    let asked = page.requests().await?;
    assert!(
        !asked.iter().any(|address| address.contains("worker")),
        "the contents page asks for {asked:?}"
    );
    page.lesson(LESSON).await?;
    page.until(
        "performance.getEntriesByType('resource').some(entry => entry.name.includes('worker.js'))",
    )
    .await?;
    page.is_quiet().await
}

/// A dragged slider draws curves all the way, the last one is that of the device, and the readings are those of the command.
pub(crate) async fn bench_follows_its_slider(page: Page) -> Checked {
    hold(&page, false).await?;
    page.window(LAPTOP).await?;
    page.lesson_opened(LESSON).await?;
    assert_eq!(reading(&page).await?, swing("11 uA"));
    page.picture("slow-bench").await?;
    call(
        &page,
        "window.drawn = 0; const canvas = document.querySelector('#slow-loop-bias .chart canvas'); let last = ''; \
         const look = () => { const now = canvas.toDataURL(); if (now !== last) { last = now; drawn++; } requestAnimationFrame(look); }; look();",
    )
    .await?;
    let points: Vec<(f64, f64)> = (0..=120)
        .map(|step| (0.1 + 0.4 * f64::from(step) / 120.0, 0.5))
        .collect();
    page.draw(
        "#slow-loop-bias input[data-slider]",
        Pointer::Mouse,
        &points,
    )
    .await?;
    let bias = page
        .value("document.querySelector('#slow-loop-bias [data-slider-number]').value")
        .await?;
    let bias = format!("{} uA", bias.as_str().unwrap_or_default());
    let wanted = swing(&bias);
    reads(&page, &wanted).await?;
    computing(&page, BENCH, false).await?;
    let drawn = page.value("drawn").await?;
    assert!(
        drawn.as_u64().is_some_and(|drawn| drawn >= 3),
        "only {drawn} pictures while the slider was dragged"
    );
    assert!(
        page.text("#slow-loop-bias div.remarks")
            .await?
            .contains("Fokker"),
        "the method is named"
    );
    // What is held stays beside the next curve.
    page.press_button(Means::Drag, "#slow-loop-bias [data-role=hold]")
        .await?;
    page.retype("#slow-loop-bias [data-slider-number]", "8.5")
        .await?;
    page.press(&[key::ENTER]).await?;
    reads(&page, &swing("8.5 uA")).await?;
    page.picture("slow-bench-held").await?;
    page.assert_accessible("a slow bench at rest").await?;
    page.is_quiet().await
}

/// Work that lasts shows a bar and a way to stop it; the keyboard is never lost.
pub(crate) async fn bench_shows_its_work_and_stops(page: Page) -> Checked {
    hold(&page, true).await?;
    page.window(LAPTOP).await?;
    page.lesson_opened(LESSON).await?;
    computing(&page, BENCH, true).await?;
    says(&page, BENCH, "Computing").await?;
    page.picture("slow-bench-computing").await?;
    page.assert_accessible("a bench that computes").await?;
    assert_eq!(
        page.text("#slow-loop-bias [data-role=live]").await?,
        "Computing.",
        "it is announced once"
    );
    page.press_button(Means::Keys, "#slow-loop-bias [data-role=stop]")
        .await?;
    says(&page, BENCH, "Stopped").await?;
    assert!(
        page.has_focus("#slow-loop-bias [data-role=try-again]")
            .await?,
        "the keyboard goes on to the other button"
    );
    page.picture("slow-bench-stopped").await?;
    page.assert_accessible("a bench that was stopped").await?;
    call(&page, "letGo()").await?;
    page.press(&[key::ENTER]).await?;
    assert_eq!(reading(&page).await?, swing("11 uA"));
    assert!(
        page.has_focus("#slow-loop-bias, #slow-loop-bias *").await?,
        "the keyboard stays in the block"
    );
    page.is_quiet().await
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

/// Before a commitment nothing is asked of the worker; after it the page says that it computes, keeps the commitment over
/// a reload, and reveals when the curve is there.
pub(crate) async fn predictions_wait_and_are_kept(page: Page) -> Checked {
    hold(&page, true).await?;
    page.still().await?;
    page.window(LAPTOP).await?;
    page.lesson(LESSON).await?;
    page.press_button(Means::Drag, &format!("#{NUMBER} [data-role=number]"))
        .await?;
    page.write("12 uV").await?;
    page.choose(Means::Drag, NUMBER, "sure", "guess").await?;
    page.value("new Promise(done => setTimeout(done, 400))")
        .await?;
    assert_eq!(
        page.value("held.length").await?,
        json!(0),
        "nothing is computed yet"
    );
    commit(&page, Means::Keys, NUMBER).await?;
    computing(&page, NUMBER, true).await?;
    assert!(page.has_focus(&format!("#{NUMBER}, #{NUMBER} *")).await?);
    assert_eq!(
        page.value("document.querySelector('#slow-loop-swing [data-role=verdict]').hidden")
            .await?,
        json!(true)
    );
    page.picture("slow-number-computing").await?;
    page.assert_accessible("a number that waits").await?;
    let kept = page.kept(LESSON, "swing").await?;
    assert_eq!(kept["committed"]["answer"], json!({ "number": "12 uV" }));
    page.again().await?;
    computing(&page, NUMBER, true).await?;
    assert_eq!(
        page.kept(LESSON, "swing").await?,
        kept,
        "the commitment is kept"
    );
    call(&page, "letGo()").await?;
    let said = page.verdict(NUMBER).await?;
    assert!(
        said.contains(&swing("11 uA")) || said.contains("computed value"),
        "{said}"
    );

    // A sketch: stopped by the reader, then tried again.
    page.again().await?;
    page.verdict_after(NUMBER).await?;
    page.sketch(Means::Drag, CURVE, &arches(), ENDS).await?;
    commit(&page, Means::Drag, CURVE).await?;
    computing(&page, CURVE, true).await?;
    page.picture("slow-sketch-computing").await?;
    page.assert_accessible("a sketch that waits").await?;
    page.press_button(Means::Drag, &format!("#{CURVE} [data-role=stop]"))
        .await?;
    says(&page, CURVE, "Stopped").await?;
    page.assert_accessible("a sketch that was stopped").await?;
    call(&page, "letGo()").await?;
    page.press_button(Means::Drag, &format!("#{CURVE} [data-role=try-again]"))
        .await?;
    let said = page.verdict(CURVE).await?;
    assert!(!said.is_empty());
    page.picture("slow-sketch-revealed").await?;
    page.assert_accessible("a sketch beside a slow curve")
        .await?;

    // A marker.
    page.slide(
        Means::Drag,
        &format!("#{PLACE} [data-role=mark]"),
        0.25,
        0.01,
    )
    .await?;
    commit(&page, Means::Drag, PLACE).await?;
    let said = page.verdict(PLACE).await?;
    assert!(said.contains("Φ") || !said.is_empty(), "{said}");
    page.is_quiet().await
}

/// The same by keyboard alone, with the pen.
pub(crate) async fn is_walked_by_keyboard_alone(page: Page) -> Checked {
    hold(&page, false).await?;
    page.window(LAPTOP).await?;
    page.lesson(LESSON).await?;
    page.tab_to(&format!("#{NUMBER} [data-role=number]"))
        .await?;
    page.write("12 uV").await?;
    commit(&page, Means::Keys, NUMBER).await?;
    page.verdict(NUMBER).await?;
    page.until("document.activeElement.matches('#slow-loop-swing [data-role=verdict]')")
        .await?;
    page.sketch(Means::Keys, CURVE, &arches(), ENDS).await?;
    commit(&page, Means::Keys, CURVE).await?;
    page.until("!document.querySelector('#slow-loop-curve [data-role=problem]').textContent")
        .await?;
    page.press(&[key::ESCAPE]).await?;
    page.verdict(CURVE).await?;
    page.until("document.activeElement.matches('#slow-loop-curve [data-role=verdict]')")
        .await?;
    page.is_quiet().await
}

/// A typed number is judged when the background has the answer; one that cannot be read costs nothing.
pub(crate) async fn numbers_are_judged_when_they_are_there(page: Page) -> Checked {
    hold(&page, true).await?;
    page.window(LAPTOP).await?;
    page.lesson_opened(LESSON).await?;
    let field = format!("#{QUESTION} [data-role=number]");
    page.press_button(Means::Drag, &field).await?;
    page.write(&swing("11 uA")).await?;
    page.press_button(Means::Keys, &format!("#{QUESTION} [data-role=check]"))
        .await?;
    computing(&page, QUESTION, true).await?;
    page.assert_accessible("a question that waits").await?;
    call(&page, "letGo()").await?;
    let said = page.verdict(QUESTION).await?;
    computing(&page, QUESTION, false).await?;
    assert!(said.contains("agrees with the computed value"), "{said}");
    // After a reload the try stands there again, and is judged again.
    page.again().await?;
    computing(&page, QUESTION, true).await?;
    call(&page, "letGo()").await?;
    assert_eq!(page.verdict(QUESTION).await?, said);
    page.is_quiet().await
}

/// No state is wider than a telephone.
pub(crate) async fn fits_a_telephone_while_computing(page: Page) -> Checked {
    hold(&page, true).await?;
    for window in [TELEPHONE, NARROWEST] {
        page.window(window).await?;
        page.lesson_opened(LESSON).await?;
        for state in ["computing", "stopped", "there"] {
            match state {
                "computing" => computing(&page, BENCH, true).await?,
                "stopped" => {
                    page.press_button(Means::Taps, &format!("#{BENCH} [data-role=stop]"))
                        .await?;
                    says(&page, BENCH, "Stopped").await?;
                }
                _ => {
                    call(&page, "letGo()").await?;
                    page.press_button(Means::Taps, &format!("#{BENCH} [data-role=try-again]"))
                        .await?;
                    reading(&page).await?;
                }
            }
            page.picture(&format!("slow-{}-{state}", window.width))
                .await?;
            super::states::fits(&page, &format!("{state}, {} pixels", window.width)).await?;
        }
    }
    Ok(())
}

/// Without the worker's script the reader is told in plain words, nothing is lost, and another try works once it is there.
pub(crate) async fn worker_that_cannot_be_loaded_is_told_of(page: Page) -> Checked {
    hold(&page, false).await?;
    page.still().await?;
    page.window(LAPTOP).await?;
    for (missing, name) in [
        ("the script", "no-worker.js"),
        (
            "what the script loads",
            "worker.js?bundle=coldfringe-worker-0",
        ),
    ] {
        let mend = page.browser(
            "Page.addScriptToEvaluateOnNewDocument",
            json!({ "source": format!(
                "document.addEventListener('DOMContentLoaded', () => {{ const meta = document.querySelector('meta[name=coldfringe-worker]'); \
                   if (!meta) return; window.right = meta.content; meta.content = meta.content.replace(/worker\\.js.*/, {}); }}, true);",
                json!(name)
            ) }),
        )
        .await?;
        page.lesson_opened(LESSON).await?;
        says(&page, BENCH, "could not be loaded").await?;
        page.picture("slow-not-loaded").await?;
        page.assert_accessible(&format!("without {missing}"))
            .await?;
        assert_eq!(
            page.value("document.documentElement.dataset.state").await?,
            json!("ready"),
            "the page goes on without {missing}"
        );
        call(
            &page,
            "document.querySelector('meta[name=coldfringe-worker]').content = right",
        )
        .await?;
        page.press_button(Means::Drag, &format!("#{BENCH} [data-role=try-again]"))
            .await?;
        assert_eq!(reading(&page).await?, swing("11 uA"), "{missing}");
        page.browser(
            "Page.removeScriptToEvaluateOnNewDocument",
            json!({ "identifier": mend["identifier"] }),
        )
        .await?;
    }
    // The console rightly shows what was missing.
    page.complaints().await?;
    Ok(())
}

/// A worker that breaks down is told of and replaced; the page, its other blocks and the work on it go on.
pub(crate) async fn worker_that_breaks_is_replaced(page: Page) -> Checked {
    hold(&page, false).await?;
    page.window(LAPTOP).await?;
    page.lesson_opened(LESSON).await?;
    reading(&page).await?;
    call(&page, "window.holding = true").await?;
    page.retype("#slow-loop-bias [data-slider-number]", "12")
        .await?;
    page.press(&[key::ENTER]).await?;
    page.until("held.length > 0").await?;
    // What a browser does when the code in a worker stops with an error.
    call(
        &page,
        "held.length = 0; window.holding = false; workers[0].dispatchEvent(new ErrorEvent('error', { message: 'unreachable', cancelable: true }));",
    )
    .await?;
    says(&page, BENCH, "stopped because of a mistake").await?;
    assert_eq!(
        page.value("document.documentElement.dataset.state").await?,
        json!("ready")
    );
    let workers = page.value("workers.length").await?;
    page.press_button(Means::Drag, &format!("#{BENCH} [data-role=try-again]"))
        .await?;
    assert_eq!(reading(&page).await?, swing("12 uA"));
    assert_ne!(
        page.value("workers.length").await?,
        workers,
        "another worker"
    );
    // A message that no worker understands ends the worker in the same way, and not the page.
    call(&page, "workers.at(-1).postMessage(['{\"number\":1,\"order\":\"dance\",\"kind\":\"voltage-flux\",\"texts\":{}}'])").await?;
    page.value("new Promise(done => setTimeout(done, 300))")
        .await?;
    page.retype("#slow-loop-bias [data-slider-number]", "9")
        .await?;
    page.press(&[key::ENTER]).await?;
    reads(&page, &swing("9 uA")).await?;
    Ok(())
}

/// The worker's vectors give the bits that the command gives, for every slow set-up.
pub(crate) async fn worker_computes_the_bits_of_the_command(page: Page) -> Checked {
    page.lesson(LESSON).await?;
    let mut seen = 0;
    for description in experiment::descriptions() {
        if description.pace() == experiment::Pace::AtOnce {
            continue;
        }
        seen += 1;
        let setup = Setup::new(description.kind)?;
        let (from, to) = setup.default_window();
        let x: Vec<f64> = (0..25)
            .map(|k| from + (to - from) * f64::from(k) / 24.0)
            .collect();
        let trace = experiment::run(&setup, &x)?;
        let order = coldfringe::jobs::Order::Start {
            number: 1,
            job: coldfringe::jobs::Job::run(&setup, &x),
        }
        .pack();
        let got = page
            .client
            .execute_async(
                "const [text, numbers, done] = arguments; \
                 const script = document.querySelector('meta[name=coldfringe-worker]').content; \
                 const worker = new Worker(script, { type: 'module' }); \
                 worker.onerror = event => done('error: ' + event.message); \
                 worker.onmessage = event => { const [text, ...lists] = event.data; if (JSON.parse(text).news === 'part') return; worker.terminate(); \
                   done([text, lists.map(list => [...new BigUint64Array(list.buffer)].map(String))]); }; \
                 const lists = numbers.map(list => Float64Array.from(list, value => value === null ? NaN : value)); \
                 worker.postMessage([text, ...lists]);",
                vec![json!(order.text), json!(order.numbers)],
            )
            .await?;
        let lists: Vec<Vec<String>> = serde_json::from_value(got[1].clone())
            .map_err(|error| format!("{}: {error}: {got}", description.kind))?;
        let readings: Vec<f64> = trace.readings.iter().map(|reading| reading.value).collect();
        assert_eq!(
            lists[1],
            bits(&readings),
            "readings of {}",
            description.kind
        );
        for (column, got) in trace.columns.iter().zip(&lists[3..]) {
            assert_eq!(
                *got,
                bits(&column.values),
                "{} of {}",
                column.name,
                description.kind
            );
        }
        assert_eq!(lists.len(), 3 + trace.columns.len(), "{}", description.kind);
    }
    assert!(seen > 0, "there are slow set-ups");
    Ok(())
}

fn bits(values: &[f64]) -> Vec<String> {
    values
        .iter()
        .map(|value| value.to_bits().to_string())
        .collect()
}

impl Page {
    /// Lets go what is held, if a block still waits, and waits for what is said about it.
    async fn verdict_after(&self, block: &str) -> Or<String> {
        call(self, "letGo()").await?;
        let said = self.verdict(block).await?;
        call(self, "window.holding = true").await?;
        Ok(said)
    }
}
