//! Lesson 2 from start to end: a curve picked, a profile painted by mouse, taps and keys, a profile sketched.

use super::drawing::{Columns, Ends};
use super::gestures::{Pointer, key};
use super::page::{Checked, LAPTOP, Page, TELEPHONE};
use super::reader::{Means, Or};

const BENCH: &str = "the-slits-profile-painted";
const STRIPS: usize = 20;

/// A left half at the top of the paper and a right half of its height: a fifth of the current is left at the minimum.
fn halves() -> Vec<i32> {
    (0..STRIPS)
        .map(|k| if k < STRIPS / 2 { 1000 } else { 500 })
        .collect()
}

/// What the bench says of the device that is painted.
async fn readings(page: &Page) -> Or<String> {
    page.text(&format!("#{BENCH} [data-role=readings]")).await
}

async fn tool(page: &Page, what: &str) -> Checked {
    page.press_button(Means::Drag, &format!("#{BENCH} [data-paint={what}]"))
        .await
}

/// Paints two halves on the twenty strips of the paper.
async fn paint(page: &Page, means: Means) -> Checked {
    let pad = format!("#{BENCH} .pad");
    if means == Means::Keys {
        page.tab_to(&pad).await?;
        let mut keys = vec![key::LEFT; STRIPS];
        for (column, height) in halves().into_iter().enumerate() {
            if column > 0 {
                keys.push(key::RIGHT);
            }
            // The even paper stands at its top.
            keys.extend(vec![key::DOWN; ((1000 - height) / 50) as usize]);
        }
        return page.press(&keys).await;
    }
    let frame = page
        .plot_frame_of(&format!("#{BENCH} [data-role=paper]"))
        .await?;
    let points: Vec<(f64, f64)> = halves()
        .into_iter()
        .enumerate()
        .map(|(column, height)| {
            let x = (column as f64 + 0.5) / STRIPS as f64 - 0.5;
            frame.place(x, f64::from(height) / 1000.0)
        })
        .collect();
    if means == Means::Drag {
        page.draw(&pad, Pointer::Mouse, &points).await
    } else {
        for point in points {
            page.tap(&pad, Pointer::Finger, point).await?;
        }
        Ok(())
    }
}

/// Mouse, taps and keys leave the same device behind; undo, clear, mirror and presets do what they say.
pub(crate) async fn is_painted_by_every_means(page: Page) -> Checked {
    page.window(LAPTOP).await?;
    page.still().await?;
    page.lesson_opened("the-slits-profile").await?;
    let even = readings(&page).await?;
    assert!(even.contains("1.14 mT"), "an even junction: {even}");
    let mut said = Vec::new();
    for means in [Means::Drag, Means::Taps, Means::Keys] {
        paint(&page, means).await?;
        said.push(readings(&page).await?);
        page.press_button(Means::Drag, &format!("#{BENCH} [data-role=reset]"))
            .await?;
        assert_eq!(readings(&page).await?, even, "{means:?}: back to the start");
    }
    assert_ne!(said[0], even);
    // A pointer hits a thousandth or two beside a key's step; three figures of a reading may show it.
    let numbers = |text: &str| -> Vec<f64> {
        text.split_whitespace()
            .filter_map(|word| word.parse().ok())
            .collect()
    };
    for other in &said[1..] {
        let (one, two) = (numbers(&said[0]), numbers(other));
        assert!(
            one.len() == two.len()
                && one
                    .iter()
                    .zip(&two)
                    .all(|(a, b)| (a - b).abs() <= 0.02 * a.abs()),
            "{said:?}"
        );
    }
    // The halves differ, until the right one is made like the left.
    paint(&page, Means::Drag).await?;
    let lopsided = readings(&page).await?;
    assert!(lopsided.contains("1.21 mT"), "{lopsided}");
    tool(&page, "mirror").await?;
    let mirrored = readings(&page).await?;
    assert_eq!(mirrored, even, "both halves at the top again");
    tool(&page, "undo").await?;
    assert_eq!(readings(&page).await?, lopsided);
    // A blank paper is spoken of, and the last pattern stands.
    tool(&page, "clear").await?;
    let remark = page
        .text(&format!("#{BENCH} [data-role=paper] .remarks"))
        .await?;
    assert!(remark.contains("No strip carries"), "{remark}");
    assert_eq!(readings(&page).await?, lopsided);
    tool(&page, "undo").await?;
    // What is painted is there again after a reload, and the device has it.
    page.again().await?;
    assert_eq!(readings(&page).await?, lopsided, "kept over a reload");
    page.press_button(Means::Drag, &format!("#{BENCH} [data-profile=triangular]"))
        .await?;
    page.until(&format!(
        "document.querySelector('#{BENCH} [data-role=readings]').textContent.includes('2.2')"
    ))
    .await?;
    page.assert_accessible("a profile is painted").await?;
    page.window(TELEPHONE).await?;
    let wide = page
        .value("document.documentElement.scrollWidth - innerWidth")
        .await?;
    assert!(wide.as_f64().is_some_and(|wide| wide <= 0.0), "{wide}");
    page.is_quiet().await
}

