//! A reader's record over time: an older one is read without a loss, a file of it can be taken in
//! again, and what cannot be a record is refused.

use coldfringe::prediction::confidence::Confidence;
use coldfringe::prediction::sketch::{Sketch, SketchGrid};
use coldfringe::session::{
    BlockKind, Came, Effect, Here, Message, Record, Refused, Stage, StoredAnswer, Walk,
};
use serde_json::{Value, json};

/// A record as the notebook wrote it before places, benches and outcomes were kept.
const VERSION_1: &str = include_str!("../records/version-1.json");

fn old() -> Record {
    let loaded = Record::load(Some(VERSION_1));
    assert_eq!(loaded.unusable, None);
    loaded.record
}

#[test]
fn an_older_record_is_read_and_written_without_a_loss() {
    let record = old();
    let (was, is): (Value, Value) = (
        serde_json::from_str(VERSION_1).unwrap(),
        serde_json::from_str(&record.text()).unwrap(),
    );
    assert_eq!(is, was);
    let attempts = &record.lessons.get("one-slit").unwrap().attempts;
    let first = attempts[0].blocks.get("pattern").unwrap();
    let made = first.committed.as_ref().unwrap();
    assert_eq!(made.sure, Confidence::Certain);
    let StoredAnswer::Sketch(text) = &made.answer else {
        panic!("a sketch")
    };
    let sketch = Sketch::decode(SketchGrid::new(-3.0, 3.0, -0.4, 1.1, 25), text).unwrap();
    assert!(sketch.is_complete(), "the old sketch can still be drawn");
}

#[test]
fn an_older_record_shows_how_far_its_reader_was() {
    let steps: Vec<(String, usize)> = [
        ("a-junction-in-a-field", 0),
        ("predict-the-pattern", 0),
        ("why-it-comes-and-goes", 1),
        ("predict-how-much-field", 1),
        ("hands-on", 2),
    ]
    .map(|(anchor, needs)| (anchor.to_owned(), needs))
    .to_vec();
    let record = old();
    let progress = record.lessons.get("one-slit").unwrap().progress(&steps, 3);
    assert_eq!(progress.stage, Stage::Begun);
    assert_eq!((progress.committed, progress.step), (1, Some(3)));
    assert_eq!(progress.reached, 4);
    assert!(progress.is_again);
    // Without outcomes there is nothing to say about confidence, and nothing is made up.
    assert_eq!(record.calibration_words(), None);
}

#[test]
fn a_lesson_is_done_only_when_its_end_was_seen() {
    let steps: Vec<(String, usize)> = [("scene", 0), ("predict", 0), ("why", 1), ("numbers", 1)]
        .map(|(anchor, needs)| (anchor.to_owned(), needs))
        .to_vec();
    let blocks = vec![("first".to_owned(), BlockKind::Predict)];
    let mut walk = Walk::new("lesson", blocks, Record::default(), "one", 1.0);
    let moved = |step: &str, number, at| Message::Moved {
        step: step.to_owned(),
        number,
        share: 0.2,
        at,
    };
    // Opening the lesson is not beginning it.
    assert_eq!(walk.update(moved("scene", 1, 2.0)), []);
    assert_eq!(walk.update(moved("predict", 2, 3.0)), [Effect::Save]);
    let progress = |walk: &Walk| {
        let lesson = walk.record().lessons.get("lesson").unwrap();
        let progress = lesson.progress(&steps, 1);
        (progress.stage, progress.step)
    };
    assert_eq!(progress(&walk), (Stage::Begun, Some(1)));
    walk.update(Message::Draft {
        block: "first".to_owned(),
        answer: Some(StoredAnswer::Mark(1.0)),
        at: 4.0,
    });
    walk.update(Message::Sure {
        block: "first".to_owned(),
        sure: Confidence::Certain,
        at: 4.0,
    });
    walk.update(Message::Commit {
        block: "first".to_owned(),
        missing: None,
        reasons: 0,
    });
    walk.update(Message::Confirm {
        block: "first".to_owned(),
        at: 5.0,
    });
    walk.update(moved("why", 3, 6.0));
    assert_eq!(progress(&walk), (Stage::Begun, Some(2)));
    walk.update(moved("numbers", 4, 7.0));
    // Looking back at an earlier step afterwards undoes nothing.
    walk.update(moved("scene", 1, 8.0));
    assert_eq!(progress(&walk), (Stage::Done, Some(0)));
    walk.update(Message::StartAgain {
        id: "two".to_owned(),
        at: 9.0,
    });
    assert_eq!(progress(&walk), (Stage::NotBegun, None));
    assert_eq!(walk.here().map(|here| here.seen), Some(0));
}

