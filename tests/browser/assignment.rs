//! Assignments as a student works through them, from the identifier to the receipt; and what the command makes of it.

use coldfringe::homework::Receipt;
use coldfringe::homework::marking::{Paper, mark};
use coldfringe::homework::receipt::Seal;
use serde_json::json;

use super::downloads;
use super::drawing::{Columns, Ends};
use super::gestures::key;
use super::homework::{
    Key, answer, assignment, begin, graded, offer, press, saved, stands, take_up,
};
use super::page::{Checked, LAPTOP, NARROWEST, Page, TELEPHONE};
use super::reader::Means;

/// |sin πf / πf| at a pad's columns, for an axis up to 1.1.
fn pattern() -> Columns {
    (0..25)
        .map(|column| {
            let f = -3.0 + f64::from(column) * 0.25;
            let turn = std::f64::consts::PI * f;
            let value = if f == 0.0 {
                1.0
            } else {
                (coldfringe::numerics::elementary::sin(turn) / turn).abs()
            };
            (value / 1.1 * 20.0).round() as i32 * 50
        })
        .collect()
}

/// *Slits* by mouse, from the identifier to the marks: wrong and right answers, what costs nothing, hints to the solution, a
/// reload in the middle, without the network.
pub(crate) async fn slits_are_done_from_start_to_marks(page: Page) -> Checked {
    page.window(LAPTOP).await?;
    page.still().await?;
    let folder = downloads::folder(&page, "receipts-slits").await?;
    page.open_live("homework/slits.html").await?;
    assert_eq!(page.count("[data-filled]").await?, 0);
    assert!(page.text("main").await?.contains("It is width wide"));
    assert_eq!(page.count(".task .answer").await?, 6);
    assert!(
        !page
            .element("#slits-first-zero .answer")
            .await?
            .is_displayed()
            .await?,
        "nothing to answer before the numbers are known"
    );
    press(&page, "[data-role=who-form] [type=submit]").await?;
    page.until(
        "document.querySelector('[data-role=who-problem]').textContent.includes('identifier')",
    )
    .await?;
    press(&page, "[data-role=who-name]").await?;
    page.write(" AB-17 ").await?;
    assert_eq!(page.text("[data-role=who-echo]").await?, "read as ab-17");
    page.press(&[key::ENTER]).await?;
    page.until("document.querySelector('main').hasAttribute('data-filled')")
        .await?;
    let key = Key::new("slits", "ab-17");
    let width = key.variant.value(&key.assignment, 0).unwrap_or_default();
    assert!(
        page.text("main")
            .await?
            .replace('\u{A0}', " ")
            .contains(&format!("It is {width} wide")),
        "{width}"
    );
    // A mistyped identifier is put right before anything is answered.
    press(&page, "[data-role=correct]").await?;
    page.until("document.activeElement.dataset.role === 'who-name'")
        .await?;
    page.press(&[key::ENTER]).await?;
    page.until("document.querySelector('main').hasAttribute('data-filled')")
        .await?;
    // From here on there is no network.
    page.browser("Network.enable", json!({})).await?;
    let unplug =
        json!({ "offline": true, "latency": 0, "downloadThroughput": -1, "uploadThroughput": -1 });
    page.browser("Network.emulateNetworkConditions", unplug)
        .await?;

    let ends = Ends {
        x: (-3.0, 3.0),
        y: (0.0, 1.1),
    };
    page.sketch(Means::Drag, "slits-pattern", &pattern(), ends)
        .await?;
    page.commit_as(Means::Drag, "slits-pattern", "certain")
        .await?;
    stands(&page, "1 of 6 done · 3 of 9 points").await?;
    assert!(
        !page
            .element("[data-role=correct]")
            .await?
            .is_displayed()
            .await?,
        "once something is answered the identifier stays"
    );

    let zero = "slits-first-zero";
    assert!(offer(&page, zero, "one").await?.contains("costs no try"));
    assert!(offer(&page, zero, "2.07 fWb").await?.contains("flux"));
    let said = answer(&page, zero, &key.number("first-zero", 2.0)).await?;
    assert!(
        said.contains("Try 1 of 5") && said.contains("Read as"),
        "{said}"
    );
    // With a decimal comma; three digits behind it might be thousands, which are asked about.
    let first = key.number("first-zero", 2.0);
    let (number, unit) = first
        .split_once(char::is_whitespace)
        .unwrap_or((&first, ""));
    let behind = number.split_once('.').map_or(0, |(_, behind)| behind.len());
    let more = if behind == 3 { "0" } else { "" };
    let again = format!("{}{more} {unit}", number.replace('.', ","));
    let said = offer(&page, zero, &again).await?;
    assert!(said.contains("before"), "{again}: {said}");
    assert!(
        page.text(&format!("#{zero} [data-role=tries]"))
            .await?
            .contains("4 of 5")
    );
    let said = answer(&page, zero, &key.number("first-zero", 1.0)).await?;
    assert!(said.contains("agrees"), "{said}");
    stands(&page, "2 of 6 done · 4 of 9 points").await?;

    // Hints to the end.
    let lobe = "slits-side-lobe";
    for hint in 1..=3 {
        press(&page, &format!("#{lobe} [data-role=next-hint]")).await?;
        page.until(&format!("document.activeElement.dataset.hint === '{hint}'"))
            .await?;
    }
    press(&page, &format!("#{lobe} [data-role=next-hint]")).await?;
    press(&page, &format!("#{lobe} [data-role=solution-no]")).await?;
    press(&page, &format!("#{lobe} [data-role=next-hint]")).await?;
    press(&page, &format!("#{lobe} [data-role=solution-yes]")).await?;
    let said = page.verdict(lobe).await?;
    assert!(said.contains("The computed value is"), "{said}");
    stands(&page, "3 of 6 done · 4 of 9 points").await?;

    // A reload in the middle needs the page again, and loses nothing.
    let plugged =
        json!({ "offline": false, "latency": 0, "downloadThroughput": -1, "uploadThroughput": -1 });
    page.browser("Network.emulateNetworkConditions", plugged)
        .await?;
    page.again().await?;
    stands(&page, "3 of 6 done · 4 of 9 points").await?;
    assert!(page.verdict(zero).await?.contains("agrees"));
    assert!(page.verdict("slits-pattern").await?.contains("certain"));

    let (at, unit) = key.place("first-minimum");
    page.slide(
        Means::Drag,
        "#slits-first-minimum [data-role=mark]",
        at,
        unit,
    )
    .await?;
    page.commit_as(Means::Drag, "slits-first-minimum", "guess")
        .await?;
    answer(&page, "slits-period", &key.number("period", 0.6)).await?;
    answer(&page, "slits-period", &key.number("period", 0.7)).await?;
    answer(&page, "slits-period", &key.number("period", 1.0)).await?;
    page.choose(Means::Drag, "slits-two-areas", "options", "half")
        .await?;
    page.commit_as(Means::Drag, "slits-two-areas", "certain")
        .await?;
    stands(&page, "6 of 6 done · 5.5 of 9 points").await?;

    press(&page, "[data-role=save-receipt]").await?;
    let receipt = saved(&folder, "receipt-slits-ab-17.json").await?;
    let (receipt, seal) = Receipt::read(&receipt)?;
    assert_eq!(seal, Seal::Whole);
    let marked = mark(&Paper::new(&key.assignment), &key.variant, &receipt.entries)?;
    assert!((marked.points() - 5.5).abs() < 1e-12, "{marked:?}");
    let line = graded("slits", &folder, "ab-17")?;
    assert!(line.contains("5.5"), "{line}");
    assert!(page.complaints().await?.is_empty());
    std::fs::remove_dir_all(&folder)?;
    Ok(())
}

