//! The lecture: by keyboard alone from start to end, with votes and a reload; readable from the last row.

use std::time::Duration;

use serde_json::{Value, json};

use super::gestures::{Pointer, key};
use super::page::{Checked, LAPTOP, NARROWEST, PROJECTOR, Page, Window};
use super::reader::Or;
use super::states::fits;

/// A projector of the older kind.
const OLD_PROJECTOR: Window = Window {
    width: 1024,
    height: 768,
    scale: 1.0,
    mobile: false,
};

/// Longer than the guard before an answer.
pub(super) const AFTER_GUARD: Duration = Duration::from_millis(700);

pub(super) async fn open(page: &Page, lesson: &str, address: &str) -> Checked {
    page.visit_empty().await?;
    page.open_live(&format!("lessons/{lesson}/lecture.html{address}"))
        .await
}

pub(super) async fn stage(page: &Page) -> Or<String> {
    let hash = page.value("location.hash.slice(1)").await?;
    Ok(hash.as_str().unwrap_or_default().to_owned())
}

/// Presses the key to go on until the stage changes; a long screen is read to its end before. Gives the new stage, or none at the end.
async fn on(page: &Page) -> Or<Option<String>> {
    let before = stage(page).await?;
    for _ in 0..12 {
        page.press(&[key::PAGE_DOWN]).await?;
        tokio::time::sleep(Duration::from_millis(30)).await;
        let now = stage(page).await?;
        if now != before {
            return Ok(Some(now));
        }
        tokio::time::sleep(AFTER_GUARD).await;
        let last = page
            .value("(() => { const [now, all] = document.querySelector('[data-role=position]').textContent.split(' / '); return now === all; })()")
            .await?;
        let is_below = page
            .value("(() => { const s = document.querySelector('.screen[data-now] .sheet'); return s.scrollHeight - s.scrollTop - s.clientHeight > 12; })()")
            .await?;
        if last == json!(true) && is_below != json!(true) {
            return Ok(None);
        }
    }
    Err(format!("the lecture does not go on from {before}").into())
}

pub(super) async fn go_to(page: &Page, wanted: &str) -> Checked {
    while stage(page).await? != wanted {
        if on(page).await?.is_none() {
            return Err(format!("{wanted} is never reached").into());
        }
    }
    Ok(())
}

/// What is kept of the lecture of a lesson.
async fn kept(page: &Page, lesson: &str) -> Or<Value> {
    let stored = page.stored().await?;
    let record: Value = serde_json::from_str(&stored["coldfringe.record"])?;
    assert_eq!(
        record["lessons"],
        json!({}),
        "the reader's own work is left alone"
    );
    Ok(record["lectures"][lesson].clone())
}

/// What of the screen shown could tell the answer before its time.
async fn nothing_is_told(page: &Page, stage: &str) -> Checked {
    let told = page
        .value(
            "(() => { const s = document.querySelector('.screen[data-now]'); \
               return [...s.querySelectorAll('.verdict, .bars:not([hidden]), .numbers')].map(e => e.textContent).join('') \
                 + [...s.querySelectorAll('.count')].map(e => e.textContent).filter(n => n !== '0').join('') \
                 + [...s.querySelectorAll('.plot .words span')].map(e => e.textContent).filter(w => w.includes('computed')).join('') \
                 + [...s.querySelectorAll('.plot canvas')].map(e => e.getAttribute('aria-label')).filter(w => w.includes('computed')).join(''); })()",
        )
        .await?;
    // The curves to choose from are the question itself, and described from the start.
    let is_choice = page.count(".screen[data-now] .curves").await? > 0;
    if told == json!("") || is_choice {
        Ok(())
    } else {
        Err(format!("{stage} tells {told}").into())
    }
}

/// Goes through a whole lecture by keyboard alone, votes twice at each choice, and gives how many answers were revealed.
async fn walk(page: &Page, lesson: &str) -> Or<usize> {
    open(page, lesson, "").await?;
    let mut revealed = 0;
    let mut at = stage(page).await?;
    loop {
        let name = page
            .value("document.querySelector('.screen[data-now]').dataset.screenBlock")
            .await?;
        let name = name.as_str().unwrap_or_default().to_owned();
        let is_answer = at.ends_with(".reveal");
        let lecture = kept(page, lesson).await?;
        let known = lecture["revealed"].as_array().map_or(0, Vec::len);
        if is_answer {
            revealed += 1;
        }
        assert_eq!(known, revealed, "{at}: {}", lecture["revealed"]);
        let kind = page
            .value("document.querySelector('.screen[data-now]').dataset.screen")
            .await?;
        if !is_answer && kind != "look" {
            nothing_is_told(page, &at).await?;
            let options = page
                .value("+document.querySelector('.screen[data-now]').dataset.options")
                .await?;
            if options.as_u64().unwrap_or_default() > 0 {
                let round = if at.ends_with(".discuss") {
                    "second"
                } else {
                    "first"
                };
                page.press(&['1', '1', '1', '2', '2', '3']).await?;
                page.press_with(&[key::SHIFT], '1').await?;
                let hands = kept(page, lesson).await?["votes"][&name][round].clone();
                assert_eq!(
                    hands.as_array().map(|hands| hands[..3].to_vec()),
                    Some(vec![json!(2), json!(2), json!(1)]),
                    "{at}"
                );
                assert_eq!(page.text("[data-role=tally]").await?, "5 hands");
                assert_eq!(
                    page.value("document.querySelector('.screen[data-now] .bars').hidden")
                        .await?,
                    json!(true),
                    "{at}: no bars before the answer"
                );
            }
        }
        match on(page).await? {
            Some(next) => at = next,
            None => break,
        }
    }
    let votes = kept(page, lesson).await?["votes"]
        .as_object()
        .map_or(0, serde_json::Map::len);
    assert!(votes > 0, "{lesson} asks for votes");
    page.is_quiet().await?;
    Ok(revealed)
}

