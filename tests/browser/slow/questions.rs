//! Questions about a slow device: predictions and numbers wait for what is computed, are kept meanwhile, and say so.

use super::{
    BENCH, CURVE, ENDS, LESSON, NUMBER, PLACE, QUESTION, arches, call, commit, computing, hold,
    reading, says, swing,
};
use crate::browser::gestures::key;
use crate::browser::page::{Checked, LAPTOP, NARROWEST, Page, TELEPHONE};
use crate::browser::reader::{Means, Or};
use serde_json::json;

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
            crate::browser::states::fits(&page, &format!("{state}, {} pixels", window.width))
                .await?;
        }
    }
    Ok(())
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
