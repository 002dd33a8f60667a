//! The `assignment` block and the `draw` blocks.

use super::super::assignment::{Assignment, Draw, Rules};
use crate::lesson::diagnostic::{Diagnostics, Mistake};
use crate::lesson::is_name;
use crate::lesson::text::split::RawBlock;
use crate::lesson::text::table::{Reader, parse};

/// Most values of one draw.
const MOST_VALUES: usize = 64;

/// What the `assignment` block says; what it does not say is filled in, so that the file can be
/// read on.
#[derive(Debug)]
pub(super) struct Head {
    slug: String,
    title: String,
    summary: String,
    minutes: u32,
    number: u32,
    course: String,
    version: u32,
    rules: Rules,
}

impl Head {
    /// The `lesson` block that stands for it when the file is read as a lesson.
    pub(super) fn lesson_block(&self) -> String {
        // The texts stand as TOML's basic strings, which are written like JSON's.
        let text = |text: &str| serde_json::Value::from(text).to_string();
        format!(
            "```lesson\nslug = {}\nnumber = {}\ntitle = {}\nsummary = {}\nminutes = {}\n```\n",
            text(&self.slug),
            self.number,
            text(&self.title),
            text(&self.summary),
            self.minutes
        )
    }

    pub(super) fn into_assignment(self, draws: Vec<Draw>) -> Assignment {
        Assignment {
            slug: self.slug,
            title: self.title,
            course: self.course,
            version: self.version,
            rules: self.rules,
            draws,
            tasks: Vec::new(),
        }
    }
}

/// Reads the `assignment` block.
pub(super) fn read_head<'r>(
    mut blocks: impl Iterator<Item = &'r RawBlock>,
    file: &str,
    diagnostics: &mut Diagnostics<'_>,
) -> Head {
    let mut head = Head {
        slug: "assignment".to_owned(),
        title: file.to_owned(),
        summary: "An assignment.".to_owned(),
        minutes: 60,
        number: 1,
        course: "course".to_owned(),
        version: 1,
        rules: Rules {
            tries: 5,
            full: 2,
            later: 0.5,
        },
    };
    let Some(raw) = blocks.next() else {
        diagnostics.add(
            Mistake::NoAssignmentBlock,
            0..0,
            "this file has no `assignment` block",
            "begin it with a block that opens with three backticks and `assignment`, and says \
             `slug`, `title`, `summary`, `minutes`, `course`, `version`",
        );
        return head;
    };
    if let Some(second) = blocks.next() {
        diagnostics.add(
            Mistake::NoAssignmentBlock,
            second.opening.clone(),
            "this file has a second `assignment` block",
            "keep one, at the top",
        );
    }
    let Some(table) = parse(raw.body.clone(), diagnostics) else {
        return head;
    };
    let mut reader = reader(&table, raw);
    for (key, example, into) in [
        ("slug", "\"slits\"", &mut head.slug),
        ("course", "\"interference-1\"", &mut head.course),
    ] {
        let Some(text) = reader.text(key, example, diagnostics) else {
            continue;
        };
        if is_name(&text.value) {
            *into = text.value;
        } else {
            diagnostics.add(
                Mistake::BadName,
                text.span,
                format!("`{}` is not a name", text.value),
                "use small letters, digits and hyphens",
            );
        }
    }
    for (key, example, into) in [
        ("title", "\"Slits\"", &mut head.title),
        ("summary", "\"What it asks.\"", &mut head.summary),
    ] {
        if let Some(text) = reader.text(key, example, diagnostics) {
            *into = text.value;
        }
    }
    if let Some(minutes) = reader.whole("minutes", 1, 600, diagnostics) {
        head.minutes = minutes;
    }
    if let Some(number) = reader.optional_whole("number", 1, 999, diagnostics) {
        head.number = number;
    }
    if let Some(version) = reader.whole("version", 1, 9999, diagnostics) {
        head.version = version;
    }
    if let Some(tries) = reader.optional_whole("tries", 1, 99, diagnostics) {
        head.rules.tries = tries;
        head.rules.full = head.rules.full.min(tries);
    }
    if let Some(full) = reader.optional_whole("full-tries", 1, 99, diagnostics) {
        head.rules.full = full;
    }
    if let Some(later) = reader.optional_number("later-share", diagnostics) {
        if (0.0..=1.0).contains(&later.value) {
            head.rules.later = later.value;
        } else {
            diagnostics.add(
                Mistake::OutOfRange,
                later.span,
                "`later-share` is the share of the points that a later right try counts",
                "write a number from 0 to 1",
            );
        }
    }
    // Read once the questions are known.
    reader.optional_table("points", diagnostics);
    reader.finish(diagnostics);
    head
}

