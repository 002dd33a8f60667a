//! Assignments as a student works through them, from the identifier to the receipt; and what the command makes of it.

use std::path::Path;

use coldfringe::homework::Identifier;
use coldfringe::homework::marking::{Paper, mark};
use coldfringe::homework::receipt::Seal;
use coldfringe::homework::{Assignment, Expected, Receipt, Variant, demo};
use serde_json::json;

use super::command;
use super::downloads;
use super::drawing::{Columns, Ends};
use super::gestures::key;
use super::page::{Checked, LAPTOP, NARROWEST, Page, TELEPHONE};
use super::reader::{Means, Or};
use crate::course;

fn assignment(name: &str) -> Assignment {
    course::assignment(name).assignment.clone()
}

/// A student's right answers, computed here.
pub(super) struct Key {
    assignment: Assignment,
    variant: Variant,
}

impl Key {
    pub(super) fn new(name: &str, student: &str) -> Self {
        let assignment = assignment(name);
        let student = Identifier::new(student).expect("an identifier");
        Self {
            variant: Variant::of(&assignment, &student),
            assignment,
        }
    }

    /// The right number, times something, as somebody types it.
    pub(super) fn number(&self, task: &str, by: f64) -> String {
        let (_, task) = self.assignment.task(task).expect("a question");
        let block = self.assignment.block(task, &self.variant).expect("a block");
        match Expected::new(&self.assignment.slug, &block).expect("an answer") {
            Expected::Number(expected) => expected.written(expected.value() * by, 4),
            other => panic!("{other:?}"),
        }
    }
}

impl Key {
    /// Where a marker belongs, and how near it must come for certain.
    fn place(&self, task: &str) -> (f64, f64) {
        let (_, task) = self.assignment.task(task).expect("a question");
        let block = self.assignment.block(task, &self.variant).expect("a block");
        match Expected::new(&self.assignment.slug, &block).expect("an answer") {
            Expected::Place(place) => (place.answer(), 0.02 * place.answer()),
            other => panic!("{other:?}"),
        }
    }
}

/// Presses a button in the middle of the window, clear of the foot of the page.
async fn press(page: &Page, selector: &str) -> Checked {
    page.press_button(Means::Drag, selector).await
}

/// Opens an assignment and says who one is.
async fn begin(page: &Page, name: &str, typed: &str) -> Checked {
    page.open_live(&format!("homework/{name}.html")).await?;
    press(page, "[data-role=who-name]").await?;
    page.write(typed).await?;
    press(page, "[data-role=who-form] [type=submit]").await?;
    page.until("document.querySelector('main').hasAttribute('data-filled')")
        .await
}

/// Waits until the foot of the page says so.
async fn stands(page: &Page, words: &str) -> Checked {
    page.until(&format!(
        "document.querySelector('[data-role=sum]').textContent.includes({})",
        json!(words)
    ))
    .await
}

async fn problem(page: &Page, block: &str) -> Or<String> {
    let place = format!("#{block} [data-role=problem]");
    page.until(&format!(
        "document.querySelector('{place}').textContent !== ''"
    ))
    .await?;
    page.text(&place).await
}

/// Types a number that cannot count.
async fn offer(page: &Page, block: &str, text: &str) -> Or<String> {
    page.retype(&format!("#{block} [data-role=number]"), text)
        .await?;
    press(page, &format!("#{block} [data-role=check]")).await?;
    problem(page, block).await
}

/// Types a number that counts.
pub(super) async fn answer(page: &Page, block: &str, text: &str) -> Or<String> {
    page.value(&format!(
        "document.querySelector('#{block} [data-role=live]').textContent = ''"
    ))
    .await?;
    page.retype(&format!("#{block} [data-role=number]"), text)
        .await?;
    press(page, &format!("#{block} [data-role=check]")).await?;
    page.until(&format!(
        "document.querySelector('#{block} [data-role=live]').textContent !== ''"
    ))
    .await?;
    page.verdict(block).await
}

/// A receipt that was saved.
async fn saved(folder: &Path, name: &str) -> Or<String> {
    let bytes = downloads::file(folder, name, |bytes| bytes.ends_with(b"}\n")).await?;
    Ok(String::from_utf8(bytes)?)
}

/// Hands a file to the page; gives what is said if it is refused.
async fn take_up(page: &Page, folder: &Path, text: &str) -> Checked {
    let path = folder.join("handed.json");
    std::fs::write(&path, text)?;
    page.element("[data-role=receipt-file]")
        .await?
        .send_keys(&path.display().to_string())
        .await?;
    Ok(())
}

/// Marks a folder of receipts with the command; gives the line of a student.
fn graded(name: &str, folder: &Path, student: &str) -> Or<String> {
    let out = folder.join("marks.csv");
    let receipt = folder.join(format!("receipt-{name}-{student}.json"));
    command::run([
        "grade".as_ref(),
        "--assignment".as_ref(),
        course::assignment_path(name).as_os_str(),
        receipt.as_os_str(),
        "--out".as_ref(),
        out.as_os_str(),
    ])?;
    let text = std::fs::read_to_string(out)?;
    let line = text.lines().find(|line| line.contains(student));
    Ok(line.ok_or(text.clone())?.to_owned())
}

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

/// What the browser makes of every receipt of an invented class is what the command makes of it.
async fn marked_alike(page: Page, name: &str) -> Checked {
    page.window(LAPTOP).await?;
    page.still().await?;
    let own = assignment(name);
    let paper = Paper::new(&own);
    let at = format!("coldfringe.homework.{}.{}", own.slug, own.version);
    page.open_live(&format!("homework/{}.html", own.slug))
        .await?;
    let mut looked_at = 0;
    for (file, text) in demo::class(&own, 12)? {
        let Ok((receipt, Seal::Whole)) = Receipt::read(&text) else {
            continue;
        };
        let Ok(student) = Identifier::new(&receipt.student) else {
            continue;
        };
        if receipt.version != own.version || receipt.assignment != own.slug {
            continue;
        }
        page.store(&at, &text).await?;
        page.again().await?;
        page.until("document.querySelector('main').dataset.judged === 'yes'")
            .await?;
        let shown = page
            .value("document.querySelector('main').dataset.points")
            .await?;
        let marked = mark(&paper, &Variant::of(&own, &student), &receipt.entries)?;
        let points = shown.as_str().unwrap_or_default().parse::<f64>()?;
        assert!(
            (points - marked.points()).abs() < 5e-4,
            "{file}: {points} in the page, {} by the command",
            marked.points()
        );
        looked_at += 1;
    }
    assert!(looked_at >= 8, "{name}: {looked_at}");
    page.client.execute("localStorage.clear();", vec![]).await?;
    Ok(())
}

/// *Slits*, judged in the page and by the command.
pub(crate) async fn browser_and_command_mark_slits_alike(page: Page) -> Checked {
    marked_alike(page, "slits").await
}

/// *Loops*, likewise.
pub(crate) async fn browser_and_command_mark_loops_alike(page: Page) -> Checked {
    marked_alike(page, "loops").await
}

/// *Sensor design*, likewise.
pub(crate) async fn browser_and_command_mark_sensor_design_alike(page: Page) -> Checked {
    marked_alike(page, "sensor-design").await
}

/// *Reading data*, likewise.
pub(crate) async fn browser_and_command_mark_reading_data_alike(page: Page) -> Checked {
    marked_alike(page, "reading-data").await
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
