//! Reads the kept work back from its JSON, the counterpart of what serde writes of
//! [`super::record`].

use super::lecture;
use super::record::{
    Attempt, BlockRecord, Commitment, Here, LessonRecord, Record, StoredAnswer, Try, VERSION,
};
use crate::fields::Fields;
use crate::numerics::order::sort_short_by;
use crate::prediction::confidence::Confidence;
use crate::prediction::outcome::Came;

/// A record of this version.
pub(super) fn record(fields: &Fields<'_>) -> Record {
    let mut record = Record {
        version: VERSION,
        ..Record::default()
    };
    if let Some(lessons) = fields.optional_part("lessons") {
        for lesson in lessons.parts() {
            let attempts = lesson.optional_list("attempts");
            record.lessons.insert(
                lesson.name().to_owned(),
                LessonRecord {
                    attempts: attempts.iter().map(attempt).collect(),
                    here: lesson.optional_part("here").map(|part| here(&part)),
                },
            );
        }
    }
    if let Some(lectures) = fields.optional_part("lectures") {
        for kept in lectures.parts() {
            record
                .lectures
                .insert(kept.name().to_owned(), lecture::read(&kept, attempt));
        }
    }
    record
}

fn here(fields: &Fields<'_>) -> Here {
    Here {
        step: fields.text("step"),
        share: fields.number("share"),
        seen: fields.whole("seen"),
        at: fields.number("at"),
    }
}

fn attempt(fields: &Fields<'_>) -> Attempt {
    let mut attempt = Attempt::new(&fields.text("id"), fields.number("started"));
    if let Some(blocks) = fields.optional_part("blocks") {
        for kept in blocks.parts() {
            attempt.blocks.insert(kept.name().to_owned(), block(&kept));
        }
    }
    attempt
}

fn block(fields: &Fields<'_>) -> BlockRecord {
    BlockRecord {
        draft: fields.optional_part("draft").and_then(|part| answer(&part)),
        sure: fields.has("sure").then(|| confidence(fields)).flatten(),
        reason: fields.optional_whole("reason"),
        committed: fields
            .optional_part("committed")
            .and_then(|part| commitment(&part)),
        meant: fields.optional_text("meant"),
        came: fields
            .optional_text("came")
            .and_then(|name| came(fields, &name)),
        sliders: fields.optional_numbers("sliders"),
        tries: fields
            .optional_list("tries")
            .iter()
            .map(attempted)
            .collect(),
        met: in_order(fields.optional_wholes("met")),
        changed: fields.optional_number("changed").unwrap_or(0.0),
    }
}

fn answer(fields: &Fields<'_>) -> Option<StoredAnswer> {
    let kind = fields.kind();
    Some(match kind {
        "sketch" => StoredAnswer::Sketch(fields.text(kind)),
        "choice" => StoredAnswer::Choice(fields.text(kind)),
        "mark" => StoredAnswer::Mark(fields.number(kind)),
        "number" => StoredAnswer::Number(fields.text(kind)),
        _ => return fields.refuse("", "one of sketch, choice, mark, number"),
    })
}

fn confidence(fields: &Fields<'_>) -> Option<Confidence> {
    match Confidence::from_name(&fields.text("sure")) {
        Some(sure) => Some(sure),
        None => fields.refuse("sure", "one of guess, fairly-sure, certain"),
    }
}

fn came(fields: &Fields<'_>, name: &str) -> Option<Came> {
    match Came::from_name(name) {
        Some(came) => Some(came),
        None => fields.refuse("came", "one of as-predicted, close, differently, open"),
    }
}

fn commitment(fields: &Fields<'_>) -> Option<Commitment> {
    Some(Commitment {
        answer: answer(&fields.part("answer"))?,
        sure: confidence(fields)?,
        reason: fields.optional_whole("reason"),
        at: fields.number("at"),
    })
}

fn attempted(fields: &Fields<'_>) -> Try {
    Try {
        text: fields.text("text"),
        at: fields.number("at"),
    }
}

/// Numbers in order, each once.
fn in_order(mut values: Vec<u32>) -> Vec<u32> {
    sort_short_by(&mut values, u32::cmp);
    values.dedup();
    values
}
