//! What is kept: through reloads, in other tabs, in new attempts, until it is deleted.

use serde_json::{Value, json};

use super::one_slit::{ENDS, one_slit, two_slits};
use super::page::{Checked, LAPTOP, Page};
use super::reader::{Means, Or};

/// The first prediction of lesson 1.
pub(super) const PATTERN: &str = "one-slit-pattern";
/// Where the record stands.
pub(super) const RECORD: &str = "coldfringe.record";

/// Opens lesson 1 on a laptop, with curves that stand at once.
pub(super) async fn begin(page: &Page) -> Checked {
    page.window(LAPTOP).await?;
    page.still().await?;
    page.lesson("one-slit").await
}

/// Draws the picture of two slits.
pub(super) async fn draw(page: &Page) -> Checked {
    page.sketch(Means::Drag, PATTERN, &two_slits(), ENDS).await
}

async fn canvas(page: &Page) -> Or<Value> {
    Ok(page
        .value("document.querySelector('#one-slit-pattern .chart canvas').toDataURL()")
        .await?)
}

/// Draws and commits it; gives what is said.
pub(super) async fn commit_pattern(page: &Page) -> Or<String> {
    draw(page).await?;
    page.choose(Means::Drag, PATTERN, "reasons", "1").await?;
    page.commit_as(Means::Drag, PATTERN, "guess").await
}

/// Draft, confidence, reason, commitment, tries and met challenges are there after a reload, and the pen does not run again.
pub(crate) async fn survives_a_reload_at_every_stage(page: Page) -> Checked {
    begin(&page).await?;
    draw(&page).await?;
    page.client
        .execute("document.activeElement.blur();", vec![])
        .await?;
    let drawn = canvas(&page).await?;
    page.choose(Means::Drag, PATTERN, "reasons", "2").await?;
    page.choose(Means::Drag, PATTERN, "sure", "certain").await?;
    page.again().await?;
    assert!(
        canvas(&page).await? == drawn,
        "the sketch stands as it was drawn"
    );
    for (set, value) in [("reasons", "2"), ("sure", "certain")] {
        assert_eq!(
            page.value(&format!(
                "document.querySelector('#{PATTERN} [data-role={set}] input:checked').value"
            ))
            .await?,
            json!(value)
        );
    }
    let said = page.commit(Means::Drag, PATTERN).await?;
    // With motion allowed, a pen would run if there were one.
    page.preferences(&[]).await?;
    page.again().await?;
    assert_eq!(page.verdict(PATTERN).await?, said, "the same words at once");
    let first = canvas(&page).await?;
    page.value("new Promise(done => setTimeout(done, 300))")
        .await?;
    assert!(canvas(&page).await? == first, "no pen runs after a reload");
    assert_eq!(page.count("#one-slit-pattern .pad").await?, 0, "no pad");
    assert_eq!(
        page.count("#one-slit-pattern fieldset input:not(:disabled)")
            .await?,
        0,
        "what is committed stays"
    );

    page.still().await?;
    page.choose(Means::Drag, "one-slit-at-one-quantum", "options", "small")
        .await?;
    page.press_button(Means::Drag, "#one-slit-at-one-quantum [data-role=check]")
        .await?;
    let mark = "one-slit-first-zero-in-field";
    page.slide(
        Means::Drag,
        &format!("#{mark} [data-role=mark]"),
        0.57,
        0.02,
    )
    .await?;
    page.again().await?;
    assert!(
        page.verdict("one-slit-at-one-quantum")
            .await?
            .contains("Look again")
    );
    let place = page
        .text(&format!("#{mark} [data-role=mark-value]"))
        .await?;
    assert!(place.starts_with("0.5"), "the marker stands at {place}");
    page.commit_as(Means::Drag, mark, "guess").await?;
    page.slide(
        Means::Drag,
        "#one-slit-thickness-and-current [data-slider=\"0\"]",
        258.0,
        2.0,
    )
    .await?;
    page.again().await?;
    assert!(
        page.text("#one-slit-thickness-and-current [data-challenge=\"0\"]")
            .await?
            .contains("done")
    );
    // Away and back again, by link and by the browser's own buttons.
    page.visit("").await?;
    page.client.back().await?;
    page.live().await?;
    assert!(page.verdict(mark).await?.contains("1.14 mT"));
    Ok(())
}

