//! Lesson 4 from start to end: a count, the sketch of an envelope, and a curve of an unequal pair.

use super::drawing::{Columns, Ends};
use super::page::{Checked, LAPTOP, Page};
use super::reader::Means;

const ENDS: Ends = Ends {
    x: (-6.0, 6.0),
    y: (0.0, 1.1),
};

/// Half of everything and half of the slow pattern, at the keyboard's 33 columns, three eighths of a millitesla apart.
fn added() -> Columns {
    (0..33)
        .map(|column| {
            let field = (f64::from(column) - 16.0) * 0.375;
            let x = std::f64::consts::PI * field / 2.856;
            let slow = if column == 16 {
                1.0
            } else {
                (coldfringe::numerics::elementary::sin(x) / x).abs()
            };
            ((1.0 + slow) / 2.0 / 1.1 * 1000.0).round() as i32
        })
        .collect()
}

/// By mouse; one side of the fringes counted, the patterns added, the weaker junction deciding.
pub(crate) async fn is_walked_from_start_to_end(page: Page) -> Checked {
    let means = Means::Drag;
    page.window(LAPTOP).await?;
    page.still().await?;
    page.lesson("wide-slits-wide-apart").await?;
    let block = |name: &str| format!("wide-slits-wide-apart-{name}");
    page.observe(means, &block("two-slits-again"), "loop")
        .await?;

    let number = block("how-many");
    page.retype(&format!("#{number} [data-role=number]"), "16")
        .await?;
    page.choose(means, &number, "reasons", "1").await?;
    let said = page.commit_as(means, &number, "certain").await?;
    assert!(said.contains("33"), "the computed number: {said}");

    let sketch = block("envelope");
    page.sketch(means, &sketch, &added(), ENDS).await?;
    page.choose(means, &sketch, "reasons", "3").await?;
    let said = page.commit_as(means, &sketch, "certain").await?;
    assert!(
        said.contains("fringes and slow pattern, added"),
        "the idea is named: {said}"
    );
    page.observe(means, &block("at-the-zero"), "vanish").await?;

    let bench = block("hole-and-width");
    page.meet_challenges(
        &bench,
        &[(0, 7.6, 0.1, 0), (1, 5.72, 0.03, 1), (0, 5.18, 0.015, 2)],
    )
    .await?;

    let curve = block("unequal");
    page.pick(means, "wide-slits-wide-apart", "unequal", "weaker-decides")
        .await?;
    page.choose(means, &curve, "reasons", "1").await?;
    let said = page.commit_as(means, &curve, "certain").await?;
    assert!(
        said.contains("the weaker junction sets the limit"),
        "the idea is named: {said}"
    );
    page.observe(means, &block("lowest"), "forty").await?;

    let bench = block("left-and-right");
    page.meet_challenges(&bench, &[(1, 60.0, 0.2, 0), (1, 23.5, 0.2, 1)])
        .await?;

    page.answer_rightly(
        means,
        "wide-slits-wide-apart",
        &[
            ("fringes-of-a-wide-pair", "111"),
            ("width-for-an-envelope", "2.28 um"),
            ("quarter-turn", "75"),
        ],
    )
    .await?;
    page.is_quiet().await?;
    page.is_done("wide-slits-wide-apart").await
}
