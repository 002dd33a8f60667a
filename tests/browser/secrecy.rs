//! Before a commitment nothing computed is anywhere on the page.

use serde_json::{Value, json};

use super::one_slit::{ENDS, two_slits};
use super::page::{Checked, LAPTOP, LESSONS, Page};
use super::reader::{Means, Or};

/// Readings of lesson 1's devices as the page would write them.
const READINGS: [&str; 7] = [
    "1.14 mT", "1.142", "0.217", "21.7 µA", "1.43 mT", "57.1 µm", "2.28 mT",
];

/// All that a curious reader can look at: markup with every attribute, address, title, storage.
async fn all_there_is(page: &Page) -> Or<String> {
    let text = page
        .value(
            "[document.documentElement.outerHTML, location.href, document.title, JSON.stringify(Object.entries(localStorage)), \
              JSON.stringify(Object.entries(sessionStorage)), document.cookie, JSON.stringify(history.state)].join('\\n')",
        )
        .await?;
    Ok(text.as_str().unwrap_or_default().to_owned())
}

/// Neither markup nor names nor address nor storage holds a computed value before its time.
pub(crate) async fn keeps_every_reading_out_of_the_page(page: Page) -> Checked {
    page.window(LAPTOP).await?;
    page.still().await?;
    page.lesson("one-slit").await?;
    let pattern = "one-slit-pattern";
    page.sketch(Means::Drag, pattern, &two_slits(), ENDS)
        .await?;
    page.choose(Means::Drag, pattern, "reasons", "0").await?;
    page.choose(Means::Drag, pattern, "sure", "guess").await?;
    page.press_button(Means::Drag, "#one-slit-pattern [data-role=commit]")
        .await?;
    let before = all_there_is(&page).await?;
    for reading in READINGS {
        assert!(
            !before.contains(reading),
            "{reading} is on the page before the first commitment"
        );
    }
    assert!(
        !before.contains(">computed<"),
        "no key names a computed curve"
    );
    page.press_button(Means::Drag, "#one-slit-pattern [data-role=confirm-yes]")
        .await?;
    page.verdict(pattern).await?;
    let between = all_there_is(&page).await?;
    assert!(
        between.contains(">computed<"),
        "the key names the computed curve"
    );
    for reading in ["1.14 mT", "1.142", "1.43 mT", "2.28 mT"] {
        assert!(
            !between.contains(reading),
            "{reading} is on the page before the second commitment"
        );
    }
    let mark = "one-slit-first-zero-in-field";
    page.slide(Means::Drag, &format!("#{mark} [data-role=mark]"), 2.0, 0.1)
        .await?;
    page.commit_as(Means::Drag, mark, "guess").await?;
    let after = all_there_is(&page).await?;
    assert!(
        after.contains("1.14 mT"),
        "after it, the reading stands there"
    );
    assert!(
        !after.contains("2.28 mT"),
        "that of the next device does not"
    );
    Ok(())
}

