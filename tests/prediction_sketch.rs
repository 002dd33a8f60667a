//! The sketch: every way of drawing fills one array, and what is stored comes back.
#![cfg(not(target_arch = "wasm32"))]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test stops at the first surprise"
)]

mod hands;

use coldfringe::prediction::{
    Answer, Confidence, Expectation, MODEL, Origin, Side, Sketch, SketchGrid, SketchTextError,
    Verdict, sure_but_different,
};
use hands::{Case, HANDS, Hand, cases, draw, sketch};
use proptest::prelude::*;

fn paper() -> SketchGrid {
    SketchGrid::new(-2.0, 2.0, 0.0, 1.0, 17)
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-9
}

#[test]
fn a_stroke_is_joined_between_its_points() {
    let mut sketch = Sketch::new(paper());
    sketch.stroke(&[(-2.0, 0.0), (2.0, 1.0)]);
    assert!(near(sketch.coverage(), 1.0));
    assert!(sketch.gaps().is_empty() && sketch.is_complete());
    assert_eq!(sketch.column(8).unwrap().value, 500);
}

#[test]
fn a_later_stroke_and_a_stroke_that_turns_back_overwrite() {
    let mut sketch = Sketch::new(paper());
    sketch.stroke(&[(-2.0, 0.2), (2.0, 0.2)]);
    sketch.stroke(&[(1.0, 0.8), (-1.0, 0.8)]);
    assert_eq!(sketch.column(8).unwrap().value, 800);
    assert_eq!(sketch.column(0).unwrap().value, 200);
    sketch.stroke(&[(-1.0, 0.1), (1.0, 0.1), (1.0, 0.9), (-1.0, 0.9)]);
    assert_eq!(sketch.column(8).unwrap().value, 900);
}

#[test]
fn strokes_leave_gaps_and_say_where() {
    let mut sketch = Sketch::new(paper());
    sketch.stroke(&[(-2.0, 0.5), (0.0, 0.5)]);
    sketch.stroke(&[(1.0, 0.5), (2.0, 0.5)]);
    assert!(!sketch.is_complete());
    assert_eq!(sketch.points().len(), 2);
    let gaps = sketch.gaps();
    assert_eq!(gaps.len(), 1);
    assert!(near(gaps[0].0, 0.0) && near(gaps[0].1, 1.0), "{gaps:?}");
}

#[test]
fn a_tap_is_joined_with_its_neighbours_and_can_be_moved() {
    let mut sketch = Sketch::new(paper());
    sketch.tap(-2.0, 0.0);
    sketch.tap(2.0, 1.0);
    assert!(sketch.is_complete());
    assert_eq!(sketch.column(8).unwrap().origin, Origin::Joined);
    assert_eq!(sketch.column(8).unwrap().value, 500);
    sketch.tap(0.0, 0.9);
    sketch.tap(0.01, 0.1);
    assert_eq!(sketch.knots().len(), 3);
    assert_eq!(sketch.column(8).unwrap().value, 100);
}

#[test]
fn a_tap_on_a_stroke_bends_it_within_one_column() {
    let mut sketch = Sketch::new(paper());
    sketch.stroke(&[(-2.0, 0.5), (2.0, 0.5)]);
    sketch.tap(0.0, 1.0);
    assert!(sketch.is_complete());
    assert_eq!(sketch.column(7).unwrap().value, 500);
    assert_eq!(sketch.column(8).unwrap().value, 1000);
    let halfway = sketch.samples()[sketch.grid().column_sample(8) - 4].unwrap();
    assert_eq!(halfway.value, 750);
}

#[test]
fn keys_raise_lower_and_take_away() {
    let mut sketch = Sketch::new(paper());
    sketch.raise(0, 50, Side::Both);
    assert_eq!(sketch.column(0).unwrap().value, 550);
    sketch.raise(1, 50, Side::Both);
    assert_eq!(sketch.column(1).unwrap().value, 600);
    sketch.lower(1, 2000, Side::Both);
    assert_eq!(sketch.column(1).unwrap().value, 0);
    sketch.remove(1);
    assert!(sketch.column(1).is_none());
    sketch.raise(17, 50, Side::Both);
    assert!(sketch.column(99).is_none(), "no column beyond the axis");
}

#[test]
fn a_jump_has_two_values_at_one_place() {
    let mut sketch = Sketch::new(paper());
    sketch.set_column(0, 0.5, Side::Both);
    sketch.set_column(16, 0.5, Side::Both);
    sketch.jump(8);
    sketch.set_column(8, 0.0, Side::Left);
    sketch.set_column(8, 1.0, Side::Right);
    let jump = sketch.column(8).unwrap();
    assert_eq!((jump.value, jump.after), (0, Some(1000)));
    let points = sketch.points();
    assert_eq!(points.len(), 1);
    let at_zero: Vec<f64> = points[0]
        .iter()
        .filter(|(x, _)| near(*x, 0.0))
        .map(|(_, y)| *y)
        .collect();
    assert_eq!(at_zero, [0.0, 1.0]);
    sketch.raise(8, 100, Side::Both);
    assert_eq!(sketch.column(8).unwrap().value, 100);
    assert!(sketch.undo(), "one key press is one step back");
    assert_eq!(sketch.column(8).unwrap().value, 0);
    sketch.jump(8);
    assert_eq!(sketch.column(8).unwrap().after, None);
}