/// Somebody else sits down, and the first comes back with the receipt: nothing is lost without a word.
pub(crate) async fn receipts_go_on_elsewhere(page: Page) -> Checked {
    page.window(LAPTOP).await?;
    page.still().await?;
    let folder = downloads::folder(&page, "receipts-elsewhere").await?;
    begin(&page, "slits", "ab-17").await?;
    let key = Key::new("slits", "ab-17");
    answer(&page, "slits-first-zero", &key.number("first-zero", 2.0)).await?;
    answer(&page, "slits-period", &key.number("period", 1.0)).await?;
    press(&page, "[data-role=save-receipt]").await?;
    let receipt = saved(&folder, "receipt-slits-ab-17.json").await?;
    press(&page, "[data-role=somebody-else]").await?;
    page.assert_accessible("leaving asked about").await?;
    press(&page, "[data-role=leave-no]").await?;
    stands(&page, "1 of 6 done").await?;
    press(&page, "[data-role=somebody-else]").await?;
    press(&page, "[data-role=leave-yes]").await?;
    page.until("document.activeElement.dataset.role === 'who-name'")
        .await?;
    assert!(
        page.stored()
            .await?
            .keys()
            .all(|key| !key.contains("homework")),
        "nothing of the first student is left"
    );
    let broken = receipt.replace("\"period\"", "\"side-lobe\"");
    take_up(&page, &folder, &broken).await?;
    page.until("document.querySelector('[data-role=who-said]').textContent.includes('it was changed since it was saved')")
        .await?;
    take_up(&page, &folder, &receipt).await?;
    page.until("document.querySelector('main').hasAttribute('data-filled')")
        .await?;
    stands(&page, "1 of 6 done · 1 of 9 points").await?;
    assert!(
        page.verdict("slits-first-zero")
            .await?
            .contains("Try 1 of 5")
    );
    std::fs::remove_dir_all(&folder)?;
    Ok(())
}

