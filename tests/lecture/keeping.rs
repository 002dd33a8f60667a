//! What is kept, and two windows.

use super::*;

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
