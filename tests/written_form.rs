//! What is written as JSON, a block's description and the kept work, is read back as it was, and
//! what is wrong with a text is told by the name of the field.
#![cfg(not(target_arch = "wasm32"))]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test stops at the first surprise"
)]

mod course;

use std::collections::BTreeMap;

use coldfringe::fields::FieldError;
use coldfringe::lesson::spec::{
    Ask, Bench, Block, Board, BoardPicture, Challenge, ChartSpec, Lesson, MarkSlip, NumberSpec,
    Observation, Paint, Prediction, Question, Recording, SetupSpec, Slider, Sought, Statement,
    WindowSpec,
};
use coldfringe::page::islands::{island_json, read};
use coldfringe::prediction::confidence::Confidence;
use coldfringe::session::{
    Attempt, BlockRecord, Came, Commitment, Here, LessonRecord, Record, StoredAnswer, Try, VERSION,
};
use course::lessons;
use proptest::collection::{btree_map, btree_set, vec};
use proptest::option;
use proptest::prelude::*;
use serde_json::Value;

/// The block without the texts that are rendered into the page and not written.
fn as_written(mut block: Block) -> Block {
    match &mut block {
        Block::Predict(prediction) => {
            prediction.prompt.clear();
            if let Ask::PickStatement { options, .. } | Ask::MarkBoard { options, .. } =
                &mut prediction.ask
            {
                options.iter_mut().for_each(|option| option.reply.clear());
            }
        }
        Block::Observe(observation) => {
            observation.prompt.clear();
            for option in &mut observation.options {
                option.reply.clear();
            }
        }
        Block::Question(question) => {
            question.prompt.clear();
            question.hints.clear();
        }
        Block::Bench(bench) => {
            if let Some(paint) = &mut bench.paint {
                paint.presets.clear();
            }
        }
        Block::Board(_) | Block::Record(_) => {}
    }
    block
}

#[test]
fn every_block_of_every_lesson_is_read_back() {
    let mut read_back = 0;
    for block in lessons().iter().flat_map(Lesson::blocks) {
        assert_eq!(read(&island_json(block)), Ok(as_written(block.clone())));
        read_back += 1;
    }
    assert!(read_back > 10, "the lessons hold blocks");
}

fn text() -> impl Strategy<Value = String> {
    prop_oneof![
        "[a-z-]{0,12}",
        any::<String>(),
        Just("\"\\\u{0}</script>\u{2028}é".to_owned())
    ]
}

fn texts() -> impl Strategy<Value = Vec<String>> {
    vec(text(), 0..4)
}

/// Numbers of few digits, as people write them; the reader of JSON gives them back to the bit.
fn number() -> impl Strategy<Value = f64> {
    (any::<i32>(), 0..6).prop_map(|(digits, places)| f64::from(digits) / f64::from(1 << places))
}

fn setup() -> impl Strategy<Value = SetupSpec> {
    (text(), btree_map(text(), text(), 0..4)).prop_map(|(kind, parameters)| SetupSpec {
        kind,
        parameters: parameters.into_iter().collect(),
    })
}

fn window() -> impl Strategy<Value = WindowSpec> {
    (text(), number(), number(), text()).prop_map(|(scale, from, to, label)| WindowSpec {
        scale,
        from,
        to,
        label,
    })
}

fn chart() -> impl Strategy<Value = ChartSpec> {
    (text(), window(), window(), texts()).prop_map(|(column, x, y, also)| ChartSpec {
        column,
        x,
        y,
        also,
    })
}

fn sought() -> impl Strategy<Value = Sought> {
    (0..5, text(), text(), text()).prop_map(|(kind, one, other, third)| match kind {
        0 => Sought::Reading { reading: one },
        1 => Sought::Solve {
            parameter: one,
            reading: other,
            equals: third,
        },
        4 => Sought::Parameter { parameter: one },
        2 => Sought::Count {
            span: one,
            reading: other,
        },
        _ => Sought::At {
            column: one,
            at: other,
        },
    })
}