/// Sets the points that the `assignment` block gives to questions.
pub(super) fn set_points(
    raw: Option<&RawBlock>,
    assignment: &mut Assignment,
    diagnostics: &mut Diagnostics<'_>,
) {
    // Mistakes of the block as TOML have been told.
    let mut unheard = Diagnostics::new(diagnostics.source());
    let Some(raw) = raw else { return };
    let Some(table) = parse(raw.body.clone(), &mut unheard) else {
        return;
    };
    let Some(points) = reader(&table, raw).optional_table("points", &mut unheard) else {
        return;
    };
    for (id, count) in points.remaining_as_text(diagnostics) {
        let known = assignment.tasks.iter_mut().find(|task| task.id == id.value);
        match (known, count.value.parse::<u32>()) {
            (Some(task), Ok(count)) if (1..=100).contains(&count) => task.points = count,
            (Some(_), _) => diagnostics.add(
                Mistake::OutOfRange,
                count.span,
                format!("`{}` is not a number of points", count.value),
                "write a whole number from 1 to 100",
            ),
            (None, _) => diagnostics.add(
                Mistake::UnknownWord,
                id.span,
                format!("there is no question `{}`", id.value),
                "write the name of a `question` or `predict` block",
            ),
        }
    }
}

/// Reads the `draw` blocks.
pub(super) fn read_draws<'r>(
    blocks: impl Iterator<Item = &'r RawBlock>,
    diagnostics: &mut Diagnostics<'_>,
) -> Vec<Draw> {
    let mut draws: Vec<Draw> = Vec::new();
    for raw in blocks {
        let name = diagnostics
            .source()
            .get(raw.name.clone())
            .unwrap_or_default();
        if !is_name(name) {
            diagnostics.add(
                Mistake::BadName,
                raw.opening.clone(),
                "this `draw` block has no name that can be used",
                "write `draw` and one name of small letters, digits and hyphens: `draw width`",
            );
            continue;
        }
        if draws.iter().any(|draw| draw.name == name) {
            diagnostics.add(
                Mistake::DuplicateName,
                raw.name.clone(),
                format!("the name `{name}` is used already"),
                "give this draw another name",
            );
            continue;
        }
        let Some(table) = parse(raw.body.clone(), diagnostics) else {
            continue;
        };
        let mut reader = reader(&table, raw);
        let mut values: Vec<String> = Vec::new();
        for text in reader.texts("values", diagnostics) {
            let value = text.value.trim().to_owned();
            if value.is_empty()
                || value.contains(['"', '\\', '{', '}', '<', '&', '\u{200B}', '\u{2060}'])
            {
                diagnostics.add(
                    Mistake::BadDraw,
                    text.span,
                    "this cannot be put into a question",
                    "write a number with its unit, as a reader would see it: `\"8 µm\"`",
                );
            } else if values.contains(&value) {
                diagnostics.add(
                    Mistake::BadDraw,
                    text.span,
                    format!("`{value}` is listed twice, and so drawn twice as often"),
                    "list each value once",
                );
            } else {
                values.push(value);
            }
        }
        if !(2..=MOST_VALUES).contains(&values.len()) {
            diagnostics.add(
                Mistake::BadDraw,
                raw.opening.clone(),
                format!(
                    "a draw needs 2 to {MOST_VALUES} values; this one has {}",
                    values.len()
                ),
                "list them: `values = [\"8 µm\", \"10 µm\", \"12 µm\"]`",
            );
        }
        reader.finish(diagnostics);
        if !values.is_empty() {
            draws.push(Draw {
                name: name.to_owned(),
                values,
            });
        }
    }
    draws
}

fn reader<'t>(table: &'t toml::Spanned<toml::de::DeTable<'t>>, raw: &RawBlock) -> Reader<'t> {
    Reader::new(
        table.get_ref(),
        raw.body.start,
        raw.opening.clone(),
        format!("this `{}` block", raw.kind.unwrap_or("nameless")),
    )
}
