//! A whole class: peculiar receipts are told, rosters compared, and the tables do not depend on the
//! order.

use std::collections::BTreeSet;

use coldfringe::homework::grading::{Flag, Grader, Keep, Row};
use coldfringe::homework::{Kind, demo, table};

use super::by_hand::{entry, graded, receipt_of, slits, student};

/// A class of forty with two of each peculiarity.
#[test]
fn an_invented_class_is_marked_and_its_peculiarities_are_told() {
    let receipts = demo::class(slits(), 40).unwrap();
    let files: Vec<(&str, String)> = receipts
        .iter()
        .map(|(name, text)| (name.as_str(), text.clone()))
        .collect();
    let rows = graded(&files);
    let flags = |file: &str| -> Vec<String> {
        let row = rows.iter().find(|row| row.file == file).unwrap();
        row.flags.iter().map(ToString::to_string).collect()
    };
    let has = |file: &str, words: &str| {
        let flags = flags(file);
        assert!(
            flags.iter().any(|flag| flag.contains(words)),
            "{file}: {flags:?}"
        );
    };
    for round in [0, 20] {
        let name = |place: usize| format!("demo-{:04}.json", round + place + 1);
        has(&name(3), "edited");
        has(&name(5), "backwards");
        has(&name(8), "one of 2 files");
        // Others may have the same numbers by chance; the neighbour is among those named.
        has(&name(11), "wrong answers fit the numbers of demo-");
        has(&name(11), &format!("demo-{:04}", round + 11));
        assert!(flags(&name(13)).is_empty(), "{:?}", flags(&name(13)));
        has(&name(16), "unreadable");
        has(&name(18), "another version");
        // Honest ones are not bothered.
        for place in [0, 1, 2, 4, 6, 7, 9, 10] {
            assert!(
                flags(&name(place)).is_empty(),
                "{place}: {:?}",
                flags(&name(place))
            );
        }
    }
    // Of several files of one student exactly one counts.
    let counting: Vec<&Row> = rows.iter().filter(|row| row.counts).collect();
    let students: BTreeSet<_> = counting.iter().map(|row| &row.identifier).collect();
    assert_eq!(students.len(), counting.len());
    let reports = table::class_report(slits(), &rows);
    assert!(
        reports.iter().all(|report| report.answered > 25),
        "{reports:?}"
    );
    assert!(
        reports
            .iter()
            .any(|report| report.slips.contains_key("factor-2"))
    );
    assert!(reports.iter().any(|report| report.sure_and_wrong > 0));
}

/// The same receipts in any order and under any names of folders give the same bytes.
#[test]
fn the_tables_do_not_depend_on_the_order() {
    let receipts = demo::class(slits(), 25).unwrap();
    let mut files: Vec<(&str, String)> = receipts
        .iter()
        .map(|(name, text)| (name.as_str(), text.clone()))
        .collect();
    let bytes =
        |files: &[(&str, String)]| table::csv(&table::marks(slits(), &graded(files))).unwrap();
    let first = bytes(&files);
    files.reverse();
    assert_eq!(first, bytes(&files));
    files.rotate_left(7);
    assert_eq!(first, bytes(&files));
}

#[test]
fn the_roster_is_compared() {
    let grader = Grader::new(slits());
    let text = receipt_of(slits(), "AB12", Vec::new()).text();
    let row = grader.row("a.json", Ok(&text)).unwrap();
    let stranger = receipt_of(slits(), "zz", Vec::new()).text();
    let other = grader.row("z.json", Ok(&stranger)).unwrap();
    let rows = grader.finish(
        vec![row, other],
        Keep::Best,
        Some(&[student("ab12"), student("cd34")]),
    );
    let flags: Vec<(&str, Vec<Flag>)> = rows
        .iter()
        .map(|row| (row.student.as_str(), row.flags.clone()))
        .collect();
    assert_eq!(
        flags,
        [
            ("AB12", vec![]),
            ("cd34", vec![Flag::Missing]),
            ("zz", vec![Flag::NotOnRoster]),
        ]
    );
}

#[test]
fn a_record_handed_in_under_two_names_is_told() {
    let entries = vec![entry(3, "first-zero", Kind::Answer, "1.1 mT")];
    let rows = graded(&[
        (
            "a.json",
            receipt_of(slits(), "ab12", entries.clone()).text(),
        ),
        ("b.json", receipt_of(slits(), "cd34", entries).text()),
    ]);
    assert_eq!(rows[0].flags, [Flag::SameRecord("cd34".to_owned())]);
    assert_eq!(rows[1].flags, [Flag::SameRecord("ab12".to_owned())]);
}
