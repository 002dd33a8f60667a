//! The rules by which tries, hints and slips become points.

use coldfringe::homework::judge::Expected;
use coldfringe::homework::{Entry, Kind, Paper, Variant, mark};

use super::by_hand::{entry, place, slits, student};

#[test]
fn marks_follow_the_rules() {
    let assignment = slits();
    let paper = Paper::new(assignment);
    let variant = Variant::of(assignment, &student("ab12"));
    let task = place(assignment, "first-zero");
    let expected = paper.expected(task, &variant).unwrap();
    let Expected::Number(number) = &*expected else {
        panic!()
    };
    let right = number.written(number.value(), 4);
    let double = number.written(2.0 * number.value(), 4);
    let odd = number.written(1.3 * number.value(), 4);
    let marked = |steps: &[(Kind, &str)]| {
        let entries: Vec<Entry> = steps
            .iter()
            .zip(1..)
            .map(|((kind, text), at)| entry(at, "first-zero", *kind, text))
            .collect();
        mark(&paper, &variant, &entries).unwrap().tasks[task].clone()
    };
    use Kind::{Answer, Hint};
    let at_once = marked(&[(Answer, &right)]);
    assert!(at_once.right_at_once());
    assert!((at_once.points - 1.0).abs() < 1e-12);
    // What cannot be read, or is of another kind, costs nothing; so does the same again.
    let patient = marked(&[
        (Answer, "1,234"),
        (Answer, "3 kg"),
        (Answer, ""),
        (Answer, &double),
        (Answer, &double.replace(' ', "")),
        (Answer, &right),
    ]);
    assert_eq!((patient.tries, patient.right), (2, true));
    assert!(
        (patient.points - 1.0).abs() < 1e-12,
        "two tries count in full"
    );
    assert_eq!(patient.slips, ["factor-2"]);
    let third = marked(&[(Answer, &double), (Answer, &odd), (Answer, &right)]);
    assert!((third.points - 0.5).abs() < 1e-12);
    // Five tries, then none.
    let wrong: Vec<String> = (0..5)
        .map(|step| number.written(number.value() * (1.3 + 0.1 * f64::from(step)), 4))
        .collect();
    let mut steps: Vec<(Kind, &str)> = wrong.iter().map(|text| (Answer, text.as_str())).collect();
    steps.push((Answer, &right));
    let spent = marked(&steps);
    assert_eq!((spent.tries, spent.right, spent.late), (5, false, 1));
    // The worked solution closes the question.
    let told = marked(&[(Hint, "1"), (Hint, "4"), (Answer, &right)]);
    assert_eq!((told.right, told.late, told.hints), (false, 1, 4));
    // After a right answer nothing more counts.
    let done = marked(&[(Answer, &right), (Answer, &odd)]);
    assert_eq!((done.right, done.tries, done.late), (true, 1, 1));
}
