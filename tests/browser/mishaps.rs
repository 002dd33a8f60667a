//! Odd storage, and a script that stumbles: nothing is lost, and the reader is told.

use serde_json::{Value, json};

use super::keeping::{PATTERN, RECORD, begin, commit_pattern, draw};
use super::page::{Checked, Page};
use super::reader::{Means, Or};

const ASIDE: &str = "coldfringe.put-aside";

async fn trouble(page: &Page) -> Or<String> {
    page.until("!document.getElementById('trouble').hidden")
        .await?;
    page.text("#trouble").await
}

/// Leaves the page, puts a text in place of the record, and comes back.
async fn come_back_to(page: &Page, text: &str) -> Checked {
    page.store(RECORD, text).await?;
    page.again().await
}

/// Texts that are no record, or one of another version, are put aside unchanged, with a message; a new record begins.
pub(crate) async fn puts_aside_what_it_cannot_read(page: Page) -> Checked {
    begin(&page).await?;
    for (text, expected) in [
        ("{\"version\":1,\"lessons\":{\"one", "could not be read"),
        ("{\"version\":7,\"work\":[1,2]}", "another version"),
        (
            "{\"version\":1,\"lessons\":{\"one-slit\":{\"attempts\":[{\"id\":3}]}}}",
            "could not be read",
        ),
    ] {
        come_back_to(&page, text).await?;
        let message = trouble(&page).await?;
        assert!(
            message.contains(expected) && message.contains("put aside"),
            "{message}"
        );
        assert!(
            page.stored().await?[ASIDE].contains(text),
            "put aside unchanged"
        );
        draw(&page).await?;
        let stored = page.stored().await?;
        assert!(stored[ASIDE].contains(text), "and still there");
        assert!(stored[RECORD].contains("sketch"), "the new work is kept");
    }
    Ok(())
}

/// A sketch edited by hand is met with a message and empty axes; its text is put aside. Odd answers of another kind do no harm.
pub(crate) async fn meets_sketches_edited_by_hand(page: Page) -> Checked {
    begin(&page).await?;
    let record = |block: Value| {
        json!({ "version": 1, "lessons": { "one-slit": { "attempts": [{ "id": "a", "started": 1, "blocks": { "pattern": block } }] } } })
            .to_string()
    };
    come_back_to(
        &page,
        &record(json!({ "draft": { "sketch": "s1601.kzz.rubbish" }, "changed": 5 })),
    )
    .await?;
    let message = trouble(&page).await?;
    assert!(message.contains("sketch could not be read"), "{message}");
    assert!(page.stored().await?[ASIDE].contains("s1601.kzz.rubbish"));
    page.press_button(Means::Drag, "#one-slit-pattern [data-role=commit]")
        .await?;
    let problem = page.text("#one-slit-pattern [data-role=problem]").await?;
    assert!(problem.contains("empty"), "{problem}");
    for answer in [
        json!({ "sketch": "s1601.kzz.rubbish" }),
        json!({ "sketch": "" }),
        json!({ "mark": 1e300 }),
        json!({ "number": "\u{202e}<b>1</b>" }),
        json!({ "choice": "model" }),
    ] {
        come_back_to(
            &page,
            &record(json!({ "committed": { "answer": answer, "sure": "guess", "at": 1 } })),
        )
        .await?;
        let said = page.verdict(PATTERN).await?;
        assert!(
            said.contains("cannot be read back"),
            "{answer}: the verdict is {said}"
        );
        assert!(
            page.count("[data-open]").await? > 0,
            "{answer}: the lesson goes on"
        );
    }
    Ok(())
}

/// A full storage is said, and the work goes on in the tab; what is stored stays whole.
pub(crate) async fn goes_on_when_storage_is_full(page: Page) -> Checked {
    begin(&page).await?;
    page.choose(Means::Drag, PATTERN, "reasons", "1").await?;
    let before = page.stored().await?[RECORD].clone();
    page.client
        .execute(
            "let size = 1 << 22; let n = 0; while (size > 0) { try { localStorage.setItem('filler' + n++, 'x'.repeat(size)); } catch { size >>= 1; } }",
            vec![],
        )
        .await?;
    draw(&page).await?;
    let message = trouble(&page).await?;
    assert!(message.contains("full"), "{message}");
    assert_eq!(
        page.value("localStorage.getItem('coldfringe.record')")
            .await?,
        json!(before)
    );
    let said = page.commit_as(Means::Drag, PATTERN, "guess").await?;
    assert!(
        said.contains("two narrow slits"),
        "the work goes on: {said}"
    );
    Ok(())
}

/// A browser that gives the page no storage is told of, and the lesson works.
pub(crate) async fn works_without_storage(page: Page) -> Checked {
    page.browser(
        "Page.addScriptToEvaluateOnNewDocument",
        json!({ "source": "Object.defineProperty(window, 'localStorage', { get() { throw new DOMException('denied', 'SecurityError'); } });" }),
    )
    .await?;
    begin(&page).await?;
    let message = trouble(&page).await?;
    assert!(message.contains("keeps nothing"), "{message}");
    let said = commit_pattern(&page).await?;
    assert!(said.contains("two narrow slits"), "{said}");
    page.press_button(Means::Drag, "[data-role=start-again]")
        .await?;
    page.until("document.querySelectorAll('[data-open]').length === 0")
        .await?;
    commit_pattern(&page).await?;
    Ok(())
}

/// When the script stumbles, the reader is told in plain words, and the work is there after a reload.
pub(crate) async fn loses_nothing_when_the_script_stops(page: Page) -> Checked {
    begin(&page).await?;
    draw(&page).await?;
    page.client
        .execute(
            "const there = Object.getOwnPropertyDescriptor(HTMLInputElement.prototype, 'checked'); \
             Object.defineProperty(HTMLInputElement.prototype, 'checked', { get: there.get, set: undefined });",
            vec![],
        )
        .await?;
    page.tap(
        "#one-slit-pattern [data-role=sure] label:has(input[value=certain])",
        super::gestures::Pointer::Mouse,
        (0.3, 0.5),
    )
    .await?;
    page.press_button(Means::Drag, "#one-slit-pattern [data-role=reasons] label")
        .await?;
    page.press_button(Means::Drag, "#one-slit-pattern [data-role=commit]")
        .await?;
    page.tap(
        "#one-slit-pattern [data-role=confirm-yes]",
        super::gestures::Pointer::Mouse,
        (0.5, 0.5),
    )
    .await?;
    let message = trouble(&page).await.map_err(|error| format!("{error}"));
    let Ok(message) = message else {
        return Err(format!(
            "no message; the console shows {:?}; kept: {}",
            page.complaints().await?,
            page.kept("one-slit", "pattern").await?
        )
        .into());
    };
    assert!(
        message.contains("Your work is kept") && message.contains("reload"),
        "{message}"
    );
    page.again().await?;
    let said = page.verdict(PATTERN).await?;
    assert!(said.contains("two narrow slits"), "{said}");
    Ok(())
}
