//! The lecture as a state machine: what keys, counts, addresses and stored states do to it.
#![cfg(not(target_arch = "wasm32"))]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test stops at the first surprise"
)]

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

#[test]
fn stages_follow_the_walk_of_a_prediction() {
    let names: Vec<String> = stages(&screens())
        .into_iter()
        .map(|stage| stage.name)
        .collect();
    assert_eq!(
        names,
        [
            "title",
            "pattern",
            "pattern.discuss",
            "pattern.reveal",
            "seen",
            "seen.reveal",
            "why",
            "half",
            "half.discuss",
            "half.reveal",
            "end"
        ]
    );
}

#[test]
fn one_press_never_leads_from_a_question_to_its_answer() {
    let mut lecture = lecture();
    let mut at = 0.0;
    go_to(&mut lecture, &mut at, "pattern");
    forward(&mut lecture, &mut at);
    assert_eq!(name(&lecture), "pattern.discuss");
    // A thumb that presses twice spoils nothing.
    let early = Message::Forward {
        at: at + 0.5 * GUARD,
        is_tracing: false,
        is_more: false,
    };
    assert_eq!(lecture.update(early), []);
    assert!(!lecture.is_revealed("pattern"));
    forward(&mut lecture, &mut at);
    assert_eq!(name(&lecture), "pattern.reveal");
    assert!(lecture.is_revealed("pattern"));
}

#[test]
fn a_clock_that_was_set_back_does_not_hold_the_lecture_up() {
    let mut lecture = lecture();
    let mut at = 1e12;
    go_to(&mut lecture, &mut at, "pattern.discuss");
    let mut earlier = 5e11;
    forward(&mut lecture, &mut earlier);
    assert!(lecture.is_revealed("pattern"));
}

#[test]
fn going_back_neither_unreveals_nor_loses_votes() {
    let mut lecture = lecture();
    let mut at = 0.0;
    go_to(&mut lecture, &mut at, "half");
    for option in [0, 0, 2] {
        lecture.update(Message::Hand {
            option,
            less: false,
            at,
        });
    }
    go_to(&mut lecture, &mut at, "half.discuss");
    assert_eq!(
        lecture.counts(),
        [0, 0, 0, 0],
        "the second round is its own"
    );
    lecture.update(Message::Count {
        option: 2,
        count: 17,
        at,
    });
    go_to(&mut lecture, &mut at, "end");
    for _ in 0..30 {
        lecture.update(Message::Back { at, is_more: false });
    }
    assert_eq!(name(&lecture), "title");
    assert!(lecture.is_revealed("half") && lecture.is_revealed("pattern"));
    let votes = lecture.record().votes.get("half").unwrap();
    assert_eq!(
        (&votes.first[..], &votes.second[..]),
        (&[2, 0, 1, 0][..], &[0, 0, 17, 0][..])
    );
    // Once the answer is there, nobody votes any more.
    lecture.update(Message::Address {
        text: "half".to_owned(),
        at,
    });
    assert_eq!(lecture.open_options(), 0);
    assert_eq!(
        lecture.update(Message::Hand {
            option: 1,
            less: false,
            at
        }),
        []
    );
}

#[test]
fn hands_are_counted_within_bounds() {
    let mut lecture = lecture();
    let mut at = 0.0;
    go_to(&mut lecture, &mut at, "half");
    lecture.update(Message::Hand {
        option: 1,
        less: true,
        at,
    });
    assert_eq!(lecture.counts(), [0, 0, 0, 0]);
    assert_eq!(
        lecture.update(Message::Hand {
            option: 4,
            less: false,
            at
        }),
        []
    );
    lecture.update(Message::Count {
        option: 3,
        count: u32::MAX,
        at,
    });
    lecture.update(Message::Hand {
        option: 3,
        less: false,
        at,
    });
    assert_eq!(lecture.counts(), [0, 0, 0, 9_999]);
}

