//! Lesson 10 from start to end, by keyboard alone: two curves and a statement are picked.

use super::page::{Checked, LAPTOP, Page};
use super::reader::Means;

/// A wrong curve is called by its name; a slider of a pure number moves in whole steps.
pub(crate) async fn is_walked_by_keyboard_alone(page: Page) -> Checked {
    let means = Means::Keys;
    page.window(LAPTOP).await?;
    page.still().await?;
    page.lesson("many-slits").await?;
    let block = |name: &str| format!("many-slits-{name}");
    page.observe(means, &block("one-junction-is-enough-again"), "same")
        .await?;

    page.pick(means, "many-slits", "equal-holes", "broader-for-more")
        .await?;
    page.choose(means, &block("equal-holes"), "reasons", "1")
        .await?;
    let said = page
        .commit_as(means, &block("equal-holes"), "certain")
        .await?;
    assert!(said.contains("grow broader with every junction"), "{said}");
    page.observe(means, &block("between-the-peaks"), "seven")
        .await?;

    let statement = block("twice-as-many");
    page.choose(means, &statement, "options", "sharper").await?;
    page.choose(means, &statement, "reasons", "1").await?;
    let said = page.commit_as(means, &statement, "fairly-sure").await?;
    assert!(said.contains("That is what happens."), "{said}");

    let bench = block("row-of-equal-holes");
    let slider = |index: usize| format!("#{bench} [data-slider=\"{index}\"]");
    page.slide(means, &slider(1), 43.1, 0.06).await?;
    page.challenge_is_met(&bench, 0).await?;
    page.slide(means, &slider(1), 30.0, 0.06).await?;
    page.slide(means, &slider(0), 16.0, 0.1).await?;
    page.challenge_is_met(&bench, 1).await?;
    page.slide(means, &slider(1), 41.4, 0.06).await?;
    page.challenge_is_met(&bench, 2).await?;
    // Seven and a half junctions are none: the nearest whole number is taken.
    page.type_at_bench(&bench, 0, "7.6").await?;
    page.until(&format!(
        "document.querySelector('#{bench} [data-slider=\"0\"]').value === '8'"
    ))
    .await?;

    page.pick(means, "many-slits", "unequal-holes", "model")
        .await?;
    page.choose(means, &block("unequal-holes"), "reasons", "3")
        .await?;
    let said = page
        .commit_as(means, &block("unequal-holes"), "guess")
        .await?;
    assert!(said.contains("This is the computed curve."), "{said}");
    page.observe(means, &block("at-one-mean-quantum"), "zero-alone")
        .await?;

    page.answer_rightly(
        means,
        "many-slits",
        &[
            ("first-closing", "6.46 uT"),
            ("hole-for-a-zero", "86.2"),
            ("tangle-of-twenty", "0.05"),
        ],
    )
    .await?;
    page.is_quiet().await?;
    page.is_done("many-slits").await
}
