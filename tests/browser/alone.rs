//! The reader alone: where to go on, what was said before, how sure it was, and files of one's own.

use std::path::PathBuf;

use serde_json::{Value, json};

use super::gestures::key;
use super::keeping::{PATTERN, RECORD, begin, commit_pattern, draw};
use super::one_slit::{ENDS, one_slit};
use super::page::{Checked, LAPTOP, NARROWEST, Page, TELEPHONE};
use super::reader::{Means, Or};

/// A record as the notebook wrote it before places and outcomes were kept.
const OLD: &str = include_str!("../records/version-1.json");

/// Goes to a step, as a reader who scrolls there.
async fn go_to(page: &Page, step: &str) -> Checked {
    page.value(&format!(
        "document.getElementById({}).scrollIntoView()",
        json!(step)
    ))
    .await?;
    page.until(&format!(
        "(JSON.parse(localStorage.getItem('{RECORD}') || '{{}}').lessons || {{}})['one-slit']?.here?.step === {}",
        json!(step)
    ))
    .await
}

/// The contents page leads to where the reader left, a reload finds the place again, and a lesson opened anew offers it.
pub(crate) async fn goes_on_where_it_was_left(page: Page) -> Checked {
    page.window(LAPTOP).await?;
    page.open_live("").await?;
    assert!(page.text(".go-on").await?.starts_with("Begin with:"));
    assert!(
        page.text("[data-lesson-link=one-slit] .progress")
            .await?
            .contains("Not begun")
    );
    begin(&page).await?;
    assert!(
        page.stored().await?.is_empty(),
        "opening a lesson is not beginning it"
    );
    commit_pattern(&page).await?;
    let step = "why-it-comes-and-goes";
    go_to(&page, step).await?;
    page.value("window.scrollBy(0, 150)").await?;
    page.value("new Promise(done => setTimeout(done, 900))")
        .await?;
    let place = "Math.round(scrollY)";
    let before = page.value(place).await?.as_f64().ok_or("a place")?;
    page.again().await?;
    page.until(&format!("Math.abs({place} - {before}) < 60"))
        .await?;

    page.open_live("").await?;
    let offered = page.text(".go-on").await?;
    assert_eq!(
        offered.trim(),
        "Go on where you left: One slit, step 3 of 8: Why it comes and goes"
    );
    assert!(
        page.text("[data-lesson-link=one-slit] .progress")
            .await?
            .contains("1 of 3 predictions committed")
    );
    page.picture("alone-contents").await?;
    page.assert_accessible("contents of a reader who has begun")
        .await?;
    page.window(NARROWEST).await?;
    let width = page.value("document.documentElement.scrollWidth").await?;
    assert!(
        width.as_f64().is_some_and(|width| width <= 320.0),
        "{width}"
    );
    page.window(LAPTOP).await?;
    page.press_button(Means::Drag, ".go-on a").await?;
    page.live().await?;
    page.until(&format!(
        "Math.abs(document.getElementById('{step}').getBoundingClientRect().top) < 80"
    ))
    .await?;
    // Opened anew, the page stays at its top and says where it was left.
    page.open_live("").await?;
    page.lesson("one-slit").await?;
    assert_eq!(page.value("scrollY").await?, json!(0));
    assert_eq!(
        page.text("[data-role=go-on]").await?.trim(),
        "You left at Why it comes and goes."
    );
    page.assert_accessible("a lesson that was left").await?;
    page.is_quiet().await
}

/// A bench stands after a reload as it was left, and "back to the start" is kept, too.
pub(crate) async fn finds_a_bench_as_it_was_left(page: Page) -> Checked {
    page.window(LAPTOP).await?;
    page.still().await?;
    page.lesson_opened("one-slit").await?;
    let slider = "#one-slit-width [data-slider=\"0\"]";
    let start = page
        .value(&format!("document.querySelector('{slider}').value"))
        .await?;
    page.slide(Means::Drag, slider, 16.0, 0.5).await?;
    let left = page
        .value(&format!("document.querySelector('{slider}').value"))
        .await?;
    assert_ne!(left, start);
    page.again().await?;
    assert_eq!(
        page.value(&format!("document.querySelector('{slider}').value"))
            .await?,
        left
    );
    page.press_button(Means::Drag, "#one-slit-width [data-role=reset]")
        .await?;
    page.again().await?;
    assert_eq!(
        page.value(&format!("document.querySelector('{slider}').value"))
            .await?,
        start
    );
    Ok(())
}