/// Lesson 1.
pub(crate) async fn of_lesson_one_is_given_by_keyboard_alone(page: Page) -> Checked {
    page.window(PROJECTOR).await?;
    page.still().await?;
    let revealed = walk(&page, "one-slit").await?;
    assert!(revealed >= 6, "{revealed} answers");
    Ok(())
}

/// Lesson 5.
pub(crate) async fn of_lesson_five_is_given_by_keyboard_alone(page: Page) -> Checked {
    page.window(OLD_PROJECTOR).await?;
    page.still().await?;
    let revealed = walk(&page, "the-loop-answers-back").await?;
    assert!(revealed >= 6, "{revealed} answers");
    Ok(())
}

/// A vote, a reload, a second vote, the bars of both; going back takes nothing away.
pub(crate) async fn survives_a_reload_and_going_back(page: Page) -> Checked {
    page.window(LAPTOP).await?;
    page.still().await?;
    open(&page, "one-slit", "#half-the-width").await?;
    page.press(&['1', '1', '1', '1', '2', '3', '4']).await?;
    on(&page).await?;
    page.press(&['2', '2', '2', '2', '2', '2']).await?;
    page.client.refresh().await?;
    page.live().await?;
    assert_eq!(stage(&page).await?, "half-the-width.discuss");
    assert_eq!(page.text("[data-role=tally]").await?, "6 hands");
    assert_eq!(on(&page).await?.as_deref(), Some("half-the-width.reveal"));
    let bars = page.text(".screen[data-now] .bars").await?;
    assert!(
        bars.contains("before") && bars.contains("after") && bars.contains('6'),
        "{bars}"
    );
    let said = page.text(".screen[data-now] .verdict").await?;
    assert!(said.contains("The computed curve is"), "{said}");
    page.picture("lecture-bars").await?;
    for _ in 0..2 {
        page.press(&[key::PAGE_UP]).await?;
    }
    assert_eq!(stage(&page).await?, "half-the-width");
    assert!(
        page.text(".screen[data-now] .bars")
            .await?
            .contains("before")
    );
    // An address of an answer that was never revealed leads to the step before it.
    open(&page, "one-slit", "#pattern.reveal").await?;
    assert_eq!(stage(&page).await?, "pattern.discuss");
    nothing_is_told(&page, "pattern.discuss").await?;
    // An address that names nothing is told, and loses nothing.
    open(&page, "one-slit", "#nowhere").await?;
    assert!(
        page.text("[data-role=notice]")
            .await?
            .contains("names no step")
    );
    assert_eq!(
        kept(&page, "one-slit").await?["revealed"],
        json!(["half-the-width"])
    );
    page.is_quiet().await
}

