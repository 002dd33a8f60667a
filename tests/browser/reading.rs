//! A page that cannot be made live is still there to read.

use serde_json::json;

use super::page::{Checked, LAPTOP, Page};

async fn reads_as_text(page: &Page, why: &str) -> Checked {
    page.until("document.documentElement.dataset.state === 'failed'")
        .await?;
    let trouble = page.text("#trouble").await?;
    assert!(
        trouble.contains("for reading only") && trouble.contains(why),
        "{trouble}"
    );
    let shut = page
        .value("[...document.querySelectorAll('main h2, main p, main [data-after]')].filter(e => e.textContent.trim() !== '' && !e.closest('[hidden]') && !e.closest('details:not([open])') && e.getClientRects().length === 0).map(e => e.outerHTML.slice(0, 90))")
        .await?;
    assert_eq!(shut, json!([]), "all can be read");
    Ok(())
}

/// Without a canvas to draw on.
pub(crate) async fn needs_no_canvas(page: Page) -> Checked {
    page.window(LAPTOP).await?;
    page.browser(
        "Page.addScriptToEvaluateOnNewDocument",
        json!({ "source": "HTMLCanvasElement.prototype.getContext = () => null;" }),
    )
    .await?;
    for lesson in ["one-slit", "two-slits", "the-loop-answers-back"] {
        page.visit(&format!("lessons/{lesson}/index.html")).await?;
        reads_as_text(&page, "no canvas").await?;
    }
    page.picture("reading-without-canvas").await
}

/// With a page of another version than its script, as a proxy may keep one.
pub(crate) async fn needs_no_script_of_its_version(page: Page) -> Checked {
    page.browser(
        "Page.addScriptToEvaluateOnNewDocument",
        json!({ "source": "document.addEventListener('DOMContentLoaded', () => document.documentElement.setAttribute('data-islands-version', '0'), true);" }),
    )
    .await?;
    page.visit("lessons/one-slit/index.html").await?;
    reads_as_text(&page, "different versions").await
}