fn options() -> impl Strategy<Value = Vec<Statement>> {
    let option = (text(), text()).prop_map(|(id, text)| Statement {
        id,
        text,
        reply: String::new(),
    });
    vec(option, 0..4)
}

fn number_spec() -> impl Strategy<Value = NumberSpec> {
    (sought(), text(), number(), texts()).prop_map(|(answer, unit, within, slips)| NumberSpec {
        answer,
        unit,
        within,
        slips,
    })
}

fn ask() -> impl Strategy<Value = Ask> {
    let slips = (number(), text()).prop_map(|(at, picture)| MarkSlip { at, picture });
    prop_oneof![
        (chart(), any::<u16>(), texts()).prop_map(|(chart, columns, pictures)| Ask::Sketch {
            chart,
            columns,
            pictures
        }),
        (chart(), texts()).prop_map(|(chart, pictures)| Ask::PickCurve { chart, pictures }),
        (options(), text()).prop_map(|(options, right)| Ask::PickStatement { options, right }),
        (options(), text()).prop_map(|(options, right)| Ask::MarkBoard { options, right }),
        (chart(), sought(), number(), vec(slips, 0..3)).prop_map(
            |(chart, answer, within, slips)| Ask::MarkAxis {
                chart,
                answer,
                within,
                slips
            }
        ),
        number_spec().prop_map(Ask::Number),
    ]
}

fn picture() -> impl Strategy<Value = BoardPicture> {
    prop::sample::select(BoardPicture::ALL.to_vec())
}

fn bench() -> impl Strategy<Value = Bench> {
    let slider = (text(), text(), text(), number(), number(), number()).prop_map(
        |(parameter, label, unit, from, to, step)| Slider {
            parameter,
            label,
            unit,
            from,
            to,
            step,
        },
    );
    let challenge =
        (text(), text(), text(), number()).prop_map(|(text, reading, target, within)| Challenge {
            text,
            reading,
            target,
            within,
        });
    let lists = (vec(slider, 0..3), vec(challenge, 0..3), texts());
    let paint = option::of(
        (text(), any::<u16>()).prop_map(|(parameter, strips)| Paint {
            parameter,
            strips,
            presets: Vec::new(),
        }),
    );
    (
        text(),
        setup(),
        chart(),
        option::of(picture()),
        lists,
        paint,
    )
        .prop_map(
            |(id, setup, chart, board, (sliders, challenges, readings), paint)| Bench {
                id,
                setup,
                chart,
                board,
                sliders,
                challenges,
                readings,
                paint,
            },
        )
}

fn block() -> impl Strategy<Value = Block> {
    prop_oneof![
        (
            text(),
            setup(),
            (option::of(picture()), option::of(text())),
            (texts(), vec(0..9_u32, 0..3)),
            ask()
        )
            .prop_map(
                |(id, setup, (board, at), (reasons, because), ask)| Block::Predict(Prediction {
                    id,
                    prompt: String::new(),
                    setup,
                    board,
                    at,
                    reasons,
                    because,
                    ask
                })
            ),
        (text(), any::<bool>(), options(), text()).prop_map(|(id, recall, options, right)| {
            Block::Observe(Observation {
                id,
                prompt: String::new(),
                recall,
                options,
                right,
            })
        }),
        bench().prop_map(Block::Bench),
        (text(), setup(), number_spec()).prop_map(|(id, setup, number)| Block::Question(
            Question {
                id,
                prompt: String::new(),
                setup,
                number,
                hints: Vec::new()
            }
        )),
        (text(), setup(), picture(), text()).prop_map(|(id, setup, picture, at)| Block::Board(
            Board {
                id,
                setup,
                picture,
                at
            }
        )),
        (text(), setup(), chart(), any::<u16>(), text(), text()).prop_map(
            |(id, setup, chart, points, noise, seed)| Block::Record(Recording {
                id,
                setup,
                chart,
                points,
                noise,
                seed
            })
        ),
    ]
}

