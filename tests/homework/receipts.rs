//! Receipts: read as they were written, and every edit noticed.

use coldfringe::homework::grading::{Grader, Row};
use coldfringe::homework::receipt::{Receipt, Seal};
use coldfringe::homework::{Entry, Kind, Marks, demo};
use coldfringe::prediction::Confidence;
use proptest::prelude::*;

use super::by_hand::{entry, receipt_of, slits};
use crate::course;

#[test]
fn a_receipt_is_read_as_it_was_written() {
    let mut entries = vec![
        entry(0, "first-zero", Kind::Answer, "1,14 mT \"sic\"\n\u{1F4A1}"),
        entry(9, "first-zero", Kind::Hint, "1"),
    ];
    entries[0].sure = Some(Confidence::FairlySure);
    let receipt = receipt_of(slits(), "René", entries);
    let text = receipt.text();
    assert_eq!(Receipt::read(&text), Ok((receipt.clone(), Seal::Whole)));
    // Laid out anew by another program, it says the same.
    let value: serde_json::Value = serde_json::from_str(&text).unwrap();
    let pretty = serde_json::to_string_pretty(&value).unwrap();
    assert_eq!(Receipt::read(&pretty), Ok((receipt, Seal::Whole)));
}

#[test]
fn every_edit_is_noticed() {
    let entries = vec![
        entry(3, "first-zero", Kind::Answer, "1.1 mT"),
        entry(7, "side-lobe", Kind::Answer, "20 uA"),
    ];
    let text = receipt_of(slits(), "ab12", entries).text();
    let seal = |text: &str| Receipt::read(text).unwrap().1;
    assert_eq!(seal(&text.replace("1.1 mT", "1.2 mT")), Seal::BrokenAt(1));
    assert_eq!(seal(&text.replace("20 uA", "21 uA")), Seal::BrokenAt(2));
    assert_eq!(
        seal(&text.replace("\"at\":7", "\"at\":8")),
        Seal::BrokenAt(2)
    );
    assert_eq!(seal(&text.replace("ab12", "ab13")), Seal::BrokenAt(0));
    assert_eq!(
        seal(&text.replace("\"assignment-version\": 1", "\"assignment-version\": 2")),
        Seal::BrokenAt(0)
    );
}

#[test]
fn files_that_are_no_receipts_are_told() {
    let told = |text: &str| {
        Receipt::read(text)
            .map(|_| ())
            .map_err(|error| error.to_string())
    };
    assert!(told("").unwrap_err().contains("not JSON"));
    assert!(told("[]").unwrap_err().contains("outermost"));
    assert!(
        told("{\"format\":\"other\"}")
            .unwrap_err()
            .contains("not a receipt")
    );
    let text = receipt_of(slits(), "ab12", Vec::new()).text();
    assert!(
        told(&text.replace("\"format-version\": 1", "\"format-version\": 9"))
            .unwrap_err()
            .contains("version 9")
    );
    assert!(
        told(&text.replace("\"student\"", "\"who\""))
            .unwrap_err()
            .contains("student")
    );
    assert!(told(&" ".repeat(5 << 20)).unwrap_err().contains("at most"));
    assert!(told(&"[".repeat(100_000)).is_err());
}

/// One bit changed anywhere in a receipt of any assignment: the marks are those of before, or a flag
/// says why not. Usually a part of the bits is tried; `COLDFRINGE_CASES`, whatever it says, asks for
/// every one.
#[test]
fn no_bit_of_any_receipt_can_be_turned_unnoticed() {
    let step = if std::env::var_os("COLDFRINGE_CASES").is_some() {
        1
    } else {
        61
    };
    for file in course::assignments() {
        let grader = Grader::new(&file.assignment);
        let text = &demo::class(&file.assignment, 2).unwrap()[1].1;
        let honest = grader.row("a.json", Ok(text)).unwrap();
        let points = |row: &Row| row.marks.as_ref().map(Marks::points);
        assert!(honest.flags.is_empty() && points(&honest).is_some());
        let mut tried = 0;
        for at in (0..text.len()).step_by(step) {
            for bit in 0..8 {
                let mut changed = text.as_bytes().to_vec();
                changed[at] ^= 1 << bit;
                let row = match std::str::from_utf8(&changed) {
                    Ok(text) => grader.row("a.json", Ok(text)).unwrap(),
                    Err(_) => grader.row("a.json", Err("not UTF-8".to_owned())).unwrap(),
                };
                tried += 1;
                let same = row.student == honest.student && points(&row) == points(&honest);
                assert!(
                    same || !row.flags.is_empty(),
                    "{}: bit {bit} of byte {at}",
                    file.file
                );
            }
        }
        assert!(tried > 100, "{}: {tried}", file.file);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    #[test]
    fn no_text_makes_the_marking_stumble(text in "\\PC{0,200}", answer in "\\PC{0,60}") {
        let grader = Grader::new(slits());
        let row = grader.row("x.json", Ok(&text)).unwrap();
        prop_assert!(!row.flags.is_empty());
        let entries: Vec<Entry> = slits()
            .tasks
            .iter()
            .map(|task| entry(1, &task.id, Kind::Answer, &answer))
            .collect();
        let receipt = receipt_of(slits(), "ab12", entries).text();
        let row = grader.row("x.json", Ok(&receipt)).unwrap();
        prop_assert!(row.marks.is_some());
    }
}
