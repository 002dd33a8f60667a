//! The numbers that the lessons ask for, against values worked out by hand; and that the right one is taken and half of
//! it is not.

use super::by_hand::{by_hand, known_to};
use crate::course::lessons;
use coldfringe::experiment::{Setup, seek};
use coldfringe::lesson::spec::{Ask, Block, Lesson, NumberSpec, SetupSpec};
use coldfringe::prediction::{NumberVerdict, assess_number};

/// Every question of a lesson with its device.
fn numbers(lesson: &Lesson) -> Vec<(String, &SetupSpec, &NumberSpec)> {
    lesson
        .blocks()
        .filter_map(|block| match block {
            Block::Question(question) => Some((
                format!("{}/{}", lesson.slug, question.id),
                &question.setup,
                &question.number,
            )),
            Block::Predict(prediction) => match &prediction.ask {
                Ask::Number(number) => Some((
                    format!("{}/{}", lesson.slug, prediction.id),
                    &prediction.setup,
                    number,
                )),
                _ => None,
            },
            _ => None,
        })
        .collect()
}

#[test]
fn every_number_asked_for_is_the_one_worked_out_by_hand() {
    let mut left = by_hand();
    for lesson in lessons() {
        for (name, setup, number) in numbers(lesson) {
            let setup = Setup::from_spec(setup).unwrap();
            let wanted = left
                .remove(name.as_str())
                .unwrap_or_else(|| panic!("{name}: work this number out by hand and add it here"));
            let got = seek(&setup, &number.answer).unwrap();
            assert!(
                (got - wanted).abs() <= known_to(&name) * wanted.abs(),
                "{name}: by hand {wanted:e}, from the model {got:e}"
            );
        }
    }
    assert!(left.is_empty(), "no lesson asks for {left:?}");
}

#[test]
fn the_right_number_is_taken_and_half_of_it_is_not() {
    let hand = by_hand();
    for lesson in lessons() {
        for (name, setup, number) in numbers(lesson) {
            let setup = Setup::from_spec(setup).unwrap();
            let task = number.task(&setup);
            // A number without a unit is taken in the unit beside the box.
            let per_unit = match number.unit.as_str() {
                "" => 1.0,
                // The set-up counts it in quanta already.
                "Phi0" | "Φ0/s" => 1.0,
                "mT" | "mA" | "mm" => 1e-3,
                "µA" | "µm" | "µT" | "µV" | "mm²" => 1e-6,
                "nV" | "nm" => 1e-9,
                "µm²" | "pH" | "pF" => 1e-12,
                "fT/√Hz" => 1e-15,
                other => panic!("{name}: add {other} here"),
            };
            let value = hand[name.as_str()] / per_unit;
            let right = assess_number(&task, &format!("{value:.4}")).unwrap();
            assert_eq!(right.verdict, NumberVerdict::Right, "{name}: {right:?}");
            let half = assess_number(&task, &format!("{:.4}", value / 2.0)).unwrap();
            let NumberVerdict::Differs(slip) = half.verdict else {
                panic!("{name}: half of the value was taken: {half:?}");
            };
            if number.slips.iter().any(|known| known == "factor-2") {
                assert_eq!(
                    slip.map(|slip| slip.name()),
                    Some("factor-2"),
                    "{name}: {:?} explain half of the value too",
                    number.slips
                );
            }
        }
    }
}