fn answer() -> impl Strategy<Value = StoredAnswer> {
    prop_oneof![
        text().prop_map(StoredAnswer::Sketch),
        text().prop_map(StoredAnswer::Choice),
        text().prop_map(StoredAnswer::Number),
        number().prop_map(StoredAnswer::Mark),
    ]
}

fn sure() -> impl Strategy<Value = Confidence> {
    prop::sample::select(Confidence::ALL.to_vec())
}

fn kept() -> impl Strategy<Value = BlockRecord> {
    let commitment = (answer(), sure(), option::of(any::<u32>()), number()).prop_map(
        |(answer, sure, reason, at)| Commitment {
            answer,
            sure,
            reason,
            at,
        },
    );
    let tries = vec((text(), number()), 0..3);
    let first = (
        option::of(answer()),
        option::of(sure()),
        option::of(any::<u32>()),
    );
    let came = prop::sample::select(Came::ALL.to_vec());
    let second = (option::of(commitment), option::of(text()), tries);
    let third = (option::of(came), vec(number(), 0..3));
    let met = btree_set(any::<u32>(), 0..4);
    (first, second, third, met, number()).prop_map(
        |((draft, sure, reason), (committed, meant, tries), (came, sliders), met, changed)| {
            BlockRecord {
                came,
                sliders,
                draft,
                sure,
                reason,
                committed,
                meant,
                tries: tries
                    .into_iter()
                    .map(|(text, at)| Try { text, at })
                    .collect(),
                met: met.into_iter().collect(),
                changed,
            }
        },
    )
}

fn record() -> impl Strategy<Value = Record> {
    let attempt =
        (text(), number(), btree_map(text(), kept(), 0..3)).prop_map(|(id, started, blocks)| {
            Attempt {
                id,
                started,
                blocks: blocks.into_iter().collect(),
            }
        });
    let here =
        (text(), number(), any::<u32>(), number()).prop_map(|(step, share, seen, at)| Here {
            step,
            share,
            seen,
            at,
        });
    let lesson = (vec(attempt, 0..3), option::of(here))
        .prop_map(|(attempts, here)| LessonRecord { attempts, here });
    btree_map(text(), lesson, 0..3).prop_map(|lessons: BTreeMap<_, _>| Record {
        version: VERSION,
        lessons: lessons.into_iter().collect(),
        // A lecture has tests of its own in `lecture.rs`.
        lectures: coldfringe::named::Named::new(),
    })
}

/// Every text that comes from a JSON value by leaving one value out or putting another there.
fn spoilt(value: &Value) -> Vec<Value> {
    let others = [
        Value::Null,
        Value::Bool(true),
        serde_json::json!(-1.5),
        serde_json::json!("text"),
        serde_json::json!([[], {}, 7]),
        serde_json::json!({ "unknown": {} }),
    ];
    let mut all: Vec<Value> = others.to_vec();
    match value {
        Value::Object(object) => {
            for (name, inner) in object {
                let mut without = object.clone();
                without.remove(name);
                all.push(Value::Object(without));
                for changed in spoilt(inner) {
                    let mut with = object.clone();
                    with.insert(name.clone(), changed);
                    all.push(Value::Object(with));
                }
            }
        }
        Value::Array(list) => {
            for (place, inner) in list.iter().enumerate() {
                for changed in spoilt(inner) {
                    let mut with = list.clone();
                    with[place] = changed;
                    all.push(Value::Array(with));
                }
            }
        }
        _ => {}
    }
    all
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Any block comes back from its JSON as it was.
    #[test]
    fn any_block_is_read_back(block in block()) {
        prop_assert_eq!(read(&island_json(&block)), Ok(block));
    }

    /// Any record comes back from its written form as it was.
    #[test]
    fn any_record_is_read_back(record in record()) {
        let loaded = Record::load(Some(&record.text()));
        prop_assert_eq!(loaded.unusable, None);
        prop_assert_eq!(loaded.record, record);
    }

    /// A block with something wrong in it is refused with words or read as another block, and
    /// never stops the page.
    #[test]
    fn a_spoilt_block_is_refused_or_another_block(block in block()) {
        let value: Value = serde_json::from_str(&island_json(&block)).unwrap();
        for spoilt in spoilt(&value) {
            match read(&spoilt.to_string()) {
                Ok(other) => prop_assert_eq!(read(&island_json(&other)), Ok(other)),
                Err(error) => prop_assert!(error.to_string().len() > 10),
            }
        }
    }

    /// The same for a record.
    #[test]
    fn a_spoilt_record_is_put_aside_or_another_record(record in record()) {
        let value: Value = serde_json::from_str(&record.text()).unwrap();
        for spoilt in spoilt(&value) {
            let loaded = Record::load(Some(&spoilt.to_string()));
            if loaded.unusable.is_some() {
                prop_assert_eq!(loaded.record, Record::default());
            }
        }
    }

    /// No text makes the reading of a block fail otherwise than by an error.
    #[test]
    fn any_text_is_refused(text in any::<String>()) {
        prop_assert!(read(&text).is_err());
    }
}