/// The earlier answer and its confidence are shown beside the new commitment, and not before it.
pub(crate) async fn shows_earlier_attempts_only_afterwards(page: Page) -> Checked {
    begin(&page).await?;
    draw(&page).await?;
    page.choose(Means::Drag, PATTERN, "reasons", "1").await?;
    page.commit_as(Means::Drag, PATTERN, "certain").await?;
    page.press_button(Means::Drag, "[data-role=start-again]")
        .await?;
    page.until("document.querySelectorAll('[data-open]').length === 0")
        .await?;
    let said = page
        .value("document.querySelector('main').innerText")
        .await?;
    let said = said.as_str().unwrap_or_default();
    for word in [
        "Earlier attempts",
        "in grey",
        "certain;",
        "came differently",
    ] {
        assert!(!said.contains(word), "before the commitment: {word}");
    }
    page.sketch(Means::Drag, PATTERN, &one_slit(), ENDS).await?;
    page.choose(Means::Drag, PATTERN, "reasons", "2").await?;
    let said = page.commit_as(Means::Drag, PATTERN, "guess").await?;
    assert!(
        said.contains("Earlier attempts at this:")
            && said.contains("the sketch in grey; you were certain (“A field weakens the current a little everywhere.”); it came differently."),
        "{said}"
    );
    page.assert_accessible("with an earlier attempt").await?;
    page.picture("alone-earlier").await?;
    Ok(())
}

