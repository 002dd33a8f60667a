//! The worker: fetched where it is needed, told of where it fails, replaced where it breaks, and right to the last bit.

use super::{BENCH, LESSON, call, hold, reading, reads, says, swing};
use crate::browser::gestures::key;
use crate::browser::page::{Checked, LAPTOP, Page};
use crate::browser::reader::Means;
use coldfringe::experiment::{self, Setup};
use serde_json::json;

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