#[test]
fn every_change_can_be_taken_back() {
    let mut sketch = Sketch::new(paper());
    sketch.stroke(&[(-2.0, 0.0), (2.0, 1.0)]);
    let drawn = sketch.clone();
    sketch.tap(0.0, 0.9);
    sketch.jump(4);
    sketch.remove(3);
    sketch.clear();
    assert!(sketch.is_empty());
    for _ in 0..4 {
        assert!(sketch.undo());
    }
    assert_eq!(sketch, drawn);
    assert!(sketch.undo() && sketch.is_empty() && !sketch.can_undo() && !sketch.undo());
}

#[test]
fn what_is_stored_comes_back() {
    let mut sketch = Sketch::new(paper());
    sketch.stroke(&[(-2.0, 0.0), (-0.9, 0.3)]);
    sketch.tap(0.0, 0.9);
    sketch.jump(12);
    sketch.set_column(12, 0.2, Side::Right);
    let again = Sketch::decode(paper(), &sketch.encode()).unwrap();
    assert_eq!(again, sketch);
    let answer = Answer::Sketch { sketch };
    let json = serde_json::to_string(&answer).unwrap();
    assert!(json.len() < 400, "{json}");
    assert_eq!(serde_json::from_str::<Answer>(&json).unwrap(), answer);
}

#[test]
fn what_is_foreign_is_refused() {
    let paper = paper();
    let decode = |text: &str| Sketch::decode(paper, text).unwrap_err();
    assert_eq!(decode(""), SketchTextError::Version);
    assert_eq!(decode("<svg>"), SketchTextError::Version);
    assert_eq!(decode("s2129.-129"), SketchTextError::Version);
    let wanted = paper.samples();
    assert_eq!(
        decode("s117.-17"),
        SketchTextError::Length { wanted, found: 17 }
    );
    assert_eq!(
        decode("s1129.-128"),
        SketchTextError::Length { wanted, found: 128 }
    );
    assert_eq!(
        decode("s1129.-99999999999"),
        SketchTextError::Run { run: 1 }
    );
    assert_eq!(decode("s1129.kzz.-128"), SketchTextError::Run { run: 1 });
    assert_eq!(decode("s1129.-1.p0é"), SketchTextError::Run { run: 2 });
    let json = r#"{"kind":"sketch","sketch":{"grid":{"from":0,"to":0,"bottom":0,"top":1,"columns":9},"text":"s165.-65"}}"#;
    assert!(serde_json::from_str::<Answer>(json).is_err());
}

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

const STEADY: Hand = Hand {
    name: "steady",
    stretch: 0.0,
    height: 0.0,
    uneven: 0.0,
    lobes: 0.0,
    tremor: 0.0,
};

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

/// Anything a pointer, a finger or a keyboard can do to a sketch.
#[derive(Debug, Clone)]
enum Act {
    Stroke(Vec<(f64, f64)>),
    Tap(f64, f64),
    Set(u16, u16, u8),
    Raise(u16, i32, u8),
    Jump(u16),
    Remove(u16),
    Undo,
    Clear,
}

fn act() -> impl Strategy<Value = Act> {
    let wild = prop_oneof![
        8 => -4.0..4.0_f64,
        1 => any::<f64>(),
        1 => Just(f64::NAN),
        1 => Just(f64::INFINITY),
    ];
    let point = (wild.clone(), wild.clone());
    prop_oneof![
        6 => proptest::collection::vec(point, 0..40).prop_map(Act::Stroke),
        3 => (wild.clone(), wild).prop_map(|(x, y)| Act::Tap(x, y)),
        3 => (0..70_u16, any::<u16>(), 0..3_u8).prop_map(|(c, v, s)| Act::Set(c, v, s)),
        2 => (any::<u16>(), any::<i32>(), 0..3_u8).prop_map(|(c, v, s)| Act::Raise(c, v, s)),
        2 => (0..70_u16).prop_map(Act::Jump),
        1 => any::<u16>().prop_map(Act::Remove),
        1 => Just(Act::Undo),
        1 => Just(Act::Clear),
    ]
}

fn side(number: u8) -> Side {
    match number {
        0 => Side::Both,
        1 => Side::Left,
        _ => Side::Right,
    }
}

fn apply(sketch: &mut Sketch, act: &Act) {
    match act {
        Act::Stroke(points) => sketch.stroke(points),
        Act::Tap(x, y) => sketch.tap(*x, *y),
        Act::Set(column, value, on) => sketch.set_column_value(*column, *value, side(*on)),
        Act::Raise(column, by, on) => sketch.raise(*column, *by, side(*on)),
        Act::Jump(column) => sketch.jump(*column),
        Act::Remove(column) => sketch.remove(*column),
        Act::Undo => {
            sketch.undo();
        }
        Act::Clear => sketch.clear(),
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 150, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn nothing_done_to_a_sketch_breaks_it(acts in proptest::collection::vec(act(), 1..25)) {
        for case in cases().iter().step_by(3) {
            let expectation = Expectation::new(&case.task()).unwrap();
            let mut sketch = Sketch::new(case.grid);
            for act in &acts {
                apply(&mut sketch, act);
            }
            prop_assert_eq!(sketch.samples().len(), case.grid.samples());
            let inside = |sample: &coldfringe::prediction::Sample| {
                sample.value <= 1000 && sample.right() <= 1000
            };
            prop_assert!(sketch.samples().iter().flatten().all(inside), "beyond the axis");
            prop_assert_eq!(&Sketch::decode(case.grid, &sketch.encode()).unwrap(), &sketch);
            let said = expectation.assess(&sketch);
            prop_assert_eq!(said.complete, sketch.is_complete());
            prop_assert!(said.differences.len() <= 2);
        }
    }

    #[test]
    fn any_text_is_decoded_or_refused(text in "s1[0-9]{0,4}[.pkj0-9a-z-]{0,80}") {
        let _ = Sketch::decode(paper(), &text);
    }
}