#[test]
fn a_cover_is_lifted_before_anything_moves() {
    let mut lecture = lecture();
    let mut at = 0.0;
    forward(&mut lecture, &mut at);
    lecture.update(Message::Blank { with: "black", at });
    assert_eq!(lecture.address(), "pattern~black");
    forward(&mut lecture, &mut at);
    assert_eq!(lecture.address(), "pattern");
    // The pen's way is cut short, and a long screen is read to its end, before the next stage.
    let press = |is_tracing, is_more| Message::Forward {
        at: at + 1e4,
        is_tracing,
        is_more,
    };
    assert_eq!(lecture.update(press(true, true)), [Effect::FinishPen]);
    assert_eq!(lecture.update(press(false, true)), [Effect::Scroll(true)]);
    assert_eq!(name(&lecture), "pattern");
}

#[test]
fn home_and_end_keep_to_what_was_shown() {
    let mut lecture = lecture();
    let mut at = 0.0;
    go_to(&mut lecture, &mut at, "seen");
    lecture.update(Message::First { at });
    assert_eq!(name(&lecture), "title");
    lecture.update(Message::Furthest { at });
    assert_eq!(name(&lecture), "seen");
}

#[test]
fn an_address_never_reveals_and_a_wrong_one_is_told() {
    let address = |text: &str| Lecture::new(screens(), None, text, "one", 0.0);
    assert_eq!(name(&address("half.reveal")), "half.discuss");
    assert_eq!(name(&address("seen.reveal")), "seen");
    assert_eq!(address("why~black").address(), "why~black");
    assert_eq!(address("why~<script>").address(), "why");
    for wrong in [
        "nowhere",
        "half.reveal.reveal",
        "~",
        "%00",
        "half~black~black ",
    ] {
        let lecture = address(wrong);
        assert!(
            lecture.notice().is_some() || name(&lecture) == "half",
            "{wrong}"
        );
        assert!(lecture.record().revealed.is_empty());
    }
}

#[test]
fn a_lecture_comes_back_as_it_was() {
    let mut lecture = lecture();
    let mut at = 0.0;
    go_to(&mut lecture, &mut at, "half");
    lecture.update(Message::Hand {
        option: 1,
        less: false,
        at,
    });
    lecture.update(Message::Switch {
        what: "dark".to_owned(),
        at,
    });
    lecture.update(Message::PutAside {
        block: "pattern".to_owned(),
        sketch: "a sketch".to_owned(),
        at,
    });
    let mut record = Record::default();
    record
        .lectures
        .insert("lesson".to_owned(), lecture.record().clone());
    let loaded = Record::load(Some(&record.text()));
    assert_eq!(loaded.unusable, None);
    assert_eq!(loaded.record, record);
    let kept = loaded.record.lectures.get("lesson").cloned();
    let again = Lecture::new(screens(), kept.clone(), "", "two", at + 1e6);
    assert_eq!(again.record(), lecture.record());
    assert_eq!(again.address(), lecture.address());
    // The lesson was rewritten meanwhile: votes and reveals are kept, and it is told.
    let other = vec![screen("title", ScreenKind::Look, 0)];
    let changed = Lecture::new(other, kept, "", "two", at + 1e6);
    assert!(changed.notice().is_some());
    assert_eq!(changed.record().votes, lecture.record().votes);
    assert_eq!(changed.record().revealed, lecture.record().revealed);
    // No lesson at all: nothing breaks.
    let mut empty = Lecture::new(Vec::new(), None, "x", "two", 0.0);
    assert!(empty.stage().is_none());
    forward(&mut empty, &mut at);
    assert_eq!(empty.address(), "");
}

#[test]
fn a_stored_lecture_that_cannot_be_read_is_put_aside_whole() {
    for broken in [
        r#"{"version":1,"lessons":{},"lectures":{"a":{"place":7}}}"#,
        r#"{"version":1,"lessons":{},"lectures":{"a":[]}}"#,
        r#"{"version":1,"lessons":{},"lectures":3}"#,
    ] {
        let loaded = Record::load(Some(broken));
        assert!(loaded.unusable.is_some(), "{broken}");
    }
    // Counts that no key can make are brought within bounds.
    let odd = r#"{"version":1,"lessons":{},"lectures":{"a":{"changed":1,"place":"half","furthest":"half","since":1,
        "votes":{"half":{"first":[4000000000,1,2,3,4,5,6,7,8,9]}},"attempt":{"id":"x","started":1,"blocks":{}}}}}"#;
    let loaded = Record::load(Some(odd));
    assert_eq!(loaded.unusable, None);
    let lecture = Lecture::new(
        screens(),
        loaded.record.lectures.get("a").cloned(),
        "",
        "x",
        2.0,
    );
    assert_eq!(lecture.counts(), [9_999, 1, 2, 3]);
}

