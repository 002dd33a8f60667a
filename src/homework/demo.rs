//! An invented class, for trying marking out: right and wrong as people are, with a few receipts
//! that deserve a second look. The same number gives the same class.

mod curves;

use super::assignment::{Assignment, SOLUTION};
use super::identifier::Identifier;
use super::judge::Expected;
use super::marking::{Numbers, Paper, PaperError};
use super::receipt::{Entry, Kind, Receipt};
use super::variant::Variant;
use crate::experiment::Setup;
use crate::lesson::spec::{Ask, Block};
use crate::named::Named;
use crate::numerics::elementary::sin;
use crate::numerics::splitmix::SplitMix64;
use crate::prediction::{Confidence, MODEL, PictureError, Sketch, pick};
use curves::{Curves, STRETCH};

/// Why an invented class cannot be made.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum DemoError {
    /// The assignment cannot be computed.
    #[error(transparent)]
    Paper(#[from] PaperError),
    /// A curve to be drawn cannot be computed.
    #[error(transparent)]
    Picture(#[from] PictureError),
}

/// So many students in a row hold one of each peculiarity.
const ROUND: usize = 20;

/// Receipts of an invented class: file names and texts. At most 100,000.
///
/// # Errors
/// When the assignment cannot be computed.
pub fn class(assignment: &Assignment, count: usize) -> Result<Vec<(String, String)>, DemoError> {
    let paper = Paper::new(assignment);
    let mut curves = Curves::default();
    let mut files = Vec::new();
    for place in 0..count.min(100_000) {
        let student = Student::new(place);
        let honest = student.receipt(&paper, &mut curves, &student.name)?;
        let file = format!("{}.json", student.name);
        match place % ROUND {
            3 => files.push((file, edited(&honest.text()))),
            5 => {
                let mut receipt = honest;
                if let Some(last) = receipt.entries.last_mut() {
                    last.at = 0;
                }
                files.push((file, receipt.text()));
            }
            8 => {
                // Handed in twice: once in the middle, once at the end.
                let mut early = honest.clone();
                early.entries.truncate(early.entries.len().div_ceil(2));
                files.push((format!("{}-early.json", student.name), early.text()));
                files.push((file, honest.text()));
            }
            11 => {
                // Solved with a neighbour's sheet.
                let neighbour = Student::new(place.saturating_sub(1));
                let mut receipt = student.receipt(&paper, &mut curves, &neighbour.name)?;
                receipt.student.clone_from(&student.name);
                receipt.values = honest.values;
                files.push((file, receipt.text()));
            }
            13 => {
                let mut receipt = honest;
                receipt.student = format!("  {} ", receipt.student.to_uppercase());
                files.push((file, receipt.text()));
            }
            16 => {
                let text = honest.text();
                let half: String = text.chars().take(text.chars().count() / 2).collect();
                files.push((file, half));
            }
            18 => {
                let mut receipt = honest;
                receipt.version += 1;
                files.push((file, receipt.text()));
            }
            _ => files.push((file, honest.text())),
        }
    }
    Ok(files)
}

/// Somebody improved the last number in the file by hand.
fn edited(text: &str) -> String {
    match text.rfind("\"text\":\"") {
        Some(at) => {
            let at = at + "\"text\":\"".len();
            format!("{}1{}", &text[..at], &text[at..])
        }
        None => text.to_owned(),
    }
}

/// An invented student.
struct Student {
    name: String,
    dice: SplitMix64,
    /// How often this student is right, from 0 to 1.
    skill: f64,
}

impl Student {
    fn new(place: usize) -> Self {
        let mut dice = SplitMix64::new(0x00c0_1df2_1e5e ^ (place as u64 + 1));
        let skill = 0.35 + 0.6 * uniform(&mut dice);
        Self {
            name: format!("demo-{:04}", place + 1),
            dice,
            skill,
        }
    }

    /// What this student hands in, solving the sheet of `sheet`.
    fn receipt(
        &self,
        paper: &Paper<'_>,
        curves: &mut Curves,
        sheet: &str,
    ) -> Result<Receipt, DemoError> {
        let assignment = paper.assignment();
        let variant = Identifier::new(sheet).map_or_else(
            |_| Variant::first(assignment),
            |student| Variant::of(assignment, &student),
        );
        let mut work = Work {
            dice: self.dice.clone(),
            skill: self.skill,
            at: 0,
            tries: assignment.rules.tries,
            entries: Vec::new(),
            curves,
        };
        for (place, task) in assignment.tasks.iter().enumerate() {
            let expected = paper.expected(place, &variant)?;
            let block = assignment
                .block(task, &variant)
                .map_err(|error| PaperError::Spec {
                    task: task.id.clone(),
                    error,
                })?;
            let question = (place, paper.numbers(place, &variant));
            work.answer(&task.id, &question, &expected, &block)?;
        }
        let mut values = Named::new();
        for (place, draw) in assignment.draws.iter().enumerate() {
            if let Some(value) = variant.value(assignment, place) {
                values.insert(draw.name.clone(), value.to_owned());
            }
        }
        Ok(Receipt {
            program: env!("CARGO_PKG_VERSION").to_owned(),
            course: assignment.course.clone(),
            assignment: assignment.slug.clone(),
            version: assignment.version,
            student: self.name.clone(),
            values,
            entries: work.entries,
        })
    }
}

/// A student at work.
struct Work<'a> {
    dice: SplitMix64,
    skill: f64,
    at: u32,
    tries: u32,
    entries: Vec<Entry>,
    curves: &'a mut Curves,
}

