//! The walk through a lesson as a state machine, and the record that is kept of it.

use coldfringe::prediction::confidence::Confidence;
use coldfringe::session::{
    BlockKind, Came, Effect, Kept, Message, Record, StoredAnswer, VERSION, Walk,
};
use proptest::prelude::*;

fn blocks() -> Vec<(String, BlockKind)> {
    [
        ("first", BlockKind::Predict),
        ("seen", BlockKind::Ask),
        ("bench", BlockKind::Look),
        ("second", BlockKind::Predict),
    ]
    .map(|(id, kind)| (id.to_owned(), kind))
    .to_vec()
}

fn walk() -> Walk {
    Walk::new("lesson", blocks(), Record::default(), "tab-one", 1.0)
}

fn draft(block: &str, at: f64) -> Message {
    Message::Draft {
        block: block.to_owned(),
        answer: Some(StoredAnswer::Mark(0.5)),
        at,
    }
}

fn sure(block: &str, at: f64) -> Message {
    Message::Sure {
        block: block.to_owned(),
        sure: Confidence::FairlySure,
        at,
    }
}

fn press(block: &str) -> Message {
    Message::Commit {
        block: block.to_owned(),
        missing: None,
        reasons: 0,
    }
}

fn confirm(block: &str, at: f64) -> Message {
    Message::Confirm {
        block: block.to_owned(),
        at,
    }
}

/// Commits a prediction the way a reader does.
fn commit(walk: &mut Walk, block: &str, at: f64) {
    walk.update(draft(block, at));
    walk.update(sure(block, at));
    assert_eq!(
        walk.update(press(block)),
        [Effect::AskToConfirm(block.to_owned())]
    );
    let effects = walk.update(confirm(block, at));
    assert_eq!(
        effects,
        [Effect::Save, Effect::Reveal(block.to_owned()), Effect::Open]
    );
}

#[test]
fn nothing_is_revealed_before_answer_and_confidence_are_there_and_confirmed() {
    let mut walk = walk();
    assert!(matches!(
        &walk.update(press("first"))[..],
        [Effect::Problem(_, _)]
    ));
    walk.update(draft("first", 2.0));
    assert!(matches!(
        &walk.update(press("first"))[..],
        [Effect::Problem(_, _)]
    ));
    // Confirming without having been asked does nothing.
    assert_eq!(walk.update(confirm("first", 3.0)), []);
    walk.update(sure("first", 3.0));
    walk.update(press("first"));
    assert!(walk.is_asking("first"));
    assert!(!walk.is_open_after("first"));
    walk.update(confirm("first", 4.0));
    assert!(walk.is_open_after("first"));
    assert!(!walk.is_open_after("second"));
    assert_eq!(walk.next_prediction(), Some("second"));
}

#[test]
fn an_incomplete_answer_is_told_and_not_committed() {
    let mut walk = walk();
    walk.update(draft("first", 2.0));
    walk.update(sure("first", 2.0));
    let effects = walk.update(Message::Commit {
        block: "first".to_owned(),
        missing: Some("Please finish the curve from 1 to 2.".to_owned()),
        reasons: 0,
    });
    assert_eq!(
        effects,
        [Effect::Problem(
            "first".to_owned(),
            "Please finish the curve from 1 to 2.".to_owned()
        )]
    );
    assert!(!walk.is_asking("first"));
}

#[test]
fn a_change_takes_the_question_back_and_a_commitment_cannot_be_changed() {
    let mut walk = walk();
    walk.update(draft("first", 2.0));
    walk.update(sure("first", 2.0));
    walk.update(press("first"));
    assert_eq!(
        walk.update(draft("first", 3.0)),
        [Effect::Save, Effect::Refresh("first".to_owned())]
    );
    assert!(!walk.is_asking("first"));
    walk.update(press("first"));
    walk.update(confirm("first", 4.0));
    let committed = walk.block("first").committed;
    assert_eq!(walk.update(draft("first", 5.0)), []);
    assert_eq!(walk.update(press("first")), []);
    assert_eq!(walk.block("first").committed, committed);
}

