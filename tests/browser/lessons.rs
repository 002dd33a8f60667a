//! What holds for every lesson, before the reader has done anything.

use serde_json::json;

use super::page::{Checked, LAPTOP, NARROWEST, Page, TELEPHONE};

/// The paths of all lessons, as the contents page links to them.
async fn all(page: &Page) -> Result<Vec<String>, Box<dyn std::error::Error + Send + Sync>> {
    page.visit("").await?;
    let links = page.value("[...document.querySelectorAll('.lessons .title, .lessons .to-lecture')].map(link => link.getAttribute('href'))").await?;
    let paths: Vec<String> = serde_json::from_value(links)?;
    assert!(paths.len() >= 3, "three lessons at least, not {paths:?}");
    Ok(paths)
}

/// The accessibility checker finds nothing on any lesson, on a laptop and a telephone, in both colour schemes.
pub(crate) async fn have_no_accessibility_violation_at_first(page: Page) -> Checked {
    for path in all(&page).await? {
        for (name, window, scheme) in [
            ("laptop", LAPTOP, "light"),
            ("telephone", TELEPHONE, "dark"),
        ] {
            page.preferences(&[("prefers-color-scheme", scheme)])
                .await?;
            page.window(window).await?;
            page.open_live(&path).await?;
            page.picture(&format!("{}-{name}-{scheme}", slug(&path)))
                .await?;
            page.assert_accessible(&format!("{path}, {name}, {scheme}"))
                .await?;
        }
    }
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
