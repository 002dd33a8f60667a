//! The sketch: every way of drawing fills one array, and what is stored comes back.

use crate::hands::cases;
use coldfringe::prediction::{Expectation, Origin, Side, Sketch, SketchGrid, SketchTextError};
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
    assert!(again.encode().len() < 400, "{}", again.encode());
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
    let no_extent = SketchGrid::new(0.0, 0.0, 0.0, 1.0, 9);
    assert_eq!(
        Sketch::decode(no_extent, "s165.-65"),
        Err(SketchTextError::Axes)
    );
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