#[test]
fn starting_again_keeps_the_earlier_attempt_and_shuts_the_page() {
    let mut walk = walk();
    commit(&mut walk, "first", 2.0);
    let effects = walk.update(Message::StartAgain {
        id: "again".to_owned(),
        at: 9.0,
    });
    assert_eq!(effects, [Effect::Save, Effect::Restart]);
    assert!(!walk.is_open_after("first"));
    assert_eq!(walk.earlier("first").len(), 1);
    assert_eq!(walk.attempts_before(), 1);
    assert!(walk.block("first").draft.is_none());
}

#[test]
fn a_reload_finds_everything() {
    let mut walk = walk();
    commit(&mut walk, "first", 2.0);
    walk.update(draft("second", 3.0));
    let text = walk.record().text();
    let loaded = Record::load(Some(&text));
    assert_eq!(loaded.unusable, None);
    let again = Walk::new("lesson", blocks(), loaded.record, "unused", 99.0);
    assert_eq!(again.block("first"), walk.block("first"));
    assert_eq!(again.block("second"), walk.block("second"));
    assert_eq!(again.committed(), walk.committed());
}

#[test]
fn a_second_tab_loses_nothing_of_either() {
    let mut one = walk();
    one.update(draft("first", 4.0));
    let mut two = Walk::new("lesson", blocks(), one.record().clone(), "tab-two", 1.0);
    commit(&mut one, "first", 5.0);
    two.update(draft("first", 6.0));
    let effects = two.update(Message::OtherTab {
        record: one.record().clone(),
    });
    assert!(effects.contains(&Effect::Refresh("first".to_owned())));
    assert!(two.is_open_after("first"));
    // The first tab learns of the second one's later commitment of another block.
    commit(&mut two, "second", 7.0);
    one.update(Message::OtherTab {
        record: two.record().clone(),
    });
    assert_eq!(one.committed(), two.committed());
}

#[test]
fn a_tab_in_which_nothing_was_done_hides_nothing() {
    let mut one = walk();
    // Opened later, and without knowing of the first.
    let mut two = Walk::new("lesson", blocks(), Record::default(), "tab-two", 2.0);
    commit(&mut one, "first", 5.0);
    two.update(Message::OtherTab {
        record: one.record().clone(),
    });
    assert!(two.is_open_after("first"));
    two.update(draft("second", 6.0));
    one.update(Message::OtherTab {
        record: two.record().clone(),
    });
    assert!(one.is_open_after("first"));
    assert_eq!(one.block("second"), two.block("second"));
    assert_eq!((one.attempts_before(), two.attempts_before()), (0, 0));
    assert_eq!(one.attempt_name(), two.attempt_name());
}

#[test]
fn of_two_commitments_the_earlier_stays() {
    let mut one = walk();
    let mut two = walk();
    commit(&mut one, "first", 5.0);
    commit(&mut two, "first", 6.0);
    two.update(Message::OtherTab {
        record: one.record().clone(),
    });
    assert_eq!(two.block("first").committed.unwrap().at.to_string(), "5");
}

#[test]
fn text_that_is_no_record_is_reported_and_a_fresh_record_begun() {
    for text in [
        "",
        "{",
        "null",
        "[]",
        "\"text\"",
        "{}",
        "{\"version\":\"one\"}",
        "{\"version\":1,\"lessons\":7}",
        "{\"version\":1,\"lessons\":{\"a\":{\"attempts\":[{}]}}}",
        "\u{0}\u{1}",
    ] {
        let loaded = Record::load(Some(text));
        assert!(
            matches!(loaded.unusable, Some(Kept::Unreadable { .. })),
            "{text:?} gave {:?}",
            loaded.unusable
        );
        assert_eq!(loaded.record, Record::default());
    }
    let later = format!("{{\"version\":{}}}", VERSION + 1);
    assert!(matches!(
        Record::load(Some(&later)).unusable,
        Some(Kept::OtherVersion { .. })
    ));
    assert_eq!(Record::load(None).unusable, None);
}

