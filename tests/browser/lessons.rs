//! What holds for every lesson: before the reader has done anything, and with everything open.

use serde_json::json;

use super::page::{Checked, LAPTOP, NARROWEST, Page, TELEPHONE};
use super::states::fits;

/// The paths of all lessons, as the contents page links to them.
async fn all(page: &Page) -> Result<Vec<String>, Box<dyn std::error::Error + Send + Sync>> {
    page.visit("").await?;
    let links = page.value("[...document.querySelectorAll('.lessons .title, .lessons .to-lecture')].map(link => link.getAttribute('href'))").await?;
    let paths: Vec<String> = serde_json::from_value(links)?;
    assert!(paths.len() >= 3, "three lessons at least, not {paths:?}");
    Ok(paths)
}

/// The accessibility checker finds nothing on any lesson as it opens: on a laptop in light colours, or a telephone in dark ones.
pub(crate) async fn have_no_accessibility_violation_at_first(page: Page) -> Checked {
    for (turn, path) in all(&page).await?.iter().enumerate() {
        // Lessons and lectures take turns, and each of them in turn.
        let (name, window, scheme) = if (turn + turn / 2).is_multiple_of(2) {
            ("laptop", LAPTOP, "light")
        } else {
            ("telephone", TELEPHONE, "dark")
        };
        page.preferences(&[("prefers-color-scheme", scheme)])
            .await?;
        page.window(window).await?;
        page.open_live(path).await?;
        page.picture(&format!("{}-{name}-{scheme}", slug(path)))
            .await?;
        page.assert_accessible(&format!("{path}, {name}, {scheme}"))
            .await?;
    }
    Ok(())
}

/// With everything committed, answered wrongly and unfolded, no lesson has anything that the accessibility checker
/// finds, and none is wider than a telephone.
pub(crate) async fn have_no_accessibility_violation_when_all_is_open(page: Page) -> Checked {
    page.still().await?;
    page.window(TELEPHONE).await?;
    for (turn, path) in all(&page).await?.iter().enumerate() {
        let scheme = if (turn + turn / 2).is_multiple_of(2) {
            "dark"
        } else {
            "light"
        };
        page.preferences(&[
            ("prefers-reduced-motion", "reduce"),
            ("prefers-color-scheme", scheme),
        ])
        .await?;
        if path.ends_with("lecture.html") {
            show_every_screen(&page, path).await?;
        } else {
            page.lesson_opened(&slug(&path.replace("index.html", "")))
                .await?;
            answer_everything_wrongly(&page).await?;
        }
        let state = format!("{path}, all open, {scheme}");
        fits(&page, &state).await?;
        page.assert_accessible(&state).await?;
    }
    Ok(())
}

/// Types nonsense into each question, chooses the first answer of each observation, and unfolds what is folded.
async fn answer_everything_wrongly(page: &Page) -> Checked {
    page.client
        .execute(
            "for (const block of document.querySelectorAll('[data-island=question], [data-island=observe]')) { \
               const field = block.querySelector('[data-role=number]'), option = block.querySelector('[data-role=options] input'); \
               if (field) { field.value = '21 furlongs'; field.dispatchEvent(new Event('input', { bubbles: true })); } \
               if (option) option.click(); \
               block.querySelector('[data-role=check]').click(); \
             } \
             for (const part of document.querySelectorAll('details')) part.open = true; \
             window.dispatchEvent(new Event('resize'));",
            vec![],
        )
        .await?;
    page.until(
        "[...document.querySelectorAll('[data-island=observe] [data-role=verdict]')].every(place => !place.hidden) \
         && [...document.querySelectorAll('[data-island=question] [data-role=problem]')].every(place => place.textContent !== '')",
    )
    .await
}

/// Opens a lecture with every answer revealed and hands counted, goes to each screen, and then shows all of them at once.
/// The screens of one step have one name, which is no fault while a single one is seen: it is taken away.
async fn show_every_screen(page: &Page, path: &str) -> Checked {
    page.open_live(path).await?;
    let lesson = slug(path.trim_end_matches("lecture.html"));
    page.client
        .execute(
            "const revealed = [], votes = {}; let furthest = ''; \
             for (const screen of document.querySelectorAll('.screen')) { \
               furthest = screen.dataset.screenName; \
               if (!screen.dataset.screenBlock) continue; \
               revealed.push(screen.dataset.screenBlock); \
               const options = +screen.dataset.options; \
               if (options > 0) votes[screen.dataset.screenBlock] = { first: Array(options).fill(3), second: Array(options).fill(4) }; \
             } \
             const lecture = { changed: 1, place: 'title', furthest, since: 1, revealed, votes, sketches: {}, attempt: { id: 'opened', started: 1, blocks: {} } }; \
             localStorage.setItem('coldfringe.record', JSON.stringify({ version: 1, lessons: {}, lectures: { [arguments[0]]: lecture } }));",
            vec![json!(lesson)],
        )
        .await?;
    page.again().await?;
    let told = page
        .client
        .execute_async(
            "const done = arguments[arguments.length - 1]; \
             (async () => { \
               const screens = [...document.querySelectorAll('.screen')]; \
               for (const screen of screens) { \
                 location.hash = screen.dataset.screenName; \
                 await new Promise(next => requestAnimationFrame(() => setTimeout(next, 0))); \
               } \
               const told = screens.filter(screen => screen.hasAttribute('data-revealed')).length; \
               for (const screen of screens) { \
                 screen.setAttribute('data-now', ''); \
                 screen.removeAttribute('aria-labelledby'); \
               } \
               for (const place of [document.documentElement, document.body, document.querySelector('main')]) \
                 Object.assign(place.style, { display: 'block', height: 'auto', overflow: 'visible' }); \
               window.dispatchEvent(new Event('resize')); \
               await new Promise(next => requestAnimationFrame(() => setTimeout(next, 0))); \
               done(told); \
             })();",
            vec![],
        )
        .await?;
    assert!(
        told.as_u64().is_some_and(|told| told >= 4),
        "{path}: {told} answers are shown"
    );
    Ok(())
}

