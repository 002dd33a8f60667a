//! The verdict on a shape does not depend on how it was drawn; what is not the right shape is never
//! called right.

use crate::hands;
use crate::hands::{Case, HANDS, STEADY, cases, draw, sketch};
use coldfringe::prediction::{
    Confidence, Expectation, MODEL, Side, Sketch, Verdict, sure_but_different,
};

/// A curve by taps at every column and in between, and by keys at every column; jumps by the two
/// values of a column.
fn by_taps(case: &Case, points: &[(f64, f64)]) -> Sketch {
    let mut tapped = Sketch::new(case.grid);
    let samples = case.grid.samples();
    for index in (0..samples).step_by(4) {
        let x = case.grid.x(index);
        tapped.tap(x, value_at(points, x));
    }
    tapped
}

fn by_keys(case: &Case, points: &[(f64, f64)]) -> Sketch {
    let mut keyed = Sketch::new(case.grid);
    let reach = 0.4 * (case.grid.x(8) - case.grid.x(0));
    for column in 0..case.grid.columns {
        let x = case.grid.column_x(column);
        let (left, here, right) = (
            value_at(points, x - reach),
            value_at(points, x),
            value_at(points, x + reach),
        );
        keyed.set_column(column, here, Side::Both);
        if (right - left).abs() > 0.25 * (case.grid.top - case.grid.bottom) {
            keyed.jump(column);
            keyed.set_column(column, left, Side::Left);
            keyed.set_column(column, right, Side::Right);
        }
    }
    keyed
}

fn value_at(points: &[(f64, f64)], x: f64) -> f64 {
    let right = points.partition_point(|point| point.0 < x);
    let right = right.clamp(1, points.len() - 1);
    let ((x0, y0), (x1, y1)) = (points[right - 1], points[right]);
    y0 + ((x - x0) / (x1 - x0)).clamp(0.0, 1.0) * (y1 - y0)
}

/// Right and near say the same to a reader: nothing differs. Which options are asked about may
/// vary with the joining lines.
fn kind_of(verdict: &Verdict) -> Verdict {
    match verdict {
        Verdict::Near => Verdict::Right,
        Verdict::Ask(_) => Verdict::Ask(Vec::new()),
        other => other.clone(),
    }
}

#[test]
fn the_same_shape_gets_the_same_verdict_however_it_came() {
    for case in cases() {
        let expectation = Expectation::new(&case.task()).unwrap();
        let mut names = vec![MODEL];
        names.extend(expectation.recognisable().map(|picture| picture.name));
        for name in names {
            let points = draw(&case, name, STEADY, 1);
            let stroked = expectation.assess(&sketch(&case, &points));
            let tapped = expectation.assess(&by_taps(&case, &points));
            let keyed = expectation.assess(&by_keys(&case, &points));
            let wanted = kind_of(&stroked.verdict);
            assert_eq!(
                kind_of(&tapped.verdict),
                wanted,
                "{} {name} by taps",
                case.name
            );
            assert_eq!(
                kind_of(&keyed.verdict),
                wanted,
                "{} {name} by keys",
                case.name
            );
        }
    }
}

/// The exact promise: the same samples, however they came, give the same assessment.
#[test]
fn equal_samples_give_equal_words() {
    for case in cases() {
        let expectation = Expectation::new(&case.task()).unwrap();
        let points = draw(&case, MODEL, HANDS[2], 7);
        let stroked = sketch(&case, &points);
        let mut tapped = Sketch::new(case.grid);
        for (index, sample) in stroked.samples().iter().enumerate() {
            // Every third sample: nearer taps would move the last one.
            if index % 3 == 0 {
                tapped.tap(case.grid.x(index), case.grid.y(sample.unwrap().value));
            }
        }
        let mut restroked = Sketch::new(case.grid);
        for piece in tapped.points() {
            restroked.stroke(&piece);
        }
        assert_eq!(expectation.assess(&tapped), expectation.assess(&restroked));
    }
}

#[test]
fn a_trembling_flat_line_is_never_right() {
    for case in cases() {
        let expectation = Expectation::new(&case.task()).unwrap();
        let height = case.grid.top - case.grid.bottom;
        for level in [0.1, 0.3, 0.5, 0.7, 0.9] {
            for seed in 0..40 {
                let mut dice = hands::Dice::new(1000 + seed);
                let points: Vec<(f64, f64)> = (0..=80)
                    .map(|step| {
                        let share = f64::from(step) / 80.0;
                        let x = case.grid.from + share * (case.grid.to - case.grid.from);
                        let y = case.grid.bottom + height * (level + 0.025 * dice.normal());
                        (x, y)
                    })
                    .collect();
                let verdict = expectation.assess(&sketch(&case, &points)).verdict;
                assert!(
                    !matches!(verdict, Verdict::Right | Verdict::Near),
                    "{} at {level}, seed {seed}: {verdict:?}",
                    case.name
                );
            }
        }
    }
}

#[test]
fn a_right_curve_turned_upside_down_or_half_drawn_is_not_right() {
    for case in cases() {
        let expectation = Expectation::new(&case.task()).unwrap();
        let points = draw(&case, MODEL, STEADY, 1);
        let (bottom, top) = (case.grid.bottom, case.grid.top);
        let turned: Vec<(f64, f64)> = points.iter().map(|&(x, y)| (x, bottom + top - y)).collect();
        let verdict = expectation.assess(&sketch(&case, &turned)).verdict;
        assert!(
            !matches!(verdict, Verdict::Right | Verdict::Near),
            "{}: {verdict:?}",
            case.name
        );
        let half = expectation.assess(&sketch(&case, &points[..points.len() / 2]));
        assert!(!half.complete);
        assert!(
            half.headline.starts_with("Please finish the curve from "),
            "{}",
            half.headline
        );
    }
}

#[test]
fn a_mirrored_sketch_of_an_even_curve_gets_the_same_verdict() {
    for case in cases().iter().take(4) {
        let expectation = Expectation::new(&case.task()).unwrap();
        for seed in 0..20 {
            let points = draw(case, MODEL, HANDS[0], seed);
            let mirrored: Vec<(f64, f64)> = points.iter().rev().map(|&(x, y)| (-x, y)).collect();
            assert_eq!(
                kind_of(&expectation.assess(&sketch(case, &points)).verdict),
                kind_of(&expectation.assess(&sketch(case, &mirrored)).verdict),
            );
        }
    }
}

#[test]
fn who_was_sure_is_told_where_to_look() {
    let place = Some("0.5 Φ₀");
    let words = sure_but_different(Confidence::Certain, &Verdict::Different, place).unwrap();
    assert_eq!(
        words,
        "You were sure; the curve differs at 0.5 Φ₀. Look there first."
    );
    assert!(sure_but_different(Confidence::Certain, &Verdict::Near, place).is_none());
    assert!(sure_but_different(Confidence::Guess, &Verdict::Different, place).is_none());
    for level in Confidence::ALL {
        assert_eq!(Confidence::from_name(level.name()), Some(level));
    }
}
