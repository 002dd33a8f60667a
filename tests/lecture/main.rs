//! The lecture as a state machine: what keys, counts, addresses and stored states do to it.
#![cfg(not(target_arch = "wasm32"))]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test stops at the first surprise"
)]

mod keeping;
mod keys;
mod stages;
mod telling;
mod votes;

use coldfringe::lesson::plan::{Phase, Screen, ScreenKind, stages};
use coldfringe::lesson::spec::Block;
use coldfringe::lesson::text::course::read_course;
use coldfringe::session::lecture::{
    Advice, Effect, GUARD, Lecture, LectureRecord, Message, right_place, shown_order,
};
use coldfringe::session::{Record, StoredAnswer, Walk};
use proptest::prelude::*;

fn screen(name: &str, kind: ScreenKind, options: usize) -> Screen {
    let block = if kind == ScreenKind::Look { "" } else { name };
    Screen {
        name: name.to_owned(),
        kind,
        block: block.to_owned(),
        options,
    }
}

fn screens() -> Vec<Screen> {
    vec![
        screen("title", ScreenKind::Look, 0),
        screen("pattern", ScreenKind::Predict, 0),
        screen("seen", ScreenKind::Ask, 3),
        screen("why", ScreenKind::Look, 0),
        screen("half", ScreenKind::Predict, 4),
        screen("end", ScreenKind::Look, 0),
    ]
}

fn lecture() -> Lecture {
    Lecture::new(screens(), None, "", "one", 0.0)
}

fn name(lecture: &Lecture) -> &str {
    &lecture.stage().unwrap().name
}

/// Goes on, long after the last key.
fn forward(lecture: &mut Lecture, at: &mut f64) -> Vec<Effect> {
    *at += 2.0 * GUARD;
    lecture.update(Message::Forward {
        at: *at,
        is_tracing: false,
        is_more: false,
    })
}

fn go_to(lecture: &mut Lecture, at: &mut f64, wanted: &str) {
    for _ in 0..30 {
        if name(lecture) == wanted {
            return;
        }
        forward(lecture, at);
    }
    panic!("{wanted} is never reached");
}
