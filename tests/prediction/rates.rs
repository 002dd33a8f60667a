//! How often a sketch is judged unfairly, over synthetic hands. The promise: a right curve is
//! called wrong, and a wrong one right, at most once in a hundred. Being asked what one meant is
//! the price.

use crate::hands::{Case, HANDS, Hand, cases, draw, lesson_cases, sketch};
use coldfringe::prediction::{Expectation, MODEL, Verdict, pictures};

/// Hands for the right curve of a case.
const RIGHT: u64 = 300;
/// Hands for each wrong picture of a case.
const WRONG: u64 = 60;

#[derive(Default)]
struct Rates {
    right: u64,
    near: u64,
    asked: u64,
    named: u64,
    misnamed: u64,
    differs: u64,
    unread: u64,
    all: u64,
}

impl Rates {
    fn count(&mut self, verdict: &Verdict, meant: &str) {
        self.all += 1;
        match verdict {
            Verdict::Right => self.right += 1,
            Verdict::Near => self.near += 1,
            Verdict::Ask(_) => self.asked += 1,
            Verdict::WrongPicture(name) if *name == meant => self.named += 1,
            Verdict::WrongPicture(_) => self.misnamed += 1,
            Verdict::Different => self.differs += 1,
            Verdict::Unreadable => self.unread += 1,
        }
    }

    fn show(&self, meant: &str) {
        let share = |count: u64| 100.0 * count as f64 / self.all as f64;
        println!(
            "  {meant:26} right {:5.1}  near {:5.1}  asked {:5.1}  named {:5.1}  misnamed {:4.1}  differs {:4.1}  unread {:4.1}",
            share(self.right),
            share(self.near),
            share(self.asked),
            share(self.named),
            share(self.misnamed),
            share(self.differs),
            share(self.unread)
        );
    }
}

fn rate(case: &Case, expectation: &Expectation, picture: &str, hand: Hand, count: u64) -> Rates {
    let mut rates = Rates::default();
    for seed in 0..count {
        let drawn = sketch(case, &draw(case, picture, hand, seed + 1));
        rates.count(&expectation.assess(&drawn).verdict, picture);
    }
    rates
}

fn check(case: &Case) {
    let expectation = Expectation::new(&case.task()).unwrap();
    for hand in HANDS {
        println!("{} ({})", case.name, hand.name);
        let right = rate(case, &expectation, MODEL, hand, RIGHT);
        right.show(MODEL);
        let mut wrong_called_right = 0;
        let mut misnamed = 0;
        let mut all = 0;
        for picture in expectation.recognisable() {
            let rates = rate(case, &expectation, picture.name, hand, WRONG);
            rates.show(picture.name);
            wrong_called_right += rates.right + rates.near;
            misnamed += rates.misnamed;
            all += rates.all;
        }
        let right_called_wrong = right.misnamed + right.differs;
        println!(
            "  right called wrong {:.2} %, wrong called right {:.2} %, misnamed {:.2} %",
            100.0 * right_called_wrong as f64 / right.all as f64,
            100.0 * wrong_called_right as f64 / all as f64,
            100.0 * misnamed as f64 / all as f64,
        );
        assert!(
            right_called_wrong * 100 <= right.all,
            "{}, {}: {right_called_wrong} of {} right curves called wrong",
            case.name,
            hand.name,
            right.all
        );
        assert!(
            wrong_called_right * 100 <= all,
            "{}, {}: {wrong_called_right} of {all} wrong curves called right",
            case.name,
            hand.name
        );
        assert!(
            misnamed * 50 <= all,
            "{}, {}: {misnamed} of {all} wrong curves called by another name",
            case.name,
            hand.name
        );
    }
}

#[test]
fn one_junction_is_judged_fairly() {
    for case in cases().iter().take(2) {
        check(case);
    }
}

#[test]
fn a_pair_is_judged_fairly() {
    for case in cases().iter().skip(2).take(2) {
        check(case);
    }
}

#[test]
fn a_loop_is_judged_fairly() {
    for case in cases().iter().skip(4) {
        check(case);
    }
}

/// Every third sketch of the course from the given one on, so that the tests share the work.
fn check_course(first: usize) {
    let cases = lesson_cases();
    assert!(cases.len() >= 4, "{} sketches", cases.len());
    for case in cases.iter().skip(first).step_by(3) {
        check(case);
    }
}

#[test]
fn sketches_of_the_course_are_judged_fairly() {
    check_course(0);
}

#[test]
fn further_sketches_of_the_course_are_judged_fairly() {
    check_course(1);
}

#[test]
fn the_other_sketches_of_the_course_are_judged_fairly() {
    check_course(2);
}

#[test]
fn most_pictures_can_be_recognised() {
    for case in cases() {
        let expectation = Expectation::new(&case.task()).unwrap();
        // A picture of an uneven device may be the truth about an even one.
        let x: Vec<f64> = (0..=40)
            .map(|k| case.grid.from + (case.grid.to - case.grid.from) * f64::from(k) / 40.0)
            .collect();
        let truth = case.values(MODEL, &x);
        let differs = |picture: &str| {
            let values = case.values(picture, &x);
            values.iter().zip(&truth).any(|(a, b)| (a - b).abs() > 1e-6)
        };
        let known = pictures::known(case.setup.description().kind, &case.column)
            .iter()
            .filter(|picture| differs(picture.name))
            .count();
        assert!(
            expectation.recognisable().count() + 1 >= known,
            "{}",
            case.name
        );
    }
}