const ENDS: Ends = Ends {
    x: (-0.5, 0.5),
    y: (-0.05, 1.1),
};

/// A profile with the shape of Godwit's pattern from -3 to 3 quanta, at the keyboard's 25 columns.
fn like_the_pattern() -> Columns {
    (0..25)
        .map(|column| {
            let flux = (f64::from(column) - 12.0) / 4.0;
            let x = std::f64::consts::PI * flux;
            // cos(pi f) / (1 - 4 f^2), which is pi/4 at a half.
            let share = if (flux.abs() - 0.5).abs() < 1e-9 {
                std::f64::consts::FRAC_PI_4
            } else {
                (coldfringe::numerics::elementary::cos(x) / (1.0 - 4.0 * flux * flux)).abs()
            };
            ((share + 0.05) / 1.15 * 1000.0).round() as i32
        })
        .collect()
}

/// By mouse; sure of the wider lobe, and then of a profile that looks like its pattern.
pub(crate) async fn is_walked_from_start_to_end(page: Page) -> Checked {
    let means = Means::Drag;
    page.window(LAPTOP).await?;
    page.still().await?;
    page.lesson("the-slits-profile").await?;
    let block = |name: &str| format!("the-slits-profile-{name}");
    page.observe(means, &block("half-the-width-again"), "wider")
        .await?;

    let curve = block("strong-edges");
    page.pick(
        means,
        "the-slits-profile",
        "strong-edges",
        "opposite-profile",
    )
    .await?;
    page.choose(means, &curve, "reasons", "3").await?;
    let said = page.commit_as(means, &curve, "certain").await?;
    assert!(
        said.contains("the opposite junction"),
        "the idea is named: {said}"
    );
    page.observe(means, &block("first-side-lobe"), "two-thirds")
        .await?;

    let bench = block("edges");
    page.meet_challenges(
        &bench,
        &[
            (0, 0.435, 0.006, 0),
            (0, 0.755, 0.006, 1),
            (0, 0.91, 0.006, 2),
        ],
    )
    .await?;

    // Unequal halves keep a current at their first minimum.
    paint(&page, means).await?;
    page.challenge_is_met(BENCH, 2).await?;

    let sketch = block("godwit-profile");
    page.sketch(means, &sketch, &like_the_pattern(), ENDS)
        .await?;
    page.choose(means, &sketch, "reasons", "3").await?;
    let said = page.commit_as(means, &sketch, "certain").await?;
    assert!(
        said.contains("shape of its own pattern"),
        "the idea is named: {said}"
    );
    page.observe(means, &block("at-the-edge"), "nothing")
        .await?;

    let bench = block("scan");
    page.meet_challenges(&bench, &[(0, 10.0, 0.1, 0), (0, 17.5, 0.1, 1)])
        .await?;

    let mark = block("round");
    page.slide(means, &format!("#{mark} [data-role=mark]"), 1.0, 0.03)
        .await?;
    page.choose(means, &mark, "reasons", "1").await?;
    let said = page.commit_as(means, &mark, "fairly-sure").await?;
    assert!(
        said.contains("Your marker fits the pattern of an even junction") && said.contains("1.22"),
        "{said}"
    );

    page.answer_rightly(
        means,
        "the-slits-profile",
        &[
            ("two-strips", "0.635"),
            ("at-two-quanta", "45.4 uA"),
            ("small-round", "1.74 mT"),
            ("scan-for-detail", "12.5"),
        ],
    )
    .await?;
    page.is_quiet().await?;
    page.is_done("the-slits-profile").await
}