/// The pen is cut short by the key to go on, and only then the lecture goes on; a cover is lifted first; a double press reveals nothing.
pub(crate) async fn is_kind_to_a_clicker(page: Page) -> Checked {
    page.window(LAPTOP).await?;
    page.preferences(&[("prefers-reduced-motion", "no-preference")])
        .await?;
    open(&page, "one-slit", "#pattern").await?;
    page.press(&[key::PAGE_DOWN, key::PAGE_DOWN, key::PAGE_DOWN])
        .await?;
    assert_eq!(
        stage(&page).await?,
        "pattern.discuss",
        "a hasty thumb reveals nothing"
    );
    page.press(&['.']).await?;
    assert_eq!(stage(&page).await?, "pattern.discuss~black");
    assert_eq!(
        page.value("document.elementFromPoint(600, 400).className")
            .await?,
        json!("blank")
    );
    page.client.refresh().await?;
    page.live().await?;
    assert_eq!(
        stage(&page).await?,
        "pattern.discuss~black",
        "the cover survives too"
    );
    tokio::time::sleep(AFTER_GUARD).await;
    page.press(&[key::PAGE_DOWN]).await?;
    assert_eq!(stage(&page).await?, "pattern.discuss");
    // The mouse draws; the next press of the clicker belongs to the lecture, not to the pad.
    page.draw(
        ".screen[data-now] .pad",
        Pointer::Mouse,
        &[(0.1, 0.8), (0.5, 0.3), (0.9, 0.8)],
    )
    .await?;
    tokio::time::sleep(AFTER_GUARD).await;
    page.press(&[key::PAGE_DOWN]).await?;
    assert_eq!(stage(&page).await?, "pattern.reveal");
    tokio::time::sleep(Duration::from_millis(200)).await;
    assert_eq!(
        page.count(".screen[data-now] .cursor-row:not([hidden])")
            .await?,
        0,
        "the pen is tracing"
    );
    page.press(&[key::PAGE_DOWN]).await?;
    page.until("!document.querySelector('.screen[data-now] .cursor-row').hidden")
        .await?;
    assert_eq!(
        stage(&page).await?,
        "pattern.reveal",
        "the pen is done first"
    );
    page.press(&[key::PAGE_DOWN]).await?;
    assert_ne!(stage(&page).await?, "pattern.reveal");
    // A slider has its keys for itself until Escape.
    go_to(&page, "thickness-and-current").await?;
    page.tab_to(".screen[data-now] [data-slider]").await?;
    let before = page.value("document.activeElement.value").await?;
    page.press(&[key::PAGE_DOWN]).await?;
    assert_ne!(page.value("document.activeElement.value").await?, before);
    assert_eq!(stage(&page).await?, "thickness-and-current");
    page.press(&[key::ESCAPE]).await?;
    page.press(&[key::PAGE_UP]).await?;
    assert_ne!(stage(&page).await?, "thickness-and-current");
    page.press(&[key::ESCAPE]).await?;
    page.until("location.pathname.endsWith('/index.html')")
        .await?;
    page.live().await?;
    page.is_quiet().await
}

/// Each kind of stage: accessible in both looks, no wider than the window, and at 1080 lines readable from the last row.
pub(crate) async fn is_readable_and_accessible_in_every_kind_of_stage(page: Page) -> Checked {
    page.still().await?;
    let kinds = [
        ("one-slit", "title"),
        ("one-slit", "a-junction-in-a-field"),
        ("one-slit", "tern-without-field"),
        ("one-slit", "pattern"),
        ("one-slit", "pattern.reveal"),
        ("one-slit", "at-one-quantum.reveal"),
        ("one-slit", "first-zero-in-field.reveal"),
        ("one-slit", "thickness-and-current"),
        ("one-slit", "half-the-width"),
        ("one-slit", "half-the-width.reveal"),
        ("one-slit", "thin-films.reveal"),
        (
            "the-loop-answers-back",
            "predict-just-after-the-jump.reveal",
        ),
        ("the-loop-answers-back", "first-to-give-way"),
        ("the-loop-answers-back", "inductance"),
    ];
    for (window, look) in [
        (PROJECTOR, "bright"),
        (OLD_PROJECTOR, "dark"),
        (LAPTOP, "bright"),
        (NARROWEST, "dark"),
    ] {
        page.window(window).await?;
        for (lesson, name) in kinds {
            let question = name.trim_end_matches(".reveal");
            open(&page, lesson, &format!("#{question}")).await?;
            if page.value("document.documentElement.dataset.look").await? != look {
                page.press(&['d']).await?;
            }
            if question != name {
                page.press(&['1', '1', '1', '2', '2', '3']).await?;
                go_to(&page, name).await?;
            }
            let state = format!("lecture, {name}, {look}, {}", window.width);
            page.picture(&format!("lecture-{}-{look}-{name}", window.width))
                .await?;
            fits(&page, &state).await?;
            page.assert_accessible(&state).await?;
            if window.height == PROJECTOR.height {
                is_large(&page, &state).await?;
            }
        }
    }
    open(&page, "one-slit", "").await?;
    page.press(&['?']).await?;
    page.assert_accessible("lecture, menu").await
}

/// At 1080 lines: what is read aloud has 36 pixels at least, what stands on axes 28.
async fn is_large(page: &Page, state: &str) -> Checked {
    let small = page
        .value(
            "(() => { const s = document.querySelector('.screen[data-now]'); \
               const size = e => parseFloat(getComputedStyle(e).fontSize); const shown = e => e.getClientRects().length > 0; \
               const out = []; \
               for (const e of s.querySelectorAll('.words p, .words li, .title p, .prompt p, .option span, .verdict .headline')) if (shown(e) && size(e) < 36) out.push(size(e) + ' ' + e.className + ' ' + e.textContent.slice(0, 40)); \
               for (const e of s.querySelectorAll('.chart .words span')) if (shown(e) && size(e) < 28) out.push(size(e) + ' on the chart: ' + e.textContent); \
               return out; })()",
        )
        .await?;
    if small == json!([]) {
        Ok(())
    } else {
        Err(format!("{state}: too small for the last row: {small}").into())
    }
}
