//! Typed numbers: what is understood, what counts, and which slip is named.

use crate::hands::{plover, tern};
use coldfringe::experiment::{Setup, Sought, seek};
use coldfringe::prediction::{
    NumberAssessment, NumberTask, NumberTaskError, NumberVerdict, Slip, assess_number, number,
};
use coldfringe::quantity::parse_quantity;
use proptest::prelude::*;

fn reading(name: &str) -> Sought {
    Sought::Reading {
        reading: name.to_owned(),
    }
}

fn ask(setup: &Setup, answer: &Sought, unit: &str, slips: &[&str], text: &str) -> NumberAssessment {
    let slips: Vec<String> = slips.iter().map(|&slip| slip.to_owned()).collect();
    let task = NumberTask {
        setup,
        answer,
        unit,
        within: 0.02,
        slips: &slips,
    };
    assess_number(&task, text).unwrap()
}

/// The first zero of Tern is at Phi0 / (w d) = 1.1425 mT.
fn first_zero(text: &str) -> NumberAssessment {
    let slips = [
        "factor-2",
        "factor-2pi",
        "factor-pi",
        "power-of-1000",
        "sign",
    ];
    ask(&tern(), &reading("first-zero"), "mT", &slips, text)
}

#[test]
fn many_ways_of_writing_the_right_value() {
    for text in [
        "1.1425 mT",
        "1,14 mT",
        "1.14mT",
        "1142 uT",
        "1142 µT",
        "1142 \u{3bc}T",
        "1.1425e-3 T",
        "1.1425×10^-3 T",
        "1.1425*10^-3 T",
        "1.14",
        " 1.142543 \u{2009}mT ",
        "11.425 G",
    ] {
        let said = first_zero(text);
        assert_eq!(said.verdict, NumberVerdict::Right, "{text}: {said:?}");
        assert!(said.counts());
    }
}

#[test]
fn what_was_understood_is_said_back() {
    assert_eq!(first_zero("1142 uT").read_as.unwrap(), "Read as 1.142 mT.");
    let bare = first_zero("1.14");
    assert_eq!(bare.read_as.unwrap(), "Read as 1.14 mT.");
    assert_eq!(bare.notes, ["No unit was given; mT was taken."]);
    assert_eq!(
        first_zero("1 mT").notes,
        ["One figure says little; give two or three."]
    );
}

#[test]
fn the_tolerance_is_kept_on_full_precision() {
    let setup = tern();
    let exact = seek(&setup, &reading("first-zero")).unwrap();
    for (share, right) in [
        (1.0199, true),
        (1.0201, false),
        (0.9801, true),
        (0.9799, false),
    ] {
        let said = first_zero(&format!("{:e} T", exact * share));
        assert_eq!(said.verdict == NumberVerdict::Right, right, "{share}");
    }
    assert_eq!(number::rule(0.02), "Within 2 % counts.");
    assert_eq!(number::rule(0.005), "Within 0.5 % counts.");
}

#[test]
fn slips_are_named_when_exactly_one_fits() {
    let named = |text: &str| match first_zero(text).verdict {
        NumberVerdict::Differs(slip) => slip.map(Slip::name),
        other => panic!("{text}: {other:?}"),
    };
    assert_eq!(named("0.571 mT"), Some("factor-2"));
    assert_eq!(named("2.285 mT"), Some("factor-2"));
    assert_eq!(named("7.18 mT"), Some("factor-2pi"));
    assert_eq!(named("0.3637 mT"), Some("factor-pi"));
    assert_eq!(named("1.1425 T"), Some("power-of-1000"));
    assert_eq!(named("\u{2212}1.1425 mT"), Some("sign"));
    assert_eq!(named("1.9 mT"), None);
    let said = first_zero("0.571 mT");
    assert_eq!(
        said.headline,
        "Yours is half the computed value: where did a factor of two get lost?"
    );
    // Two slips that both fit explain nothing.
    let both = ["factor-2", "radius-for-diameter"];
    let said = ask(&tern(), &reading("first-zero"), "mT", &both, "0.571 mT");
    assert_eq!(said.verdict, NumberVerdict::Differs(None));
}