#[test]
fn fields_of_a_later_writer_with_the_same_version_are_no_obstacle() {
    let loaded = Record::load(Some("{\"version\":1,\"lessons\":{},\"theme\":\"dark\"}"));
    assert_eq!(loaded.unusable, None);
}

/// Any message at any time.
fn any_message() -> impl Strategy<Value = Message> {
    let block = prop::sample::select(vec!["first", "seen", "bench", "second", "unknown"]);
    (block, 0..12_u8, 0.0..100.0_f64).prop_map(|(block, kind, at)| {
        let block = block.to_owned();
        match kind {
            0 => Message::Draft {
                block,
                answer: Some(StoredAnswer::Mark(at)),
                at,
            },
            1 => Message::Draft {
                block,
                answer: None,
                at,
            },
            2 => Message::Sure {
                block,
                sure: Confidence::Certain,
                at,
            },
            3 => Message::Commit {
                block,
                missing: None,
                reasons: 0,
            },
            4 => Message::Confirm { block, at },
            5 => Message::KeepWorking { block },
            6 => Message::Meant {
                block,
                picture: "shadow".to_owned(),
            },
            7 => Message::Tried {
                block,
                text: "1 mT".to_owned(),
                at,
            },
            8 => Message::Came {
                block,
                came: Came::Differently,
            },
            9 => Message::Set {
                block,
                sliders: vec![at],
                at,
            },
            10 => Message::Moved {
                step: "why".to_owned(),
                number: 3,
                share: 0.5,
                at,
            },
            _ => Message::Met {
                block,
                challenge: 0,
            },
        }
    })
}

proptest! {
    /// Whatever happens, a commitment once made is never changed or lost, and a part of the page
    /// is never open before the prediction above it is committed.
    #[test]
    fn commitments_stay_and_nothing_opens_early(messages in prop::collection::vec(any_message(), 0..60)) {
        let mut walk = walk();
        let mut committed = None;
        for message in messages {
            walk.update(message);
            let now = walk.block("first").committed;
            if committed.is_some() {
                prop_assert_eq!(&now, &committed);
            }
            committed = now;
            prop_assert_eq!(walk.is_open_after("first"), committed.is_some());
            if walk.is_open_after("second") {
                prop_assert!(walk.is_open_after("first"));
            }
        }
    }

    /// Merging is the same whichever tab speaks first, as far as commitments go, and merging
    /// twice changes nothing more.
    #[test]
    fn merging_commutes_on_commitments_and_is_idempotent(
        ours in prop::collection::vec(any_message(), 0..40),
        theirs in prop::collection::vec(any_message(), 0..40),
    ) {
        let (mut one, mut two) = (walk(), walk());
        for message in ours { one.update(message); }
        for message in theirs { two.update(message); }
        let mut forth = one.record().clone();
        forth.merge(two.record());
        let mut back = two.record().clone();
        back.merge(one.record());
        let commitments = |record: &Record| -> Vec<_> {
            record.lessons.values()
                .flat_map(|lesson| &lesson.attempts)
                .flat_map(|attempt| attempt.blocks.iter())
                .filter_map(|(id, block)| block.committed.clone().map(|made| (id.clone(), made.at.to_bits())))
                .collect()
        };
        prop_assert_eq!(commitments(&forth), commitments(&back));
        let once = forth.clone();
        forth.merge(two.record());
        prop_assert_eq!(forth, once);
    }

    /// No text in storage makes the reading fail.
    #[test]
    fn any_text_is_read(text in any::<String>()) {
        let _ = Record::load(Some(&text));
    }
}