impl Work<'_> {
    fn chance(&mut self, share: f64) -> bool {
        uniform(&mut self.dice) < share
    }

    fn enter(&mut self, task: &str, kind: Kind, text: String, sure: Option<Confidence>) {
        self.at += 15 + u32::try_from(self.dice.below(180)).unwrap_or(0);
        self.entries.push(Entry {
            at: self.at,
            task: task.to_owned(),
            kind,
            text,
            sure,
        });
    }

    fn answer(
        &mut self,
        task: &str,
        question: &Numbers,
        expected: &Expected,
        block: &Block,
    ) -> Result<(), DemoError> {
        if self.chance(0.03) {
            // Left out.
            return Ok(());
        }
        let right = self.chance(self.skill);
        let sure = Some(match (right, self.dice.below(4)) {
            (true, 0 | 1) | (false, 0) => Confidence::Certain,
            (true, 2) | (false, 1 | 2) => Confidence::FairlySure,
            _ => Confidence::Guess,
        });
        match expected {
            Expected::Number(_) => self.numbers(task, expected, right),
            Expected::Curve {
                kind,
                column,
                pictures,
            } => {
                let offered = pick::curves(kind, column, pictures);
                let choice = self.choice(&offered, MODEL, right);
                self.enter(task, Kind::Answer, choice, sure);
            }
            Expected::Statement {
                options,
                right: correct,
            } => {
                let options: Vec<&str> = options.iter().map(String::as_str).collect();
                let choice = self.choice(&options, correct.as_deref().unwrap_or(""), right);
                self.enter(task, Kind::Answer, choice, sure);
            }
            Expected::Place(place) => {
                let slip = place
                    .slips()
                    .get(self.dice.below(place.slips().len().max(1)));
                let at = match slip {
                    Some((at, _)) if !right => *at,
                    _ => place.answer() * (1.0 + 0.01 * (uniform(&mut self.dice) - 0.5)),
                };
                self.enter(task, Kind::Answer, format!("{at:.4}"), sure);
            }
            Expected::Sketch(..) => {
                if let Some(sketch) = self.sketch(question, block, right)? {
                    self.enter(task, Kind::Answer, sketch, sure);
                }
            }
        }
        Ok(())
    }

    fn choice(&mut self, offered: &[&str], correct: &str, right: bool) -> String {
        let wrong: Vec<&&str> = offered.iter().filter(|name| **name != correct).collect();
        match wrong.get(self.dice.below(wrong.len())) {
            Some(name) if !right => (**name).to_owned(),
            _ => correct.to_owned(),
        }
    }

    /// Tries, with hints between them, until it is right or the student gives up.
    fn numbers(&mut self, task: &str, expected: &Expected, right: bool) {
        let Expected::Number(number) = expected else {
            return;
        };
        let mut right = right;
        let mut hint = 0;
        for _ in 0..self.tries {
            if self.chance(0.06) {
                let slip = ["about one", "1,234", "3 kg", ""];
                let text = slip[self.dice.below(slip.len())].to_owned();
                self.enter(task, Kind::Answer, text, None);
            }
            let value = if right {
                number.value() * (1.0 + 0.006 * (uniform(&mut self.dice) - 0.5))
            } else {
                match number
                    .slips()
                    .get(self.dice.below(number.slips().len() + 1))
                {
                    Some((_, value)) => *value,
                    None => number.value() * (1.1 + 0.5 * uniform(&mut self.dice)),
                }
            };
            let mut text = number.written(value, 4);
            if self.chance(0.2) {
                text = text.replace('.', ",");
            }
            self.enter(task, Kind::Answer, text, None);
            if right || self.chance(0.12) {
                return;
            }
            hint += 1;
            if hint < SOLUTION {
                self.enter(task, Kind::Hint, hint.to_string(), None);
            } else if self.chance(0.3) {
                // The worked solution closes the question.
                self.enter(task, Kind::Hint, SOLUTION.to_string(), None);
                return;
            }
            right = self.chance(0.3 + 0.6 * self.skill);
        }
    }

    /// A drawn curve, a little stretched and trembling.
    fn sketch(
        &mut self,
        question: &Numbers,
        block: &Block,
        right: bool,
    ) -> Result<Option<String>, DemoError> {
        let Block::Predict(prediction) = block else {
            return Ok(None);
        };
        let (
            Ask::Sketch {
                chart,
                columns,
                pictures: names,
            },
            Ok(setup),
        ) = (&prediction.ask, Setup::from_spec(&prediction.setup))
        else {
            return Ok(None);
        };
        let kind = setup.description().kind;
        let offered = pick::curves(kind, &chart.column, names);
        let picture = self.choice(&offered, MODEL, right);
        let (Some(x), Ok(y)) = (
            setup.axis(&chart.x.scale),
            setup.column_scale(&chart.column, &chart.y.scale),
        ) else {
            return Ok(None);
        };
        let stretch = 1.0 + 2.0 * STRETCH * (uniform(&mut self.dice) - 0.5);
        let height = 1.0 + 0.12 * (uniform(&mut self.dice) - 0.5);
        let (from, to) = (chart.x.from, chart.x.to);
        let tremor = 0.006 * (chart.y.to - chart.y.from);
        let phase = 6.3 * uniform(&mut self.dice);
        let curve = self
            .curves
            .of(question, &picture, &setup, chart, x.si_per_unit)?;
        let points: Vec<(f64, f64)> = (0..=160)
            .map(|k| {
                let at = from + (to - from) * f64::from(k) / 160.0;
                let value = curve.near(at / stretch) / y.si_per_unit * height;
                (at, value + tremor * sin(phase + 0.9 * f64::from(k)))
            })
            .collect();
        let mut sketch = Sketch::new(crate::prediction::SketchGrid::new(
            from,
            to,
            chart.y.from,
            chart.y.to,
            *columns,
        ));
        sketch.stroke(&points);
        Ok(Some(sketch.encode()))
    }
}

/// A number from 0 to 1.
fn uniform(dice: &mut SplitMix64) -> f64 {
    (dice.draw() >> 11) as f64 / (1_u64 << 53) as f64
}