#[test]
fn slips_computed_from_the_device() {
    // Period of Plover: Phi0 / (12 um^2) = 172.3 uT; with the junction's 0.724 um^2, 2.856 mT.
    let said = ask(
        &plover(),
        &reading("period"),
        "uT",
        &["factor-2", "junction-for-loop"],
        "2.856 mT",
    );
    assert_eq!(
        said.verdict,
        NumberVerdict::Differs(Some(Slip::JunctionForLoop))
    );
    let at = Sought::At {
        column: "critical-current".to_owned(),
        at: "43 uT".to_owned(),
    };
    let exact = seek(&plover(), &at).unwrap() * 1e6;
    let brightness = format!("{} uA", exact * exact / 100.0);
    let said = ask(&plover(), &at, "uA", &["squared"], &brightness);
    assert_eq!(said.verdict, NumberVerdict::Differs(Some(Slip::Squared)));
    let lobe = reading("first-side-lobe-current");
    let said = ask(
        &tern(),
        &lobe,
        "uA",
        &["squared", "power-of-1000"],
        "4.72 uA",
    );
    assert_eq!(said.verdict, NumberVerdict::Differs(Some(Slip::Squared)));
}

#[test]
fn another_kind_of_quantity_costs_no_try() {
    let said = first_zero("2.07 fWb");
    assert_eq!(said.verdict, NumberVerdict::OtherKind);
    assert_eq!(
        said.headline,
        "That is a magnetic flux; a magnetic field is asked (mT)."
    );
    assert!(!said.counts());
    let count = Sought::Count {
        span: "100 uT".to_owned(),
        reading: "period".to_owned(),
    };
    let said = ask(&plover(), &count, "", &[], "0.58");
    assert_eq!(said.verdict, NumberVerdict::Right);
    assert!(said.notes.is_empty());
    assert_eq!(
        ask(&plover(), &count, "", &[], "0.58 mT").verdict,
        NumberVerdict::OtherKind
    );
}

#[test]
fn what_cannot_be_read_costs_no_try() {
    for text in [
        "",
        "about a millitesla",
        "1,234 mT",
        "1.2.3 mT",
        "inf mT",
        "NaN",
        "1e999 mT",
        "5 xT",
    ] {
        let said = first_zero(text);
        assert_eq!(said.verdict, NumberVerdict::Unread, "{text}");
        assert!(!said.counts());
        assert!(said.headline.ends_with(['.', '?']), "{}", said.headline);
    }
    let asked = first_zero("1,234 mT").headline;
    assert!(asked.contains("two ways"), "{asked}");
}

#[test]
fn a_question_that_cannot_be_checked_says_why() {
    let (setup, answer) = (tern(), reading("first-zero"));
    let slips = ["factor-3".to_owned()];
    let mut task = NumberTask {
        setup: &setup,
        answer: &answer,
        unit: "Wb",
        within: 0.02,
        slips: &[],
    };
    assert!(matches!(
        assess_number(&task, "1").unwrap_err(),
        NumberTaskError::OtherKind { .. }
    ));
    task.unit = "mT";
    task.slips = &slips;
    let error = assess_number(&task, "1").unwrap_err();
    assert!(error.to_string().contains("factor-2pi"), "{error}");
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn nothing_typed_makes_an_error(text in "\\PC{0,60}") {
        let said = first_zero(&text);
        prop_assert!(!said.headline.is_empty());
    }
}

/// Marking a class asks only whether a text is right, many times over; the page asks for all that is said of it.
#[test]
fn what_is_accepted_is_what_is_judged_right() {
    let (setup, answer) = (tern(), reading("first-zero"));
    let expectation = number::NumberExpectation::new(&NumberTask {
        setup: &setup,
        answer: &answer,
        unit: "mT",
        within: 0.02,
        slips: &["factor-2".to_owned()],
    })
    .unwrap();
    let mut accepted = 0;
    let texts = [
        "1.14 mT",
        "1.14",
        "1,14 mT",
        "1142 uT",
        "1.14e-3 T",
        "2.28 mT",
        "1.2 mT",
        "-1.14 mT",
        "0",
        "1.14 kg",
        "1.14 T",
    ];
    for text in texts {
        let is_right = expectation.assess(text).verdict == NumberVerdict::Right;
        let parsed = parse_quantity(text).unwrap();
        assert_eq!(expectation.accepts(&parsed), is_right, "{text}");
        accepted += usize::from(is_right);
    }
    assert_eq!(accepted, 5);
}