/// *Loops* by keyboard alone on a laptop: the focus always goes somewhere, and the marks are those of the page.
pub(crate) async fn loops_are_done_by_keyboard_alone(page: Page) -> Checked {
    page.window(LAPTOP).await?;
    page.still().await?;
    let folder = downloads::folder(&page, "receipts-loops").await?;
    page.open_live("homework/loops.html").await?;
    page.tab_to("[data-role=who-name]").await?;
    page.write("k9").await?;
    page.press(&[key::ENTER]).await?;
    page.until("document.querySelector('main').hasAttribute('data-filled')")
        .await?;
    page.until("document.activeElement.dataset.role === 'mine'")
        .await?;
    let answers = Key::new("loops", "k9");
    let keys = Means::Keys;
    // Nothing at zero flux, nearly the lowest at half a quantum, from there a jump to the highest.
    page.tab_to("#loops-circulating .pad").await?;
    let mut strokes = vec![key::LEFT; 16];
    strokes.extend([key::UP, key::DOWN]);
    for (columns, first) in [(8, 2), (16, 4)] {
        strokes.extend(vec![key::RIGHT; columns]);
        strokes.extend(vec![key::PAGE_DOWN; first]);
        strokes.push('j');
        strokes.extend([key::PAGE_UP; 4]);
    }
    strokes.extend([key::RIGHT; 8]);
    strokes.extend([key::PAGE_DOWN; 2]);
    page.press(&strokes).await?;
    page.commit_as(keys, "loops-circulating", "guess").await?;
    page.choose(keys, "loops-after-the-jump", "options", "turns")
        .await?;
    page.commit_as(keys, "loops-after-the-jump", "fairly-sure")
        .await?;
    page.choose(keys, "loops-gives-way", "options", "right")
        .await?;
    page.commit_as(keys, "loops-gives-way", "guess").await?;
    for task in ["largest", "holds-out", "inductance-for-beta"] {
        let block = format!("loops-{task}");
        let said = page
            .answer(keys, &block, &answers.number(task, 1.0))
            .await?;
        assert!(said.contains("agrees"), "{task}: {said}");
        assert!(
            page.has_focus(&format!("#{block} [data-role=verdict]"))
                .await?,
            "{task}: the keyboard rests on what is said"
        );
    }
    stands(&page, "6 of 6 done · 8 of 8 points so far").await?;
    page.press_button(keys, "[data-role=save-receipt]").await?;
    let receipt = saved(&folder, "receipt-loops-k9.json").await?;
    let shown = page
        .value("document.querySelector('main').dataset.points")
        .await?;
    let (receipt, _) = Receipt::read(&receipt)?;
    let own = assignment("loops");
    let marked = mark(&Paper::new(&own), &answers.variant, &receipt.entries)?;
    assert_eq!(
        shown.as_str(),
        Some(format!("{}", marked.points()).as_str())
    );
    std::fs::remove_dir_all(&folder)?;
    Ok(())
}

/// Every state on the narrowest screen and on a telephone: nothing sticks out, and the rules of accessibility hold.
pub(crate) async fn assignments_are_accessible_and_fit(page: Page) -> Checked {
    page.still().await?;
    for window in [NARROWEST, TELEPHONE] {
        page.window(window).await?;
        page.visit("").await?;
        page.client.execute("localStorage.clear();", vec![]).await?;
        page.open_live("homework/slits.html").await?;
        fits(&page, "before the identifier").await?;
        page.assert_accessible("before the identifier").await?;
        begin(&page, "slits", "ab12").await?;
        fits(&page, "with numbers").await?;
        page.assert_accessible("with numbers").await?;
        let key = Key::new("slits", "ab12");
        offer(&page, "slits-first-zero", "one").await?;
        page.assert_accessible("unreadable").await?;
        answer(&page, "slits-first-zero", &key.number("first-zero", 2.0)).await?;
        answer(&page, "slits-period", &key.number("period", 1.0)).await?;
        page.choose(Means::Taps, "slits-two-areas", "options", "half")
            .await?;
        page.commit_as(Means::Taps, "slits-two-areas", "certain")
            .await?;
        press(&page, "#slits-side-lobe [data-role=next-hint]").await?;
        press(&page, "[data-role=somebody-else]").await?;
        fits(&page, "all kinds of answers").await?;
        page.assert_accessible("all kinds of answers").await?;
        press(&page, "[data-role=leave-no]").await?;
    }
    Ok(())
}

