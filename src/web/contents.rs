//! The contents page: how far each lesson has come, and where to go on.

use std::rc::Rc;

use web_sys::{Element, HtmlElement};

use super::desk::{self, Hands};
use super::dom;
use super::store::Store;
use super::trouble::{Outcome, Trouble};
use crate::page::islands;
use crate::session::{LessonRecord, Progress, Record, Stage};

/// Makes the page live.
pub(crate) fn start(store: Rc<Store>, main: Element) -> Outcome {
    let record = store.load();
    show(&main, &record)?;
    let (kept, keeper, page) = (Rc::clone(&store), Rc::clone(&store), main.clone());
    desk::show(
        &main,
        store,
        Hands {
            record: Box::new(move || kept.load()),
            take_in: Box::new(move |record| {
                let mut all = keeper.load();
                all.merge(&record);
                keeper.save(&all);
                show(&page, &all)
            }),
            again: Box::new(|| {}),
        },
    )
}

/// Writes beside each lesson what was done in it.
fn show(main: &Element, record: &Record) -> Outcome {
    let none = LessonRecord::default();
    let mut next: Option<(Progress, HtmlElement)> = None;
    let mut is_fresh = true;
    for entry in dom::find_all(main, &format!("[{}]", islands::LESSON_LINK)) {
        let number = |element: &Element, name: &str| {
            let count = element.get_attribute(name);
            count.and_then(|count| count.parse().ok()).unwrap_or(0)
        };
        let slug = entry
            .get_attribute(islands::LESSON_LINK)
            .unwrap_or_default();
        let links = dom::find_all(&entry, &format!("[{}]", islands::STEP_LINK));
        let steps: Vec<(String, usize)> = links
            .iter()
            .map(|link| {
                let anchor = link.get_attribute(islands::STEP_LINK).unwrap_or_default();
                (anchor, number(link, islands::NEEDS))
            })
            .collect();
        let predictions = number(&entry, islands::PREDICTIONS);
        let progress = record
            .lessons
            .get(&slug)
            .unwrap_or(&none)
            .progress(&steps, predictions);
        let link = show_one(&entry, &links, predictions, &progress)?;
        if progress.stage != Stage::NotBegun {
            is_fresh = false;
        }
        // The lesson last worked at that is not done; if there is none, the first not begun.
        let is_better = match (&next, progress.stage) {
            (_, Stage::Done) => false,
            (None, _) => true,
            (Some((best, _)), _) => progress.stage == Stage::Begun && progress.at > best.at,
        };
        if is_better {
            next = Some((progress, link));
        }
    }
    show_next(main, next, is_fresh)?;
    let words = record.calibration_words();
    let place = dom::role(main, "calibration")?;
    dom::show(&place, words.is_some());
    place.set_text_content(words.as_deref());
    Ok(())
}

/// Writes how far one lesson has come; gives the link where the reader goes on.
fn show_one(
    entry: &Element,
    links: &[HtmlElement],
    predictions: usize,
    progress: &Progress,
) -> Outcome<HtmlElement> {
    let committed = progress.committed;
    let mut words = match progress.stage {
        Stage::NotBegun if progress.is_again => "Begun again.".to_owned(),
        Stage::NotBegun => "Not begun.".to_owned(),
        Stage::Done => "Done: all predictions committed.".to_owned(),
        Stage::Begun if committed >= predictions => "All predictions committed.".to_owned(),
        Stage::Begun => format!("{committed} of {predictions} predictions committed."),
    };
    if progress.is_again && progress.stage != Stage::NotBegun {
        words.push_str(" Not for the first time.");
    }
    dom::role(entry, "standing")?.set_text_content(Some(&words));
    let mut go_on = None;
    for (index, link) in links.iter().enumerate() {
        let is_here = progress.stage == Stage::Begun && progress.step == Some(index);
        dom::show(link, is_here);
        if is_here {
            go_on = Some(link.clone());
        }
    }
    for (index, hole) in dom::find_all(entry, ".tape i").iter().enumerate() {
        hole.set_class_name(if index < progress.reached {
            "reached"
        } else {
            ""
        });
    }
    let place = dom::role(entry, "progress")?;
    dom::show(&place, true);
    match go_on {
        Some(link) => Ok(link),
        None => dom::find(entry, "a").ok_or_else(|| Trouble::missing("a link to a lesson")),
    }
}

/// Writes at the top where to go on.
fn show_next(main: &Element, next: Option<(Progress, HtmlElement)>, is_fresh: bool) -> Outcome {
    let Some(link) = dom::find(main, "[data-role=\"go-on\"] a") else {
        return Ok(());
    };
    let Some((progress, to)) = next else {
        dom::role(main, "go-on-words")?.set_text_content(Some(
            "You have been through every lesson. Begin one again where you were sure and it came differently:",
        ));
        return Ok(());
    };
    let words = match progress.stage {
        Stage::Begun => "Go on where you left:",
        _ if is_fresh => "Begin with:",
        _ => "Next:",
    };
    dom::role(main, "go-on-words")?.set_text_content(Some(words));
    link.set_attribute("href", &to.get_attribute("href").unwrap_or_default())?;
    // The lesson's title, and the step if the way leads to one.
    let title = to
        .closest("li")?
        .and_then(|entry| dom::find(&entry, "a")?.text_content())
        .unwrap_or_default();
    let step = to.text_content().unwrap_or_default();
    let step = step.strip_prefix("Go on at ").unwrap_or("");
    link.set_text_content(Some(&if step.is_empty() {
        title
    } else {
        format!("{title}, {step}")
    }));
    Ok(())
}