#[test]
fn only_the_first_attempt_counts_for_confidence() {
    let mut record = old();
    let attempts = &mut record.lessons.get_or_default("one-slit").attempts;
    attempts[0].blocks.get_or_default("pattern").came = Some(Came::Differently);
    attempts[1].blocks.get_or_default("pattern").came = Some(Came::AsPredicted);
    let slits = &mut record.lessons.get_or_default("two-slits").attempts;
    slits[0].blocks.get_or_default("which").came = Some(Came::AsPredicted);
    assert_eq!(
        record.calibration(),
        [
            (Confidence::Guess, 1, 1),
            (Confidence::FairlySure, 0, 0),
            (Confidence::Certain, 1, 0)
        ]
    );
    assert_eq!(
        record.calibration_words().unwrap(),
        "How often it came as you said, at first sight: when you were certain, 0 of 1; when you guessed, 1 of 1."
    );
}

#[test]
fn a_file_is_readable_and_comes_back_the_same() {
    let mut record = old();
    record.lessons.get_or_default("one-slit").here = Some(Here {
        step: "hands-on".to_owned(),
        share: 0.25,
        seen: 5,
        at: 7.0,
    });
    let block = record.lessons.get_or_default("one-slit").attempts[0]
        .blocks
        .get_or_default("thickness-and-current");
    block.sliders = vec![181.0, 160.5];
    let text = record.file_text();
    assert!(text.lines().count() > 60, "a line for each field");
    assert!(
        text.contains("\n      \"here\": {\n        \"step\": \"hands-on\","),
        "{text}"
    );
    assert_eq!(Record::from_file(&text), Ok(record.clone()));
    // As an editor of another system may have saved it.
    let elsewhere = format!("\u{feff}{}", text.replace('\n', "\r\n"));
    assert_eq!(Record::from_file(&elsewhere), Ok(record));
}

#[test]
fn taking_a_file_in_tells_what_it_adds_and_loses_nothing() {
    let file = old();
    let mut record = Record::default();
    let gains = record.take_in(&file);
    assert_eq!(
        gains.words(),
        "Taken in: 3 attempts, 3 predictions, 3 answers that were not here. What was here is kept."
    );
    assert_eq!(record, file);
    assert_eq!(
        record.take_in(&file).words(),
        "Everything in this file was here already."
    );
    // One's own later work stays beside what an older file holds.
    let mine = record.lessons.get_or_default("one-slit");
    mine.attempts[1]
        .blocks
        .get_or_default("first-zero-in-field")
        .draft = Some(StoredAnswer::Mark(1.14));
    mine.attempts[1]
        .blocks
        .get_or_default("first-zero-in-field")
        .changed = 2e12;
    mine.attempts[1].blocks.get_or_default("new").tries = vec![];
    let kept = record.clone();
    record.take_in(&file);
    assert_eq!(record, kept, "an older draft does not replace a newer one");
}

#[test]
fn files_that_are_no_record_are_refused_in_words() {
    let words = |text: &str| Record::from_file(text).unwrap_err().to_string();
    for text in [
        "",
        "not json",
        "[]",
        "{}",
        "{\"version\":1}",
        "{\"version\":1,\"lessons\":[]}",
        "{\"version\":1,\"lessons\":{\"a\":{\"attempts\":[{\"id\":7}]}}}",
        "{\"version\":\"1\",\"lessons\":{}}",
        "{\"version\":1,\"lessons\":{\"a\":{\"attempts\":[],\"here\":{\"step\":1}}}}",
    ] {
        assert!(
            words(text).starts_with("it is not a file of saved work ("),
            "{text}: {}",
            words(text)
        );
    }
    assert_eq!(
        words("{\"version\":2,\"lessons\":{}}"),
        "another version of the notebook wrote it (format 2; this one knows 1)"
    );
    let deep = "[".repeat(100_000);
    assert!(
        words(&deep).starts_with("it is not a file"),
        "nested deeply"
    );
    let large = format!(
        "{{\"version\":1,\"lessons\":{{}},\"x\":\"{}\"}}",
        "x".repeat(4_000_000)
    );
    assert_eq!(Record::from_file(&large), Err(Refused::TooLarge));
    // A record cut off in the middle, as after a broken download.
    let whole = old().file_text();
    for share in [0.1, 0.5, 0.9, 0.999] {
        let cut = &whole[..(whole.len() as f64 * share) as usize];
        assert!(words(cut).contains("not a file of saved work"), "{share}");
    }
}

#[test]
fn an_outcome_is_kept_only_beside_a_commitment() {
    let blocks = vec![("first".to_owned(), BlockKind::Predict)];
    let mut walk = Walk::new("lesson", blocks, Record::default(), "one", 1.0);
    let came = Message::Came {
        block: "first".to_owned(),
        came: Came::AsPredicted,
    };
    assert_eq!(walk.update(came), []);
    assert_eq!(walk.block("first").came, None);
    assert_eq!(
        serde_json::to_value(Came::AsPredicted).unwrap(),
        json!("as-predicted")
    );
    for came in Came::ALL {
        assert_eq!(Came::from_name(came.name()), Some(came));
        assert_eq!(serde_json::to_value(came).unwrap(), json!(came.name()));
    }
}
