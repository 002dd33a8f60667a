//! Lesson 7 from start to end. Its curves are computed in the background: three choices of curves, a sketch, a statement and three benches
//! that wait for them.

use super::drawing::{Columns, Ends};
use super::page::{Checked, LAPTOP, Page};
use super::reader::Means;
use coldfringe::numerics::elementary::cos;

const LESSON: &str = "sweep-the-bias";

/// The axes of the sketch.
const ENDS: Ends = Ends {
    x: (-1.5, 1.5),
    y: (0.0, 28.0),
};

/// A voltage in step with the critical current: largest at whole quanta. At the keyboard's 49 columns, a sixteenth of a
/// quantum apart.
fn in_step() -> Columns {
    (0..49)
        .map(|column| {
            let flux = f64::from(column) / 16.0 - 1.5;
            let voltage = 15.8 + 6.2 * cos(core::f64::consts::TAU * flux);
            (voltage / 28.0 * 1000.0).round() as i32
        })
        .collect()
}

/// Chooses the curve of a picture, whatever its letter, when the curves are there.
async fn pick(page: &Page, means: Means, name: &str, picture: &str) -> Checked {
    let block = format!("{LESSON}-{name}");
    page.until(&format!(
        "(set => !!set && !set.hidden && !set.disabled)(document.querySelector('#{block} [data-role=options]'))"
    ))
    .await?;
    page.pick(means, LESSON, name, picture).await
}

/// By mouse; the voltage in step with the critical current is called by its name.
pub(crate) async fn is_walked_from_start_to_end(page: Page) -> Checked {
    let means = Means::Drag;
    page.window(LAPTOP).await?;
    page.still().await?;
    page.lesson(LESSON).await?;
    let block = |name: &str| format!("{LESSON}-{name}");
    page.observe(means, &block("the-screened-loop-again"), "half")
        .await?;

    pick(&page, means, "at-a-half", "resistor").await?;
    page.choose(means, &block("at-a-half"), "reasons", "1")
        .await?;
    let said = page
        .commit_as(means, &block("at-a-half"), "certain")
        .await?;
    assert!(
        said.contains("straight line of the shunts alone"),
        "the idea is named: {said}"
    );
    page.observe(means, &block("how-it-begins"), "steep")
        .await?;

    let sketch = block("against-flux");
    page.sketch(means, &sketch, &in_step(), ENDS).await?;
    page.choose(means, &sketch, "reasons", "1").await?;
    let said = page.commit_as(means, &sketch, "certain").await?;
    assert!(
        said.contains("goes up and down with the critical current"),
        "{said}"
    );
    page.assert_accessible("the sketch of lesson 7 beside the computed curve")
        .await?;
    page.observe(means, &block("at-whole-quanta"), "least")
        .await?;

    let bench = block("flux-and-shunts");
    page.meet_challenges(
        &bench,
        &[
            (0, 0.349, 0.004, 0),
            (0, 0.167, 0.006, 1),
            (1, 4.0, 0.02, 2),
        ],
    )
    .await?;

    pick(&page, means, "smaller-bias", "model").await?;
    page.choose(means, &block("smaller-bias"), "reasons", "1")
        .await?;
    let said = page
        .commit_as(means, &block("smaller-bias"), "fairly-sure")
        .await?;
    assert!(said.contains("This is the computed curve."), "{said}");

    pick(&page, means, "rounded", "moved-by-noise").await?;
    page.choose(means, &block("rounded"), "reasons", "2")
        .await?;
    let said = page.commit_as(means, &block("rounded"), "guess").await?;
    assert!(said.contains("noise has moved"), "{said}");

    let bench = block("warm-loop");
    for (slider, value, challenge) in [
        (0, "9.72", 0),
        (0, "8", 1),
        (1, "24.6", 1),
        (1, "4.2", 2),
        (0, "13.7", 2),
    ] {
        page.type_at_bench(&bench, slider, value).await?;
        if value != "8" && value != "4.2" {
            page.challenge_is_met(&bench, challenge).await?;
        }
    }

    let way_back = block("way-back");
    page.choose(means, &way_back, "options", "lower").await?;
    page.choose(means, &way_back, "reasons", "2").await?;
    let said = page.commit_as(means, &way_back, "fairly-sure").await?;
    assert!(said.contains("That is what happens."), "{said}");

    let bench = block("heavy-wheel");
    for (capacitance, challenge) in [("1.28", 0), ("2.44", 1), ("11.2", 2)] {
        page.type_at_bench(&bench, 0, capacitance).await?;
        page.challenge_is_met(&bench, challenge).await?;
    }

    page.answer_rightly(
        means,
        LESSON,
        &[
            ("above-the-critical-current", "22.5"),
            ("a-third-of-a-quantum", "36 uV"),
            ("damping-of-curlew", "0.273"),
            ("most-capacitance", "1.28 pF"),
        ],
    )
    .await?;
    page.is_quiet().await?;
    page.is_done(LESSON).await
}
