//! Every question of every lesson can be answered, and what is offered beside the right answer
//! can be told from it.

use crate::course::lessons;
use coldfringe::experiment::{Setup, SetupSpec, seek};
use coldfringe::lesson::spec::{Ask, Block, ChartSpec, NumberSpec};
use coldfringe::prediction::number::slip_values;
use coldfringe::prediction::{
    Expectation, MODEL, NumberVerdict, Sketch, SketchGrid, SketchTask, Verdict, assess,
    assess_number, pick, pictures,
};

/// Every live block of every lesson, with the lesson's name.
fn blocks() -> Vec<(String, Block)> {
    let blocks: Vec<_> = lessons()
        .iter()
        .flat_map(|lesson| {
            lesson
                .blocks()
                .map(|block| (lesson.slug.clone(), block.clone()))
        })
        .collect();
    assert!(blocks.len() > 10, "the lessons hold questions");
    blocks
}

fn task<'a>(
    setup: &'a Setup,
    chart: &'a ChartSpec,
    columns: u16,
    pictures: &'a [String],
) -> SketchTask<'a> {
    SketchTask {
        setup,
        column: &chart.column,
        x: setup.axis(&chart.x.scale).unwrap(),
        y: setup.column_scale(&chart.column, &chart.y.scale).unwrap(),
        grid: SketchGrid::new(chart.x.from, chart.x.to, chart.y.from, chart.y.to, columns),
        pictures,
    }
}

/// A picture's curve on the axes of a task, cut off where they end.
fn drawn(task: &SketchTask<'_>, picture: &str) -> Vec<(f64, f64)> {
    let grid = task.grid;
    let x: Vec<f64> = (0..=400)
        .map(|step| grid.from + (grid.to - grid.from) * f64::from(step) / 400.0)
        .collect();
    let si: Vec<f64> = x.iter().map(|x| x * task.x.si_per_unit).collect();
    let values = pictures::curve(picture, task.setup, task.column, &si).unwrap();
    x.into_iter()
        .zip(values)
        .map(|(x, value)| (x, (value / task.y.si_per_unit).clamp(grid.bottom, grid.top)))
        .collect()
}

#[test]
fn every_sketch_question_knows_its_own_curves() {
    let mut questions = 0;
    for (lesson, block) in blocks() {
        let Block::Predict(prediction) = block else {
            continue;
        };
        let Ask::Sketch {
            chart,
            columns,
            pictures: names,
        } = &prediction.ask
        else {
            continue;
        };
        questions += 1;
        let setup = Setup::from_spec(&prediction.setup).unwrap();
        let task = task(&setup, chart, *columns, names);
        let place = format!("{lesson}, {}", prediction.id);
        for name in names {
            let known = pictures::find(setup.description().kind, &chart.column, name);
            assert!(known.is_some(), "{place}: no picture {name}");
        }
        let recognisable = Expectation::new(&task).unwrap().recognisable().count();
        assert_eq!(recognisable, names.len(), "{place}");
        for name in names.iter().map(String::as_str).chain([MODEL]) {
            let mut sketch = Sketch::new(task.grid);
            sketch.stroke(&drawn(&task, name));
            let verdict = assess(&task, &sketch).unwrap().verdict;
            match verdict {
                Verdict::Right => assert_eq!(name, MODEL, "{place}"),
                Verdict::WrongPicture(named) => assert_eq!(name, named, "{place}"),
                Verdict::Ask(ref options) => {
                    assert!(
                        name != MODEL && options.contains(&name),
                        "{place}: {name} {verdict:?}"
                    );
                }
                _ => panic!("{place}: {name} is called {verdict:?}"),
            }
        }
    }
    assert!(questions >= 3, "{questions} sketch questions");
}

