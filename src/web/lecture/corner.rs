//! The quiet words in the corner, and the same in the notes: where the lecture stands, hands
//! counted, clock, advice.

use super::Hall;
use crate::web::dom;

/// Shows the words and boxes as they now stand.
pub(super) fn show(hall: &Hall) {
    let lecture = hall.lecture.borrow();
    let say = |role, words: &str| dom::say(&hall.main, role, words);
    say(
        "position",
        &format!("{} / {}", lecture.position() + 1, lecture.stages().len()),
    );
    say("notice", lecture.notice().unwrap_or_default());
    let options = lecture.open_options();
    let counts = lecture.counts();
    let all: u32 = counts.iter().sum();
    // The hall sees how many voted, never for what.
    let tally = match (options, all) {
        (0, _) | (_, 0) => String::new(),
        (_, 1) => "1 hand".to_owned(),
        (_, all) => format!("{all} hands"),
    };
    let sketches = lecture
        .screen()
        .and_then(|screen| lecture.record().sketches.get(&screen.block))
        .map_or(0, Vec::len);
    let tally = match sketches {
        0 => tally,
        1 => "1 sketch put aside".to_owned(),
        more => format!("{more} sketches put aside"),
    };
    say("tally", &tally);
    let is_counted = options > 0 && (hall.is_notes || lecture.is_on("counts"));
    if let Ok(boxes) = dom::role(&hall.main, "counts") {
        dom::show(&boxes, is_counted);
    }
    for (index, input) in dom::find_all(&hall.main, "[data-count]").iter().enumerate() {
        let count = counts.get(index).copied().unwrap_or_default();
        if !dom::has_focus(input) || !is_counted {
            dom::set_value(input, &count.to_string());
        }
        if let Some(label) = input.parent_element() {
            dom::show(&label, index < options);
        }
    }
    let is_advised = options > 0 && (hall.is_notes || lecture.is_on("advice"));
    for button in dom::find_all(&hall.main, "[data-switch]") {
        let what = button.get_attribute("data-switch").unwrap_or_default();
        let is_on = if lecture.is_on(&what) {
            "true"
        } else {
            "false"
        };
        dom::mark(&button, "aria-pressed", Some(is_on));
    }
    drop(lecture);
    let advice = hall.advice().filter(|_| is_advised).unwrap_or_default();
    say("advice", advice);
    show_clock(hall);
}

/// Shows how long the stage has been there.
pub(super) fn show_clock(hall: &Hall) {
    let lecture = hall.lecture.borrow();
    let is_shown = hall.is_notes || lecture.is_on("clock");
    let mut words = String::new();
    if is_shown {
        let seconds = ((dom::now() - lecture.record().since) / 1000.0).clamp(0.0, 35_999.0) as u32;
        let minutes = lecture.stage().map_or("", |stage| stage.phase.minutes());
        words = format!("{}:{:02}", seconds / 60, seconds % 60);
        if !minutes.is_empty() {
            words.push_str(" of ");
            words.push_str(minutes);
        }
    }
    drop(lecture);
    dom::say(&hall.main, "clock", &words);
}