/// Two tabs: a commitment in one shows in the other, and neither loses what the other did.
pub(crate) async fn shares_the_work_of_two_tabs(page: Page) -> Checked {
    begin(&page).await?;
    let first = page.client.window().await?;
    let second = page.client.new_window(true).await?.handle;
    page.client.switch_to_window(second.clone()).await?;
    page.window(LAPTOP).await?;
    page.still().await?;
    page.lesson("one-slit").await?;
    // The tab that was opened later has done nothing, and must not hide what the first one does.
    page.client.switch_to_window(first.clone()).await?;
    page.sketch(Means::Drag, PATTERN, &one_slit(), ENDS).await?;
    page.client.switch_to_window(second.clone()).await?;
    page.until("document.querySelector('#one-slit-pattern .pad').getAttribute('aria-valuetext').includes(': ')")
        .await?;
    draw(&page).await?;
    let other_drawn = canvas(&page).await?;
    page.client.switch_to_window(first.clone()).await?;
    assert!(
        !page.text(".desk").await?.contains("earlier attempt"),
        "one attempt, in two tabs"
    );
    page.choose(Means::Drag, PATTERN, "reasons", "3").await?;
    // What the other tab drew is taken over, on paper as in the record.
    page.client
        .execute("document.activeElement.blur();", vec![])
        .await?;
    let mine = canvas(&page).await?;
    page.client.switch_to_window(second.clone()).await?;
    page.client
        .execute("document.activeElement.blur();", vec![])
        .await?;
    assert!(
        mine == canvas(&page).await? && mine != Value::Null && other_drawn != Value::Null,
        "both tabs show the same sketch"
    );
    page.until(&format!(
        "document.querySelector('#{PATTERN} [data-role=reasons] input[value=\"3\"]').checked"
    ))
    .await?;
    let said = page.commit_as(Means::Drag, PATTERN, "guess").await?;
    page.client.switch_to_window(first.clone()).await?;
    assert_eq!(page.verdict(PATTERN).await?, said);
    page.choose(Means::Drag, "one-slit-at-one-quantum", "options", "small")
        .await?;
    page.press_button(Means::Drag, "#one-slit-at-one-quantum [data-role=check]")
        .await?;
    page.client.switch_to_window(second.clone()).await?;
    page.choose(Means::Drag, "one-slit-at-one-quantum", "options", "nothing")
        .await?;
    page.press_button(Means::Drag, "#one-slit-at-one-quantum [data-role=check]")
        .await?;
    let kept = page.kept("one-slit", "at-one-quantum").await?;
    let tries: Vec<&Value> = kept["tries"]
        .as_array()
        .into_iter()
        .flatten()
        .map(|one| &one["text"])
        .collect();
    assert_eq!(tries, [&json!("small"), &json!("nothing")], "both tries");
    let kept = page.kept("one-slit", "pattern").await?;
    assert!(
        kept["committed"].is_object(),
        "the commitment stays: {kept}"
    );
    // Deleted in one, it is gone in the other.
    page.press_button(Means::Drag, "[data-role=delete-everything]")
        .await?;
    page.press_button(Means::Drag, "[data-role=delete-yes]")
        .await?;
    page.live().await?;
    page.client.switch_to_window(first).await?;
    page.until("document.readyState === 'complete' && document.documentElement.dataset.state === 'ready' && document.querySelectorAll('[data-open]').length === 0")
        .await?;
    assert!(page.stored().await?.is_empty(), "nothing is kept");
    Ok(())
}

/// Starting again keeps the earlier attempt and shows its sketch beside the next; deleting everything deletes.
pub(crate) async fn starts_again_and_deletes(page: Page) -> Checked {
    begin(&page).await?;
    commit_pattern(&page).await?;
    page.press_button(Means::Drag, "[data-role=start-again]")
        .await?;
    page.until("document.querySelectorAll('[data-open]').length === 0")
        .await?;
    assert!(
        page.has_focus("#lesson").await?,
        "the keyboard starts at the top"
    );
    assert!(
        page.text(".desk").await?.contains("One earlier attempt"),
        "the desk tells of it"
    );
    assert_eq!(page.count("#one-slit-pattern input:checked").await?, 0);
    page.sketch(Means::Drag, PATTERN, &one_slit(), ENDS).await?;
    page.choose(Means::Drag, PATTERN, "reasons", "0").await?;
    let said = page.commit_as(Means::Drag, PATTERN, "guess").await?;
    assert!(
        said.contains("as close as a hand sketch can be") || said.contains("shows the features"),
        "{said}"
    );
    let words = page
        .value("document.querySelector('#one-slit-pattern .chart .words').textContent")
        .await?;
    assert!(
        words
            .as_str()
            .is_some_and(|words| words.contains("an earlier sketch")),
        "the key names the earlier sketch: {words}"
    );
    let stored = page.stored().await?;
    let record: Value = serde_json::from_str(&stored[RECORD])?;
    let attempts = record["lessons"]["one-slit"]["attempts"]
        .as_array()
        .map_or(0, Vec::len);
    assert_eq!(attempts, 2);
    page.press_button(Means::Drag, "[data-role=delete-everything]")
        .await?;
    assert!(page.has_focus("[data-role=delete-yes]").await?);
    page.press_button(Means::Drag, "[data-role=delete-yes]")
        .await?;
    page.until("document.readyState === 'complete' && document.documentElement.dataset.state === 'ready' && document.querySelectorAll('[data-open]').length === 0")
        .await?;
    assert!(page.stored().await?.is_empty(), "nothing is kept");
    Ok(())
}
