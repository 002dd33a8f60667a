//! Records: each student has one, with noise of its own, and it can be read as well as the
//! tolerances ask.

use coldfringe::experiment::Setup;
use coldfringe::homework::judge::Expected;
use coldfringe::homework::template::AssignmentFile;
use coldfringe::homework::{Assignment, Paper, Variant};
use coldfringe::lesson::spec::Block;
use coldfringe::numerics::elementary::cos;
use coldfringe::session::Plot;

use super::by_hand::{QUANTUM, variants};
use crate::course;

/// A record as its student gets it: microtesla and microampere.
fn record(assignment: &Assignment, file: &AssignmentFile, variant: &Variant) -> Vec<(f64, f64)> {
    let json = file
        .lesson
        .blocks()
        .find(|block| matches!(block, Block::Record(_)))
        .map(|block| serde_json::to_string(block).unwrap())
        .unwrap();
    let open = file.opened(&json, coldfringe::homework::Draw::placeholder);
    let json = assignment.filled(&open, variant);
    let Block::Record(recording) = coldfringe::lesson::read::block(&json).unwrap() else {
        panic!("a record")
    };
    let setup = Setup::from_spec(&recording.setup).unwrap();
    Plot::new(setup, &recording.chart)
        .unwrap()
        .record(&recording)
        .unwrap()
        .points
}

fn square(value: f64) -> f64 {
    value * value
}

/// Period, greatest and smallest current of a record, read without the model: the square of the
/// current of two narrow junctions is a cosine about its mean. For every trial period the cosine is
/// fitted by least squares; the period that fits best is taken.
fn read(points: &[(f64, f64)]) -> [f64; 3] {
    let fit = |period: f64| -> (f64, f64, f64) {
        let wave = |x: f64| cos(2.0 * std::f64::consts::PI * x / period);
        let count = points.len() as f64;
        let sum = |of: &dyn Fn(f64, f64) -> f64| -> f64 {
            points.iter().map(|&(x, y)| of(x, y * y)).sum()
        };
        let (c, cc) = (sum(&|x, _| wave(x)), sum(&|x, _| wave(x) * wave(x)));
        let (s, sc) = (sum(&|_, s| s), sum(&|x, s| s * wave(x)));
        let height = (count * sc - c * s) / (count * cc - c * c);
        let mean = (s - height * c) / count;
        let rest = sum(&|x, s| square(s - mean - height * wave(x)));
        (rest, mean, height)
    };
    let mut best = (f64::INFINITY, 0.0);
    for step in 0..6000_u32 {
        let period = 5.0 + 0.0025 * f64::from(step);
        let rest = fit(period).0;
        if rest < best.0 {
            best = (rest, period);
        }
    }
    let (_, mean, height) = fit(best.1);
    [
        best.1,
        (mean + height).sqrt(),
        (mean - height).max(0.0).sqrt(),
    ]
}

/// Who reads the record with care is right, with room to spare: to half of every tolerance.
#[test]
fn every_record_can_be_read_to_half_of_the_tolerance() {
    let file = course::assignment("reading-data");
    let assignment = &file.assignment;
    let paper = Paper::new(assignment);
    for variant in variants(assignment, 40) {
        let points = record(assignment, file, &variant);
        assert_eq!(points.len(), 241);
        let [period, most, least] = read(&points);
        let found = [
            ("first-maximum", period),
            ("loop-area", QUANTUM / (period * 1e-6)),
            ("depth", (most - least) / most),
            ("weaker-junction", (most - least) / 2.0 * 1e-6),
        ];
        for (task, read) in found {
            let (place, _) = assignment.task(task).unwrap();
            let expected = paper.expected(place, &variant).unwrap();
            let (right, within) = match (&*expected, task) {
                (Expected::Place(place), _) => (place.answer(), 0.6),
                (Expected::Number(number), "loop-area") => (number.value(), 0.05 * number.value()),
                (Expected::Number(number), "depth") => (number.value(), 0.08 * number.value()),
                (Expected::Number(number), _) => (number.value(), 0.09 * number.value()),
                (other, _) => panic!("{other:?}"),
            };
            assert!(
                (read - right).abs() < 0.5 * within,
                "{task} of {:?}: read {read} for {right}",
                variant.chosen
            );
        }
    }
}

/// Two students with the same chip have tapes of their own, and neither has the curve without noise.
#[test]
fn each_tape_has_noise_of_its_own() {
    let file = course::assignment("reading-data");
    let assignment = &file.assignment;
    let mut variant = Variant::first(assignment);
    let one = record(assignment, file, &variant);
    assert_eq!(
        one,
        record(assignment, file, &variant),
        "the same each time"
    );
    let tape = assignment
        .draws
        .iter()
        .position(|draw| draw.name == "tape")
        .unwrap();
    variant.chosen[tape] = 1;
    let other = record(assignment, file, &variant);
    let apart: f64 = one.iter().zip(&other).map(|(a, b)| square(a.1 - b.1)).sum();
    // The difference of two noises of 1.5 µA each has a variance of 4.5 µA².
    let variance = apart / one.len() as f64;
    assert!(
        (variance - 4.5).abs() < 5.0 * 4.5 * (2.0 / 241.0_f64).sqrt(),
        "{variance}"
    );
}
