//! Packages in a course system: a page that plays the system holds a run-time written by others (`scorm-again`, fetched by
//! `cargo verify`), and the package's page stands in a frame of it.

mod system;

use super::gestures::key;
use super::homework::{Key, answer};
use super::page::{Checked, LAPTOP, Page};
use super::reader::Means;
use super::slow::{BENCH, CURVE, ENDS, NUMBER, PLACE, QUESTION, arches, commit, reading, swing};
use serde_json::{Value, json};

pub(crate) use system::folder;
use system::{calls, enter, launch, leave, told};

/// From the first answer to the last, in two sittings.
async fn walk(page: &Page, version: &str) -> Checked {
    page.window(LAPTOP).await?;
    page.still().await?;
    page.client.goto(&system::address().await?).await?;
    launch(page, version, &Value::Null).await?;
    let tasks = page
        .count("[data-island=predict], [data-island=observe], [data-island=question]")
        .await?;
    let share = |done: usize| format!("{:.0}", 100.0 * done as f64 / tasks as f64);
    let raw = if version == "2004" {
        "cmi.score.raw"
    } else {
        "cmi.core.score.raw"
    };
    assert_eq!(told(page, raw).await?, "0");
    let words = page.text("#course-system").await?;
    assert!(
        words.contains("so far 0 %") && words.contains("Nothing else is sent"),
        "{words}"
    );
    assert_eq!(
        page.count("nav[aria-label=Course]").await?,
        0,
        "no way out of the package"
    );
    page.picture(&format!("course-system-{version}")).await?;

    page.press_button(Means::Drag, &format!("#{NUMBER} [data-role=number]"))
        .await?;
    page.write("12 uV").await?;
    commit(page, Means::Drag, NUMBER).await?;
    let said = page.verdict(NUMBER).await?;
    page.until(&format!(
        "top.calls.some(([name, given]) => name === 'SetValue' && given[0] === '{raw}' && given[1] === '{}')",
        share(1)
    ))
    .await?;
    page.until("top.calls.at(-1)[0] === 'Commit'").await?;
    assert!(
        page.text("#course-system")
            .await?
            .contains(&format!("so far {} %", share(1)))
    );
    page.assert_accessible("a lesson in a course system")
        .await?;
    let kept = leave(page, version).await?;
    assert_eq!(kept["status"], json!("incomplete"));

    // The second sitting, on a machine that knows nothing.
    page.value("sessionStorage.clear(), localStorage.length")
        .await?;
    launch(page, version, &kept).await?;
    assert_eq!(
        page.verdict(NUMBER).await?,
        said,
        "what was done is there again"
    );
    page.sketch(Means::Drag, CURVE, &arches(), ENDS).await?;
    commit(page, Means::Drag, CURVE).await?;
    page.verdict(CURVE).await?;
    page.slide(
        Means::Drag,
        &format!("#{PLACE} [data-role=mark]"),
        0.25,
        0.01,
    )
    .await?;
    commit(page, Means::Drag, PLACE).await?;
    page.verdict(PLACE).await?;
    assert_eq!(
        reading(page).await?,
        swing("11 uA"),
        "a worker computes in the package"
    );
    page.type_at_bench(BENCH, 0, "10").await?;
    page.press_button(Means::Drag, &format!("#{QUESTION} [data-role=number]"))
        .await?;
    page.write(&swing("11 uA")).await?;
    page.press(&[key::ENTER]).await?;
    page.verdict(QUESTION).await?;
    let kept = leave(page, version).await?;
    assert_eq!(
        kept["status"],
        json!(if tasks == 4 {
            "completed"
        } else {
            "incomplete"
        }),
        "{kept}"
    );
    assert_eq!(kept["raw"], json!(share(4)));
    assert_eq!(
        page.value("localStorage.length").await?,
        json!(0),
        "nothing is left in the browser"
    );
    Ok(())
}

/// SCORM 1.2.
pub(crate) async fn takes_packages_of_1_2(page: Page) -> Checked {
    walk(&page, "1.2").await
}

/// SCORM 2004.
pub(crate) async fn takes_packages_of_2004(page: Page) -> Checked {
    walk(&page, "2004").await
}

