//! What is told, and when.

use super::*;

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