/// What is no count takes nothing away, and is spoken of until the next thing is done.
#[test]
fn what_is_no_count_leaves_the_count_alone() {
    let mut hall = lecture();
    let mut at = 0.0;
    go_to(&mut hall, &mut at, "half");
    hall.update(Message::Count {
        option: 0,
        count: 7,
        at,
    });
    assert_eq!(hall.update(Message::Uncounted), [Effect::Show]);
    assert!(
        hall.notice()
            .is_some_and(|words| words.contains("0 to 9999"))
    );
    assert_eq!(hall.counts().first(), Some(&7));
    hall.update(Message::Hand {
        option: 0,
        less: false,
        at,
    });
    assert_eq!((hall.notice(), hall.counts().first()), (None, Some(&8)));
}

/// The presenter's window asks; the hall's takes the wish once, and neither finds it again.
#[test]
fn a_wish_of_the_notes_is_granted_once() {
    let mut hall = lecture();
    let mut notes = Lecture::new(screens(), Some(hall.record().clone()), "", "two", 0.0);
    let wish = Message::Wish {
        what: "forward",
        at: 10.0,
    };
    assert_eq!(notes.update(wish), [Effect::Save]);
    assert_eq!(notes.position(), 0, "only the hall's window knows how");
    hall.update(Message::News(notes.record().clone()));
    assert_eq!(hall.take_wish(20.0).as_deref(), Some("forward"));
    assert_eq!(hall.take_wish(30.0), None);
    notes.update(Message::News(hall.record().clone()));
    assert_eq!(
        notes.take_wish(40.0),
        None,
        "the notes need not go on alone"
    );
    // A wish that outlived a crash steers nothing.
    let mut kept = hall.record().clone();
    kept.wish = Some("forward".to_owned());
    let mut again = Lecture::new(screens(), Some(kept), "", "three", 50.0);
    assert_eq!(again.take_wish(60.0), None);
}

#[test]
fn two_windows_follow_one_another() {
    let mut hall = lecture();
    let mut notes = Lecture::new(screens(), Some(hall.record().clone()), "", "two", 0.0);
    let mut at = 0.0;
    go_to(&mut notes, &mut at, "pattern.reveal");
    assert_eq!(
        hall.update(Message::News(notes.record().clone())),
        [Effect::Show]
    );
    assert_eq!(name(&hall), "pattern.reveal");
    assert!(hall.is_revealed("pattern"));
    assert_eq!(
        hall.update(Message::News(notes.record().clone())),
        [],
        "nothing new"
    );
    // An old state that arrives late changes nothing and takes nothing back.
    let late = LectureRecord::new("one", 0.0);
    assert_eq!(hall.update(Message::News(late)), []);
    assert_eq!(name(&hall), "pattern.reveal");
    // A new lecture is begun in one window: the other begins anew.
    let began = Message::StartAgain {
        id: "three".to_owned(),
        at: at + 1.0,
    };
    assert_eq!(notes.update(began), [Effect::Save, Effect::Restart]);
    assert_eq!(
        hall.update(Message::News(notes.record().clone())),
        [Effect::Restart]
    );
    assert!(!hall.is_revealed("pattern"));
}

#[test]
fn advice_has_the_bounds_of_the_vote_flow() {
    // Below 35 %, from 35 % to 70 %, above 70 % right: Vickrey et al., CBE-LSE 14, es3 (2015).
    assert_eq!(Advice::on(0, 0), None);
    for (right, all, wanted) in [
        (0, 1, Advice::Hint),
        (34, 100, Advice::Hint),
        (349, 1000, Advice::Hint),
        (35, 100, Advice::Discuss),
        (7, 20, Advice::Discuss),
        (70, 100, Advice::Discuss),
        (7, 10, Advice::Discuss),
        (701, 1000, Advice::GoOn),
        (71, 100, Advice::GoOn),
        (9_999, 9_999, Advice::GoOn),
    ] {
        assert_eq!(Advice::on(right, all), Some(wanted), "{right} of {all}");
    }
}

