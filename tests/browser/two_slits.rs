//! Lesson 3 from start to end: a marker, a sketch, a number and a statement are predicted.

use super::drawing::{Columns, Ends};
use super::page::{Checked, LAPTOP, Page};
use super::reader::Means;

const ENDS: Ends = Ends {
    x: (-2.0, 2.0),
    y: (-1.1, 1.1),
};

/// |cos πf| at the keyboard's 33 columns, an eighth of a quantum apart.
fn fringes() -> Columns {
    let quarter = [1.0, 0.924, 0.707, 0.383, 0.0, 0.383, 0.707, 0.924];
    (0..33)
        .map(|column| ((quarter[column % 8] + 1.1) / 2.2 * 1000.0_f64).round() as i32)
        .collect()
}

/// By mouse; the marker on the wrong picture's place is met by its words.
pub(crate) async fn is_walked_from_start_to_end(page: Page) -> Checked {
    let means = Means::Drag;
    page.window(LAPTOP).await?;
    page.still().await?;
    page.lesson("two-slits").await?;
    page.observe(means, "two-slits-one-slit-again", "one")
        .await?;

    let mark = "two-slits-first-minimum";
    page.slide(means, &format!("#{mark} [data-role=mark]"), 0.172, 0.0006)
        .await?;
    page.choose(means, mark, "reasons", "2").await?;
    let said = page.commit_as(means, mark, "certain").await?;
    assert!(
        said.contains("Your marker fits"),
        "the wrong picture is named: {said}"
    );
    assert!(said.contains("the computed place is 0.0862 mT"), "{said}");

    let sketch = "two-slits-fringes";
    page.sketch(means, sketch, &fringes(), ENDS).await?;
    page.choose(means, sketch, "reasons", "2").await?;
    let said = page.commit_as(means, sketch, "fairly-sure").await?;
    assert!(
        said.contains("shows the features") || said.contains("as close as a hand"),
        "{said}"
    );
    page.observe(means, "two-slits-at-one-quantum", "same")
        .await?;

    // A number of another kind cannot be committed.
    let period = "two-slits-period";
    let field = format!("#{period} [data-role=number]");
    page.press_button(means, &field).await?;
    page.write("172 pH").await?;
    page.choose(means, period, "reasons", "2").await?;
    page.choose(means, period, "sure", "guess").await?;
    page.press_button(means, &format!("#{period} [data-role=commit]"))
        .await?;
    let problem = page.text(&format!("#{period} [data-role=problem]")).await?;
    assert!(
        problem.contains("inductance"),
        "the kind is named: {problem}"
    );
    page.retype(&field, "172 uT").await?;
    let said = page.commit(means, period).await?;
    assert!(
        said.contains("agrees with the computed value") && said.contains("172"),
        "{said}"
    );

    let bench = "two-slits-hole-and-junctions";
    // A hundredth is finer than a pixel here: the arrow keys go on from where the mouse let go.
    page.meet_challenges(
        bench,
        &[(0, 20.7, 0.15, 0), (0, 6.9, 0.06, 1), (0, 51.7, 0.4, 2)],
    )
    .await?;

    let pick = "two-slits-both-changed";
    page.choose(means, pick, "options", "double-field").await?;
    page.choose(means, pick, "reasons", "2").await?;
    let said = page.commit_as(means, pick, "certain").await?;
    assert!(said.contains("Something else happens."), "{said}");
    assert!(
        said.contains("That is the rule for one slit"),
        "the reply of the lesson: {said}"
    );
    assert!(said.contains("What happens: At half Plover"), "{said}");

    page.answer_rightly(
        means,
        "two-slits",
        &[
            ("quarter", "70.8 uA"),
            ("area-for-a-period", "1034"),
            ("turned-over", "14.5"),
        ],
    )
    .await?;
    page.is_quiet().await?;
    page.is_done("two-slits").await
}
