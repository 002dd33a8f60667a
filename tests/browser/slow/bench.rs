//! A bench with a slow device: it follows its slider, shows its work and can be stopped.

use super::{BENCH, LESSON, call, computing, hold, reading, reads, says, swing};
use crate::browser::gestures::{Pointer, key};
use crate::browser::page::{Checked, LAPTOP, Page};
use crate::browser::reader::Means;

/// A dragged slider draws curves all the way, the last one is that of the device, and the readings are those of the command.
pub(crate) async fn bench_follows_its_slider(page: Page) -> Checked {
    hold(&page, false).await?;
    page.window(LAPTOP).await?;
    page.lesson_opened(LESSON).await?;
    assert_eq!(reading(&page).await?, swing("11 uA"));
    page.picture("slow-bench").await?;
    call(
        &page,
        "window.drawn = 0; const canvas = document.querySelector('#slow-loop-bias .chart canvas'); let last = ''; \
         const look = () => { const now = canvas.toDataURL(); if (now !== last) { last = now; drawn++; } requestAnimationFrame(look); }; look();",
    )
    .await?;
    let points: Vec<(f64, f64)> = (0..=120)
        .map(|step| (0.1 + 0.4 * f64::from(step) / 120.0, 0.5))
        .collect();
    page.draw(
        "#slow-loop-bias input[data-slider]",
        Pointer::Mouse,
        &points,
    )
    .await?;
    let bias = page
        .value("document.querySelector('#slow-loop-bias [data-slider-number]').value")
        .await?;
    let bias = format!("{} uA", bias.as_str().unwrap_or_default());
    let wanted = swing(&bias);
    reads(&page, &wanted).await?;
    computing(&page, BENCH, false).await?;
    let drawn = page.value("drawn").await?;
    assert!(
        drawn.as_u64().is_some_and(|drawn| drawn >= 3),
        "only {drawn} pictures while the slider was dragged"
    );
    assert!(
        page.text("#slow-loop-bias div.remarks")
            .await?
            .contains("Fokker"),
        "the method is named"
    );
    // What is held stays beside the next curve.
    page.press_button(Means::Drag, "#slow-loop-bias [data-role=hold]")
        .await?;
    page.retype("#slow-loop-bias [data-slider-number]", "8.5")
        .await?;
    page.press(&[key::ENTER]).await?;
    reads(&page, &swing("8.5 uA")).await?;
    page.picture("slow-bench-held").await?;
    page.assert_accessible("a slow bench at rest").await?;
    page.is_quiet().await
}

/// Work that lasts shows a bar and a way to stop it; the keyboard is never lost.
pub(crate) async fn bench_shows_its_work_and_stops(page: Page) -> Checked {
    hold(&page, true).await?;
    page.window(LAPTOP).await?;
    page.lesson_opened(LESSON).await?;
    computing(&page, BENCH, true).await?;
    says(&page, BENCH, "Computing").await?;
    page.picture("slow-bench-computing").await?;
    page.assert_accessible("a bench that computes").await?;
    assert_eq!(
        page.text("#slow-loop-bias [data-role=live]").await?,
        "Computing.",
        "it is announced once"
    );
    page.press_button(Means::Keys, "#slow-loop-bias [data-role=stop]")
        .await?;
    says(&page, BENCH, "Stopped").await?;
    assert!(
        page.has_focus("#slow-loop-bias [data-role=try-again]")
            .await?,
        "the keyboard goes on to the other button"
    );
    page.picture("slow-bench-stopped").await?;
    page.assert_accessible("a bench that was stopped").await?;
    call(&page, "letGo()").await?;
    page.press(&[key::ENTER]).await?;
    assert_eq!(reading(&page).await?, swing("11 uA"));
    assert!(
        page.has_focus("#slow-loop-bias, #slow-loop-bias *").await?,
        "the keyboard stays in the block"
    );
    page.is_quiet().await
}
