//! The states that a lesson goes through: each accessible, each as wide as the window, with motion and colours as asked for.

use serde_json::json;

use super::gestures::key;
use super::one_slit::{ENDS, two_slits};
use super::page::{Checked, LAPTOP, LESSONS, NARROWEST, Page, TELEPHONE};
use super::reader::{Means, Or};

/// The accessibility checker finds nothing in any state, in both colour schemes.
pub(crate) async fn are_accessible_on_a_laptop(page: Page) -> Checked {
    page.window(LAPTOP).await?;
    in_both_schemes(&page, "laptop").await
}

/// The same at 320 pixels, where nothing has to be scrolled sideways either.
pub(crate) async fn are_accessible_and_fit_on_the_narrowest_screen(page: Page) -> Checked {
    page.window(NARROWEST).await?;
    in_both_schemes(&page, "narrowest").await
}

async fn in_both_schemes(page: &Page, window: &str) -> Checked {
    for scheme in ["light", "dark"] {
        page.preferences(&[
            ("prefers-reduced-motion", "reduce"),
            ("prefers-color-scheme", scheme),
        ])
        .await?;
        page.lesson("one-slit").await?;
        page.client.execute("localStorage.clear();", vec![]).await?;
        through(page, &format!("{window}-{scheme}")).await?;
    }
    Ok(())
}

/// No lesson, all open, has to be scrolled sideways on a telephone, nor with letters of double size.
pub(crate) async fn fit_a_telephone_and_large_letters(page: Page) -> Checked {
    page.still().await?;
    for lesson in LESSONS {
        for (window, letters) in [
            (TELEPHONE, "100%"),
            (NARROWEST, "100%"),
            (LAPTOP, "200%"),
            (TELEPHONE, "200%"),
        ] {
            page.window(window).await?;
            page.lesson_opened(lesson).await?;
            page.client
                .execute(
                    "document.documentElement.style.fontSize = arguments[0]; \
                     for (const part of document.querySelectorAll('details')) part.open = true; window.dispatchEvent(new Event('resize'));",
                    vec![json!(letters)],
                )
                .await?;
            fits(
                &page,
                &format!("{lesson}, {} pixels, letters {letters}", window.width),
            )
            .await?;
        }
    }
    Ok(())
}

/// Goes through the states of lesson 1 and looks at each.
async fn through(page: &Page, look: &str) -> Checked {
    let pattern = "one-slit-pattern";
    page.lesson("one-slit").await?;
    see(page, look, "fresh").await?;
    page.sketch(Means::Drag, pattern, &two_slits(), ENDS)
        .await?;
    see(page, look, "drawn").await?;
    page.press_button(Means::Drag, "#one-slit-pattern [data-role=commit]")
        .await?;
    assert!(
        page.text("#one-slit-pattern [data-role=problem]")
            .await?
            .contains("reason"),
        "the missing reason is asked for"
    );
    see(page, look, "problem").await?;
    page.choose(Means::Drag, pattern, "reasons", "2").await?;
    page.choose(Means::Drag, pattern, "sure", "certain").await?;
    page.press_button(Means::Drag, "#one-slit-pattern [data-role=commit]")
        .await?;
    see(page, look, "confirm").await?;
    page.press_button(Means::Drag, "#one-slit-pattern [data-role=confirm-yes]")
        .await?;
    page.verdict(pattern).await?;
    see(page, look, "revealed").await?;
    page.press_button(Means::Drag, "#one-slit-pattern summary")
        .await?;
    page.choose(Means::Drag, "one-slit-at-one-quantum", "options", "small")
        .await?;
    page.press_button(Means::Drag, "#one-slit-at-one-quantum [data-role=check]")
        .await?;
    see(page, look, "details").await?;

    page.lesson_opened("one-slit").await?;
    for block in ["one-slit-thickness-and-current", "one-slit-half-the-width"] {
        page.press_button(Means::Drag, &format!("#{block} summary"))
            .await?;
    }
    page.press_button(Means::Drag, "#one-slit-width [data-role=hold]")
        .await?;
    page.answer(Means::Drag, "one-slit-thin-films", "2.85 mT")
        .await?;
    page.press_button(Means::Drag, "#one-slit-thin-films summary")
        .await?;
    page.press_button(Means::Drag, "#one-slit-side-lobe [data-role=number]")
        .await?;
    page.write("21.7 furlongs").await?;
    page.press_button(Means::Drag, "#one-slit-side-lobe [data-role=check]")
        .await?;
    page.answer(Means::Drag, "one-slit-width-for-a-field", "57.1 um")
        .await?;
    page.press_button(Means::Drag, "[data-role=delete-everything]")
        .await?;
    see(page, look, "numbers").await
}

async fn see(page: &Page, look: &str, state: &str) -> Checked {
    page.picture(&format!("state-{look}-{state}")).await?;
    fits(page, &format!("{look}, {state}")).await?;
    page.assert_accessible(&format!("{look}, {state}")).await
}

