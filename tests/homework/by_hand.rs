//! Students, entries and receipts put together by hand.

use coldfringe::homework::grading::{Grader, Keep, Row};
use coldfringe::homework::receipt::Receipt;
use coldfringe::homework::{Assignment, Entry, Identifier, Kind, Variant};
use coldfringe::named::Named;

use crate::course;

/// CODATA 2022, exact digits: h/2e in webers.
pub(crate) const QUANTUM: f64 = 2.067_833_848_461_929e-15;

/// An assignment, by its slug.
pub(crate) fn assignment(slug: &str) -> &'static Assignment {
    &course::assignment(slug).assignment
}

/// The first of them.
pub(crate) fn slits() -> &'static Assignment {
    &course::assignment("slits").assignment
}

/// An identifier that is one.
pub(crate) fn student(name: &str) -> Identifier {
    Identifier::new(name).unwrap()
}

/// Where a question stands in its assignment.
pub(crate) fn place(assignment: &Assignment, task: &str) -> usize {
    assignment.task(task).unwrap().0
}

/// Something done, without a degree of confidence.
pub(crate) fn entry(at: u32, task: &str, kind: Kind, text: &str) -> Entry {
    Entry {
        at,
        task: task.to_owned(),
        kind,
        text: text.to_owned(),
        sure: None,
    }
}

/// A receipt with the student's own numbers.
pub(crate) fn receipt_of(assignment: &Assignment, name: &str, entries: Vec<Entry>) -> Receipt {
    let variant = Variant::of(assignment, &student(name));
    let values: Named<String> = assignment
        .draws
        .iter()
        .enumerate()
        .map(|(place, draw)| {
            let value = variant.value(assignment, place).unwrap();
            (draw.name.clone(), value.to_owned())
        })
        .collect();
    Receipt {
        program: "0".to_owned(),
        course: assignment.course.clone(),
        assignment: assignment.slug.clone(),
        version: assignment.version,
        student: name.to_owned(),
        values,
        entries,
    }
}

/// The rows of receipts of *Slits*, compared.
pub(crate) fn graded(receipts: &[(&str, String)]) -> Vec<Row> {
    let grader = Grader::new(slits());
    let rows = receipts
        .iter()
        .map(|(file, text)| grader.row(file, Ok(text)).unwrap())
        .collect();
    grader.finish(rows, Keep::Best, None)
}

/// The numbers of so many students.
pub(crate) fn variants(assignment: &Assignment, count: usize) -> Vec<Variant> {
    (0..count)
        .map(|number| Variant::of(assignment, &Identifier::new(&format!("s{number}")).unwrap()))
        .collect()
}
