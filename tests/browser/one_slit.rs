//! Lesson 1 from its first prediction to its last number: by drag, by single taps and by keyboard, with the same words.

use std::sync::Mutex;

use serde_json::json;

use super::drawing::{Columns, Ends};
use super::gestures::{Pointer, key};
use super::page::{Checked, LAPTOP, Page, TELEPHONE};
use super::reader::{Means, Or};

/// The axes of the sketch.
pub(crate) const ENDS: Ends = Ends {
    x: (-3.0, 3.0),
    y: (-0.4, 1.1),
};

/// What was said in each walk, block by block; all walks must hear the same.
static HEARD: Mutex<Option<Vec<(&str, String)>>> = Mutex::new(None);

/// What two narrow slits do, a wrong picture that the lesson knows: |cos πf| at the keyboard's 25 columns.
pub(crate) fn two_slits() -> Columns {
    (0..25)
        .map(|column| match column % 4 {
            0 => 950,
            2 => 250,
            _ => 750,
        })
        .collect()
}

/// The computed curve as a careful hand draws it.
pub(crate) fn one_slit() -> Columns {
    let half = [
        950, 850, 700, 450, 250, 400, 400, 350, 250, 350, 350, 300, 250,
    ];
    half.iter().rev().chain(&half[1..]).copied().collect()
}

/// By mouse.
pub(crate) async fn is_walked_by_drag(page: Page) -> Checked {
    page.window(LAPTOP).await?;
    walk(page, Means::Drag).await
}

/// By a finger that never moves while it touches.
pub(crate) async fn is_walked_by_taps_alone(page: Page) -> Checked {
    page.window(TELEPHONE).await?;
    walk(page, Means::Taps).await
}

/// By tabulator, arrows, space and enter; the focus always shows, goes on to the verdict, and is never held.
pub(crate) async fn is_walked_by_keyboard_alone(page: Page) -> Checked {
    page.window(LAPTOP).await?;
    walk(page, Means::Keys).await
}

/// Keys and strokes that make no sense leave the pad working: jumps and deletions where nothing is, strokes beyond the
/// paper, more undoing than doing.
pub(crate) async fn takes_odd_strokes_and_keys(page: Page) -> Checked {
    page.window(LAPTOP).await?;
    page.lesson("one-slit").await?;
    let pad = "#one-slit-pattern .pad";
    page.tab_to(pad).await?;
    page.press(&[
        'j',
        key::DELETE,
        'j',
        key::UP,
        'j',
        key::LEFT,
        key::LEFT,
        key::DOWN,
        key::DELETE,
        key::HOME,
        'J',
        key::END,
        key::PAGE_UP,
        key::PAGE_DOWN,
        'x',
        key::ESCAPE,
    ])
    .await?;
    page.press(&[key::RIGHT; 40]).await?;
    page.press(&['j', key::UP, 'j', key::DELETE]).await?;
    for stroke in [
        [(0.5, 0.5), (0.5, 0.1), (0.5, 0.9)],
        [(0.9, 0.5), (1.05, 0.5), (0.1, 0.2)],
        [(0.02, 0.02), (0.98, 0.98), (0.02, 0.98)],
        [(0.3, 0.3), (0.3, 0.3), (0.3, 0.3)],
    ] {
        for pointer in [Pointer::Mouse, Pointer::Pen, Pointer::Finger] {
            page.draw(pad, pointer, &stroke).await?;
        }
    }
    for button in ["jump", "clear", "jump", "undo", "undo"] {
        page.press_button(
            Means::Drag,
            &format!("#one-slit-pattern [data-role={button}]"),
        )
        .await?;
    }
    page.tab_to(pad).await?;
    for _ in 0..30 {
        page.press_with(&[key::CONTROL], 'z').await?;
    }
    assert!(
        page.kept("one-slit", "pattern").await?["draft"].is_null(),
        "all is undone"
    );
    // And now a curve, as if nothing had been.
    page.sketch(Means::Drag, "one-slit-pattern", &two_slits(), ENDS)
        .await?;
    assert!(page.kept("one-slit", "pattern").await?["draft"].is_object());
    let state = page
        .value(
            "[document.documentElement.dataset.state, document.getElementById('trouble').hidden]",
        )
        .await?;
    assert_eq!(state, json!(["ready", true]));
    page.is_quiet().await
}

/// A curve between two wrong pictures is met with a question back, and the answer with words about that picture.
pub(crate) async fn asks_which_picture_was_meant(page: Page) -> Checked {
    page.window(LAPTOP).await?;
    page.still().await?;
    page.lesson("one-slit").await?;
    let pattern = "one-slit-pattern";
    // Halfway between two slits and lobes of equal height.
    let half = [
        933, 810, 503, 630, 600, 738, 600, 738, 600, 738, 600, 738, 600,
    ];
    let columns: Columns = half.iter().rev().chain(&half[1..]).copied().collect();
    page.sketch(Means::Drag, pattern, &columns, ENDS).await?;
    page.choose(Means::Drag, pattern, "reasons", "3").await?;
    let said = page.commit_as(Means::Drag, pattern, "guess").await?;
    assert!(said.contains("Which of these did you mean?"), "{said}");
    let buttons = "#one-slit-pattern .which-buttons button";
    assert_eq!(
        page.count(buttons).await?,
        3,
        "two pictures and something else: {said}"
    );
    let meant = page.text(buttons).await?;
    page.assert_accessible("asked which was meant").await?;
    page.press_button(Means::Keys, buttons).await?;
    let said = page.verdict(pattern).await?;
    assert!(said.contains(&format!("You meant {meant}.")), "{said}");
    assert!(!said.contains("Which of these"), "asked once: {said}");
    focus_is_on_the_verdict(&page, pattern).await?;
    page.again().await?;
    assert_eq!(page.verdict(pattern).await?, said, "kept");
    page.is_quiet().await
}

