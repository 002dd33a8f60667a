//! Every device, axis, wrong picture and place in the lessons can be computed and shown: a curve fills its chart and stays
//! on it, and a wrong picture can be told from it.

use crate::course::lessons;
use coldfringe::experiment::{Setup, read_place, run, seek};
use coldfringe::lesson::spec::{Ask, Block, ChartSpec};
use coldfringe::prediction::pictures;

fn can_be_drawn(name: &str, setup: &Setup, chart: &ChartSpec, wrong: &[String]) {
    let axis = setup
        .axis(&chart.x.scale)
        .unwrap_or_else(|| panic!("{name}: no axis {}", chart.x.scale));
    let x: Vec<f64> = (0..=200)
        .map(|k| {
            let share = f64::from(k) / 200.0;
            (chart.x.from + share * (chart.x.to - chart.x.from)) * axis.si_per_unit
        })
        .collect();
    let scale = setup.column_scale(&chart.column, &chart.y.scale).unwrap();
    let trace = run(setup, &x).unwrap();
    let room = |values: &[f64]| {
        let (low, high) = values
            .iter()
            .map(|value| value / scale.si_per_unit)
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), y| {
                (low.min(y), high.max(y))
            });
        (low, high)
    };
    for column in std::iter::once(&chart.column).chain(&chart.also) {
        let (low, high) = room(&trace.column(column).unwrap().values);
        assert!(
            low >= chart.y.from && high <= chart.y.to,
            "{name}: {column} runs from {low} to {high}, outside its axis"
        );
        // A curve lost in a corner of its axis cannot be predicted.
        assert!(
            high - low > 0.15 * (chart.y.to - chart.y.from),
            "{name}: {column} runs from {low} to {high} and hardly fills its axis"
        );
    }
    let kind = setup.description().kind;
    for picture in wrong {
        assert!(
            pictures::find(kind, &chart.column, picture).is_some(),
            "{name}: {picture} is not known for {kind}, {}",
            chart.column
        );
        let curve = pictures::curve(picture, setup, &chart.column, &x).unwrap();
        let true_curve = &trace.column(&chart.column).unwrap().values;
        let apart = curve
            .iter()
            .zip(true_curve)
            .map(|(wrong, right)| ((wrong - right) / scale.si_per_unit).abs())
            .fold(0.0, f64::max);
        assert!(
            apart > 0.1 * (chart.y.to - chart.y.from),
            "{name}: {picture} cannot be told from the computed curve in this window"
        );
    }
}

#[test]
fn every_chart_shows_its_curve_and_every_wrong_picture_another() {
    let mut seen = 0;
    for lesson in lessons() {
        for block in lesson.blocks() {
            let name = format!("{}/{}", lesson.slug, block.id());
            match block {
                Block::Predict(prediction) => {
                    let setup = Setup::from_spec(&prediction.setup).unwrap();
                    match &prediction.ask {
                        Ask::Sketch {
                            chart, pictures, ..
                        }
                        | Ask::PickCurve { chart, pictures } => {
                            can_be_drawn(&name, &setup, chart, pictures);
                        }
                        Ask::MarkAxis {
                            chart,
                            answer,
                            within,
                            slips,
                        } => {
                            can_be_drawn(&name, &setup, chart, &[]);
                            let axis = setup.axis(&chart.x.scale).unwrap();
                            let at = seek(&setup, answer).unwrap() / axis.si_per_unit;
                            assert!(at > chart.x.from && at < chart.x.to, "{name}: {at}");
                            for slip in slips {
                                assert!(
                                    (slip.at - at).abs() > 3.0 * within
                                        && slip.at > chart.x.from
                                        && slip.at < chart.x.to,
                                    "{name}: {slip:?} is too near {at}, or off the axis"
                                );
                                assert!(
                                    pictures::find(
                                        setup.description().kind,
                                        &chart.column,
                                        &slip.picture
                                    )
                                    .is_some(),
                                    "{name}: {slip:?}"
                                );
                            }
                        }
                        Ask::PickStatement { .. } | Ask::MarkBoard { .. } | Ask::Number(_) => {}
                    }
                }
                Block::Board(board) => {
                    let setup = Setup::from_spec(&board.setup).unwrap();
                    read_place(&setup, &board.at).unwrap();
                }
                Block::Bench(bench) => {
                    let setup = Setup::from_spec(&bench.setup).unwrap();
                    can_be_drawn(&name, &setup, &bench.chart, &[]);
                }
                Block::Observe(_) | Block::Question(_) | Block::Record(_) => {}
            }
            seen += 1;
        }
    }
    assert!(seen > 30, "only {seen} blocks: are all lessons read?");
}