#[test]
fn the_curves_on_offer_can_be_told_apart() {
    for (lesson, block) in blocks() {
        let Block::Predict(prediction) = block else {
            continue;
        };
        let Ask::PickCurve {
            chart,
            pictures: names,
        } = &prediction.ask
        else {
            continue;
        };
        let setup = Setup::from_spec(&prediction.setup).unwrap();
        let task = task(&setup, chart, 25, names);
        let offered = pick::curves(setup.description().kind, &chart.column, names);
        assert_eq!(
            offered.len(),
            names.len() + 1,
            "{lesson}, {}",
            prediction.id
        );
        let curves: Vec<_> = offered.iter().map(|name| drawn(&task, name)).collect();
        let height = task.grid.top - task.grid.bottom;
        for (index, one) in curves.iter().enumerate() {
            for (other_index, other) in curves.iter().enumerate().skip(index + 1) {
                let apart = one
                    .iter()
                    .zip(other)
                    .map(|(a, b)| (a.1 - b.1).abs())
                    .fold(0.0, f64::max);
                assert!(
                    apart > 0.15 * height,
                    "{lesson}, {}: {} and {} are at most {apart:.3} apart",
                    prediction.id,
                    offered[index],
                    offered[other_index]
                );
            }
        }
    }
}

#[test]
fn every_marker_has_its_place() {
    for (lesson, block) in blocks() {
        let Block::Predict(prediction) = block else {
            continue;
        };
        let Ask::MarkAxis {
            chart,
            answer,
            within,
            slips,
        } = &prediction.ask
        else {
            continue;
        };
        let place = format!("{lesson}, {}", prediction.id);
        let setup = Setup::from_spec(&prediction.setup).unwrap();
        let at = seek(&setup, answer).unwrap() / setup.axis(&chart.x.scale).unwrap().si_per_unit;
        assert!((chart.x.from..=chart.x.to).contains(&at), "{place}: {at}");
        for slip in slips {
            assert!(
                pictures::find(setup.description().kind, &chart.column, &slip.picture).is_some(),
                "{place}: no picture {}",
                slip.picture
            );
            assert!(
                (slip.at - at).abs() > 3.0 * within,
                "{place}: a slip at the right place"
            );
        }
    }
}

/// The right value passes in its own unit, and is at least five tolerances from every slip; slips
/// are as far from one another.
#[test]
fn every_number_can_be_answered_and_its_slips_told_apart() {
    let mut questions = 0;
    let mut check = |place: String, spec: &SetupSpec, number: &NumberSpec| {
        questions += 1;
        let setup = Setup::from_spec(spec).unwrap();
        let task = number.task(&setup);
        let (right, slips) = slip_values(&task).unwrap_or_else(|error| panic!("{place}: {error}"));
        let base = coldfringe::experiment::sought_unit(&setup, &number.answer).unwrap();
        let said = assess_number(&task, &format!("{right:e} {base}")).unwrap();
        assert_eq!(said.verdict, NumberVerdict::Right, "{place}: {said:?}");
        let mut values: Vec<(String, f64)> = vec![("the right value".to_owned(), right)];
        for name in &number.slips {
            assert!(
                slips.iter().any(|(slip, _)| slip.name() == name),
                "{place}: `{name}` makes nothing here"
            );
        }
        values.extend(
            slips
                .into_iter()
                .map(|(slip, value)| (slip.name().to_owned(), value)),
        );
        for (index, (one, a)) in values.iter().enumerate() {
            for (other, b) in values
                .iter()
                .skip(index + 1)
                .filter(|(other, _)| other != one)
            {
                let apart = (a - b).abs() / a.abs().min(b.abs());
                assert!(
                    apart > 5.0 * number.within,
                    "{place}: {one} and {other} are {apart:.3} apart"
                );
            }
        }
    };
    for (lesson, block) in blocks() {
        match &block {
            Block::Question(question) => {
                check(
                    format!("{lesson}, {}", question.id),
                    &question.setup,
                    &question.number,
                );
            }
            Block::Predict(prediction) => {
                if let Ask::Number(number) = &prediction.ask {
                    check(
                        format!("{lesson}, {}", prediction.id),
                        &prediction.setup,
                        number,
                    );
                }
            }
            _ => {}
        }
    }
    assert!(questions >= 6, "{questions} numeric questions");
}
