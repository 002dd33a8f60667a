//! The screen that the hall sees.

use std::rc::Rc;

use web_sys::{Element, HtmlElement};

use super::{Hall, keys};
use crate::decimal::fixed;
use crate::lesson::plan::{Phase, Screen, ScreenKind};
use crate::page::islands;
use crate::session::lecture::FEWEST_SHOWN;
use crate::web::canvas::LOOK;
use crate::web::dom;
use crate::web::trouble::{Outcome, Trouble};

/// Shows the stage as it now stands.
pub(super) fn show(hall: &Rc<Hall>) -> Outcome {
    let Some((stage, screen)) = hall.stage() else {
        return Ok(());
    };
    let (look, blank, is_revealed) = {
        let lecture = hall.lecture.borrow();
        let look = if lecture.is_on("dark") {
            "dark"
        } else {
            "bright"
        };
        (
            look,
            lecture.record().blank.clone(),
            lecture.is_revealed(&screen.block),
        )
    };
    let root = dom::document()?
        .document_element()
        .ok_or_else(|| Trouble::missing("a root element"))?;
    dom::mark(&root, LOOK, Some(look));
    let cover = dom::role(&hall.main, "blank")?;
    dom::show(&cover, blank.is_some());
    dom::mark(&cover, "data-with", blank.as_deref());

    let now = format!("{} {look} {is_revealed}", stage.name);
    let is_new = hall.shown.replace(now.clone()) != now;
    let place = turn_to(hall, &screen)?;
    dom::mark(&place, "data-phase", Some(stage.phase.name()));
    dom::mark(&place, "data-revealed", is_revealed.then_some(""));
    bars(hall, &place, &screen, is_revealed);
    let Some(app) = hall.app.borrow().upgrade() else {
        return Ok(());
    };
    if is_new {
        // Builds what stands on a screen that is shown for the first time, and lets every drawing
        // look at its size and its inks.
        app.open();
        if let Some(sheet) = hall.sheet() {
            sheet.set_scroll_top(0);
        }
        if !dom::find(&hall.main, ".menu").is_some_and(|menu| dom::has_focus(&menu)) {
            keys::focus(hall);
        }
    }
    if is_revealed && !screen.block.is_empty() {
        match screen.kind {
            ScreenKind::Predict => app.send(crate::session::Message::Unveil {
                block: screen.block.clone(),
                at: dom::now(),
            }),
            ScreenKind::Ask if stage.phase == Phase::Reveal || is_new => {
                app.answer(&screen.block)?;
            }
            ScreenKind::Ask | ScreenKind::Look => {}
        }
    }
    Ok(())
}

/// Shows the screen and hides the others.
fn turn_to(hall: &Hall, screen: &Screen) -> Outcome<HtmlElement> {
    let mut found = None;
    for place in dom::find_all(&hall.main, &format!(".screen[{}]", islands::SCREEN_NAME)) {
        if place.get_attribute(islands::SCREEN_NAME).as_deref() == Some(screen.name.as_str()) {
            dom::mark(&place, "data-now", Some(""));
            dom::mark(&place, islands::OPEN, Some(""));
            found = Some(place);
        } else {
            dom::mark(&place, "data-now", None);
        }
    }
    found.ok_or_else(|| Trouble::missing("a screen of the lecture"))
}

/// The votes as bars, once the answer is there.
fn bars(hall: &Hall, place: &Element, screen: &Screen, is_revealed: bool) {
    let Some(bars) = dom::find(place, "[data-role=bars]") else {
        return;
    };
    let votes = hall
        .lecture
        .borrow()
        .record()
        .votes
        .get(&screen.block)
        .cloned();
    let votes = votes.unwrap_or_default();
    let right = hall.right().filter(|_| is_revealed);
    for (row, place) in (0..).zip(dom::find_all(&bars, "[data-bar]")) {
        place.set_class_name(if right == Some(row) { "right" } else { "" });
    }
    let mut fewest = u32::MAX;
    for (round, counts) in [("before", votes.first), ("after", votes.second)] {
        let all: u32 = counts.iter().sum();
        if all > 0 {
            fewest = fewest.min(all);
        }
        for cell in dom::find_all(&bars, &format!(".{round}")) {
            dom::show(&cell, all > 0);
        }
        for (option, cell) in dom::find_all(&bars, &format!("td.{round}"))
            .iter()
            .enumerate()
        {
            // Before the answer nothing of the counts stands in the page.
            let count = counts.get(option).copied().filter(|_| is_revealed);
            let count = count.unwrap_or_default();
            let share = f64::from(count) / f64::from(all.max(1));
            if let (Some(bar), Some(words)) = (dom::find(cell, ".bar"), dom::find(cell, ".count")) {
                dom::style(&bar, "width", &format!("{}em", fixed(share * 4.0, 2)));
                words.set_text_content(Some(&count.to_string()));
            }
        }
    }
    dom::show(&bars, is_revealed && fewest < u32::MAX);
    for (part, is_for_few) in [(".few", true), ("table", false)] {
        if let Some(part) = dom::find(&bars, part) {
            dom::show(&part, (fewest < FEWEST_SHOWN) == is_for_few);
        }
    }
}
