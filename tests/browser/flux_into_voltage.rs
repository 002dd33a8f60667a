//! Lesson 8 from start to end: a marker, a number, statements, a sketch of a straight line, a choice of curves against time and two benches, all
//! over curves that are computed in the background.

use serde_json::json;

use super::drawing::{Columns, Ends};
use super::page::{Checked, LAPTOP, Page};
use super::reader::Means;

const LESSON: &str = "flux-into-voltage";

/// The axes of the sketch.
const ENDS: Ends = Ends {
    x: (0.0, 2.0),
    y: (-0.5, 3.5),
};

/// The output that would follow the rise up to half a quantum and stay there, at the keyboard's 25 columns.
fn held() -> Columns {
    (0..25)
        .map(|column| {
            let output = (f64::from(column) / 8.0).min(0.5);
            ((output + 0.5) / 4.0 * 1000.0).round() as i32
        })
        .collect()
}

/// By mouse; the marker at the top and the output that stops are called by their names.
pub(crate) async fn is_walked_from_start_to_end(page: Page) -> Checked {
    let means = Means::Drag;
    page.window(LAPTOP).await?;
    page.still().await?;
    page.lesson(LESSON).await?;
    let block = |name: &str| format!("{LESSON}-{name}");
    page.observe(means, &block("sweep-the-bias-again"), "halves")
        .await?;

    let number = block("a-thousandth");
    page.retype(&format!("#{number} [data-role=number]"), "62 nV")
        .await?;
    page.choose(means, &number, "reasons", "3").await?;
    let said = page.commit_as(means, &number, "fairly-sure").await?;
    assert!(said.contains("72.3"), "the computed step: {said}");

    let mark = block("where-to-stand");
    page.slide(means, &format!("#{mark} [data-role=mark]"), 0.5, 0.02)
        .await?;
    page.choose(means, &mark, "reasons", "1").await?;
    let said = page.commit_as(means, &mark, "certain").await?;
    assert!(
        said.contains("the place where the voltage itself is largest"),
        "the idea is named: {said}"
    );
    page.assert_accessible("the marker of lesson 8 beside the computed slope")
        .await?;
    page.observe(means, &block("at-the-top"), "nought").await?;

    let quiet = block("quiet-place");
    page.choose(means, &quiet, "options", "steep").await?;
    page.choose(means, &quiet, "reasons", "2").await?;
    let said = page.commit_as(means, &quiet, "fairly-sure").await?;
    assert!(said.contains("That is what happens."), "{said}");

    let bench = block("working-point");
    page.type_at_bench(&bench, 0, "8.34").await?;
    page.challenge_is_met(&bench, 0).await?;
    page.type_at_bench(&bench, 0, "8").await?;
    page.challenge_is_met(&bench, 1).await?;
    page.type_at_bench(&bench, 1, "14.2").await?;
    page.challenge_is_met(&bench, 2).await?;

    let larger = block("larger-loop");
    page.choose(means, &larger, "options", "better").await?;
    page.choose(means, &larger, "reasons", "1").await?;
    let said = page.commit_as(means, &larger, "certain").await?;
    assert!(said.contains("screening parameter"), "{said}");

    let sketch = block("steady-rise");
    page.sketch(means, &sketch, &held(), ENDS).await?;
    page.choose(means, &sketch, "reasons", "2").await?;
    let said = page.commit_as(means, &sketch, "certain").await?;
    assert!(said.contains("no further than half a quantum"), "{said}");
    page.observe(means, &block("past-one-quantum"), "nothing")
        .await?;

    let bench = block("how-fast");
    assert_eq!(
        page.value(&format!(
            "Number(document.querySelector('#{bench} [data-slider-number=\"0\"]').value)"
        ))
        .await?,
        json!(3),
        "an amplitude in flux quanta stands in its box as such"
    );
    for (amplitude, bandwidth, challenge) in [("7.05", "100", 0), ("3", "152", 1), ("6", "61.7", 2)]
    {
        page.type_at_bench(&bench, 0, amplitude).await?;
        page.type_at_bench(&bench, 1, bandwidth).await?;
        page.challenge_is_met(&bench, challenge).await?;
    }

    let step = block("sudden-step");
    page.until(&format!(
        "(set => !!set && !set.hidden && !set.disabled)(document.querySelector('#{step} [data-role=options]'))"
    ))
    .await?;
    page.pick(means, LESSON, "sudden-step", "never-slips")
        .await?;
    page.choose(means, &step, "reasons", "1").await?;
    let said = page.commit_as(means, &step, "certain").await?;
    assert!(said.contains("follows whatever comes"), "{said}");

    for (question, answer) in [("field-noise", "61.5 fT/sqrt(Hz)"), ("slew-limit", "48600")] {
        let said = page.answer(means, &block(question), answer).await?;
        assert!(
            said.contains("agrees with the computed value"),
            "{question}: {said}"
        );
    }
    page.is_quiet().await?;
    page.is_done(LESSON).await
}