/// Before the commitment two different devices give the same pixels; afterwards they do not.
pub(crate) async fn draws_nothing_of_the_device_before(page: Page) -> Checked {
    page.window(LAPTOP).await?;
    page.still().await?;
    let mark = "two-slits-first-minimum";
    let chart = format!("document.querySelector('#{mark} .chart canvas').toDataURL()");
    let words = format!("document.querySelector('#{mark} .chart').textContent");
    let mut seen: Vec<[Value; 4]> = Vec::new();
    for area in ["12 um^2", "31 um^2"] {
        // The page's own description of the device is changed before its script reads it.
        let script = format!(
            "document.addEventListener('DOMContentLoaded', () => {{ \
               for (const spec of document.querySelectorAll('[data-island-spec]')) \
                 spec.textContent = spec.textContent.replaceAll('12 um^2', {}); }}, true);",
            json!(area)
        );
        let added = page
            .browser(
                "Page.addScriptToEvaluateOnNewDocument",
                json!({ "source": script }),
            )
            .await?;
        page.lesson("two-slits").await?;
        page.client
            .execute("localStorage.clear(); sessionStorage.clear();", vec![])
            .await?;
        page.again().await?;
        page.slide(Means::Drag, &format!("#{mark} [data-role=mark]"), 0.1, 0.01)
            .await?;
        let drawn = page.value(&chart).await?;
        let read = page.value(&words).await?;
        page.choose(Means::Drag, mark, "reasons", "0").await?;
        page.commit_as(Means::Drag, mark, "guess").await?;
        seen.push([
            drawn,
            read,
            page.value(&chart).await?,
            page.value(&words).await?,
        ]);
        page.browser(
            "Page.removeScriptToEvaluateOnNewDocument",
            json!({ "identifier": added["identifier"] }),
        )
        .await?;
    }
    let [one, other] = seen.as_slice() else {
        return Err("two devices".into());
    };
    assert!(one[0] == other[0], "the axes show something of the device");
    assert_eq!(one[1], other[1], "the words show something of the device");
    assert!(one[2] != other[2], "after it the curves differ");
    assert_ne!(one[3], other[3], "after it the words differ");
    Ok(())
}

/// What stands after a prediction is neither displayed nor reached by the keyboard nor made live, and opens in order.
pub(crate) async fn shuts_what_comes_after(page: Page) -> Checked {
    page.still().await?;
    for lesson in LESSONS {
        page.lesson(lesson).await?;
        let predictions: Vec<String> = serde_json::from_value(
            page.value("[...document.querySelectorAll('[data-island=predict]')].map(e => e.dataset.blockId)")
                .await?,
        )?;
        // Commits them one after the other in storage, and looks each time at what is open.
        for done in 0..=predictions.len() {
            let committed = &predictions[..done];
            page.client
                .execute(
                    "const blocks = {}; for (const id of arguments[1]) blocks[id] = { committed: { answer: { choice: 'none' }, sure: 'guess', at: 1 } }; \
                     localStorage.setItem('coldfringe.record', JSON.stringify({ version: 1, lessons: { [arguments[0]]: { attempts: [{ id: 'a', started: 1, blocks }] } } }));",
                    vec![json!(lesson), json!(committed)],
                )
                .await?;
            page.again().await?;
            let wrong = page
                .client
                .execute(
                    "const open = arguments[0]; const wrong = []; \
                     for (const part of document.querySelectorAll('[data-after]')) { \
                       const should = open.includes(part.dataset.after); \
                       if (should !== (part.getClientRects().length > 0)) wrong.push((should ? 'shut: ' : 'open: ') + part.dataset.after); \
                       if (should) continue; \
                       for (const e of part.querySelectorAll('a, button, input, summary, [tabindex]')) { e.focus(); if (document.activeElement === e) wrong.push('focus: ' + e.outerHTML.slice(0, 80)); } \
                       for (const e of part.querySelectorAll('canvas, [data-island][data-state=ready]')) wrong.push('live: ' + e.outerHTML.slice(0, 80)); \
                     } return wrong;",
                    vec![json!(committed)],
                )
                .await?;
            assert_eq!(wrong, json!([]), "{lesson} with {done} commitments");
        }
        // A later commitment alone opens nothing that stands behind an earlier prediction.
        if let [_, second, ..] = predictions.as_slice() {
            page.client
                .execute(
                    "const blocks = { [arguments[1]]: { committed: { answer: { choice: 'none' }, sure: 'guess', at: 1 } } }; \
                     localStorage.setItem('coldfringe.record', JSON.stringify({ version: 1, lessons: { [arguments[0]]: { attempts: [{ id: 'a', started: 1, blocks }] } } }));",
                    vec![json!(lesson), json!(second)],
                )
                .await?;
            page.again().await?;
            assert_eq!(
                page.count("[data-open]").await?,
                0,
                "{lesson} opens out of order"
            );
        }
    }
    Ok(())
}
