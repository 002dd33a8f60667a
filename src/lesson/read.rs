//! Reads a block back from its JSON, the counterpart of what serde writes of [`super::spec`].
//! What serde leaves out there (the texts that are rendered into the page) comes back empty.

use super::spec::{
    Ask, Bench, Block, Board, BoardPicture, Challenge, ChartSpec, MarkSlip, NumberSpec,
    Observation, Paint, Prediction, Question, Recording, SetupSpec, Slider, Sought, Statement,
    WindowSpec,
};
use crate::fields::{self, FieldError, Fields};

/// Reads a block from its JSON.
///
/// # Errors
/// When the text is not the JSON of a block: the first field that is missing or of another kind.
pub fn block(json: &str) -> Result<Block, FieldError> {
    // A reader that gives nothing has told why, so the error here is never the one told.
    fields::read(json, any_block)?.ok_or(FieldError::Outermost { wanted: BLOCK })
}

const BLOCK: &str = "one of predict, observe, bench, question, board, record";

fn any_block(outer: &Fields<'_>) -> Option<Block> {
    let (kind, inside) = outer.variant();
    let fields = &inside;
    Some(match kind {
        "predict" => Block::Predict(prediction(fields)?),
        "observe" => Block::Observe(observation(fields)),
        "bench" => Block::Bench(bench(fields)?),
        "question" => Block::Question(question(fields)?),
        "board" => Block::Board(board(fields)?),
        "record" => Block::Record(recording(fields)?),
        _ => return outer.refuse("", BLOCK),
    })
}

fn prediction(fields: &Fields<'_>) -> Option<Prediction> {
    Some(Prediction {
        id: fields.text("id"),
        prompt: String::new(),
        setup: setup(fields),
        board: optional_picture(fields),
        at: fields.optional_text("at"),
        reasons: fields.optional_texts("reasons"),
        because: fields.optional_wholes("because"),
        ask: ask(&fields.part("ask"))?,
    })
}

fn ask(outer: &Fields<'_>) -> Option<Ask> {
    let (kind, inside) = outer.variant();
    let fields = &inside;
    Some(match kind {
        "sketch" => Ask::Sketch {
            chart: chart(fields),
            columns: columns(fields, "columns")?,
            pictures: fields.texts("pictures"),
        },
        "pick-curve" => Ask::PickCurve {
            chart: chart(fields),
            pictures: fields.texts("pictures"),
        },
        "pick-statement" => Ask::PickStatement {
            options: statements(fields),
            right: fields.text("right"),
        },
        "mark-axis" => Ask::MarkAxis {
            chart: chart(fields),
            answer: sought(fields)?,
            within: fields.number("within"),
            slips: fields.list("slips").iter().map(slip).collect(),
        },
        "mark-board" => Ask::MarkBoard {
            options: statements(fields),
            right: fields.text("right"),
        },
        "number" => Ask::Number(number(fields)?),
        _ => return outer.refuse("", "one of the kinds of prediction"),
    })
}

fn columns(fields: &Fields<'_>, name: &str) -> Option<u16> {
    match u16::try_from(fields.whole(name)) {
        Ok(columns) => Some(columns),
        Err(_) => fields.refuse(name, "a whole number from 0 to 65535"),
    }
}

fn setup(fields: &Fields<'_>) -> SetupSpec {
    SetupSpec::read(&fields.part("setup"))
}

fn sought(fields: &Fields<'_>) -> Option<Sought> {
    Sought::read(&fields.part("answer"))
}

fn chart(fields: &Fields<'_>) -> ChartSpec {
    let fields = fields.part("chart");
    ChartSpec {
        column: fields.text("column"),
        x: window(&fields.part("x")),
        y: window(&fields.part("y")),
        also: fields.optional_texts("also"),
    }
}

fn window(fields: &Fields<'_>) -> WindowSpec {
    WindowSpec {
        scale: fields.text("scale"),
        from: fields.number("from"),
        to: fields.number("to"),
        label: fields.optional_text("label").unwrap_or_default(),
    }
}

fn optional_picture(fields: &Fields<'_>) -> Option<BoardPicture> {
    if fields.has("board") {
        picture(fields, "board")
    } else {
        None
    }
}

fn picture(fields: &Fields<'_>, name: &str) -> Option<BoardPicture> {
    match BoardPicture::from_name(&fields.text(name)) {
        Some(picture) => Some(picture),
        None => fields.refuse(
            name,
            "one of junction, phasors, loop, loop-at-rest, energies, swing",
        ),
    }
}

fn statements(fields: &Fields<'_>) -> Vec<Statement> {
    let list = fields.list("options");
    list.iter()
        .map(|fields| Statement {
            id: fields.text("id"),
            text: fields.text("text"),
            reply: String::new(),
        })
        .collect()
}

fn slip(fields: &Fields<'_>) -> MarkSlip {
    MarkSlip {
        at: fields.number("at"),
        picture: fields.text("picture"),
    }
}

fn number(fields: &Fields<'_>) -> Option<NumberSpec> {
    Some(NumberSpec {
        answer: sought(fields)?,
        unit: fields.text("unit"),
        within: fields.number("within"),
        slips: fields.optional_texts("slips"),
    })
}

fn observation(fields: &Fields<'_>) -> Observation {
    Observation {
        id: fields.text("id"),
        prompt: String::new(),
        recall: fields.has("recall"),
        options: statements(fields),
        right: fields.text("right"),
    }
}

fn question(fields: &Fields<'_>) -> Option<Question> {
    Some(Question {
        id: fields.text("id"),
        prompt: String::new(),
        setup: setup(fields),
        number: number(&fields.part("number"))?,
        hints: Vec::new(),
    })
}

fn bench(fields: &Fields<'_>) -> Option<Bench> {
    let paint = if fields.has("paint") {
        Some(paint(&fields.part("paint"))?)
    } else {
        None
    };
    Some(Bench {
        paint,
        id: fields.text("id"),
        setup: setup(fields),
        chart: chart(fields),
        board: optional_picture(fields),
        sliders: fields.list("sliders").iter().map(slider).collect(),
        challenges: fields.list("challenges").iter().map(challenge).collect(),
        readings: fields.optional_texts("readings"),
    })
}

fn paint(fields: &Fields<'_>) -> Option<Paint> {
    Some(Paint {
        parameter: fields.text("parameter"),
        strips: columns(fields, "strips")?,
        presets: Vec::new(),
    })
}

fn slider(fields: &Fields<'_>) -> Slider {
    Slider {
        parameter: fields.text("parameter"),
        label: fields.text("label"),
        unit: fields.text("unit"),
        from: fields.number("from"),
        to: fields.number("to"),
        step: fields.number("step"),
    }
}

fn challenge(fields: &Fields<'_>) -> Challenge {
    Challenge {
        text: fields.text("text"),
        reading: fields.text("reading"),
        target: fields.text("target"),
        within: fields.number("within"),
    }
}

fn board(fields: &Fields<'_>) -> Option<Board> {
    Some(Board {
        id: fields.text("id"),
        setup: setup(fields),
        picture: picture(fields, "picture")?,
        at: fields.text("at"),
    })
}

fn recording(fields: &Fields<'_>) -> Option<Recording> {
    Some(Recording {
        id: fields.text("id"),
        setup: setup(fields),
        chart: chart(fields),
        points: columns(fields, "points")?,
        noise: fields.text("noise"),
        seed: fields.text("seed"),
    })
}