/// An assignment: its points are told, and a second sitting finds student, numbers and answers again.
pub(crate) async fn takes_an_assignment(page: Page) -> Checked {
    page.window(LAPTOP).await?;
    page.still().await?;
    page.client.goto(&system::address().await?).await?;
    page.value("launch('1.2', null, false, 'package-homework'), true")
        .await?;
    enter(&page).await?;
    let said = page.text("main").await?;
    assert!(
        said.contains("how many points this assignment has"),
        "{said}"
    );
    assert!(
        !said.contains("nothing is sent anywhere"),
        "that would be wrong here"
    );
    page.click("[data-role=who-name]").await?;
    page.write("AB-17").await?;
    page.press(&[key::ENTER]).await?;
    page.until("document.querySelector('main').hasAttribute('data-filled')")
        .await?;
    let right = Key::new("slits", "ab-17").number("first-zero", 1.0);
    let verdict = answer(&page, "slits-first-zero", &right).await?;
    page.until("Number(document.querySelector('main').dataset.points) > 0")
        .await?;
    let share = page
        .value("(of => String(Math.round(100 * of.points / of.pointsOf)))(document.querySelector('main').dataset)")
        .await?;
    page.until(&format!(
        "top.calls.some(([name, given]) => name === 'SetValue' && given[0] === 'cmi.core.score.raw' && given[1] === {share})"
    ))
    .await?;
    page.picture("course-system-homework").await?;
    let kept = leave(&page, "1.2").await?;
    assert_eq!(kept["raw"], share);
    assert_eq!(kept["status"], json!("incomplete"));
    page.value("sessionStorage.clear(), true").await?;
    page.client
        .execute(
            "launch('1.2', arguments[0], false, 'package-homework');",
            vec![kept],
        )
        .await?;
    enter(&page).await?;
    page.until("document.querySelector('main').hasAttribute('data-filled')")
        .await?;
    assert_eq!(page.verdict("slits-first-zero").await?, verdict);
    leave(&page, "1.2").await?;
    Ok(())
}

/// Work that is larger than the system's room, a state that cannot be read, and a system that does not answer: all are told
/// of in words, and the main part of the work is kept.
pub(crate) async fn has_its_limits_told(page: Page) -> Checked {
    page.window(LAPTOP).await?;
    page.still().await?;
    page.client.goto(&system::address().await?).await?;
    launch(
        &page,
        "1.2",
        &json!({ "state": "of another program", "raw": "50", "status": "completed" }),
    )
    .await?;
    assert!(
        page.text("#course-system")
            .await?
            .contains("could not be read")
    );
    assert!(
        !calls(&page)
            .await?
            .iter()
            .any(|(call, given, _)| call == "SetValue" && given[0] == "cmi.suspend_data"),
        "what cannot be read is left as it is while nothing was done"
    );
    page.press_button(Means::Drag, &format!("#{NUMBER} [data-role=number]"))
        .await?;
    page.write("12 uV").await?;
    commit(&page, Means::Drag, NUMBER).await?;
    let said = page.verdict(NUMBER).await?;
    // Text that no packing makes smaller.
    page.value(
        "localStorage.setItem('coldfringe.large', Array.from(crypto.getRandomValues(new Uint8Array(9000)), byte => byte.toString(16)).join(''))",
    )
    .await?;
    page.sketch(Means::Drag, CURVE, &arches(), ENDS).await?;
    commit(&page, Means::Drag, CURVE).await?;
    page.until("document.getElementById('course-system').textContent.includes('larger than the course system takes')")
        .await?;
    let kept = leave(&page, "1.2").await?;
    assert_eq!(
        kept["status"],
        json!("completed"),
        "a status is never taken back"
    );
    assert_eq!(kept["raw"], json!("50"), "nor is a score");
    launch(&page, "1.2", &kept).await?;
    assert_eq!(page.verdict(NUMBER).await?, said);
    leave(&page, "1.2").await?;

    page.value("launch('1.2', null, true), true").await?;
    enter(&page).await?;
    assert!(
        page.text("#course-system")
            .await?
            .contains("does not answer")
    );
    Ok(())
}

/// The same page without a course system is a page as any other.
pub(crate) async fn is_not_needed(page: Page) -> Checked {
    page.window(LAPTOP).await?;
    let system = system::address().await?;
    page.client
        .goto(&format!("{system}package-1.2/index.html"))
        .await?;
    page.live().await?;
    assert_eq!(page.count("#course-system").await?, 0);
    page.press_button(Means::Drag, &format!("#{NUMBER} [data-role=number]"))
        .await?;
    page.write("12 uV").await?;
    commit(&page, Means::Drag, NUMBER).await?;
    let said = page.verdict(NUMBER).await?;
    page.again().await?;
    assert_eq!(page.verdict(NUMBER).await?, said);
    assert!(page.stored().await?.contains_key("coldfringe.record"));
    Ok(())
}