async fn walk(page: Page, means: Means) -> Checked {
    let heard = whole_lesson(&page, means).await?;
    let mut before = HEARD.lock().expect("the words heard so far");
    match before.as_ref() {
        Some(before) => assert_eq!(before, &heard, "the words do not depend on the hand"),
        None => *before = Some(heard),
    }
    Ok(())
}

async fn whole_lesson(page: &Page, means: Means) -> Or<Vec<(&'static str, String)>> {
    page.still().await?;
    page.lesson("one-slit").await?;
    let mut heard = Vec::new();

    let pattern = "one-slit-pattern";
    page.sketch(means, pattern, &two_slits(), ENDS).await?;
    page.choose(means, pattern, "reasons", "2").await?;
    let said = page.commit_as(means, pattern, "fairly-sure").await?;
    assert!(
        said.contains("Your curve shows what two narrow slits alone do."),
        "the wrong picture is named: {said}"
    );
    focus_is_on_the_verdict(page, pattern).await?;
    heard.push((pattern, said));

    let observe = "one-slit-at-one-quantum";
    page.choose(means, observe, "options", "two-thirds").await?;
    check(page, means, observe).await?;
    assert!(
        page.verdict(observe).await?.contains("Look again"),
        "a wrong look"
    );
    page.choose(means, observe, "options", "nothing").await?;
    check(page, means, observe).await?;
    let said = page.verdict(observe).await?;
    assert!(said.contains("Yes, that is on the chart."), "{said}");
    heard.push((observe, said));

    let mark = "one-slit-first-zero-in-field";
    page.slide(means, &format!("#{mark} [data-role=mark]"), 1.14, 0.02)
        .await?;
    let said = page.commit_as(means, mark, "certain").await?;
    assert!(said.contains("the computed place is 1.14 mT"), "{said}");
    focus_is_on_the_verdict(page, mark).await?;
    heard.push((mark, said.lines().next().unwrap_or_default().to_owned()));

    let bench = "one-slit-thickness-and-current";
    for (slider, value, tolerance, challenge) in
        [(0, 258.0, 2.0, 0), (1, 46.0, 0.8, 1), (0, 82.7, 0.8, 2)]
    {
        set(page, means, bench, slider, value, tolerance).await?;
        page.challenge_is_met(bench, challenge).await?;
    }

    let pick = "one-slit-half-the-width";
    page.pick(means, "one-slit", "half-the-width", "half-quantum-zeros")
        .await?;
    page.choose(means, pick, "reasons", "1").await?;
    let said = page.commit_as(means, pick, "guess").await?;
    focus_is_on_the_verdict(page, pick).await?;
    assert!(said.contains("The computed curve is curve"), "{said}");
    // The letters are this reader's own.
    heard.push((pick, said.lines().next().unwrap_or_default().to_owned()));

    let bench = "one-slit-width";
    for (value, tolerance, challenge) in [(5.7, 0.05, 0), (22.9, 0.2, 1)] {
        set(page, means, bench, 0, value, tolerance).await?;
        page.challenge_is_met(bench, challenge).await?;
    }

    for (question, answer) in [
        ("one-slit-thin-films", "1.43 mT"),
        ("one-slit-side-lobe", "21.7 uA"),
        ("one-slit-width-for-a-field", "57.1"),
    ] {
        let said = page.answer(means, question, answer).await?;
        heard.push((question, said));
    }
    for (question, said) in &heard[heard.len() - 3..] {
        assert!(
            said.to_lowercase().contains("right") || said.contains("agrees"),
            "{question}: {said}"
        );
    }
    page.picture(&format!("one-slit-walked-{means:?}").to_lowercase())
        .await?;
    page.is_quiet().await?;
    page.is_done("one-slit").await?;
    Ok(heard)
}

/// Moves a bench's slider.
async fn set(
    page: &Page,
    means: Means,
    bench: &str,
    slider: usize,
    value: f64,
    tolerance: f64,
) -> Checked {
    page.slide(
        means,
        &format!("#{bench} [data-slider=\"{slider}\"]"),
        value,
        tolerance,
    )
    .await
}

async fn check(page: &Page, means: Means, block: &str) -> Checked {
    page.press_button(means, &format!("#{block} [data-role=check]"))
        .await
}

async fn focus_is_on_the_verdict(page: &Page, block: &str) -> Checked {
    page.until(&format!(
        "document.activeElement === document.querySelector('#{block} [data-role=verdict]')"
    ))
    .await
}