#[test]
fn what_could_give_the_answer_away_is_gone_at_the_next_stage() {
    let mut lecture = lecture();
    let mut at = 0.0;
    go_to(&mut lecture, &mut at, "half");
    for what in ["advice", "counts", "clock"] {
        lecture.update(Message::Switch {
            what: what.to_owned(),
            at,
        });
    }
    forward(&mut lecture, &mut at);
    assert!(!lecture.is_on("advice") && !lecture.is_on("counts"));
    assert!(
        lecture.is_on("clock"),
        "the clock is the lecturer's to switch"
    );
}

#[test]
fn a_truth_can_be_shown_beside_no_answer() {
    let mut walk = Walk::new("lesson", Vec::new(), Record::default(), "one", 0.0);
    let unveil = || coldfringe::session::Message::Unveil {
        block: "pattern".to_owned(),
        at: 5.0,
    };
    assert_eq!(walk.update(unveil()).len(), 3);
    let committed = walk.block("pattern").committed.unwrap();
    assert_eq!(committed.answer, StoredAnswer::nothing());
    assert_eq!(walk.update(unveil()), [], "once is enough");
}

#[test]
fn the_right_option_is_found_in_every_order() {
    let text = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/lessons/one-slit.md"))
        .unwrap();
    let course = read_course(vec![("one-slit.md".to_owned(), text)]);
    let lesson = &course[0].lesson;
    let blocks: Vec<&Block> = lesson.blocks().collect();
    let find = |id: &str| *blocks.iter().find(|block| block.id() == id).unwrap();
    for attempt in ["a", "b", "c", "d", "e", "f", "g"] {
        for (id, right, count) in [
            ("half-the-width", "model", 4),
            ("at-one-quantum", "nothing", 3),
        ] {
            let order = shown_order("one-slit", find(id), attempt);
            assert_eq!(order.len(), count, "{order:?}");
            let place = right_place("one-slit", find(id), attempt).unwrap();
            assert_eq!(order[place], right, "{attempt}: {order:?}");
        }
        assert_eq!(right_place("one-slit", find("pattern"), attempt), None);
    }
    let orders: std::collections::BTreeSet<_> = (0..40)
        .map(|attempt| right_place("one-slit", find("half-the-width"), &attempt.to_string()))
        .collect();
    assert_eq!(orders.len(), 4, "every place is the right one now and then");
}

/// Browsers tell the time in whole milliseconds.
fn any_message() -> impl Strategy<Value = (u32, u8, usize)> {
    (0..2000_u32, 0_u8..12, 0_usize..6)
}

proptest! {
    /// Whatever is pressed: nothing revealed is ever taken back, no answer's stage stands before
    /// it was revealed, only going on reveals, and the state survives being stored.
    #[test]
    fn no_order_of_keys_breaks_the_rules(keys in proptest::collection::vec(any_message(), 1..120)) {
        let names: Vec<String> = stages(&screens()).into_iter().map(|stage| stage.name).collect();
        let mut lecture = lecture();
        let mut at = 0.0;
        for (wait, key, number) in keys {
            at += f64::from(wait);
            let before = lecture.record().revealed.clone();
            let from = lecture.position();
            let is_forward = key < 4;
            lecture.update(match key {
                0..4 => Message::Forward { at, is_tracing: number == 0, is_more: number == 1 },
                4 => Message::Back { at, is_more: number == 1 },
                5 => Message::First { at },
                6 => Message::Furthest { at },
                7 => Message::Address { text: names[(number * 5) % names.len()].clone(), at },
                8 => Message::Blank { with: "paper", at },
                9 => Message::Hand { option: number, less: number % 2 == 0, at },
                10 => Message::Count { option: number, count: 7, at },
                _ => Message::Switch { what: "advice".to_owned(), at },
            });
            let after = &lecture.record().revealed;
            prop_assert!(after.starts_with(&before));
            if after.len() > before.len() {
                prop_assert!(is_forward && lecture.position() == from + 1);
            }
            let (stage, screen) = (lecture.stage().unwrap(), lecture.screen().unwrap());
            if stage.phase == Phase::Reveal {
                prop_assert!(lecture.is_revealed(&screen.block));
            }
            let mut record = Record::default();
            record.lectures.insert("x".to_owned(), lecture.record().clone());
            prop_assert_eq!(Record::load(Some(&record.text())).record, record);
        }
    }
}
