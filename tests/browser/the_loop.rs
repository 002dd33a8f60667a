//! Lesson 5 from start to end: a sketch with jumps by keyboard, a statement, a part of the board picture and a curve.

use super::gestures::{Pointer, key};
use super::page::{Checked, LAPTOP, Page};
use super::reader::Means;

/// The sketch by keyboard, with its two jumps; the rest by mouse.
pub(crate) async fn is_walked_from_start_to_end(page: Page) -> Checked {
    let means = Means::Drag;
    page.window(LAPTOP).await?;
    page.still().await?;
    page.lesson("the-loop-answers-back").await?;
    let block = |name: &str| format!("the-loop-answers-back-{name}");
    page.observe(means, &block("two-slits-again"), "half")
        .await?;

    let sketch = block("circulating");
    page.tab_to(&format!("#{sketch} .pad")).await?;
    let mut keys = vec![key::LEFT; 16];
    // Nothing at zero flux, nearly the lowest at half a quantum, from there a jump to the highest.
    keys.extend([key::UP, key::DOWN]);
    for (columns, first) in [(8, 2), (16, 4)] {
        keys.extend(vec![key::RIGHT; columns]);
        keys.extend(vec![key::PAGE_DOWN; first]);
        keys.push('j');
        keys.extend([key::PAGE_UP; 4]);
    }
    keys.extend([key::RIGHT; 8]);
    keys.extend([key::PAGE_DOWN; 2]);
    page.press(&keys).await?;
    page.choose(means, &sketch, "reasons", "2").await?;
    let said = page.commit_as(means, &sketch, "fairly-sure").await?;
    assert!(
        said.contains("shows the features") || said.contains("as close as a hand"),
        "{said}"
    );
    page.observe(means, &block("at-one-quantum"), "zero")
        .await?;

    let pick = block("after-the-jump");
    page.choose(means, &pick, "options", "helps").await?;
    page.choose(means, &pick, "reasons", "2").await?;
    let said = page.commit_as(means, &pick, "guess").await?;
    assert!(
        said.contains("That is what happens.") && said.contains("a lack"),
        "{said}"
    );

    let bench = block("inductance");
    for (inductance, tolerance, challenge) in [(1034.0, 12.0, 0), (414.0, 6.0, 1)] {
        page.slide(
            means,
            &format!("#{bench} [data-slider=\"0\"]"),
            inductance,
            tolerance,
        )
        .await?;
        page.challenge_is_met(&bench, challenge).await?;
    }

    let part = block("first-to-give-way");
    // Pointing at the picture chooses in the list.
    let picture = format!("#{part} .board .plot");
    for (across, side) in [(0.15, "left"), (0.85, "right")] {
        page.tap(&picture, Pointer::Finger, (across, 0.5)).await?;
        let chosen = format!("#{part} [data-role=options] input:checked[value={side}]");
        assert_eq!(page.count(&chosen).await?, 1, "pointed at the {side} one");
    }
    page.choose(means, &part, "reasons", "2").await?;
    let said = page.commit_as(means, &part, "certain").await?;
    assert!(
        said.contains("What happens: The left junction")
            && said.contains("raise the flux or lower it"),
        "{said}"
    );

    let curve = block("critical-current");
    page.pick(means, "the-loop-answers-back", "critical-current", "model")
        .await?;
    page.choose(means, &curve, "reasons", "2").await?;
    let said = page.commit_as(means, &curve, "fairly-sure").await?;
    assert!(
        !said.contains("The computed curve is curve"),
        "the right curve: {said}"
    );

    let bench = block("triangles");
    page.slide(means, &format!("#{bench} [data-slider=\"0\"]"), 689.0, 10.0)
        .await?;
    page.challenge_is_met(&bench, 0).await?;

    page.answer_rightly(
        means,
        "the-loop-answers-back",
        &[
            ("largest-circulating-current", "2.07 uA"),
            ("lowest-critical-current", "15.9"),
            ("inductance-for-a-dip", "207 pH"),
        ],
    )
    .await?;
    page.is_quiet().await?;
    page.is_done("the-loop-answers-back").await
}
