//! Marks and choices: what is right, near or explained, and the order in which options stand.

use coldfringe::prediction::pictures::find;
use coldfringe::prediction::{MODEL, MarkTask, Verdict, assess_mark, pick};

#[test]
fn a_marker_is_right_near_or_explained() {
    let task = MarkTask {
        kind: "single-junction",
        column: "critical-current",
        answer: 1.0,
        mirrored: true,
        within: 0.1,
        slips: vec![(0.5, "half-quantum-zeros")],
        unit: "Phi0",
    };
    assert_eq!(assess_mark(&task, 0.92).verdict, Verdict::Right);
    assert_eq!(assess_mark(&task, -1.08).verdict, Verdict::Right);
    assert_eq!(assess_mark(&task, 1.15).verdict, Verdict::Near);
    let slip = assess_mark(&task, -0.52);
    assert_eq!(slip.verdict, Verdict::WrongPicture("half-quantum-zeros"));
    assert_eq!(
        slip.headline,
        "Your marker fits a pattern with its zeros at half quanta."
    );
    assert_eq!(
        slip.places,
        "Your marker is at −0.520; the computed place is −1.00 Φ₀."
    );
    assert!(slip.question.unwrap().ends_with('?'));
    assert_eq!(assess_mark(&task, 2.5).verdict, Verdict::Different);
    assert_eq!(assess_mark(&task, f64::NAN).verdict, Verdict::Different);
}

#[test]
fn a_chosen_curve_is_met_by_name() {
    let said = pick::assess_curve("single-junction", "critical-current", "squared");
    assert_eq!(said.verdict, Verdict::WrongPicture("squared"));
    assert_eq!(
        said.headline,
        "You chose the square of the sum, as for the brightness of light."
    );
    let said = pick::assess_curve("single-junction", "critical-current", MODEL);
    assert_eq!(said.verdict, Verdict::Right);
    let names = ["squared", "no-such", "shadow", "squared"].map(str::to_owned);
    let offered = pick::curves("single-junction", "critical-current", &names);
    assert_eq!(offered, [MODEL, "squared", "shadow"]);
    assert!(find("single-junction", "critical-current", "no-such").is_none());
}

#[test]
fn the_order_of_options_is_stable_for_a_reader_and_fair_over_readers() {
    assert_eq!(pick::shuffled(4, 1), pick::shuffled(4, 1));
    assert_eq!(pick::seed(""), 0xcbf2_9ce4_8422_2325);
    let mut first = [0_u32; 4];
    for reader in 0..4000 {
        let order = pick::shuffled(4, pick::seed(&format!("reader {reader}|pattern")));
        let mut sorted = order.clone();
        sorted.sort_unstable();
        assert_eq!(sorted, [0, 1, 2, 3]);
        first[order[0]] += 1;
    }
    assert!(
        first.iter().all(|count| (900..1100).contains(count)),
        "{first:?}"
    );
    assert!(pick::shuffled(0, 5).is_empty());
}
