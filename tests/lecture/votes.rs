//! Hands and what they suggest.

use super::*;

#[test]
fn hands_are_counted_within_bounds() {
    let mut lecture = lecture();
    let mut at = 0.0;
    go_to(&mut lecture, &mut at, "half");
    lecture.update(Message::Hand {
        option: 1,
        less: true,
        at,
    });
    assert_eq!(lecture.counts(), [0, 0, 0, 0]);
    assert_eq!(
        lecture.update(Message::Hand {
            option: 4,
            less: false,
            at
        }),
        []
    );
    lecture.update(Message::Count {
        option: 3,
        count: u32::MAX,
        at,
    });
    lecture.update(Message::Hand {
        option: 3,
        less: false,
        at,
    });
    assert_eq!(lecture.counts(), [0, 0, 0, 9_999]);
}

#[test]
fn advice_has_the_bounds_of_the_vote_flow() {
    // Below 35 %, from 35 % to 70 %, above 70 % right: Vickrey et al., CBE-LSE 14, es3 (2015).
    assert_eq!(Advice::on(0, 0), None);
    for (right, all, wanted) in [
        (0, 1, Advice::Hint),
        (34, 100, Advice::Hint),
        (349, 1000, Advice::Hint),
        (35, 100, Advice::Discuss),
        (7, 20, Advice::Discuss),
        (70, 100, Advice::Discuss),
        (7, 10, Advice::Discuss),
        (701, 1000, Advice::GoOn),
        (71, 100, Advice::GoOn),
        (9_999, 9_999, Advice::GoOn),
    ] {
        assert_eq!(Advice::on(right, all), Some(wanted), "{right} of {all}");
    }
}
