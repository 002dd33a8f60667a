//! What is written as JSON, a block's description and the kept work, is read back as it was, and
//! what is wrong with a text is told by the name of the field.

use super::any;
use crate::course::lessons;
use coldfringe::fields::FieldError;
use coldfringe::lesson::spec::{Ask, Block, Lesson};
use coldfringe::page::islands::{island_json, read};
use coldfringe::session::Record;
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
    fn any_block_is_read_back(block in any::block()) {
        prop_assert_eq!(read(&island_json(&block)), Ok(block));
    }

    /// Any record comes back from its written form as it was.
    #[test]
    fn any_record_is_read_back(record in any::record()) {
        let loaded = Record::load(Some(&record.text()));
        prop_assert_eq!(loaded.unusable, None);
        prop_assert_eq!(loaded.record, record);
    }

    /// A block with something wrong in it is refused with words or read as another block, and
    /// never stops the page.
    #[test]
    fn a_spoilt_block_is_refused_or_another_block(block in any::block()) {
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
    fn a_spoilt_record_is_put_aside_or_another_record(record in any::record()) {
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
    fn any_text_is_refused(text in proptest::arbitrary::any::<String>()) {
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
