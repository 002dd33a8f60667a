//! Any block of a lesson and any record of a reader: what the tests of their written form draw from.

use coldfringe::lesson::spec::{
    Ask, Bench, Block, Board, BoardPicture, Challenge, ChartSpec, MarkSlip, NumberSpec,
    Observation, Paint, Prediction, Question, Recording, SetupSpec, Slider, Sought, Statement,
    WindowSpec,
};
use coldfringe::prediction::confidence::Confidence;
use coldfringe::session::{
    Attempt, BlockRecord, Came, Commitment, Here, LessonRecord, Record, StoredAnswer, Try, VERSION,
};
use proptest::collection::{btree_map, btree_set, vec};
use proptest::option;
use proptest::prelude::*;
use std::collections::BTreeMap;

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

pub(super) fn block() -> impl Strategy<Value = Block> {
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

pub(super) fn record() -> impl Strategy<Value = Record> {
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
