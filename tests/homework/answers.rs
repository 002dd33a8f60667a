//! The answers, worked out by hand from the formulas of the trade, and every kind of question in
//! each assignment.

use std::collections::BTreeMap;

use coldfringe::homework::judge::{Expected, Judgement};
use coldfringe::homework::{Assignment, Paper, Variant};
use coldfringe::lesson::spec::{Ask, Block};

use super::by_hand::{QUANTUM, assignment, place, slits, student, variants};
use crate::course;

/// CODATA 2022, exact digits: k in J/K.
const BOLTZMANN: f64 = 1.380_649e-23;

/// The value of a draw in SI units.
fn drawn(assignment: &Assignment, variant: &Variant, name: &str) -> f64 {
    let place = assignment.draws.iter().position(|draw| draw.name == name);
    let text = variant.value(assignment, place.unwrap()).unwrap();
    let (number, unit) = text.split_once(' ').unwrap_or((text, ""));
    let factor = match unit {
        "" | "K" => 1.0,
        "µA" => 1e-6,
        "pH" | "pF" | "µm²" => 1e-12,
        other => panic!("unit {other}"),
    };
    number.parse::<f64>().unwrap() * factor
}

#[test]
fn there_are_four_and_each_asks_in_every_way() {
    let mut slugs: Vec<&str> = course::assignments()
        .iter()
        .map(|file| file.assignment.slug.as_str())
        .collect();
    slugs.sort_unstable();
    assert_eq!(slugs, ["loops", "reading-data", "sensor-design", "slits"]);
    for file in course::assignments() {
        let mut kinds = [false; 4];
        for block in file.lesson.blocks() {
            let kind = match block {
                Block::Question(_) => 0,
                Block::Predict(prediction) => match prediction.ask {
                    Ask::Number(_) => 0,
                    Ask::PickCurve { .. } | Ask::PickStatement { .. } => 1,
                    Ask::MarkAxis { .. } | Ask::MarkBoard { .. } => 2,
                    Ask::Sketch { .. } => 3,
                },
                _ => continue,
            };
            kinds[kind] = true;
        }
        assert_eq!(
            kinds, [true; 4],
            "{}: number, pick, mark, sketch",
            file.file
        );
    }
}

/// The answers of *Slits*, from the formulas by hand for a hundred students.
#[test]
fn the_answers_of_slits_are_those_of_the_formulas() {
    let assignment = slits();
    let paper = Paper::new(assignment);
    // Height of the first side lobe: 1/sqrt(1 + x^2) at the first root of tan x = x above zero
    // (Abramowitz and Stegun, table 4.19, from memory; recomputed).
    let root = 4.493_409_457_909_064;
    let lobe = 1.0 / (1.0_f64 + root * root).sqrt();
    for number in 0..100 {
        let variant = Variant::of(assignment, &student(&format!("s{number}")));
        let value = |name: &str| -> f64 {
            let place = assignment.draws.iter().position(|draw| draw.name == name);
            let text = variant.value(assignment, place.unwrap()).unwrap();
            let (number, unit) = text.split_once(' ').unwrap();
            let factor = match unit {
                "µm" => 1e-6,
                "nm" => 1e-9,
                "µA" => 1e-6,
                "µm²" => 1e-12,
                other => panic!("unit {other}"),
            };
            number.parse::<f64>().unwrap() * factor
        };
        let wanted = BTreeMap::from([
            (
                "first-zero",
                QUANTUM / (value("width") * value("thickness")),
            ),
            ("side-lobe", lobe * value("current")),
            ("period", QUANTUM / value("area")),
        ]);
        for (task, wanted) in wanted {
            let expected = paper.expected(place(assignment, task), &variant).unwrap();
            let Expected::Number(found) = &*expected else {
                panic!("{task}")
            };
            assert!(
                (found.value() / wanted - 1.0).abs() < 1e-6,
                "{task}: {} for {wanted}",
                found.value()
            );
            assert_eq!(expected.judge(&found.written(wanted, 4)), Judgement::Right);
        }
    }
}

/// What the formulas of the trade give, worked out by hand.
#[test]
fn the_answers_are_those_of_the_formulas() {
    use std::f64::consts::PI;
    let mut looked_at = 0;
    for (slug, task, formula) in [
        (
            "sensor-design",
            "shunt",
            (|value: &dyn Fn(&str) -> f64| {
                (value("damping") * QUANTUM / (2.0 * PI * value("current") * value("capacitance")))
                    .sqrt()
            }) as fn(&dyn Fn(&str) -> f64) -> f64,
        ),
        ("sensor-design", "thermal-rounding", |value| {
            2.0 * PI * BOLTZMANN * value("temperature") / (value("current") * QUANTUM)
        }),
        ("sensor-design", "noise-energy", |value| {
            9.0 * BOLTZMANN * value("temperature") * value("inductance") / 6.0
        }),
        ("loops", "largest", |value| {
            QUANTUM / (2.0 * value("inductance"))
        }),
        ("loops", "holds-out", |value| {
            0.5 * QUANTUM + value("inductance") * value("current")
        }),
        ("loops", "inductance-for-beta", |value| {
            value("wanted-beta") * QUANTUM / (2.0 * value("small-current"))
        }),
        ("reading-data", "first-maximum", |value| {
            QUANTUM / value("area") / 1e-6
        }),
        ("reading-data", "loop-area", |value| value("area")),
        ("reading-data", "weaker-junction", |value| value("weaker")),
        ("reading-data", "depth", |value| {
            2.0 * value("weaker") / (value("stronger") + value("weaker"))
        }),
        ("slits", "first-minimum", |value| {
            QUANTUM / value("area") / 2.0 / 1e-6
        }),
    ] {
        let assignment = assignment(slug);
        let paper = Paper::new(assignment);
        let (place, _) = assignment.task(task).unwrap();
        for variant in variants(assignment, 60) {
            let wanted = formula(&|name| drawn(assignment, &variant, name));
            let expected = paper.expected(place, &variant).unwrap();
            let found = match &*expected {
                Expected::Number(number) => {
                    assert_eq!(
                        expected.judge(&number.written(wanted, 4)),
                        Judgement::Right,
                        "{task}: {} for {wanted}",
                        number.written(wanted, 4)
                    );
                    number.value()
                }
                Expected::Place(marked) => {
                    assert_eq!(expected.judge(&format!("{wanted:.3}")), Judgement::Right);
                    marked.answer()
                }
                other => panic!("{task}: {other:?}"),
            };
            // The width of the junctions moves a minimum of the pair by a little.
            let near = if task == "depth" || task == "first-minimum" {
                1e-4
            } else {
                1e-6
            };
            assert!(
                (found / wanted - 1.0).abs() < near,
                "{task}: {found} for {wanted}"
            );
            looked_at += 1;
        }
    }
    assert_eq!(looked_at, 660);
}
