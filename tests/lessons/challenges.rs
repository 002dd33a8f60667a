//! The challenges at the lessons' benches: not met at the start, and met by a slider alone or by a painting.

use crate::course::lessons;
use coldfringe::experiment::{Setup, seek};
use coldfringe::lesson::spec::Block;
use coldfringe::prediction::sketch::{Side, Sketch};
use coldfringe::session::paint;

/// Profiles that a hand may paint: from even to a triangle, and with a right half that is weaker than the left one.
fn paintings(strips: u16) -> Vec<Sketch> {
    let paper = paint::paper(strips);
    let mut all = Vec::new();
    for step in 0..=100_u32 {
        let share = f64::from(step) / 100.0;
        let slanting = |x: f64| 1.0 - share * 2.0 * x.abs();
        let lopsided = |x: f64| if x > 0.0 { share } else { 1.0 };
        for shape in [&slanting as &dyn Fn(f64) -> f64, &lopsided] {
            let mut sketch = Sketch::new(paper);
            for column in 0..strips {
                sketch.set_column(column, shape(paper.column_x(column)), Side::Both);
            }
            all.push(sketch);
        }
    }
    all
}

/// A challenge must not be met already, and one of the sliders alone, or a painting, must meet it.
#[test]
fn every_challenge_can_be_met_by_a_slider() {
    for lesson in lessons() {
        for block in lesson.blocks() {
            let Block::Bench(bench) = block else { continue };
            for challenge in &bench.challenges {
                let name = format!("{}/{}: {}", lesson.slug, bench.id, challenge.text);
                let start = Setup::from_spec(&bench.setup).unwrap();
                // Readings are counted in their own unit, which for flux is the quantum.
                let unit = start
                    .description()
                    .reading(&challenge.reading)
                    .filter(|found| !found.unit.is_empty())
                    .map_or(1.0, |found| {
                        coldfringe::quantity::parse_unit(found.unit).unwrap().factor
                    });
                let target = coldfringe::quantity::parse_quantity(&challenge.target)
                    .unwrap()
                    .si
                    / unit;
                // A device may lack the reading, as a loop that never jumps has no first jump.
                let off = |setup: &Setup| {
                    let reading = challenge.reading.clone();
                    let sought = coldfringe::lesson::spec::Sought::Reading { reading };
                    seek(setup, &sought).map_or(f64::INFINITY, |got| (got - target) / target.abs())
                };
                assert!(
                    off(&start).abs() > challenge.within,
                    "{name}: met before anything is moved"
                );
                let met = bench.sliders.iter().any(|slider| {
                    let last = ((slider.to - slider.from) / slider.step).round() as u32;
                    let at = |step: u32| {
                        let mut setup = start.clone();
                        let value = slider.from + f64::from(step) * slider.step;
                        setup
                            .set(&slider.parameter, &format!("{value} {}", slider.unit))
                            .unwrap();
                        off(&setup)
                    };
                    is_met(last, challenge.within, &at)
                });
                let painted = bench.paint.as_ref().is_some_and(|found| {
                    paintings(found.strips).iter().any(|sketch| {
                        let mut setup = start.clone();
                        paint::apply(sketch, &mut setup, &found.parameter).unwrap()
                            && off(&setup) <= challenge.within
                    })
                });
                assert!(met || painted, "{name}: no step of a slider meets it");
            }
        }
    }
}

/// Whether one of the steps up to the last comes within so much of nothing. In strides first: where the sign changes between two of them, the
/// steps between are halved; only if that finds none is every step looked at.
fn is_met(last: u32, within: f64, at: &dyn Fn(u32) -> f64) -> bool {
    const STRIDES: u32 = 12;
    let strides: Vec<(u32, f64)> = (0..=STRIDES)
        .map(|k| k * last / STRIDES)
        .map(|step| (step, at(step)))
        .collect();
    for pair in strides.windows(2) {
        let [(mut low, mut below), (mut high, above)] = [pair[0], pair[1]];
        let mut least = below.abs().min(above.abs());
        while (below > 0.0) != (above > 0.0) && high - low > 1 {
            let middle = low + (high - low) / 2;
            let off = at(middle);
            least = least.min(off.abs());
            if (off > 0.0) == (below > 0.0) {
                (low, below) = (middle, off);
            } else {
                high = middle;
            }
        }
        if least <= within {
            return true;
        }
    }
    (0..=last.min(2000)).any(|step| at(step).abs() <= within)
}
