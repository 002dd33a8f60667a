//! Lesson 9 from start to end: a curve with jumps, two statements and the triangles of a tank are predicted.

use super::drawing::{Columns, Ends};
use super::page::{Checked, LAPTOP, Page};
use super::reader::Means;

const ENDS: Ends = Ends {
    x: (0.0, 2.0),
    y: (0.0, 80.0),
};

/// A row of triangles between 12 and 65 uV, at the keyboard's 33 columns, a sixteenth of a quantum apart; its tops at
/// halves, which is the wrong way about.
fn tops_at_halves() -> Columns {
    (0..33)
        .map(|column| {
            let from_top = f64::from((column % 16 - 8_i32).abs()) / 16.0;
            ((65.0 - 106.0 * from_top) / 80.0 * 1000.0).round() as i32
        })
        .collect()
}

/// By mouse; triangles that stand the wrong way about are called by name.
pub(crate) async fn is_walked_from_start_to_end(page: Page) -> Checked {
    let means = Means::Drag;
    page.window(LAPTOP).await?;
    page.still().await?;
    page.lesson("one-junction-is-enough").await?;
    let block = |name: &str| format!("one-junction-is-enough-{name}");
    page.observe(means, &block("flux-into-voltage-again"), "slope")
        .await?;

    page.pick(means, "one-junction-is-enough", "total-flux", "no-response")
        .await?;
    page.choose(means, &block("total-flux"), "reasons", "1")
        .await?;
    let said = page
        .commit_as(means, &block("total-flux"), "certain")
        .await?;
    assert!(said.contains("nothing to interfere with"), "{said}");
    page.observe(means, &block("before-the-jump"), "third")
        .await?;

    let bench = block("up-and-down");
    for (picohenries, challenge) in [("150", 0), ("490", 1), ("689", 2)] {
        page.type_at_bench(&bench, 0, picohenries).await?;
        page.challenge_is_met(&bench, challenge).await?;
    }

    let cost = block("where-it-costs");
    page.choose(means, &cost, "options", "every").await?;
    page.choose(means, &cost, "reasons", "1").await?;
    let said = page.commit_as(means, &cost, "certain").await?;
    assert!(
        said.contains("What happens: About half a quantum"),
        "{said}"
    );

    let bench = block("steps");
    let coupling = format!("#{bench} [data-slider=\"0\"]");
    for (share, challenge) in [(0.081, 0), (0.071, 1)] {
        page.slide(Means::Keys, &coupling, share, 0.0004).await?;
        page.challenge_is_met(&bench, challenge).await?;
    }

    let sketch = block("triangle");
    page.sketch(means, &sketch, &tops_at_halves(), ENDS).await?;
    page.choose(means, &sketch, "reasons", "4").await?;
    let said = page.commit_as(means, &sketch, "fairly-sure").await?;
    assert!(said.contains("largest at half a quantum"), "{said}");
    page.observe(means, &block("at-half-a-quantum"), "lowest")
        .await?;

    let bench = block("drive-and-coupling");
    for (nanoamperes, challenge) in [("2", 0), ("9", 1)] {
        page.type_at_bench(&bench, 0, nanoamperes).await?;
        page.challenge_is_met(&bench, challenge).await?;
    }

    let weaker = block("weaker-junction");
    page.choose(means, &weaker, "options", "smooth").await?;
    page.choose(means, &weaker, "reasons", "2").await?;
    let said = page.commit_as(means, &weaker, "guess").await?;
    assert!(said.contains("That is what happens."), "{said}");

    page.answer_rightly(
        means,
        "one-junction-is-enough",
        &[
            ("screening-parameter", "0.912"),
            ("inductance-at-the-limit", "149.6 pH"),
            ("first-jump", "0.908"),
            ("step-of-another-tank", "94.9 uV"),
        ],
    )
    .await?;
    page.is_quiet().await?;
    page.is_done("one-junction-is-enough").await
}
