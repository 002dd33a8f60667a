//! Lesson 11 from start to end, by single taps: a curve, a number, a statement and a sketch.

use coldfringe::numerics::elementary::cos;

use super::drawing::{Columns, Ends};
use super::page::{Checked, LAPTOP, Page};
use super::reader::Means;

const ENDS: Ends = Ends {
    x: (-15.0, 15.0),
    y: (0.0, 66.0),
};

/// Contacts of 40 and 20 uA with a period of 12.92 mA, at the keyboard's 31 columns, 1 mA apart.
fn uneven() -> Columns {
    (-15..=15)
        .map(|milliamperes| {
            let turn = std::f64::consts::TAU * f64::from(milliamperes) / 12.92;
            let squared = 40.0 * 40.0 + 20.0 * 20.0 + 2.0 * 40.0 * 20.0 * cos(turn);
            (squared.sqrt() / 66.0 * 1000.0).round() as i32
        })
        .collect()
}

/// The wrong areas are called by name: across the wire in the number, then nothing in the sketch.
pub(crate) async fn is_walked_by_taps(page: Page) -> Checked {
    let means = Means::Taps;
    page.window(LAPTOP).await?;
    page.still().await?;
    page.lesson("a-loop-by-accident").await?;
    let block = |name: &str| format!("a-loop-by-accident-{name}");
    page.observe(means, &block("many-slits-again"), "zero")
        .await?;

    page.pick(means, "a-loop-by-accident", "shape", "one-wide-contact")
        .await?;
    page.choose(means, &block("shape"), "reasons", "4").await?;
    let said = page
        .commit_as(means, &block("shape"), "fairly-sure")
        .await?;
    assert!(
        said.contains("what one contact all along the wire does"),
        "{said}"
    );
    page.observe(means, &block("at-a-whole-quantum"), "all")
        .await?;

    let period = block("period");
    page.press_button(means, &format!("#{period} [data-role=number]"))
        .await?;
    page.write("52 uA").await?;
    page.choose(means, &period, "reasons", "1").await?;
    let said = page.commit_as(means, &period, "certain").await?;
    assert!(
        said.contains("the whole thickness of the wire") && said.contains("25.85 mA"),
        "{said}"
    );

    let statement = block("both-doubled");
    page.choose(means, &statement, "options", "same").await?;
    page.choose(means, &statement, "reasons", "3").await?;
    let said = page.commit_as(means, &statement, "fairly-sure").await?;
    assert!(said.contains("That is what happens."), "{said}");

    let bench = block("bead");
    let distance = format!("#{bench} [data-slider=\"0\"]");
    for (millimetres, tolerance, challenge) in
        [(0.258, 0.0011, 0), (0.052, 0.0001, 1), (0.129, 0.0006, 2)]
    {
        page.slide(Means::Keys, &distance, millimetres, tolerance)
            .await?;
        page.challenge_is_met(&bench, challenge).await?;
    }

    let sketch = block("uneven");
    page.sketch(means, &sketch, &uneven(), ENDS).await?;
    page.choose(means, &sketch, "reasons", "1").await?;
    let said = page.commit_as(means, &sketch, "guess").await?;
    assert!(
        said.contains("shows the features") || said.contains("as close as a hand"),
        "{said}"
    );
    page.observe(means, &block("at-its-lowest"), "difference")
        .await?;

    page.answer_rightly(
        means,
        "a-loop-by-accident",
        &[
            ("ten-milliamperes", "20.9 uA"),
            ("depth-of-a-solder", "86.8"),
            ("distance-of-contacts", "0.517 mm"),
        ],
    )
    .await?;
    page.is_quiet().await?;
    page.is_done("a-loop-by-accident").await
}