/// No lesson asks another host for anything, and none makes the console complain.
pub(crate) async fn ask_no_other_host_and_log_no_error(page: Page) -> Checked {
    for path in all(&page).await? {
        page.open_live(&path).await?;
    }
    let strangers: Vec<String> = page
        .requests()
        .await?
        .into_iter()
        .filter(|address| {
            !address.starts_with(page.home())
                && !address.starts_with("data:")
                && address != "about:blank"
        })
        .collect();
    assert!(
        strangers.is_empty(),
        "other hosts were asked: {strangers:?}"
    );
    let complaints = page.complaints().await?;
    assert!(complaints.is_empty(), "the console shows {complaints:?}");
    Ok(())
}

/// At 320 pixels no lesson has to be scrolled sideways, and the page has the window's width.
pub(crate) async fn fit_a_narrow_screen(page: Page) -> Checked {
    let paths = all(&page).await?;
    page.window(NARROWEST).await?;
    for path in paths {
        page.open_live(&path).await?;
        let width = page.value("document.documentElement.scrollWidth").await?;
        if width.as_f64().is_none_or(|width| width > 320.0) {
            let wide = page
                .value(
                    "[...document.querySelectorAll('main *')].filter(element => element.getBoundingClientRect().right > 320) \
                     .map(element => element.outerHTML.slice(0, 120))",
                )
                .await?;
            return Err(format!("{path} is {width} pixels wide; what reaches out: {wide}").into());
        }
        let shown = page
            .value("document.documentElement.getBoundingClientRect().width")
            .await?;
        assert!(
            shown.as_f64().is_some_and(|shown| shown >= 300.0),
            "{path} shows only {shown} pixels"
        );
        page.picture(&format!("{}-narrowest", slug(&path))).await?;
    }
    Ok(())
}

/// Without script every step of every lesson can be read: nothing is shut, and the formulas stand.
pub(crate) async fn read_without_script(page: Page) -> Checked {
    let paths = all(&page).await?;
    page.script_allowed(false).await?;
    for path in paths {
        page.visit(&path).await?;
        // The driver's own look at the page needs no script of the page's.
        assert!(
            !page.text("h1").await?.trim().is_empty(),
            "{path}: a heading"
        );
        for heading in page
            .client
            .find_all(fantoccini::Locator::Css("main .step h2"))
            .await?
        {
            assert!(
                heading.is_displayed().await?,
                "{path}: a step is shut: {}",
                heading.html(true).await?
            );
        }
        assert!(page.count("math").await? > 0, "{path}: formulas");
    }
    Ok(())
}

/// If the wasm cannot be fetched, the page says so and reads as text.
pub(crate) async fn read_without_wasm(page: Page) -> Checked {
    let paths = all(&page).await?;
    page.browser("Network.enable", json!({})).await?;
    page.browser("Network.setBlockedURLs", json!({ "urls": ["*.wasm"] }))
        .await?;
    for path in paths {
        page.visit_empty().await?;
        page.browser("Network.clearBrowserCache", json!({})).await?;
        page.visit(&path).await?;
        page.until("document.documentElement.dataset.state === 'failed'")
            .await?;
        let trouble = page.text("#trouble").await?;
        assert!(
            trouble.contains("could not start"),
            "{path} says: {trouble}"
        );
        for heading in page
            .client
            .find_all(fantoccini::Locator::Css("main .step h2"))
            .await?
        {
            assert!(
                heading.is_displayed().await?,
                "{path}: a step is shut: {}",
                heading.html(true).await?
            );
        }
    }
    Ok(())
}

/// Broken, foreign or unreadable texts in the browser's storage leave every lesson working.
pub(crate) async fn survive_what_is_in_storage(page: Page) -> Checked {
    let paths = all(&page).await?;
    page.open_live(&paths[0]).await?;
    let keys: Vec<String> = page.stored().await?.into_keys().collect();
    for rubbish in [
        "",
        "{",
        "null",
        "[]",
        "{\"version\":99}",
        "{\"version\":1,\"lessons\":[]}",
        "\u{0}\u{ffff}",
        &"x".repeat(100_000),
    ] {
        for key in keys
            .iter()
            .map(String::as_str)
            .chain(["coldfringe.record", "somebody-else"])
        {
            page.store(key, rubbish).await?;
        }
        for path in &paths {
            page.open_live(path).await?;
            assert!(page.count("[data-island]").await? > 0, "{path}: islands");
        }
    }
    Ok(())
}

fn slug(path: &str) -> String {
    path.trim_start_matches("lessons/")
        .trim_end_matches("index.html")
        .trim_end_matches('/')
        .replace('/', "-")
}