/// At the end stands each prediction with how sure it was and what came; certain and different is where to look first.
pub(crate) async fn looks_back_at_the_end(page: Page) -> Checked {
    begin(&page).await?;
    let table = "[data-role=looking-back]";
    draw(&page).await?;
    page.choose(Means::Drag, PATTERN, "reasons", "1").await?;
    page.commit_as(Means::Drag, PATTERN, "certain").await?;
    let mark = "one-slit-first-zero-in-field";
    page.slide(
        Means::Drag,
        &format!("#{mark} [data-role=mark]"),
        1.14,
        0.05,
    )
    .await?;
    page.commit_as(Means::Drag, mark, "guess").await?;
    assert_eq!(
        page.value(&format!(
            "document.querySelector('{table}').getClientRects().length"
        ))
        .await?,
        json!(0),
        "nothing is summed up before the last prediction"
    );
    let curve = "one-slit-half-the-width";
    page.choose(Means::Drag, curve, "options", "A").await?;
    page.choose(Means::Drag, curve, "reasons", "1").await?;
    page.commit_as(Means::Drag, curve, "fairly-sure").await?;
    page.until(&format!("!document.querySelector('{table}').hidden"))
        .await?;
    let said = page.text(table).await?;
    for words in [
        "certain",
        "You were sure; look here first.",
        "guessing",
        "Can you say why it must?",
        "fairly sure",
        "Nothing here is marked.",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
    assert_eq!(
        page.value(&format!(
            "document.querySelector('{table} .look-here').getAttribute('href')"
        ))
        .await?,
        json!("#one-slit-pattern")
    );
    page.assert_accessible("looking back").await?;
    page.picture("alone-looking-back").await?;
    page.window(NARROWEST).await?;
    let width = page.value("document.documentElement.scrollWidth").await?;
    assert!(
        width.as_f64().is_some_and(|width| width <= 320.0),
        "{width}"
    );
    page.assert_accessible("looking back, narrow").await?;

    page.window(LAPTOP).await?;
    page.open_live("").await?;
    let said = page.text("[data-role=calibration]").await?;
    assert!(
        said.contains("when you were certain, 0 of 1") && said.contains("when you guessed, 1 of 1"),
        "{said}"
    );
    Ok(())
}

/// Gives a file to the page, as the reader who chooses it.
async fn hand_in(page: &Page, name: &str, text: &str) -> Or<String> {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("browser");
    std::fs::create_dir_all(&folder)?;
    let path = folder.join(format!("{}-{name}", std::process::id()));
    std::fs::write(&path, text)?;
    page.value("document.querySelector('[data-role=desk-said]').textContent = ''")
        .await?;
    page.element("[data-role=work-file]")
        .await?
        .send_keys(&path.display().to_string())
        .await?;
    page.until("document.querySelector('[data-role=desk-said]').textContent !== ''")
        .await?;
    std::fs::remove_file(&path)?;
    page.text("[data-role=desk-said]").await
}

/// The attempts that are kept; the place on the page, kept beside them, is noted a little after each movement.
async fn work(page: &Page) -> Or<Value> {
    let record: Value = serde_json::from_str(&page.stored().await?[RECORD])?;
    Ok(record["lessons"]["one-slit"]["attempts"].clone())
}

/// A file of saved work is merged with what is here; what is no such file changes nothing and says why.
pub(crate) async fn takes_work_in_from_a_file(page: Page) -> Checked {
    begin(&page).await?;
    commit_pattern(&page).await?;
    let before = work(&page).await?;
    for (name, text, words) in [
        ("notes.json", "[1, 2]", "it is not a file of saved work"),
        (
            "cut.json",
            &OLD[..OLD.len() / 2],
            "it is not a file of saved work",
        ),
        (
            "other.json",
            "{\"version\": 9, \"lessons\": {}}",
            "another version of the notebook wrote it",
        ),
    ] {
        let said = hand_in(&page, name, text).await?;
        assert!(
            said.contains(words) && said.contains("Nothing here has changed."),
            "{name}: {said}"
        );
        assert_eq!(work(&page).await?, before, "{name}");
    }
    let said = hand_in(&page, "work.json", OLD).await?;
    assert!(
        said.starts_with("Taken in: 3 attempts, 3 predictions, 3 answers"),
        "{said}"
    );
    assert_eq!(work(&page).await?.as_array().map(Vec::len), Some(3));
    assert!(page.text(".desk").await?.contains("2 earlier attempts"));
    assert!(
        page.verdict(PATTERN).await?.contains("Earlier attempts"),
        "one's own attempt, begun last, goes on, with the older ones beside it"
    );
    let said = hand_in(&page, "work.json", OLD).await?;
    assert_eq!(said, "Everything in this file was here already.");
    page.assert_accessible("after a file was taken in").await?;
    page.is_quiet().await
}

/// On a shared computer the work is kept in the tab only.
pub(crate) async fn forgets_on_a_shared_computer(page: Page) -> Checked {
    begin(&page).await?;
    commit_pattern(&page).await?;
    page.press_button(Means::Drag, "[data-role=forget]").await?;
    page.until(
        "document.querySelector('[data-role=desk-said]').textContent.includes('this tab only')",
    )
    .await?;
    assert!(page.stored().await?.is_empty(), "nothing stays behind");
    // In this tab all goes on, through reloads and other pages.
    page.again().await?;
    assert!(!page.verdict(PATTERN).await?.is_empty());
    page.open_live("").await?;
    assert!(
        page.text("[data-lesson-link=one-slit] .progress")
            .await?
            .contains("1 of 3")
    );
    assert_eq!(
        page.value("document.querySelector('[data-role=forget]').checked")
            .await?,
        json!(true)
    );
    // Another tab knows nothing of it.
    let first = page.client.window().await?;
    let second = page.client.new_window(true).await?.handle;
    page.client.switch_to_window(second).await?;
    page.open_live("").await?;
    assert!(
        page.text("[data-lesson-link=one-slit] .progress")
            .await?
            .contains("Not begun")
    );
    page.client.switch_to_window(first).await?;
    // Taken back, it is in the browser again.
    page.press_button(Means::Drag, "[data-role=forget]").await?;
    page.until("document.querySelector('[data-role=desk-said]').textContent.includes('until you delete it')")
        .await?;
    assert!(page.stored().await?.contains_key(RECORD));
    Ok(())
}

/// The desk by keyboard alone: its question can be answered with no, and with yes.
pub(crate) async fn keeps_a_desk_for_the_keyboard(page: Page) -> Checked {
    page.window(TELEPHONE).await?;
    page.open_live("").await?;
    page.store(RECORD, OLD).await?;
    page.again().await?;
    page.tab_to("[data-role=delete-everything]").await?;
    page.press(&[key::ENTER]).await?;
    assert!(page.has_focus("[data-role=delete-yes]").await?);
    page.tab_to("[data-role=delete-no]").await?;
    page.press(&[key::ENTER]).await?;
    assert!(page.has_focus("[data-role=delete-everything]").await?);
    assert!(page.stored().await?.contains_key(RECORD));
    page.press(&[key::ENTER]).await?;
    page.press(&[key::ENTER]).await?;
    page.until("document.readyState === 'complete' && document.documentElement.dataset.state === 'ready' && !localStorage.length")
        .await?;
    Ok(())
}

/// Worksheet and solution sheet: plain pages that need no script, that fit a narrow window and the checker's rules.
pub(crate) async fn has_sheets_for_paper(page: Page) -> Checked {
    for sheet in ["worksheet", "solutions"] {
        page.window(LAPTOP).await?;
        page.visit(&format!("lessons/one-slit/{sheet}.html"))
            .await?;
        assert!(page.count("main svg").await? >= 3, "drawings on {sheet}");
        page.assert_accessible(sheet).await?;
        page.picture(&format!("alone-{sheet}")).await?;
        page.window(NARROWEST).await?;
        let width = page.value("document.documentElement.scrollWidth").await?;
        assert!(
            width.as_f64().is_some_and(|width| width <= 320.0),
            "{sheet}: {width}"
        );
        page.is_quiet().await?;
    }
    Ok(())
}