/// What is said of a text that is no block.
fn said(json: &str) -> String {
    read(json).unwrap_err().to_string()
}

#[test]
fn the_field_that_is_wrong_is_named() {
    assert!(matches!(read("{"), Err(FieldError::NotJson(_))));
    for text in ["7", "[]", "null", "\"text\""] {
        assert_eq!(said(text), "the outermost value must be an object");
    }
    let kinds =
        "the outermost value must be one of predict, observe, bench, question, board, record";
    for text in ["{}", "{\"other\":{}}", "{\"board\":{},\"bench\":{}}"] {
        assert_eq!(said(text), kinds);
    }
    assert_eq!(said("{\"board\":7}"), "the field `board` must be an object");
    let observe = |options: &str| said(&format!("{{\"observe\":{{\"id\":\"a\",{options}}}}}"));
    assert_eq!(
        observe("\"right\":\"b\""),
        "the field `observe.options` is missing; it must be a list"
    );
    assert_eq!(
        observe("\"right\":7,\"options\":[{\"id\":\"a\",\"text\":\"b\"}]"),
        "the field `observe.right` must be a text"
    );
    assert_eq!(
        observe("\"right\":\"b\",\"options\":[{\"id\":\"a\",\"text\":\"b\"},{\"id\":\"a\"}]"),
        "the field `observe.options[1].text` is missing; it must be a text"
    );
    assert_eq!(
        observe("\"right\":\"b\",\"options\":[7]"),
        "the field `observe.options[0]` must be an object"
    );
    let columns = |columns: &str| {
        let window = "{\"scale\":\"field\",\"from\":0,\"to\":1}";
        said(&format!(
            "{{\"predict\":{{\"id\":\"a\",\"setup\":{{\"kind\":\"b\",\"parameters\":{{}}}},\"ask\":{{\"sketch\":\
             {{\"chart\":{{\"column\":\"c\",\"x\":{window},\"y\":{window}}},\"columns\":{columns},\"pictures\":[]}}}}}}}}"
        ))
    };
    for wrong in ["-1", "1.5", "\"7\"", "99999999999"] {
        assert_eq!(
            columns(wrong),
            "the field `predict.ask.sketch.columns` must be a whole number from 0"
        );
    }
    assert_eq!(
        columns("65536"),
        "the field `predict.ask.sketch.columns` must be a whole number from 0 to 65535"
    );
}

#[test]
fn a_field_that_may_be_left_out_may_also_be_null() {
    let json = "{\"bench\":{\"id\":\"a\",\"setup\":{\"kind\":\"b\",\"parameters\":{}},\"chart\":{\"column\":\"c\",\
                \"x\":{\"scale\":\"field\",\"from\":0,\"to\":1},\"y\":{\"scale\":\"uA\",\"from\":0,\"to\":1}},\
                \"board\":null,\"sliders\":[],\"challenges\":[],\"later\":[1]}}";
    let Block::Bench(bench) = read(json).unwrap() else {
        panic!("this is a bench");
    };
    assert_eq!(bench.board, None);
    assert!(bench.readings.is_empty() && bench.chart.also.is_empty());
}
