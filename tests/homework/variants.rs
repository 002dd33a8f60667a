//! Numbers of each student's own: they follow from the identifier alone, evenly, and every
//! student's questions are fair.

use coldfringe::homework::Variant;

use super::by_hand::{slits, student};
use crate::course;

#[test]
fn every_assignment_is_fair_for_every_student() {
    for file in course::assignments() {
        assert!(
            file.diagnostics.is_empty(),
            "{}: {:#?}",
            file.file,
            file.diagnostics
        );
        let (report, unfair) = file.check();
        assert!(unfair.is_empty(), "{}: {unfair:#?}", file.file);
        assert!((4..=6).contains(&report.tasks), "{}: {report:?}", file.file);
        assert!(!report.cut, "{}: {report:?}", file.file);
        // With fewer variants, neighbours in a hall would often have the same numbers.
        assert!(report.variants >= 200, "{}: {report:?}", file.file);
    }
}

#[test]
fn numbers_follow_from_the_identifier_alone() {
    let assignment = slits();
    let of = |name: &str| Variant::of(assignment, &student(name)).chosen;
    assert_eq!(of("ab12"), of(" AB12 "));
    // Worked out with another implementation of SHA-256 and SplitMix64 (Python's hashlib; the
    // lines stand in docs/receipt.md): the promise that nobody's numbers change.
    assert_eq!(of("ab12"), [4, 0, 2, 3]);
    assert_eq!(of("demo-0001"), [4, 0, 1, 2]);
    let mut other = assignment.clone();
    other.version += 1;
    let differ = (0..50)
        .filter(|number| {
            let student = student(&format!("s{number}"));
            Variant::of(&other, &student) != Variant::of(assignment, &student)
        })
        .count();
    assert!(
        differ > 40,
        "{differ} of 50 have other numbers in another version"
    );
}

/// Every value of a draw comes out about as often as any other.
#[test]
fn draws_are_even() {
    let assignment = slits();
    let count = 6000;
    for (place, draw) in assignment.draws.iter().enumerate() {
        let mut seen = vec![0_u32; draw.values.len()];
        for number in 0..count {
            seen[Variant::of(assignment, &student(&format!("id{number}"))).chosen[place]] += 1;
        }
        let share = 1.0 / draw.values.len() as f64;
        // Five standard deviations of a binomial count.
        let room = 5.0 * (f64::from(count) * share * (1.0 - share)).sqrt();
        for seen in seen {
            assert!(
                (f64::from(seen) - f64::from(count) * share).abs() < room,
                "{}: {seen}",
                draw.name
            );
        }
    }
}
