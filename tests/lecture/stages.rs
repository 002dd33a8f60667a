//! From stage to stage.

use super::*;

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
