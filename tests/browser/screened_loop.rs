//! Lesson 6 from start to end: a number without a unit, a curve, a sketch with jumps and a statement.

use super::drawing::{Columns, Ends};
use super::page::{Checked, LAPTOP, Page};
use super::reader::Means;

const ENDS: Ends = Ends {
    x: (0.0, 2.0),
    y: (0.0, 2.05),
};

/// The perfect staircase, at the keyboard's 33 columns, a sixteenth of a quantum apart.
fn staircase() -> Columns {
    (0..33)
        .map(|column| {
            let quanta = f64::from((column + 7) / 16);
            (quanta / 2.05 * 1000.0_f64).round() as i32
        })
        .collect()
}

/// By mouse; the staircase of whole quanta is called by its name.
pub(crate) async fn is_walked_from_start_to_end(page: Page) -> Checked {
    let means = Means::Drag;
    page.window(LAPTOP).await?;
    page.still().await?;
    page.lesson("the-screened-loop").await?;
    let block = |name: &str| format!("the-screened-loop-{name}");
    page.observe(means, &block("the-loop-answers-back-again"), "raises")
        .await?;

    let depth = block("depth");
    page.retype(&format!("#{depth} [data-role=number]"), "1")
        .await?;
    page.choose(means, &depth, "reasons", "1").await?;
    let said = page.commit_as(means, &depth, "certain").await?;
    assert!(said.contains("0.4855"), "the computed depth: {said}");

    let bench = block("small-loops");
    page.meet_challenges(
        &bench,
        &[(0, 66.0, 1.0, 0), (0, 6.5, 0.2, 1), (0, 51.5, 0.4, 2)],
    )
    .await?;

    let curve = block("stronger-junctions");
    page.pick(
        means,
        "the-screened-loop",
        "stronger-junctions",
        "same-depth",
    )
    .await?;
    page.choose(means, &curve, "reasons", "1").await?;
    let said = page.commit_as(means, &curve, "certain").await?;
    assert!(
        said.contains("a dip to about a half"),
        "the idea is named: {said}"
    );

    let bench = block("both-pictures");
    page.meet_challenges(
        &bench,
        &[(0, 1034.0, 12.0, 0), (0, 268.0, 8.0, 1), (0, 207.0, 3.0, 2)],
    )
    .await?;

    let sketch = block("flux-inside");
    page.sketch(means, &sketch, &staircase(), ENDS).await?;
    page.choose(means, &sketch, "reasons", "2").await?;
    let said = page.commit_as(means, &sketch, "fairly-sure").await?;
    assert!(said.contains("staircase of whole quanta"), "{said}");
    page.observe(means, &block("just-before-the-jump"), "fifth")
        .await?;

    let late = block("late");
    page.choose(means, &late, "options", "limit").await?;
    page.choose(means, &late, "reasons", "2").await?;
    let said = page.commit_as(means, &late, "guess").await?;
    assert!(said.contains("That is what happens."), "{said}");

    let bench = block("up-and-down");
    page.meet_challenges(&bench, &[(0, 21.0, 0.6, 0), (0, 207.0, 1.5, 1)])
        .await?;

    page.answer_rightly(
        means,
        "the-screened-loop",
        &[
            ("screening-parameter", "1.45"),
            ("inductance-for-one", "207 pH"),
            ("lowest-current", "3.33 uA"),
            ("holds-out", "2.92"),
        ],
    )
    .await?;
    page.is_quiet().await?;
    page.is_done("the-screened-loop").await
}