async fn fits(page: &Page, state: &str) -> Checked {
    let wide = page
        .value("[document.documentElement.scrollWidth, innerWidth]")
        .await?;
    let (width, window) = (wide[0].as_f64(), wide[1].as_f64());
    assert!(width <= window, "{state}: {wide}");
    Ok(())
}

/// Two tabs work on one receipt; a newer version of the assignment keeps the older work.
pub(crate) async fn assignments_are_kept_well(page: Page) -> Checked {
    page.window(LAPTOP).await?;
    page.still().await?;
    begin(&page, "slits", "ab12").await?;
    let key = Key::new("slits", "ab12");
    answer(&page, "slits-period", &key.number("period", 1.0)).await?;
    // Another tab went on.
    let own = page.client.window().await?;
    let other = page.client.new_window(true).await?;
    page.client.switch_to_window(other.handle.clone()).await?;
    page.open_live("homework/slits.html").await?;
    stands(&page, "1 of 6 done").await?;
    answer(&page, "slits-first-zero", &key.number("first-zero", 1.0)).await?;
    page.client.close_window().await?;
    page.client.switch_to_window(own).await?;
    stands(&page, "2 of 6 done · 2 of 9").await?;
    // Work on an older version is told of and can be saved; the new one begins by itself.
    let kept = page.stored().await?["coldfringe.homework.slits.1"].clone();
    page.client.execute("localStorage.clear();", vec![]).await?;
    page.store("coldfringe.homework.slits.0", &kept).await?;
    page.again().await?;
    let news = page.text("[data-role=news]").await?;
    assert!(news.contains("worked on version 0"), "{news}");
    let folder = downloads::folder(&page, "receipts-older").await?;
    press(&page, "[data-role=news] button").await?;
    assert_eq!(saved(&folder, "receipt-slits-version-0.json").await?, kept);
    // What cannot be read is put aside, not overwritten.
    page.store("coldfringe.homework.slits.1", "{\"broken\": 1")
        .await?;
    page.again().await?;
    assert!(page.text("#trouble").await?.contains("put aside"));
    assert!(page.stored().await?["coldfringe.put-aside"].contains("broken"));
    std::fs::remove_dir_all(&folder)?;
    Ok(())
}

/// A number that was typed and not yet checked is still there after a reload, and cost no try.
pub(crate) async fn a_typed_number_is_not_lost(page: Page) -> Checked {
    page.window(LAPTOP).await?;
    page.still().await?;
    begin(&page, "slits", "ab12").await?;
    let key = Key::new("slits", "ab12");
    let (zero, period) = ("slits-first-zero", "slits-period");
    let number = |block: &str| format!("#{block} [data-role=number]");
    answer(&page, zero, &key.number("first-zero", 2.0)).await?;
    page.retype(&number(zero), "1234 um2").await?;
    page.retype(&number(period), "2,5 uT").await?;
    let echo = page.text(&format!("#{zero} [data-role=echo]")).await?;
    assert_eq!(echo, "read as 1234 µm²");
    page.again().await?;
    stands(&page, "0 of 6 done").await?;
    for (block, typed, read, tries) in [
        (zero, "1234 um2", "read as 1234 µm²", "4 of 5 tries left"),
        (period, "2,5 uT", "read as 2.5 µT", "5 tries"),
    ] {
        let value = page
            .value(&format!(
                "document.querySelector('{}').value",
                number(block)
            ))
            .await?;
        assert_eq!(value, json!(typed), "{block}");
        let place = |role| format!("#{block} [data-role={role}]");
        assert_eq!(page.text(&place("echo")).await?, read, "{block}");
        assert_eq!(page.text(&place("tries")).await?, tries, "{block}");
    }
    let said = page.verdict(zero).await?;
    assert!(said.contains("Try 1 of 5"), "{said}");
    // What was checked stands in the box again once nothing else is typed.
    page.retype(&number(zero), "").await?;
    page.again().await?;
    stands(&page, "0 of 6 done").await?;
    let value = page
        .value(&format!("document.querySelector('{}').value", number(zero)))
        .await?;
    assert_eq!(value, json!(key.number("first-zero", 2.0)));
    Ok(())
}
