//! The presenter's notes in a window of their own: in step with the hall, and their keys are the hall's.

use serde_json::json;

use super::gestures::key;
use super::lecture::{AFTER_GUARD, go_to, open, stage};
use super::page::{Checked, LAPTOP, Page, Window};

/// So narrow that a bench is longer than the window.
const UPRIGHT: Window = Window {
    width: 600,
    height: 800,
    scale: 1.0,
    mobile: false,
};

/// Two windows in step: stage, hands, advice; keys in either.
pub(crate) async fn follows_the_hall(page: Page) -> Checked {
    page.window(LAPTOP).await?;
    page.still().await?;
    open(&page, "one-slit", "#half-the-width").await?;
    let hall = page.client.window().await?;
    let notes = page.client.new_window(true).await?.handle;
    page.client.switch_to_window(notes.clone()).await?;
    page.still().await?;
    page.open_live("lessons/one-slit/notes.html").await?;
    let now = page.text("[data-role=now]").await?;
    assert!(
        now.contains("half the width") && now.contains("the question"),
        "{now}"
    );
    assert!(
        page.text("[data-role=next]")
            .await?
            .contains("talk it over")
    );
    assert!(
        page.text("main")
            .await?
            .contains("Wrong pictures to expect"),
        "the notes themselves"
    );
    page.assert_accessible("the notes").await?;
    page.picture("lecture-notes").await?;
    // Exactly one option is the right one; the advice knows it without naming it.
    let mut said = Vec::new();
    for digit in ['1', '2', '3', '4'] {
        page.press(&[digit; 10]).await?;
        said.push(page.text("[data-role=advice]").await?);
        for _ in 0..10 {
            page.press_with(&[key::SHIFT], digit).await?;
        }
    }
    assert_eq!(
        said.iter()
            .filter(|words| words.contains("More than 70 %"))
            .count(),
        1,
        "{said:?}"
    );
    assert_eq!(
        said.iter()
            .filter(|words| words.contains("Fewer than 35 %"))
            .count(),
        3,
        "{said:?}"
    );
    page.press(&['1', '2', '3', '4', '1']).await?;
    page.client.switch_to_window(hall.clone()).await?;
    page.until("document.querySelector('[data-role=tally]').textContent === '5 hands'")
        .await?;
    assert_eq!(
        page.text("[data-role=advice]").await?,
        "",
        "not on the projector"
    );
    // Steered from the notes.
    page.client.switch_to_window(notes.clone()).await?;
    page.press(&[key::PAGE_DOWN]).await?;
    tokio::time::sleep(AFTER_GUARD).await;
    page.press(&[key::PAGE_DOWN]).await?;
    page.until("document.querySelector('[data-role=now]').textContent.includes('the answer')")
        .await?;
    page.client.switch_to_window(hall).await?;
    page.until("location.hash === '#half-the-width.reveal'")
        .await?;
    page.until("document.querySelector('.screen[data-now] .verdict').textContent.includes('The computed curve is')").await?;
    page.press(&[key::PAGE_DOWN]).await?;
    let stage = stage(&page).await?;
    page.client.switch_to_window(notes).await?;
    page.until(&format!(
        "document.querySelector('.plan [aria-current]').dataset.stage === {}",
        json!(stage)
    ))
    .await?;
    page.is_quiet().await
}

/// The keys of the notes finish the hall's pen and show the rest of its screen before they go on, as the hall's own do.
pub(crate) async fn steers_the_hall_as_its_own_keys_do(page: Page) -> Checked {
    page.window(UPRIGHT).await?;
    page.still().await?;
    open(&page, "one-slit", "").await?;
    let bench = "thickness-and-current";
    go_to(&page, bench).await?;
    let rest = "(s => s.scrollHeight - s.clientHeight)(document.querySelector('.screen[data-now] .sheet'))";
    let is_long = page.value(rest).await?;
    assert!(
        is_long.as_f64().is_some_and(|rest| rest > 12.0),
        "the screen must be longer than the window for this check: {is_long}"
    );
    let hall = page.client.window().await?;
    let notes = page.client.new_window(true).await?.handle;
    page.client.switch_to_window(notes.clone()).await?;
    page.open_live("lessons/one-slit/notes.html").await?;
    let top = "document.querySelector('.screen[data-now] .sheet').scrollTop";
    for (pressed, below) in [(key::PAGE_DOWN, true), (key::PAGE_UP, false)] {
        page.client.switch_to_window(notes.clone()).await?;
        page.press(&[pressed]).await?;
        page.client.switch_to_window(hall.clone()).await?;
        page.until(&format!("({top} > 12) === {below}")).await?;
        assert_eq!(stage(&page).await?, bench, "the rest is shown first");
    }
    // Nobody answers: the notes go on by themselves.
    page.client.close_window().await?;
    page.client.switch_to_window(notes).await?;
    let here = "document.querySelector('.plan [aria-current]').dataset.stage";
    assert_eq!(page.value(here).await?, json!(bench));
    page.press(&[key::PAGE_DOWN]).await?;
    page.until(&format!("{here} !== '{bench}'")).await?;
    page.is_quiet().await
}
