//! Keys in any order.

use super::*;

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
