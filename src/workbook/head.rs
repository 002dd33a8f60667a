//! What the page tells the script of its assignment: everything but the questions themselves,
//! which stand in their own places.

use serde_json::{Map, Value};

use crate::fields::{self, FieldError, Fields};
use crate::homework::{Assignment, Draw, Rules, Task};

/// The JSON, safe inside a script element. The share of later tries is in millionths: only whole
/// numbers are written.
#[must_use]
pub fn json(assignment: &Assignment) -> String {
    let draws: Vec<Value> = assignment
        .draws
        .iter()
        .map(|draw| {
            object([
                ("name", Value::from(draw.name.as_str())),
                ("values", Value::from(draw.values.clone())),
            ])
        })
        .collect();
    let tasks: Vec<Value> = assignment
        .tasks
        .iter()
        .map(|task| {
            object([
                ("id", Value::from(task.id.as_str())),
                ("points", Value::from(task.points)),
            ])
        })
        .collect();
    object([
        ("slug", Value::from(assignment.slug.as_str())),
        ("title", Value::from(assignment.title.as_str())),
        ("course", Value::from(assignment.course.as_str())),
        ("version", Value::from(assignment.version)),
        ("tries", Value::from(assignment.rules.tries)),
        ("full", Value::from(assignment.rules.full)),
        (
            "later",
            Value::from((assignment.rules.later * 1e6).round() as u32),
        ),
        ("draws", Value::from(draws)),
        ("tasks", Value::from(tasks)),
    ])
    .to_string()
    .replace('<', "\\u003c")
}

fn object<const N: usize>(fields: [(&str, Value); N]) -> Value {
    Value::Object(Map::from_iter(
        fields.map(|(name, value)| (name.to_owned(), value)),
    ))
}

/// Reads it back. `spec` gives the JSON of a question by its name, with the draws still open.
///
/// # Errors
/// When it is not the JSON of an assignment.
pub fn read(json: &str, spec: impl Fn(&str) -> String) -> Result<Assignment, FieldError> {
    fields::read(json, |fields| Assignment {
        slug: fields.text("slug"),
        title: fields.text("title"),
        course: fields.text("course"),
        version: fields.whole("version"),
        rules: Rules {
            tries: fields.whole("tries"),
            full: fields.whole("full"),
            later: f64::from(fields.whole("later")) / 1e6,
        },
        draws: fields.list("draws").iter().map(draw).collect(),
        tasks: fields
            .list("tasks")
            .iter()
            .map(|task| {
                let id = task.text("id");
                Task {
                    points: task.whole("points"),
                    spec: spec(&id),
                    id,
                }
            })
            .collect(),
    })
}

fn draw(fields: &Fields<'_>) -> Draw {
    Draw {
        name: fields.text("name"),
        values: fields.texts("values"),
    }
}