/// Fails with the outermost elements that reach beyond the window's right edge.
pub(crate) async fn fits(page: &Page, state: &str) -> Checked {
    let beyond = page
        .value(
            "(() => { const width = document.documentElement.getBoundingClientRect().width; \
               const hides = e => { for (let p = e.parentElement; p; p = p.parentElement) { const o = getComputedStyle(p).overflowX; if (o === 'auto' || o === 'scroll' || o === 'hidden' || o === 'clip') return true; } return false; }; \
               const out = [...document.querySelectorAll('body *')].filter(e => e.getBoundingClientRect().right > width + 1 && !hides(e)); \
               return document.documentElement.scrollWidth > width + 1 || out.length > 0 \
                 ? [document.documentElement.scrollWidth, ...out.slice(0, 8).map(e => Math.round(e.getBoundingClientRect().right) + ': ' + e.outerHTML.slice(0, 110))] : []; })()",
        )
        .await?;
    if beyond == json!([]) {
        Ok(())
    } else {
        Err(format!("{state}: wider than the window: {beyond}").into())
    }
}

async fn canvas(page: &Page) -> Or<serde_json::Value> {
    Ok(page
        .value("document.querySelector('#one-slit-pattern .chart canvas').toDataURL()")
        .await?)
}

async fn ready_to_reveal(page: &Page) -> Checked {
    page.window(LAPTOP).await?;
    page.lesson("one-slit").await?;
    page.sketch(Means::Drag, "one-slit-pattern", &two_slits(), ENDS)
        .await?;
    page.choose(Means::Drag, "one-slit-pattern", "reasons", "0")
        .await?;
    page.choose(Means::Drag, "one-slit-pattern", "sure", "guess")
        .await?;
    page.press_button(Means::Drag, "#one-slit-pattern [data-role=commit]")
        .await
}

/// With less motion asked for, the curve stands at once and nothing moves after it.
pub(crate) async fn stand_at_once_with_less_motion(page: Page) -> Checked {
    page.still().await?;
    ready_to_reveal(&page).await?;
    page.press_button(Means::Drag, "#one-slit-pattern [data-role=confirm-yes]")
        .await?;
    page.verdict("one-slit-pattern").await?;
    page.value("new Promise(done => setTimeout(done, 100))")
        .await?;
    let first = canvas(&page).await?;
    page.value("new Promise(done => setTimeout(done, 700))")
        .await?;
    assert!(first == canvas(&page).await?, "something still moves");
    Ok(())
}

/// Without that wish a pen traces the curve; a key ends it at once, and the words come then.
pub(crate) async fn trace_with_a_pen_that_a_key_ends(page: Page) -> Checked {
    page.preferences(&[("prefers-reduced-motion", "no-preference")])
        .await?;
    ready_to_reveal(&page).await?;
    page.press_button(Means::Keys, "#one-slit-pattern [data-role=confirm-yes]")
        .await?;
    page.value("new Promise(done => setTimeout(done, 250))")
        .await?;
    let on_the_way = canvas(&page).await?;
    assert_eq!(
        page.value("document.querySelector('#one-slit-pattern [data-role=verdict]').hidden")
            .await?,
        json!(true),
        "the words wait for the pen"
    );
    page.press(&[key::ESCAPE]).await?;
    page.verdict("one-slit-pattern").await?;
    assert!(
        page.has_focus("#one-slit-pattern [data-role=verdict]")
            .await?
    );
    assert!(on_the_way != canvas(&page).await?, "the curve is whole");
    Ok(())
}

/// Where the system forces its colours, sketch and computed curve still show on their paper.
pub(crate) async fn keep_their_colours_where_colours_are_forced(page: Page) -> Checked {
    page.preferences(&[
        ("prefers-reduced-motion", "reduce"),
        ("forced-colors", "active"),
    ])
    .await?;
    for scheme in ["light", "dark"] {
        page.preferences(&[
            ("prefers-reduced-motion", "reduce"),
            ("forced-colors", "active"),
            ("prefers-color-scheme", scheme),
        ])
        .await?;
        page.lesson("one-slit").await?;
        page.client.execute("localStorage.clear();", vec![]).await?;
        ready_to_reveal(&page).await?;
        page.press_button(Means::Drag, "#one-slit-pattern [data-role=confirm-yes]")
            .await?;
        page.verdict("one-slit-pattern").await?;
        page.picture(&format!("forced-colours-{scheme}")).await?;
        // The greatest contrast between ink on the canvas and the page's paper behind it.
        let contrast = page
            .value(
                "(() => { const canvas = document.querySelector('#one-slit-pattern .chart canvas'); \
                   let behind = canvas, paper = 'rgba(0, 0, 0, 0)'; \
                   while (behind && /, 0\\)$/.test(paper)) { paper = getComputedStyle(behind).backgroundColor; behind = behind.parentElement; } \
                   const light = ([r, g, b]) => { const f = v => { v /= 255; return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; }; return 0.2126 * f(r) + 0.7152 * f(g) + 0.0722 * f(b); }; \
                   const below = light(paper.match(/[\\d.]+/g).map(Number)); \
                   const data = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height).data; \
                   let clear = 0; \
                   for (let i = 0; i < data.length; i += 4) if (data[i + 3] > 200) { const ink = light([data[i], data[i + 1], data[i + 2]]); \
                     if ((Math.max(ink, below) + 0.05) / (Math.min(ink, below) + 0.05) >= 4.5) clear++; } \
                   return clear; })()",
            )
            .await?;
        assert!(
            contrast.as_u64().is_some_and(|clear| clear > 1500),
            "{scheme}: only {contrast} pixels of ink stand out from the paper"
        );
    }
    Ok(())
}
