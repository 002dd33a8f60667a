//! A marker on an axis: right within a tolerance, near within twice that, or at the place where a
//! wrong picture would put it.

use super::pictures::{self, Picture};
use super::verdict::Verdict;
use super::words::shown_unit;
use crate::quantity::digits;

/// A question answered by a marker. Places are in the axis' unit.
#[derive(Debug, Clone, PartialEq)]
pub struct MarkTask<'a> {
    /// The set-up's kind.
    pub kind: &'a str,
    /// The column of the chart.
    pub column: &'a str,
    /// Where the marker belongs.
    pub answer: f64,
    /// Whether the place mirrored at zero is as good.
    pub mirrored: bool,
    /// How far off still counts.
    pub within: f64,
    /// Where wrong pictures would put it, with their names.
    pub slips: Vec<(f64, &'a str)>,
    /// The axis' unit.
    pub unit: &'a str,
}

/// What is said about a marker.
#[derive(Debug, Clone, PartialEq)]
pub struct MarkAssessment {
    /// Right, near, a wrong picture by name, or different.
    pub verdict: Verdict,
    /// The first sentence.
    pub headline: String,
    /// The two places, in a sentence.
    pub places: String,
    /// The idea behind a named picture, asked back.
    pub question: Option<&'static str>,
    /// What to move and watch.
    pub look_at: Option<&'static str>,
}

/// Assesses a marker.
#[must_use]
pub fn assess_mark(task: &MarkTask<'_>, at: f64) -> MarkAssessment {
    let off = |place: f64| {
        let straight = (at - place).abs();
        if task.mirrored {
            straight.min((at + place).abs())
        } else {
            straight
        }
    };
    let within = task.within.abs();
    let distance = off(task.answer);
    let (verdict, headline, picture) = if distance <= within {
        (
            Verdict::Right,
            "Your marker is where it belongs.".to_owned(),
            None,
        )
    } else if distance <= 2.0 * within {
        (Verdict::Near, "Your marker is very near.".to_owned(), None)
    } else {
        match slip(task, off) {
            Some(picture) => (
                Verdict::WrongPicture(picture.name),
                format!("Your marker fits {}.", picture.words),
                Some(picture),
            ),
            None => (
                Verdict::Different,
                "Your marker is elsewhere.".to_owned(),
                None,
            ),
        }
    };
    MarkAssessment {
        verdict,
        headline,
        // A marker is placed more finely than a curve is drawn, so three figures are told.
        places: format!(
            "Your marker is at {}; the computed place is {}.",
            digits(at, 3),
            place_with_unit(
                if task.mirrored && at * task.answer < 0.0 {
                    -task.answer
                } else {
                    task.answer
                },
                task.unit
            )
        ),
        question: picture.map(|picture| picture.question),
        look_at: picture.map(|picture| picture.look_at),
    }
}

fn place_with_unit(place: f64, unit: &str) -> String {
    format!("{} {}", digits(place, 3), shown_unit(unit))
        .trim_end()
        .to_owned()
}

/// The wrong picture that explains the place, if exactly one does.
fn slip(task: &MarkTask<'_>, off: impl Fn(f64) -> f64) -> Option<&'static Picture> {
    let mut fitting = task
        .slips
        .iter()
        .filter(|(place, _)| off(*place) <= task.within.abs());
    let (_, name) = fitting.next()?;
    if fitting.next().is_some() {
        return None;
    }
    pictures::find(task.kind, task.column, name)
}
